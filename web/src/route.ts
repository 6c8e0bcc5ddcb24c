// SPDX-License-Identifier: Apache-2.0
import { signal } from '@preact/signals';

export const places = [
  ['design', 'Design'],
  ['garden', 'Garden'],
  ['ends', 'End shapes'],
  ['pieces', 'Pieces'],
  ['buying', 'Buying'],
  ['checks', 'Checks'],
  ['build', 'Build order'],
  ['sheets', 'Sheets'],
  ['bench', 'At the bench'],
  ['compare', 'Compare'],
] as const;
export type Place = (typeof places)[number][0];

interface Route {
  place: Place;
  rest: string[];
}

/// A part of an address that was mangled on its way is no reason to show nothing.
function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return '';
  }
}

function read(): Route {
  const [name = '', ...rest] = location.hash.replace(/^#\/?/, '').split('/').map(decoded);
  const place = places.find(([each]) => each === name)?.[0] ?? 'design';
  return { place, rest };
}

/// Whether the address names a sheet; an empty one means the first.
export function addressIsKnown(): boolean {
  const [name = ''] = location.hash.replace(/^#\/?/, '').split('/').map(decoded);
  return location.hash.replace(/^#\/?/, '') === '' || places.some(([each]) => each === name);
}

export const route = signal<Route>(read());
window.addEventListener('hashchange', () => {
  if (location.hash.startsWith('#j=')) return;
  route.value = read();
});

export function go(place: Place, ...rest: string[]): void {
  location.hash = '#/' + [place, ...rest].map(encodeURIComponent).join('/');
}
