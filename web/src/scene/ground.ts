// SPDX-License-Identifier: Apache-2.0
//
// What the structure stands on: the earth, a grid of half metres, and the holes of its footings. The earth hides what is
// buried; its lines are drawn through it, fine and dashed.
import { Color } from 'three';
import type { Model, Point } from '../api/types';
import { toneOf, type Tone } from './paint';
import type { Tones } from './tones';

export interface Drawn {
  points: Float32Array;
  colours: Uint8Array;
}
export interface DrawnLines extends Drawn {
  thick: Float32Array;
}

class Strokes {
  private points: number[] = [];
  private colours: number[] = [];

  line(from: Point, to: Point, tone: Tone): void {
    this.points.push(...from, ...to);
    this.colours.push(...tone);
  }

  /// All as heavy as what is `thick` mm.
  done(thick: number): DrawnLines {
    return { points: new Float32Array(this.points), colours: new Uint8Array(this.colours), thick: new Float32Array(this.points.length / 6).fill(thick) };
  }
}

/// Middle and half the breadth of the earth that is drawn, mm.
function placeOf({ bounds: { min, max } }: Model): Point {
  const reach = Math.ceil(Math.max(max[0] - min[0], max[1] - min[1]) / 1000 + 1) * 1000;
  return [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2, reach / 2];
}

/// The surface, and below its rim a face in the paper's own colour: from the side, too, the earth hides what is in it.
export function earthOf(model: Model, tones: Tones): Drawn {
  const [x, y, half] = placeOf(model);
  const deepest = Math.min(model.bounds.min[2], ...model.footings.map((each) => each.centre[2] - each.depth_mm), 0) - 600;
  const [lip, down] = [-45, deepest];
  const points: number[] = [];
  const colours: number[] = [];
  const face = (corners: Point[], tone: Tone) => {
    for (const i of [0, 1, 2, 0, 2, 3]) {
      points.push(...corners[i]!);
      colours.push(...tone);
    }
  };
  const earth = new Color(tones.ground);
  const paper = new Color(tones.paper);
  const rim = ([[-1, -1], [1, -1], [1, 1], [-1, 1]] as const).map(([i, j]) => [x + i * half, y + j * half] as const);
  face(rim.map(([i, j]): Point => [i, j, -1]), toneOf(paper.clone().lerp(earth, 0.42)));
  rim.forEach(([i, j], n) => {
    const [k, l] = rim[(n + 1) % 4]!;
    face([[i, j, lip], [k, l, lip], [k, l, -1], [i, j, -1]], toneOf(paper.clone().lerp(earth, n % 2 ? 0.75 : 0.9)));
    face([[i, j, down], [k, l, down], [k, l, lip], [i, j, lip]], toneOf(paper));
  });
  return { points: new Float32Array(points), colours: new Uint8Array(colours) };
}

export function gridOf(model: Model, tones: Tones): DrawnLines {
  const strokes = new Strokes();
  const [x, y, half] = placeOf(model);
  const faint = toneOf(new Color(tones.ink), 0.13);
  for (let at = -half; at <= half; at += 500) {
    strokes.line([x - half, y + at, 0], [x + half, y + at, 0], faint);
    strokes.line([x + at, y - half, 0], [x + at, y + half, 0], faint);
  }
  return strokes.done(300);
}

/// Outlines of the holes, just under the surface: what lies behind the earth is drawn dashed.
export function holesOf(model: Model, tones: Tones): DrawnLines {
  const strokes = new Strokes();
  const tone = toneOf(new Color(tones.ink), 0.8);
  for (const hole of model.footings) {
    const round = (i: number, deep: number): Point => [
      hole.centre[0] + (hole.diameter_mm / 2) * Math.cos((i * Math.PI) / 10), hole.centre[1] + (hole.diameter_mm / 2) * Math.sin((i * Math.PI) / 10),
      hole.centre[2] - deep];
    for (let i = 0; i < 20; i += 1) for (const deep of [4, hole.depth_mm]) strokes.line(round(i, deep), round(i + 1, deep), tone);
    for (let i = 0; i < 20; i += 5) strokes.line(round(i, 4), round(i, hole.depth_mm), tone);
  }
  return strokes.done(300);
}
