// SPDX-License-Identifier: Apache-2.0
//
// Versions of a job that were set aside to be compared, kept on this device.
import { signal } from '@preact/signals';

export interface Version {
  name: string;
  text: string;
}

const key = 'garthwright.versions';

function read(): Version[] {
  try {
    const kept = JSON.parse(localStorage.getItem(key) ?? '[]') as Version[];
    return Array.isArray(kept) ? kept.filter((each) => typeof each?.name === 'string' && typeof each?.text === 'string') : [];
  } catch {
    return [];
  }
}

export const versions = signal<Version[]>(read());

function write(next: Version[]): void {
  versions.value = next;
  try {
    localStorage.setItem(key, JSON.stringify(next));
  } catch {
    // Kept as long as the page lives.
  }
}

export function setAside(name: string, text: string): void {
  write([...versions.value.filter((each) => each.name !== name), { name, text }]);
}

export function drop(name: string): void {
  write(versions.value.filter((each) => each.name !== name));
}
