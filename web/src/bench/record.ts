// SPDX-License-Identifier: Apache-2.0
//
// What was done and measured at the bench; kept on this device, one record for each job, by its identity: another of
// the same title has its own.
import { signal } from '@preact/signals';

export interface BenchRecord {
  done: Record<string, true>;
  measured: Record<string, string>;
  at: string | null;
}

const empty = (): BenchRecord => ({ done: {}, measured: {}, at: null });
export const record = signal<BenchRecord>(empty());
let name = '';

export function openRecord(job: string): void {
  name = `garthwright.bench/${job}`;
  try {
    record.value = { ...empty(), ...(JSON.parse(localStorage.getItem(name) ?? '{}') as Partial<BenchRecord>) };
  } catch {
    record.value = empty();
  }
}

export function note(change: Partial<BenchRecord>): void {
  record.value = { ...record.value, ...change };
  try {
    localStorage.setItem(name, JSON.stringify(record.value));
  } catch {
    // Storage is full or refused: the record lives as long as the page.
  }
}

export function tick(id: string, on: boolean): void {
  const done = { ...record.value.done };
  if (on) done[id] = true;
  else delete done[id];
  note({ done });
}

export function measure(id: string, typed: string): void {
  const measured = { ...record.value.measured };
  if (typed.trim()) measured[id] = typed.trim();
  else delete measured[id];
  note({ measured });
}
