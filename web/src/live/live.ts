// SPDX-License-Identifier: Apache-2.0
//
// Keeps the answers level with the job: first the quick one (picture, lengths, price), then the whole plan once the job
// rests. One quick question is under way at a time, the newest job asked next, so that a drag shows every picture the
// planner can give; an answer never replaces one of a newer job. The whole plan's question is dropped as soon as the job changes.
import { effect, signal } from '@preact/signals';
import { api, asRefusal, isAbort, type Refusal } from '../api/client';
import type { Plan, Quick } from '../api/types';
import { jobText } from '../job/store';
import { keepAnswers, keptAnswers } from './kept';

export const quick = signal<{ text: string; answer: Quick } | null>(null);
export const plan = signal<{ text: string; answer: Plan } | null>(null);
/// Why the job that is shown could not be planned; the last good answers stay in sight.
export const trouble = signal<Refusal | null>(null);
export const asking = signal(false);
/// The answers are what this device kept, not the planner's: since when (ISO), or null.
export const keptSince = signal<string | null>(null);

const patience = 250;  // ms: a superseded quick question is given up after this
const rest = 120;      // ms without a change before the whole plan is asked for
const recent = new Map<string, Quick>();

let underWay: { text: string; since: number; stop: AbortController } | null = null;
let wanted: string | null = null;
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
  keptSince.value = null;
  if (text === jobText.value) trouble.value = null;
  performance.mark('answer');
}

async function askQuick(text: string): Promise<void> {
  const stop = new AbortController();
  underWay = { text, since: performance.now(), stop };
  asking.value = true;
  try {
    const answer = await api.quick(text, stop.signal);
    remember(text, answer);
    show(text, answer);
    if (text === jobText.value) planSoon(text);
  } catch (error) {
    if (!isAbort(error)) refused(text, asRefusal(error));
  } finally {
    underWay = null;
    asking.value = false;
    const next = wanted;
    wanted = null;
    if (next !== null && next !== text) void askQuick(next);
  }
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
    show(text, known);
    planSoon(text);
    return;
  }
  if (!underWay) {
    void askQuick(text);
    return;
  }
  wanted = text;
  if (performance.now() - underWay.since > patience) underWay.stop.abort();
}

/// Without a network the page opens on what this device kept.
async function openKept(): Promise<void> {
  const kept = await keptAnswers();
  if (!kept || quick.value) return;
  quick.value = { text: kept.text, answer: kept.quick };
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
  window.addEventListener('online', askAgain);
}
