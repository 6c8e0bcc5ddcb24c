// SPDX-License-Identifier: Apache-2.0
//
// Undo without end: each step keeps only what it replaced, so that thousands of them are a few hundred kilobytes.

export interface Edit {
  at: number;
  removed: string;
  added: string;
  label: string;
  opens?: [was: string, is: string];  // the step went from one job to another
}

export function difference(before: string, after: string, label: string): Edit {
  let at = 0;
  while (at < before.length && at < after.length && before[at] === after[at]) at += 1;
  let tail = 0;
  while (
    tail < before.length - at && tail < after.length - at &&
    before[before.length - 1 - tail] === after[after.length - 1 - tail]
  )
    tail += 1;
  return { at, removed: before.slice(at, before.length - tail), added: after.slice(at, after.length - tail), label };
}

export function apply(text: string, edit: Edit): string {
  return text.slice(0, edit.at) + edit.added + text.slice(edit.at + edit.removed.length);
}

export function takeBack(text: string, edit: Edit): string {
  return text.slice(0, edit.at) + edit.removed + text.slice(edit.at + edit.added.length);
}
