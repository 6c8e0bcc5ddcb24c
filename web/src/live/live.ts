// SPDX-License-Identifier: Apache-2.0
//
// Keeps the answers level with the job: first the quick one (picture, lengths, price), then the whole plan once the job
// rests. One quick question is under way at a time, the newest job asked next, so that a drag shows every picture the
// planner can give; an answer never replaces one of a newer job. The whole plan's question is dropped as soon as the job changes.
import { computed, effect, signal } from '@preact/signals';
import { api, asRefusal, isAbort, type Refusal } from '../api/client';
import type { Plan, Quick } from '../api/types';
import { jobText } from '../job/store';
import { keepAnswers, keptAnswers } from './kept';

export const quick = signal<{ text: string; answer: Quick } | null>(null);
export const plan = signal<{ text: string; answer: Plan } | null>(null);
/// All studies are of the job that is shown.
export const complete = computed(() => plan.value?.text === jobText.value);
/// Why the job that is shown could not be planned; the last good answers stay in sight.
export const trouble = signal<Refusal | null>(null);
/// The quick answer as figures and fields show it: a drag brings more answers a second than anyone can read.
export const figures = signal<{ text: string; answer: Quick } | null>(null);
/// What is shown is of an older job, and has been for longer than an answer takes.
export const behind = signal(false);
/// The answers are what this device kept, not the planner's: since when (ISO), or null.
export const keptSince = signal<string | null>(null);

const patience = 250;  // ms: a superseded quick question is given up after this
const spacing = 45;    // ms from one quick question to the next while the job keeps changing: the picture leads meanwhile
const rest = 120;      // ms without a change before the whole plan is asked for
const legible = 90;    // ms that a figure stands at least
const late = 300;      // ms after which an answer is missed
const recent = new Map<string, Quick>();

let underWay: { text: string; since: number; stop: AbortController } | null = null;
let wanted: string | null = null;
let lastAsked = -Infinity;
let askTimer = 0;
let figuresShown = -Infinity;
let figuresTimer = 0;
let lateTimer = 0;
let planStop: AbortController | null = null;
let planTimer = 0;
let retryTimer = 0;

function remember(text: string, answer: Quick): void {
  recent.delete(text);
  recent.set(text, answer);
  const oldest = recent.keys().next();
  if (recent.size > 60 && !oldest.done) recent.delete(oldest.value);
}

function show(text: string, answer: Quick): void {
  quick.value = { text, answer };
  const soon = figuresShown + legible - performance.now();
  if (soon <= 0) showFigures();
  else if (!figuresTimer) figuresTimer = window.setTimeout(showFigures, soon);
  keptSince.value = null;
  if (text === jobText.value) trouble.value = null;
  performance.mark('answer');
}

function showFigures(): void {
  clearTimeout(figuresTimer);
  figuresTimer = 0;
  figuresShown = performance.now();
  figures.value = quick.value;
}

async function askQuick(text: string): Promise<void> {
  const stop = new AbortController();
  lastAsked = performance.now();
  underWay = { text, since: lastAsked, stop };
  try {
    const answer = await api.quick(text, stop.signal);
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
  const soon = lastAsked + spacing - performance.now();
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
  planTimer = window.setTimeout(() => void askPlan(text), rest);
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
  figures.value = quick.value = { text: kept.text, answer: kept.quick };
  plan.value = { text: kept.text, answer: kept.plan };
  keptSince.value = kept.when;
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
    const level = quick.value?.text === jobText.value;
    clearTimeout(lateTimer);
    if (level) behind.value = false;
    else lateTimer = window.setTimeout(() => (behind.value = quick.peek() !== null), late);
  });
  window.addEventListener('online', askAgain);
}
