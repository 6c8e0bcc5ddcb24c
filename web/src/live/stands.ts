// SPDX-License-Identifier: Apache-2.0
//
// What stands, looked for by the planner: what is open settled at least cost, or, where something fails, what would mend
// it. One search at a time; it ends as soon as the job is another, and what was found is shown for that very text alone.
import { computed, effect, signal, untracked } from '@preact/signals';
import { api, asRefusal, isAbort, Refusal } from '../api/client';
import type { Advice, Decided, SearchProgress } from '../api/types';
import { commit, jobText } from '../job/store';

export type Wanted = 'open' | 'mended';

/// A found set of changes, to be taken whole: the job's text with them.
export interface Offer {
  text: string;
  label: string;
}

interface Search {
  text: string;
  wanted: Wanted;
  progress: SearchProgress | null;
}
export type Found =
  | { text: string; wanted: 'open'; answer: Decided; job: string | null }
  | { text: string; wanted: 'mended'; answer: Advice; jobs: string[] };

const search = signal<Search | null>(null);
const answers = signal<Found[]>([]);  // newest last
const refusal = signal<{ text: string; wanted: Wanted; why: Refusal } | null>(null);
const set = signal<string[]>([]);     // texts whose answer was left
const keptAnswers = 8;
let stop: AbortController | null = null;

export const looking = computed(() => (search.value?.text === jobText.value ? search.value : null));
export const found = computed(() => answers.value.find((each) => each.text === jobText.value) ?? null);
/// Found, and neither taken nor left.
export const offered = computed(() => (found.value && !set.value.includes(found.value.text) ? found.value : null));
export const noSearch = computed(() => (refusal.value?.text === jobText.value ? refusal.value.why : null));

export function stopLooking(): void {
  stop?.abort();
  stop = null;
  search.value = null;
}

/// Looks for what stands, unless that is known or being looked for. A person who asks is shown again what was left.
export async function findWhatStands(wanted: Wanted, asked = true): Promise<void> {
  const text = jobText.peek();
  if (asked) set.value = set.peek().filter((each) => each !== text);
  if (found.peek()?.wanted === wanted || looking.peek()?.wanted === wanted) return;
  stopLooking();
  const mine = (stop = new AbortController());
  search.value = { text, wanted, progress: null };
  refusal.value = null;
  const tell = (progress: SearchProgress) => {
    if (stop === mine) search.value = { text, wanted, progress };
  };
  try {
    const answer: Found = wanted === 'open'
      ? { text, wanted, ...(await api.decide(text, tell, mine.signal)) }
      : { text, wanted, ...(await api.advice(text, tell, mine.signal)) };
    answers.value = [...answers.peek().filter((each) => each.text !== text), answer].slice(-keptAnswers);
  } catch (error) {
    if (!isAbort(error) && stop === mine) refusal.value = { text, wanted, why: asRefusal(error) };
  } finally {
    if (stop === mine) {
      stop = null;
      search.value = null;
    }
  }
}

export function take(offer: Offer): void {
  commit(offer.text, offer.label);
}

export function leave(): void {
  set.value = [...set.peek(), jobText.peek()];
}

/// A search of a job that is another by now is nobody's.
export function watchSearch(): void {
  effect(() => {
    const text = jobText.value;
    untracked(() => {
      if (search.peek() && search.peek()!.text !== text) stopLooking();
    });
  });
}
