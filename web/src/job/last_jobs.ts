// SPDX-License-Identifier: Apache-2.0
//
// The last ten jobs that were open on this device, the newest first, each as it was left.
import { signal } from '@preact/signals';

export interface LastJob {
  id: string;
  title: string;
  text: string;
}

const key = 'garthwright.last-jobs';
const most = 10;

function read(): LastJob[] {
  try {
    const kept = JSON.parse(localStorage.getItem(key) ?? '[]') as LastJob[];
    return Array.isArray(kept) ? kept.filter((each) => [each?.id, each?.title, each?.text].every((part) => typeof part === 'string')) : [];
  } catch {
    return [];
  }
}

export const lastJobs = signal<LastJob[]>(read());

export function noteJob(job: LastJob): void {
  const first = lastJobs.peek()[0];
  if (first?.id === job.id && first.text === job.text) return;
  lastJobs.value = [job, ...lastJobs.peek().filter((each) => each.id !== job.id)].slice(0, most);
  try {
    localStorage.setItem(key, JSON.stringify(lastJobs.value));
  } catch {
    // Kept as long as the page lives.
  }
}
