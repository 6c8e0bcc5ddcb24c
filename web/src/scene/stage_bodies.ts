// SPDX-License-Identifier: Apache-2.0
//
// Which bodies a stage of the build order brings. The model may say it itself; else the plan's motions name each body
// ("left front post A1"); failing that, the marks a stage adds.
import type { Model, ModelPiece, Stage } from '../api/types';
import { keyOfPanel, keyOfPiece } from './keys';

const nameOf = (piece: ModelPiece) => [piece.where, piece.name, piece.mark].filter(Boolean).join(' ');

/// "structure/name", as motions and fixings name a body, to its key in the picture.
export function bodyNames(model: Model): Map<string, string> {
  return new Map([
    ...model.pieces.map((each) => [`${each.structure}/${nameOf(each)}`, keyOfPiece(each)] as const),
    ...model.panels.map((each) => [`${each.structure}/panel ${each.name}`, keyOfPanel(each)] as const),
  ]);
}

export function stageOfBodies(model: Model, stages: Stage[]): Map<string, number> {
  const found = new Map<string, number>();
  const moved = (body: string) => stages.find((each) => each.motions?.some((one) => one.bodies.includes(body)))?.number;
  const added = (name: string) => stages.find((each) => each.adds.includes(name))?.number;
  for (const piece of model.pieces) {
    const stage = piece.stage ?? moved(nameOf(piece)) ?? added(piece.mark);
    if (stage !== undefined) found.set(keyOfPiece(piece), stage);
  }
  for (const panel of model.panels) {
    const stage = panel.stage ?? moved(`panel ${panel.name}`) ?? added(panel.name);
    if (stage !== undefined) found.set(keyOfPanel(panel), stage);
  }
  return found;
}
