// SPDX-License-Identifier: Apache-2.0
//
// Keeps the answers level with the job: first the quick one (picture, lengths, price), then the whole plan once the job
// rests. One quick question is under way at a time, the newest job asked next, so that a drag shows every picture the
// planner can give; an answer never replaces one of a newer job. The whole plan's question is dropped as soon as the job
// changes. What was answered of one job is gone when another is opened.
import { computed, effect, signal, untracked, type Signal } from '@preact/signals';
import { api, asRefusal, isAbort, late as lateRefusal, Refusal } from '../api/client';
import type { Plan, Quick, TakenStructure } from '../api/types';
import { markMoment } from '../base/moments';
import { jobId, jobTable, jobText, underHand, type Table } from '../job/store';
import { keepAnswers, keptAnswers } from './kept';

interface Answered {
  text: string;
  answer: Quick;
}
/// A plan belongs to the text it was made of.
export interface Planned {
  text: string;
  answer: Plan;
  whole: boolean;  // with the build order and the winds it stands to
}

export const quick = signal<Answered | null>(null);
/// The last plan of this job, which may be older than its text. Only the bench shows it then, and says so.
export const lastPlan = signal<Planned | null>(null);
/// The last plan of this job that tells up to what wind it stands; it may be older than its text, and then it is shown as old.
export const lastStands = signal<Planned | null>(null);
/// The plan of the job as it stands, or null.
export const plan = computed(() => (lastPlan.value?.text === jobText.value ? lastPlan.value : null));
/// All studies are of the job that is shown.
export const complete = computed(() => plan.value?.whole === true);
const refusal = signal<{ id: string; text: string; why: Refusal } | null>(null);
/// Why the job could not be planned, from the first refusal until an answer.
export const trouble = computed(() => (refusal.value?.id === jobId.value ? refusal.value.why : null));
/// The job as it stands, to the letter, was refused or nobody answered: no figure is of it.
export const unplanned = computed(() => refusal.value !== null && refusal.value.id === jobId.value && refusal.value.text === jobText.value && quick.value?.text !== jobText.value);
/// What the planner could not finish of this very text, though the rest of its plan is here.
const shortfall = signal<{ text: string; why: Refusal } | null>(null);
export const unfinished = computed(() => (shortfall.value?.text === jobText.value ? shortfall.value.why : null));
/// The quick answer as figures and fields show it: a drag brings more answers a second than anyone can read.
export const figures = signal<Answered | null>(null);
const followed = signal<Answered | null>(null);
/// Structures with their choices where the job is refused, as far as they can be built: it can be mended by them.
const mending = signal<{ text: string; structures: TakenStructure[] } | null>(null);
export const fields = computed<{ text: string; structures: TakenStructure[]; answer: Quick | null } | null>(() => {
  if (followed.value) return { text: followed.value.text, structures: followed.value.answer.structures, answer: followed.value.answer };
  return mending.value ? { ...mending.value, answer: null } : null;
});
/// What is shown is of an older text of the job, and has been for longer than an answer takes.
export const behind = signal(false);
/// The answers are what this device kept, not the planner's: since when (ISO), or null.
export const keptSince = signal<string | null>(null);

const patience = 250;  // ms: a superseded quick question is given up after this
const slack = 2;       // times as long as the last one took; given up, it took so long at least: one comes to its end at last
const spacing = 45;    // ms at least from one quick question to the next while the job keeps changing: the picture leads meanwhile
const widest = 250;    // ms at most
const breath = 2;      // times as long as the last answer took: planner and picture may share two cores
const rest = 120;      // ms without a change before the whole plan is asked for
const held = 500;      // the same while something is dragged: where a hand turns back it does not rest
const legible = 120;   // ms that a figure stands at least while something is dragged
const aside = 250;     // the same for fields: who drags looks at the picture, or at the one field under the finger
const late = 300;      // ms after which an answer is missed
const longest = 45000; // ms that the page waits for any answer: longer than the planner allows itself
const keptPlans = 6;
const recent = new Map<string, Quick>();
const recentPlans = new Map<string, Planned>();

let underWay: { text: string; since: number; stop: AbortController } | null = null;
let wanted: string | null = null;
let lastAsked = -Infinity;
let took = 0;
let askTimer = 0;
let answered = -Infinity;
let lateTimer = 0;
let planStop: AbortController | null = null;
let planTimer = 0;
let planUnderWay = '';  // its text
let retryTimer = 0;
let openedId = '';
let letGoOf = '';  // the text at which a hand let go: nothing more is to come of it

/// Lets `shown` follow the quick answer so often while something is dragged, else at once.
function follower(shown: Signal<Answered | null>, every: number): () => void {
  let last = -Infinity;
  let timer = 0;
  const now = () => {
    clearTimeout(timer);
    timer = 0;
    last = performance.now();
    shown.value = quick.peek();
  };
  return () => {
    const soon = !underHand.peek() ? 0 : last + every - performance.now();
    if (soon <= 0) now();
    else if (!timer) timer = window.setTimeout(now, soon);
  };
}
const followFigures = follower(figures, legible);
const followFields = follower(followed, aside);

function remember<T>(shelf: Map<string, T>, most: number, text: string, answer: T): void {
  shelf.delete(text);
  shelf.set(text, answer);
  const oldest = shelf.keys().next();
  if (shelf.size > most && !oldest.done) shelf.delete(oldest.value);
}

function show(text: string, answer: Quick): void {
  quick.value = { text, answer };
  answered = performance.now();
  followFigures();
  followFields();
  keptSince.value = null;
  if (text === jobText.value) refusal.value = mending.value = null;
  markMoment('answer');
}

/// Asks, but no longer than `longest`.
async function patiently<T>(ask: (signal: AbortSignal) => Promise<T>, stop: AbortController): Promise<T> {
  let tooLate = false;
  const timer = setTimeout(() => {
    tooLate = true;
    stop.abort();
  }, longest);
  try {
    return await ask(stop.signal);
  } catch (error) {
    if (tooLate && isAbort(error)) throw lateRefusal(longest / 1000);
    throw error;
  } finally {
    clearTimeout(timer);
  }
}

async function askQuick(text: string): Promise<void> {
  const stop = new AbortController();
  const id = jobId.peek();
  lastAsked = performance.now();
  const mine = (underWay = { text, since: lastAsked, stop });
  try {
    const answer = await patiently((signal) => api.quick(text, signal, false), stop);  // checks come with the plan
    took = performance.now() - mine.since;
    remember(recent, 60, text, answer);
    if (id !== jobId.peek()) return;  // another job was opened meanwhile
    show(text, answer);
    if (text === jobText.value) planSoon(text);
  } catch (error) {
    if (!isAbort(error)) refused(text, asRefusal(error));
  } finally {
    if (underWay === mine) underWay = null;
    if (wanted !== null && wanted !== text) askWhenDue();
  }
}

/// Asks for the newest job once the last question is far enough back.
function askWhenDue(): void {
  clearTimeout(askTimer);
  const askNow = () => {
    const next = wanted;
    if (underWay) return;
    wanted = null;
    if (next !== null) void askQuick(next);
  };
  const soon = lastAsked + Math.min(widest, Math.max(spacing, breath * took)) - performance.now();
  if (soon <= 0) askNow();
  else askTimer = window.setTimeout(askNow, soon);
}

function refused(text: string, why: Refusal): void {
  if (text !== jobText.value) return;
  refusal.value = { id: jobId.peek(), text, why };
  clearTimeout(retryTimer);
  if (why.kind === 'busy' || why.kind === 'away')
    retryTimer = window.setTimeout(askAgain, why.kind === 'busy' ? Math.max(0.2, why.retryAfter) * 1000 : 4000);
  if (why.kind === 'job' && !followed.peek()) void askWhatStands(text);
}

async function askWhatStands(text: string): Promise<void> {
  const { structures } = await api.check(text).catch(() => ({ structures: [] }));
  if (text === jobText.peek() && !followed.peek()) mending.value = { text, structures: structures.length > 0 ? structures : askedFor() };
}

/// What the job asks for, where none of it can be built: its fields then show what it says, and nothing is taken.
function askedFor(): TakenStructure[] {
  const given = jobTable.peek()?.['structure'];
  return (Array.isArray(given) ? (given as Table[]) : []).map((each) => ({
    name: String(each['name'] ?? each['pattern'] ?? ''), pattern: String(each['pattern'] ?? ''), choices: [],
  }));
}

export function askAgain(): void {
  clearTimeout(retryTimer);
  const text = jobText.peek();
  if (quick.peek()?.text === text && !keptSince.peek()) planSoon(text);
  else if (!underWay) void askQuick(text);
}

function planSoon(text: string): void {
  if (planUnderWay === text) return;
  clearTimeout(planTimer);
  planTimer = window.setTimeout(() => void askPlan(text), underHand.peek() ? held : text === letGoOf ? 0 : rest);
}

function showPlan(planned: Planned): void {
  lastPlan.value = planned;
  if (planned.answer.stands.length > 0) lastStands.value = planned;
  const { text, answer, whole } = planned;
  if (quick.peek()?.text === text) void keepAnswers(jobId.peek(), { text, quick: quick.peek()!.answer, plan: answer, whole });
}

/// What the planner left out because its time was up, in its own words.
function notInTime(answer: Plan): Refusal {
  const told = answer.diagnostics.filter((each) => each.code === 'not-in-time');
  return new Refusal('late', told.map(({ file, line, column, piece, ...each }) => ({ ...each, where: { file, line, column, piece } })));
}

async function askPlan(text: string): Promise<void> {
  planStop?.abort();
  const stop = (planStop = new AbortController());
  const current = () => text === jobText.peek() && planStop === stop;
  const withoutOrder = async () => {
    const answer = await patiently((signal) => api.plan(text, signal, false), stop);
    if (current()) showPlan({ text, answer, whole: false });
  };
  let partly = false;
  planUnderWay = text;
  try {
    // Winds and order take far longer than all else: what is ready is shown first.
    await withoutOrder();
    partly = true;
    const answer = await patiently((signal) => api.plan(text, signal), stop);
    if (!current()) return;
    if (answer.left_out.length > 0) {
      showPlan({ text, answer, whole: false });
      shortfall.value = { text, why: notInTime(answer) };
      return;
    }
    const planned = { text, answer, whole: true };
    remember(recentPlans, keptPlans, text, planned);
    shortfall.value = null;
    refusal.value = null;
    showPlan(planned);
  } catch (error) {
    if (isAbort(error) || !current()) return;
    const why = asRefusal(error);
    if (why.kind === 'job' || why.kind === 'away') return refused(text, why);
    if (!partly) return refused(text, why);
    shortfall.value = { text, why };
    if (why.kind === 'busy') retryTimer = window.setTimeout(askAgain, Math.max(1, why.retryAfter) * 1000);
  } finally {
    if (planStop === stop) planUnderWay = '';
  }
}

function jobChanged(text: string, id: string): void {
  planStop?.abort();
  planStop = null;
  planUnderWay = '';
  clearTimeout(planTimer);
  clearTimeout(retryTimer);
  if (id !== openedId) forget(id);
  const knownPlan = recentPlans.get(text);
  if (knownPlan) lastPlan.value = lastStands.value = knownPlan;
  const known = recent.get(text);
  if (known) {
    wanted = null;
    clearTimeout(askTimer);
    show(text, known);
    if (!knownPlan) planSoon(text);
    return;
  }
  wanted = text;
  if (!underWay) return askWhenDue();
  const soFar = performance.now() - underWay.since;
  if (soFar <= Math.max(patience, slack * took)) return;
  took = soFar;
  underWay.stop.abort();
}

/// A hand that let go is done: the last answer is asked for at once, and the plan beside it.
function letGo(text: string): void {
  letGoOf = text;
  if (plan.peek()?.text !== text) planSoon(text);
  if (quick.peek()?.text === text) return;
  lastAsked = -Infinity;
  if (!underWay) askWhenDue();
  else if (underWay.text !== text) underWay.stop.abort();
}

/// Another job: nothing that was said of the last one stands.
function forget(id: string): void {
  openedId = id;
  underWay?.stop.abort();
  underWay = null;
  quick.value = figures.value = followed.value = null;
  lastPlan.value = lastStands.value = mending.value = refusal.value = shortfall.value = keptSince.value = null;
}

/// Without a network the page opens on what this device kept of this job.
async function openKept(id: string): Promise<void> {
  const kept = await keptAnswers(id);
  if (!kept || quick.peek() || id !== jobId.peek()) return;
  followed.value = figures.value = quick.value = { text: kept.text, answer: kept.quick };
  lastPlan.value = lastStands.value = { text: kept.text, answer: kept.plan, whole: kept.whole };
  keptSince.value = kept.when;
}

/// While answers stream in none is missed, though each is of a text a little older than the one under the finger.
function missAnswer(): void {
  lateTimer = 0;
  const shown = quick.peek();
  if (!shown || shown.text === jobText.peek()) return;
  const soon = answered + late - performance.now();
  if (soon > 0) lateTimer = window.setTimeout(missAnswer, soon);
  else behind.value = true;
}

/// When the first answer, or word that there is none, has come; after `most` ms at the latest.
export function answeredOnce(most: number): Promise<void> {
  return new Promise((resolve) => {
    setTimeout(resolve, most);
    effect(() => { if (quick.value || trouble.value) resolve(); });
  });
}

export function goLive(): void {
  effect(() => {
    const why = trouble.value;
    if (why && why.kind !== 'job' && !quick.value) void openKept(jobId.value);
  });
  effect(() => {
    const [text, id] = [jobText.value, jobId.value];
    untracked(() => jobChanged(text, id));
  });
  let hand = false;
  effect(() => {
    const was = hand;
    hand = underHand.value;
    if (was && !hand) untracked(() => letGo(jobText.peek()));
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
