// SPDX-License-Identifier: Apache-2.0
import { signal } from '@preact/signals';

const said = signal('');
let timer = 0;

/// One short line for eyes and readers, gone after a while; `long` what takes longer to read.
export function say(what: string, long = false): void {
  said.value = what;
  clearTimeout(timer);
  timer = window.setTimeout(() => (said.value = ''), long ? 20000 : 8000);
}

export function StatusLine() {
  return <p class={`status ${said.value ? 'status-shown' : ''}`} role="status" aria-live="polite">{said.value}</p>;
}
