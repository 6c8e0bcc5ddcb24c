// SPDX-License-Identifier: Apache-2.0
//
// The job that is open. Its text is the one truth; all else on the page follows from it. A job also has an identity of its
// own, which edits keep and opening another changes: what belongs to one job is never shown as another's.
import { batch, computed, effect, signal, type ReadonlySignal } from '@preact/signals';
import { parse } from 'smol-toml';
import firstJob from '../../../examples/arbor.toml?raw';
import { printTo, type Units } from '../base/length';
import { apply, difference, takeBack, type Edit } from './history';
import { lastJobs, noteJob } from './last_jobs';
import { choicePath, rawValue, setValue, type Path } from './toml_text';

const key = 'garthwright.job';

interface Origin {
  name: string;
  etag: string;
}

interface Kept {
  text: string;
  past: Edit[];
  future: Edit[];
  id: string;
  origins: Record<string, Origin>;
}

/// What is shown: the committed job, or the one under a finger that has not let go yet.
export const jobText = signal(firstJob);
/// Which job that is.
export const jobId = signal('first');
const past = signal<Edit[]>([]);
const future = signal<Edit[]>([]);
let committed = firstJob;
const hand = signal(false);
/// What is shown is under a finger that has not let go yet; also where that came back to what it began with.
export const underHand: ReadonlySignal<boolean> = hand;
const origins = signal<Record<string, Origin>>({});
/// Where Save writes back to, when this job was opened from the server's folder.
export const origin = computed<Origin | null>(() => origins.value[jobId.value] ?? null);

export const undoLabel = computed(() => past.value[past.value.length - 1]?.label ?? null);
export const redoLabel = computed(() => future.value[future.value.length - 1]?.label ?? null);
export const steps = computed(() => past.value.length);

export type Table = { [key: string]: unknown };
export function tableOf(text: string): Table | null {
  try {
    return parse(text) as Table;
  } catch {
    return null;
  }
}
/// The job as values; null while its text is no TOML.
export const jobTable = computed<Table | null>(() => tableOf(jobText.value));

export function unitsOf(table: Table | null): Units {
  return table?.['units'] === 'ft-in' ? 'ft-in' : 'mm';
}
/// The yard by name; '' when there is none, or are several.
export function yardOf(table: Table | null): string {
  const timber = table?.['timber'] as Table | undefined;
  return typeof timber?.['catalogue'] === 'string' ? timber['catalogue'] : '';
}
export function titleOf(table: Table | null): string {
  const given = table?.['title'];
  return typeof given === 'string' && given.trim() !== '' ? given : 'Untitled job';
}
export const units = computed<Units>(() => unitsOf(jobTable.value));
export const title = computed(() => titleOf(jobTable.value));
export const catalogue = computed(() => yardOf(jobTable.value));
/// Names of the yards, where the job takes several.
export const catalogues = computed<string[]>(() => {
  const given = (jobTable.value?.['timber'] as Table | undefined)?.['catalogue'];
  return Array.isArray(given) ? given.filter((each): each is string => typeof each === 'string') : [];
});

effect(() => printTo(Number(jobTable.value?.['fraction'] ?? 16)));

let keeping = 0;
function keep(): void {
  clearTimeout(keeping);
  keeping = window.setTimeout(keepNow, 300);
}
function keepNow(): void {
  clearTimeout(keeping);
  noteJob({ id: jobId.peek(), title: title.peek(), text: committed });
  let kept: Kept = { text: committed, past: past.value, future: future.value, id: jobId.value, origins: origins.value };
  for (;;) {
    try {
      localStorage.setItem(key, JSON.stringify(kept));
      return;
    } catch {
      if (kept.past.length === 0 && kept.future.length === 0) return;  // storage refused: the job lives as long as the page
      kept = { ...kept, past: kept.past.slice(Math.ceil(kept.past.length / 2)), future: [] };
    }
  }
}
window.addEventListener('pagehide', keepNow);

export function restore(): void {
  try {
    const kept = JSON.parse(localStorage.getItem(key) ?? 'null') as Partial<Kept> | null;
    if (!kept || typeof kept.text !== 'string') return;
    committed = jobText.value = kept.text;
    if (typeof kept.id === 'string') jobId.value = kept.id;
    past.value = Array.isArray(kept.past) ? kept.past : [];
    future.value = Array.isArray(kept.future) ? kept.future : [];
    origins.value = kept.origins ?? {};
  } catch {
    // What was kept cannot be read: begin with the example.
  }
}

/// The job is this from now on, and under no finger.
function settle(text: string): void {
  committed = text;
  hand.value = false;
  jobText.value = text;
}

/// Shows a job without making it a step: a drag that goes on.
export function preview(text: string): void {
  batch(() => {
    hand.value = true;
    jobText.value = text;
  });
}

export function commit(text: string, label: string, opens = jobId.peek()): void {
  const before = committed;
  const was = jobId.peek();
  batch(() => {
    settle(text);
    jobId.value = opens;
    if (text === before && opens === was) return;
    const edit = difference(before, text, label);
    past.value = [...past.value, opens === was ? edit : { ...edit, opens: [was, opens] }];
    future.value = [];
  });
  keep();
}

export function committedText(): string {
  return committed;
}

export function undo(): void {
  const edit = past.value[past.value.length - 1];
  if (!edit) return;
  batch(() => {
    past.value = past.value.slice(0, -1);
    future.value = [...future.value, edit];
    settle(takeBack(committed, edit));
    if (edit.opens) jobId.value = edit.opens[0];
  });
  keep();
}

export function redo(): void {
  const edit = future.value[future.value.length - 1];
  if (!edit) return;
  batch(() => {
    future.value = future.value.slice(0, -1);
    past.value = [...past.value, edit];
    settle(apply(committed, edit));
    if (edit.opens) jobId.value = edit.opens[1];
  });
  keep();
}

function newId(): string {
  return `${Date.now().toString(36)}-${Math.floor(Math.random() * 1e9).toString(36)}`;
}

/// Opening another job is a step too: it can be taken back. One of the last jobs, unchanged, is that job again.
export function openJob(text: string, label: string, from: Origin | null = null, id?: string): void {
  keepNow();  // as it was left, among the last jobs
  const again = id ?? lastJobs.value.find((each) => each.text === text)?.id ?? (text === committed ? jobId.peek() : newId());
  if (from) origins.value = { ...origins.value, [again]: from };
  commit(text, label, again);
}

export function savedAt(at: Origin): void {
  origins.value = { ...origins.value, [jobId.peek()]: at };
  keep();
}

export function setAt(path: Path, toml: string | null, label: string): void {
  commit(setValue(committed, path, toml), label);
}
export function setChoice(structure: number, choice: string, toml: string | null, label: string): void {
  setAt(choicePath(structure, choice), toml, label);
}
export function previewChoice(structure: number, choice: string, toml: string): void {
  preview(setValue(committed, choicePath(structure, choice), toml));
}
export function commitPreview(label: string): void {
  commit(jobText.value, label);
}

/// A choice as the job itself has it, for reading: its text without quotes. Null where the job is silent.
export function givenChoice(structure: number, choice: string): string | null {
  const raw = rawValue(jobText.value, choicePath(structure, choice));
  if (raw === null) return null;
  const value = tableOf(`x = ${raw}`)?.['x'];
  return typeof value === 'object' || value === undefined ? raw : String(value);
}

/// The job as it stood before each of the last steps, newest first; only as long as it was this job.
export function earlierTexts(most: number): { label: string; text: string }[] {
  const found: { label: string; text: string }[] = [];
  let text = committed;
  for (let i = past.value.length - 1; i >= 0 && found.length < most; i -= 1) {
    const edit = past.value[i]!;
    if (edit.opens) break;
    text = takeBack(text, edit);
    found.push({ label: edit.label, text });
  }
  return found;
}
