// SPDX-License-Identifier: Apache-2.0
//
// What the structure stands on: the earth, a grid of half metres, and the holes of its footings, dashed.
import { Color } from 'three';
import type { Model, Point } from '../api/types';
import { toneOf, type Tone } from './paint';
import type { Tones } from './tones';

export interface Drawn {
  points: Float32Array;
  colours: Uint8Array;
}

class Pencil {
  private points: number[] = [];
  private colours: number[] = [];

  line(from: Point, to: Point, tone: Tone): void {
    this.points.push(...from, ...to);
    this.colours.push(...tone, ...tone);
  }

  done(): Drawn {
    return { points: new Float32Array(this.points), colours: new Uint8Array(this.colours) };
  }
}

export function earthOf(model: Model, tones: Tones): Drawn {
  const [x, y, half] = placeOf(model);
  const corners: Point[] = [[x - half, y - half, -1], [x + half, y - half, -1], [x + half, y + half, -1], [x - half, y + half, -1]];
  const tone = toneOf(new Color(tones.ground), 0.35);
  const order = [0, 1, 2, 0, 2, 3];
  return { points: new Float32Array(order.flatMap((i) => corners[i]!)), colours: new Uint8Array(order.flatMap(() => tone)) };
}

/// Middle and half the breadth of the earth that is drawn, mm.
function placeOf({ bounds: { min, max } }: Model): Point {
  const reach = Math.ceil(Math.max(max[0] - min[0], max[1] - min[1]) / 1000 + 1) * 1000;
  return [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2, reach / 2];
}

export function linesOnGround(model: Model, tones: Tones): Drawn {
  const pencil = new Pencil();
  const ink = new Color(tones.ink);
  const [x, y, half] = placeOf(model);
  const faint = toneOf(ink, 0.09);
  for (let at = -half; at <= half; at += 500) {
    pencil.line([x - half, y + at, 0], [x + half, y + at, 0], faint);
    pencil.line([x + at, y - half, 0], [x + at, y + half, 0], faint);
  }
  const clear = toneOf(ink, 0.6);
  for (const hole of model.footings) {
    const round = (i: number, deep: number): Point => [
      hole.centre[0] + (hole.diameter_mm / 2) * Math.cos((i * Math.PI) / 10), hole.centre[1] + (hole.diameter_mm / 2) * Math.sin((i * Math.PI) / 10),
      hole.centre[2] - deep];
    // Twenty chords round, every other one drawn.
    for (let i = 0; i < 20; i += 2) for (const deep of [0, hole.depth_mm]) pencil.line(round(i, deep), round(i + 1, deep), clear);
  }
  return pencil.done();
}
