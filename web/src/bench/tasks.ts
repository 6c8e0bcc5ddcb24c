// SPDX-License-Identifier: Apache-2.0
//
// The plan as a row of single things to do, in the order of the work: measure the timber, saw it, mark it out, put it up.
// A task's id holds what it is about, so that a tick does not stay when the plan has changed under it.
import type { Mark, Plan } from '../api/types';

export type Task =
  | { kind: 'measure'; id: string; section: string; width: number; thickness: number }
  | { kind: 'take'; id: string; section: string; length: number; number: number; of: number }
  | { kind: 'cut'; id: string; section: string; mark: string; name: string; length: number; why: string; last: boolean }
  | { kind: 'mark'; id: string; mark: string; name: string; quantity: number; datum: string; at: Mark[]; length: number; width: number; thickness: number; hand: string }
  | { kind: 'stage'; id: string; title: string; actions: string[]; people: number; lift: number };

export const chapters: Record<Task['kind'], string> = {
  measure: 'Measure what was delivered', take: 'Saw', cut: 'Saw', mark: 'Mark out', stage: 'Put up',
};

/// Whether a thing is not to be done by a plan that is older than the job: what a changed size may move is sawn or marked
/// wrongly once and for all.
export function locks(task: Task): boolean {
  return task.kind !== 'measure';
}

function sawing(plan: Plan): Task[] {
  const pieces = new Map(plan.pieces.map((each) => [each.mark, each]));
  const tasks: Task[] = [];
  let section = '';
  let number = 0;
  for (const cut of plan.purchase.cutting) {
    if (cut.section !== section) {
      section = cut.section;
      number = 0;
    }
    const of = plan.purchase.cutting.filter((each) => each.section === section).reduce((sum, each) => sum + each.count, 0);
    for (let copy = 0; copy < cut.count; copy += 1) {
      number += 1;
      const base = `${section}/${Math.round(cut.length_mm)}/${number}`;
      tasks.push({ kind: 'take', id: `take/${base}`, section, length: cut.length_mm, number, of });
      cut.pieces.forEach((each, i) => {
        const piece = pieces.get(each.mark);
        tasks.push({
          kind: 'cut', id: `cut/${base}/${i}/${each.mark}/${each.length_mm.toFixed(1)}`, section, mark: each.mark, name: piece?.name ?? '',
          length: each.length_mm, why: piece?.why ?? '', last: i === cut.pieces.length - 1,
        });
      });
    }
  }
  return tasks;
}

function marking(plan: Plan): Task[] {
  return plan.marking.flatMap((list): Task[] => {
    const piece = plan.pieces.find((each) => each.mark === list.mark);
    const at = list.marks.filter((each) => each.kind !== 'end');
    if (!piece || at.length === 0) return [];
    return [{
      kind: 'mark', id: `mark/${list.mark}/${list.hand ?? ''}/${at.map((each) => each.at_mm.toFixed(1)).join()}`, mark: list.mark, name: piece.name,
      quantity: list.pieces.length, datum: list.datum, at, length: piece.length_mm, width: piece.width_mm, thickness: piece.thickness_mm,
      hand: list.hand ?? '',
    }];
  });
}

export function tasksOf(plan: Plan): Task[] {
  const sections = new Map(plan.pieces.map((each) => [each.section, each]));
  const measure = [...sections].map(([section, each]): Task => ({
    kind: 'measure', id: `measure/${section}`, section, width: each.width_mm, thickness: each.thickness_mm,
  }));
  const stages = (plan.stages ?? []).map((each): Task => ({
    kind: 'stage', id: `stage/${each.number}/${each.title}`, title: each.title, actions: each.actions, people: each.people, lift: each.lift_kg,
  }));
  return [...measure, ...sawing(plan), ...marking(plan), ...stages];
}
