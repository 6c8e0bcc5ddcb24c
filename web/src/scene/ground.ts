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

class Faces {
  private points: number[] = [];
  private colours: number[] = [];

  /// Four corners, anticlockwise as seen from outside.
  add(corners: Point[], tone: Tone): void {
    for (const i of [0, 1, 2, 0, 2, 3]) {
      this.points.push(...corners[i]!);
      this.colours.push(...tone);
    }
  }

  done(): Drawn {
    return { points: new Float32Array(this.points), colours: new Uint8Array(this.colours) };
  }
}

/// The net of places on which the earth is drawn, with the level at each.
interface Net {
  xs: number[];
  ys: number[];
  at: (i: number, j: number) => Point;
}

function netOf(model: Model): Net {
  const { ground } = model;
  if (ground) {
    const { x_mm: xs, y_mm: ys, level_mm: levels } = ground;
    return { xs, ys, at: (i, j) => [xs[i]!, ys[j]!, levels[j * xs.length + i]!] };
  }
  const { min, max } = model.bounds;
  // A metre and more around it, in half metres; what is long stands on long ground, not on a field.
  const places = (k: 0 | 1) => {
    const half = (Math.ceil(Math.max(max[k] - min[k], 0.4 * (max[1 - k]! - min[1 - k]!)) / 1000 + 1) * 1000) / 2;
    return Array.from({ length: half / 250 + 1 }, (_, i) => (min[k] + max[k]) / 2 - half + i * 500);
  };
  const [xs, ys] = [places(0), places(1)];
  return { xs, ys, at: (i, j) => [xs[i]!, ys[j]!, 0] };
}

/// The surface with its rim; and `skirt`, which is not seen: below the rim, too, the earth hides what is in it.
export function earthOf(model: Model, tones: Tones): { surface: Drawn; skirt: Drawn } {
  const net = netOf(model);
  const lip = 45;
  const [across, deep] = [net.xs.length - 1, net.ys.length - 1];
  const down = Math.min(-lip, model.bounds.min[2], ...model.footings.map((each) => each.centre[2] - each.depth_mm)) - 60;
  const earth = new Color(tones.ground);
  const paper = new Color(tones.paper);
  const [surface, skirt] = [new Faces(), new Faces()];
  const under = (at: Point, by = 1): Point => [at[0], at[1], at[2] - by];  // lines that lie on it are not hidden by it
  const top = toneOf(paper.clone().lerp(earth, 0.42));
  // Level ground is one face.
  const cells = model.ground ? Array.from({ length: deep }, (_, j) => Array.from({ length: across }, (_, i) => [i, j, i + 1, j + 1] as const)).flat() : [[0, 0, across, deep] as const];
  for (const [i, j, k, l] of cells) surface.add([net.at(i, j), net.at(k, j), net.at(k, l), net.at(i, l)].map((each) => under(each)), top);
  const rim = [
    ...Array.from({ length: across }, (_, i) => [net.at(i, 0), net.at(i + 1, 0), 0.9] as const), ...Array.from({ length: deep }, (_, j) => [net.at(across, j), net.at(across, j + 1), 0.75] as const),
    ...Array.from({ length: across }, (_, i) => [net.at(across - i, deep), net.at(across - i - 1, deep), 0.9] as const), ...Array.from({ length: deep }, (_, j) => [net.at(0, deep - j), net.at(0, deep - j - 1), 0.75] as const),
  ];
  for (const [from, to, share] of rim) {
    surface.add([under(from, lip), under(to, lip), under(to), under(from)], toneOf(paper.clone().lerp(earth, share)));
    skirt.add([[from[0], from[1], down], [to[0], to[1], down], under(to, lip), under(from, lip)], toneOf(paper));
  }
  return { surface: surface.done(), skirt: skirt.done() };
}

export function gridOf(model: Model, tones: Tones): DrawnLines {
  const strokes = new Strokes();
  const { xs, ys, at } = netOf(model);
  const faint = toneOf(new Color(tones.ink), 0.13);
  const [across, deep] = [xs.length - 1, ys.length - 1];
  const steps = model.ground ? { i: 1, j: 1 } : { i: across, j: deep };
  for (let j = 0; j <= deep; j += 1) for (let i = 0; i < across; i += steps.i) strokes.line(at(i, j), at(i + steps.i, j), faint);
  for (let i = 0; i <= across; i += 1) for (let j = 0; j < deep; j += steps.j) strokes.line(at(i, j), at(i, j + steps.j), faint);
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
