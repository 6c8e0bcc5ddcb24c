// SPDX-License-Identifier: Apache-2.0
//
// Versions of a job that were set aside to be compared, kept on this device.
import { signal } from '@preact/signals';

export interface Version {
  job: string;  // which job it is a version of; '' from a page that did not tell jobs apart
  name: string;
  text: string;
}

const key = 'garthwright.versions';

function read(): Version[] {
  try {
    const kept = JSON.parse(localStorage.getItem(key) ?? '[]') as Version[];
    return Array.isArray(kept) ? kept.filter((each) => typeof each?.name === 'string' && typeof each?.text === 'string').map((each) => ({ ...each, job: each.job ?? '' })) : [];
  } catch {
    return [];
  }
}

const versions = signal<Version[]>(read());

function write(next: Version[]): void {
  versions.value = next;
  try {
    localStorage.setItem(key, JSON.stringify(next));
  } catch {
    // Kept as long as the page lives.
  }
}

export function versionsOf(job: string): Version[] {
  return versions.value.filter((each) => each.job === job || each.job === '');
}

export function setAside(job: string, name: string, text: string): void {
  write([...versions.value.filter((each) => each.name !== name || each.job !== job), { job, name, text }]);
}

export function drop(job: string, name: string): void {
  write(versions.value.filter((each) => each.name !== name || (each.job !== job && each.job !== '')));
}
