// SPDX-License-Identifier: Apache-2.0
//
// Between two answers of the planner the picture is drawn on along the line through them, so that it keeps up with the
// finger; every answer puts it right. Only the picture leads: lengths, price and checks are never guessed.
import type { Model, Point, Size } from '../api/types';
import type { Span, Stood } from './bodies';

const furthest = 1.5;  // steps past the last answer

export function sizeValue(model: Model | null, key: string): number | null {
  return model?.sizes.find((each) => `${each.structure}/${each.name}` === key)?.value_mm ?? null;
}

/// How far past the last answer `value` lies, in steps from the one before; null when the two do not tell.
export function stepsPast(before: Model | null, last: Model | null, key: string, value: number): number | null {
  const was = sizeValue(before, key);
  const is = sizeValue(last, key);
  if (was === null || is === null || Math.abs(is - was) < 0.5) return null;
  return Math.max(-furthest, Math.min(furthest, (value - is) / (is - was)));
}

/// The sizes and bounds where the line through two answers leads, so that dimension lines go with the bodies.
export function ledModel(before: Model, last: Model, steps: number): Model {
  const on = (was: Point, is: Point) => is.map((each, i) => each + (each - was[i]!) * steps) as Point;
  const sizes = last.sizes.map((is): Size => {
    const was = before.sizes.find((each) => each.name === is.name && each.structure === is.structure);
    return was ? { ...is, from: on(was.from, is.from), to: on(was.to, is.to) } : is;
  });
  return { ...last, sizes, bounds: { min: on(before.bounds.min, last.bounds.min), max: on(before.bounds.max, last.bounds.max) } };
}

function along(before: Float32Array, b: number, last: Float32Array, l: number, count: number, steps: number, out: Float32Array): void {
  for (let i = 0; i < count; i += 1) {
    const is = last[l + i]!;
    out[l + i] = is + (is - before[b + i]!) * steps;
  }
}

function beside(last: Float32Array, l: number, count: number, by: number[], out: Float32Array): void {
  for (let i = 0; i < count; i += 1) out[l + i] = last[l + i]! + by[i % 3]!;
}

/// Writes where the line through two answers leads into `faces` and `edges`, which are as long as those of `last`. A body
/// that has other corners than it had is only moved along; one that was not there stays where it came to be.
export function lead(before: Stood, last: Stood, steps: number, faces: Float32Array, edges: Float32Array): void {
  const stood = new Map<string, Span>(before.spans.map((each) => [each.body.key, each]));
  for (const is of last.spans) {
    const was = stood.get(is.body.key);
    if (was && was.faces === is.faces && was.edges === is.edges) {
      along(before.facePoints, was.face * 3, last.facePoints, is.face * 3, is.faces * 3, steps, faces);
      along(before.edgePoints, was.edge * 3, last.edgePoints, is.edge * 3, is.edges * 3, steps, edges);
    } else {
      const by = [12, 13, 14].map((i) => (was ? (is.body.at.elements[i]! - was.body.at.elements[i]!) * steps : 0));
      beside(last.facePoints, is.face * 3, is.faces * 3, by, faces);
      beside(last.edgePoints, is.edge * 3, is.edges * 3, by, edges);
    }
  }
}
