// SPDX-License-Identifier: Apache-2.0
//
// The last plan, kept on this device for the bench. IndexedDB, because a plan may be larger than localStorage takes.
import type { Plan, Quick } from '../api/types';

export interface KeptAnswers {
  text: string;
  quick: Quick;
  plan: Plan;
  when: string;
}

function open(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open('garthwright', 1);
    request.onupgradeneeded = () => request.result.createObjectStore('answers');
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error ?? new Error('no storage'));
  });
}

function finished<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error ?? new Error('no storage'));
  });
}

export async function keepAnswers(answers: Omit<KeptAnswers, 'when'>): Promise<void> {
  try {
    const store = (await open()).transaction('answers', 'readwrite').objectStore('answers');
    await finished(store.put({ ...answers, when: new Date().toISOString() }, 'last'));
  } catch {
    // A browser that keeps nothing (private window) still works with the network.
  }
}

export async function keptAnswers(): Promise<KeptAnswers | null> {
  try {
    const store = (await open()).transaction('answers').objectStore('answers');
    return ((await finished(store.get('last'))) as KeptAnswers | undefined) ?? null;
  } catch {
    return null;
  }
}
