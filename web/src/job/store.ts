// SPDX-License-Identifier: Apache-2.0
//
// The job that is open. Its text is the one truth; all else on the page follows from it.
import { computed, signal } from '@preact/signals';
import { parse } from 'smol-toml';
import firstJob from '../../../examples/arbor.toml?raw';
import type { Units } from '../base/length';
import { apply, difference, takeBack, type Edit } from './history';
import { choicePath, setValue, type Path } from './toml_text';

const key = 'garthwright.job';

interface Kept {
  text: string;
  past: Edit[];
  future: Edit[];
}

/// What is shown: the committed job, or the one under a finger that has not let go yet.
export const jobText = signal(firstJob);
const past = signal<Edit[]>([]);
const future = signal<Edit[]>([]);
let committed = firstJob;
/// Where Save writes back to, when the job was opened from the server's folder.
export const origin = signal<{ name: string; etag: string } | null>(null);

export const undoLabel = computed(() => past.value[past.value.length - 1]?.label ?? null);
export const redoLabel = computed(() => future.value[future.value.length - 1]?.label ?? null);
export const steps = computed(() => past.value.length);

export type Table = { [key: string]: unknown };
/// The job as values; null while its text is no TOML.
export const jobTable = computed<Table | null>(() => {
  try {
    return parse(jobText.value) as Table;
  } catch {
    return null;
  }
});
export const units = computed<Units>(() => (jobTable.value?.['units'] === 'ft-in' ? 'ft-in' : 'mm'));
export const title = computed(() => {
  const given = jobTable.value?.['title'];
  return typeof given === 'string' ? given : 'Untitled job';
});
export const catalogue = computed(() => {
  const timber = jobTable.value?.['timber'] as Table | undefined;
  return typeof timber?.['catalogue'] === 'string' ? timber['catalogue'] : '';
});

let keeping = 0;
function keep(): void {
  clearTimeout(keeping);
  keeping = window.setTimeout(keepNow, 300);
}
function keepNow(): void {
  let kept: Kept = { text: committed, past: past.value, future: future.value };
  for (;;) {
    try {
      localStorage.setItem(key, JSON.stringify(kept));
      return;
    } catch {
      if (kept.past.length === 0 && kept.future.length === 0) return;  // storage refused: the job lives as long as the page
      kept = { text: committed, past: kept.past.slice(Math.ceil(kept.past.length / 2)), future: [] };
    }
  }
}
window.addEventListener('pagehide', keepNow);

export function restore(): void {
  try {
    const kept = JSON.parse(localStorage.getItem(key) ?? 'null') as Kept | null;
    if (!kept || typeof kept.text !== 'string') return;
    committed = jobText.value = kept.text;
    past.value = Array.isArray(kept.past) ? kept.past : [];
    future.value = Array.isArray(kept.future) ? kept.future : [];
  } catch {
    // What was kept cannot be read: begin with the example.
  }
}

/// Shows a job without making it a step: a drag that goes on.
export function preview(text: string): void {
  jobText.value = text;
}

export function commit(text: string, label: string): void {
  const before = committed;
  committed = text;  // first: who hears of the job's new text may ask whether it is under a finger still
  jobText.value = text;
  if (text === before) return;
  past.value = [...past.value, difference(before, text, label)];
  future.value = [];
  keep();
}

export function committedText(): string {
  return committed;
}

export function undo(): void {
  const edit = past.value[past.value.length - 1];
  if (!edit) return;
  past.value = past.value.slice(0, -1);
  future.value = [...future.value, edit];
  committed = jobText.value = takeBack(committed, edit);
  keep();
}

export function redo(): void {
  const edit = future.value[future.value.length - 1];
  if (!edit) return;
  future.value = future.value.slice(0, -1);
  past.value = [...past.value, edit];
  committed = jobText.value = apply(committed, edit);
  keep();
}

/// Opening another job is a step too: it can be taken back.
export function openJob(text: string, label: string, from: { name: string; etag: string } | null = null): void {
  commit(text, label);
  origin.value = from;
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

/// The job as it stood before each of the last steps, newest first.
export function earlierTexts(most: number): { label: string; text: string }[] {
  const found: { label: string; text: string }[] = [];
  let text = committed;
  for (let i = past.value.length - 1; i >= 0 && found.length < most; i -= 1) {
    const edit = past.value[i]!;
    text = takeBack(text, edit);
    found.push({ label: edit.label, text });
  }
  return found;
}
