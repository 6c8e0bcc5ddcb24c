// SPDX-License-Identifier: Apache-2.0
//
// A link that carries the whole job in its fragment, which no browser sends to a server.
import { parse } from 'smol-toml';
import { deflateSync, inflateSync, strFromU8, strToU8 } from 'fflate';

const mark = '#j=';
const longest = 262144;

function toBase64Url(bytes: Uint8Array): string {
  let binary = '';
  for (const byte of bytes) binary += String.fromCharCode(byte);
  return btoa(binary).replace(/\+/g, '-').replace(/\//g, '_').replace(/=+$/, '');
}

function fromBase64Url(text: string): Uint8Array {
  const binary = atob(text.replace(/-/g, '+').replace(/_/g, '/'));
  return Uint8Array.from(binary, (char) => char.charCodeAt(0));
}

export function linkTo(job: string): string {
  return `${location.origin}${location.pathname}${mark}${toBase64Url(deflateSync(strToU8(job), { level: 9 }))}`;
}

/// The job in a fragment; null when there is none, an error when it is broken.
export function jobIn(fragment: string): string | null {
  if (!fragment.startsWith(mark)) return null;
  // The limit stops a small link that swells to gigabytes.
  const bytes = inflateSync(fromBase64Url(fragment.slice(mark.length)), { out: new Uint8Array(longest) });
  const text = strFromU8(bytes);
  parse(text);  // what is no job file was mangled on its way
  return text;
}
