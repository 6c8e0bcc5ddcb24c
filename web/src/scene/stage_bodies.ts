// SPDX-License-Identifier: Apache-2.0
//
// Which bodies a stage of the build order brings. The model may say it itself; else the plan's words are matched: each
// name a stage adds holds a mark ("A1") or a place and name ("left front post A1").
import type { Model, Stage } from '../api/types';
import { keyOfPanel, keyOfPiece } from './view';

export function stageOfBodies(model: Model, stages: Stage[]): Map<string, number> {
  const found = new Map<string, number>();
  const counts = new Map<string, number>();
  for (const piece of model.pieces) counts.set(piece.mark, (counts.get(piece.mark) ?? 0) + 1);
  const first = (told: (name: string) => boolean) => stages.find((each) => each.adds.some(told))?.number;
  for (const piece of model.pieces) {
    const whole = (name: string) => new RegExp(`(^|\\W)${piece.mark}($|\\W)`).test(name);
    const exact = first((name) => whole(name) && piece.where !== '' && name.includes(piece.where));
    const stage = piece.stage ?? exact ?? first(whole);
    if (stage !== undefined) found.set(keyOfPiece(piece), stage);
  }
  for (const panel of model.panels) {
    const stage = panel.stage ?? first((name) => name.includes(panel.name));
    if (stage !== undefined) found.set(keyOfPanel(panel), stage);
  }
  return found;
}
