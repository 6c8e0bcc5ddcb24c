// SPDX-License-Identifier: Apache-2.0
//
// Keeps the answers level with the job: first the quick one (picture, lengths, price), then the whole plan once the job
// rests. One quick question is under way at a time, the newest job asked next, so that a drag shows every picture the
// planner can give; an answer never replaces one of a newer job. The whole plan's question is dropped as soon as the job changes.
import { computed, effect, signal, type Signal } from '@preact/signals';
import { api, asRefusal, isAbort, type Refusal } from '../api/client';
import type { Plan, Quick } from '../api/types';
import { committedText, jobText } from '../job/store';
import { keepAnswers, keptAnswers } from './kept';

interface Answered {
  text: string;
  answer: Quick;
}

export const quick = signal<Answered | null>(null);
export const plan = signal<{ text: string; answer: Plan } | null>(null);
/// All studies are of the job that is shown.
export const complete = computed(() => plan.value?.text === jobText.value);
/// Why the job that is shown could not be planned; the last good answers stay in sight.
export const trouble = signal<Refusal | null>(null);
/// The quick answer as figures and fields show it: a drag brings more answers a second than anyone can read.
export const figures = signal<Answered | null>(null);
export const fields = signal<Answered | null>(null);
/// What is shown is of an older job, and has been for longer than an answer takes.
export const behind = signal(false);
/// The answers are what this device kept, not the planner's: since when (ISO), or null.
export const keptSince = signal<string | null>(null);

const patience = 250;  // ms: a superseded quick question is given up after this
const spacing = 45;    // ms at least from one quick question to the next while the job keeps changing: the picture leads meanwhile
const widest = 250;    // ms at most
const breath = 4;      // times as long as the last answer took: planner and picture may share two cores
const rest = 120;      // ms without a change before the whole plan is asked for
const held = 500;      // the same while something is dragged: where a hand turns back it does not rest
const legible = 120;   // ms that a figure stands at least while something is dragged
const aside = 250;     // the same for fields: who drags looks at the picture, or at the one field under the finger
const late = 300;      // ms after which an answer is missed
const recent = new Map<string, Quick>();

let underWay: { text: string; since: number; stop: AbortController } | null = null;
let wanted: string | null = null;
let lastAsked = -Infinity;
let took = 0;
let askTimer = 0;
let answered = -Infinity;
let lateTimer = 0;
let planStop: AbortController | null = null;
let planTimer = 0;
let retryTimer = 0;

/// Lets `shown` follow the quick answer so often while something is dragged, else at once.
function follower(shown: Signal<Answered | null>, every: number): () => void {
  let last = -Infinity;
  let timer = 0;
  const now = () => {
    clearTimeout(timer);
    timer = 0;
    last = performance.now();
    shown.value = quick.value;
  };
  return () => {
    const soon = jobText.peek() === committedText() ? 0 : last + every - performance.now();
    if (soon <= 0) now();
    else if (!timer) timer = window.setTimeout(now, soon);
  };
}
const followFigures = follower(figures, legible);
const followFields = follower(fields, aside);

function remember(text: string, answer: Quick): void {
  recent.delete(text);
  recent.set(text, answer);
  const oldest = recent.keys().next();
  if (recent.size > 60 && !oldest.done) recent.delete(oldest.value);
}

function show(text: string, answer: Quick): void {
  quick.value = { text, answer };
  answered = performance.now();
  followFigures();
  followFields();
  keptSince.value = null;
  if (text === jobText.value) trouble.value = null;
  performance.mark('answer');
}

async function askQuick(text: string): Promise<void> {
  const stop = new AbortController();
  lastAsked = performance.now();
  underWay = { text, since: lastAsked, stop };
  try {
    const answer = await api.quick(text, stop.signal);
    took = performance.now() - lastAsked;
    remember(text, answer);
    show(text, answer);
    if (text === jobText.value) planSoon(text);
  } catch (error) {
    if (!isAbort(error)) refused(text, asRefusal(error));
  } finally {
    underWay = null;
    if (wanted !== null && wanted !== text) askWhenDue();
  }
}

/// Asks for the newest job once the last question is far enough back.
function askWhenDue(): void {
  clearTimeout(askTimer);
  const askNow = () => {
    const next = wanted;
    wanted = null;
    if (next !== null && !underWay) void askQuick(next);
  };
  const soon = lastAsked + Math.min(widest, Math.max(spacing, breath * took)) - performance.now();
  if (soon <= 0) askNow();
  else askTimer = window.setTimeout(askNow, soon);
}

function refused(text: string, why: Refusal): void {
  if (text !== jobText.value) return;
  trouble.value = why;
  clearTimeout(retryTimer);
  if (why.kind === 'busy' || why.kind === 'away')
    retryTimer = window.setTimeout(askAgain, why.kind === 'busy' ? Math.max(0.2, why.retryAfter) * 1000 : 4000);
}

export function askAgain(): void {
  clearTimeout(retryTimer);
  if (!underWay) void askQuick(jobText.value);
}

function planSoon(text: string): void {
  clearTimeout(planTimer);
  planTimer = window.setTimeout(() => void askPlan(text), jobText.peek() === committedText() ? rest : held);
}

async function askPlan(text: string): Promise<void> {
  planStop?.abort();
  planStop = new AbortController();
  try {
    const answer = await api.plan(text, planStop.signal);
    if (text !== jobText.value) return;
    plan.value = { text, answer };
    if (quick.value?.text === text) void keepAnswers({ text, quick: quick.value.answer, plan: answer });
  } catch (error) {
    if (!isAbort(error)) refused(text, asRefusal(error));
  }
}

function jobChanged(text: string): void {
  planStop?.abort();
  clearTimeout(planTimer);
  clearTimeout(retryTimer);
  const known = recent.get(text);
  if (known) {
    wanted = null;
    clearTimeout(askTimer);
    show(text, known);
    planSoon(text);
    return;
  }
  wanted = text;
  if (!underWay) askWhenDue();
  else if (performance.now() - underWay.since > patience) underWay.stop.abort();
}

/// Without a network the page opens on what this device kept.
async function openKept(): Promise<void> {
  const kept = await keptAnswers();
  if (!kept || quick.value) return;
  fields.value = figures.value = quick.value = { text: kept.text, answer: kept.quick };
  plan.value = { text: kept.text, answer: kept.plan };
  keptSince.value = kept.when;
}

/// While answers stream in none is missed, though each is of a job a little older than the one under the finger.
function missAnswer(): void {
  lateTimer = 0;
  const shown = quick.peek();
  if (!shown || shown.text === jobText.peek()) return;
  const soon = answered + late - performance.now();
  if (soon > 0) lateTimer = window.setTimeout(missAnswer, soon);
  else behind.value = true;
}

export function goLive(): void {
  effect(() => {
    const why = trouble.value;
    if (why?.kind === 'away' && !quick.value) void openKept();
  });
  effect(() => {
    const text = jobText.value;
    jobChanged(text);
  });
  effect(() => {
    if (quick.value?.text === jobText.value) {
      clearTimeout(lateTimer);
      lateTimer = 0;
      behind.value = false;
    } else if (!lateTimer) {
      lateTimer = window.setTimeout(missAnswer, late);
    }
  });
  window.addEventListener('online', askAgain);
}
