// SPDX-License-Identifier: Apache-2.0
//
// Choices that the job leaves open ([structure.open]), for the planner to settle.
import type { PatternChoice } from '../api/types';
import { tableOf, type Table } from './store';
import { removeUnder, setValue, tomlString } from './toml_text';

const everyOne: readonly string[] = ['length', 'count', 'section'];  // what "all but …" opens; the rest is taste

/// What a structure leaves open: choices by name, each with what the job says of its values; or all, but for some.
export type Opened = { named: Record<string, unknown> } | { allBut: string[] };

export function openedOf(table: Table | null, structure: number): Opened {
  const given = (table?.['structure'] as Table[] | undefined)?.[structure]?.['open'];
  if (typeof given === 'string') {
    const but = /^\s*all\s+but\s+(.*)$/.exec(given)?.[1];
    return { allBut: but ? but.split(',').map((each) => each.trim()).filter(Boolean) : [] };
  }
  return { named: given && typeof given === 'object' ? (given as Record<string, unknown>) : {} };
}

export function isOpen(opened: Opened, choice: PatternChoice, taken: boolean): boolean {
  if ('named' in opened) return choice.name in opened.named;
  return taken && everyOne.includes(choice.kind) && !opened.allBut.includes(choice.name);
}

export function canOpen(choice: PatternChoice): boolean {
  return choice.kind !== 'profile';
}

/// What of its values is open, in words; '' where it is all that the pattern takes.
export function openWords(opened: Opened, name: string): string {
  const given = 'named' in opened ? opened.named[name] : undefined;
  if (Array.isArray(given)) return given.map(String).join(', ');
  if (!given || typeof given !== 'object') return '';
  const { from, to, step } = given as Record<string, unknown>;
  return `${String(from)} to ${String(to)}${step === undefined ? '' : ` by ${String(step)}`}`;
}

/// The job with one choice opened or shut. `open` lists those of the structure that are open now.
export function setOpen(text: string, structure: number, choice: PatternChoice, on: boolean, open: readonly string[]): string {
  const opened = openedOf(tableOf(text), structure);
  const place = [`structure#${structure}`, 'open'];
  if ('named' in opened) {
    if (on) return setValue(text, [...place, choice.name], 'true');
    return Object.keys(opened.named).length > 1 ? setValue(text, [...place, choice.name], null) : removeUnder(text, place);
  }
  if (everyOne.includes(choice.kind)) {
    const but = on ? opened.allBut.filter((each) => each !== choice.name) : [...opened.allBut, choice.name];
    return setValue(text, place, tomlString(but.length > 0 ? `all but ${but.join(', ')}` : 'all'));
  }
  // A matter of taste is not among "all": from here on they are named one by one.
  const names = on ? [...open, choice.name] : open.filter((each) => each !== choice.name);
  return names.reduce((job, name) => setValue(job, [...place, name], 'true'), removeUnder(text, place));
}
