// SPDX-License-Identifier: Apache-2.0
//
// The last plan of each of the last jobs, kept on this device for the bench. IndexedDB, because a plan may be larger than
// localStorage takes.
import type { Plan, Quick } from '../api/types';

export interface KeptAnswers {
  text: string;
  quick: Quick;
  plan: Plan;
  whole: boolean;
  when: string;
}

const most = 10;

let opened: Promise<IDBDatabase> | null = null;

function open(): Promise<IDBDatabase> {
  return (opened ??= new Promise((resolve, reject) => {
    const request = indexedDB.open('garthwright', 3);
    request.onupgradeneeded = () => {
      // What an earlier page kept may lack what this one shows.
      if (request.result.objectStoreNames.contains('answers')) request.result.deleteObjectStore('answers');
      request.result.createObjectStore('answers');
    };
    request.onsuccess = () => {
      request.result.onversionchange = () => request.result.close();  // a newer page in another tab may go on
      resolve(request.result);
    };
    request.onerror = () => reject(request.error ?? new Error('no storage'));
  }));
}

function finished<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error ?? new Error('no storage'));
  });
}

export async function keepAnswers(id: string, answers: Omit<KeptAnswers, 'when'>): Promise<void> {
  try {
    const store = (await open()).transaction('answers', 'readwrite').objectStore('answers');
    await finished(store.put({ ...answers, when: new Date().toISOString() }, id));
    const keys = await finished(store.getAllKeys());
    if (keys.length <= most) return;
    const all = (await finished(store.getAll())) as KeptAnswers[];
    const oldest = all.reduce((least, each, i) => (each.when < all[least]!.when ? i : least), 0);
    await finished(store.delete(keys[oldest]!));
  } catch {
    // A browser that keeps nothing (private window) still works with the network.
  }
}

export async function keptAnswers(id: string): Promise<KeptAnswers | null> {
  try {
    const store = (await open()).transaction('answers').objectStore('answers');
    return ((await finished(store.get(id))) as KeptAnswers | undefined) ?? null;
  } catch {
    return null;
  }
}
