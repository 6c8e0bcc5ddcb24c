// SPDX-License-Identifier: Apache-2.0
//
// Where a dimension line lies: outside the structure, on the side that faces the reader, each further out than the last.
import { Vector3 } from 'three';
import type { Model, Point, Size } from '../api/types';

export interface DimensionLine {
  size: Size;
  from: Point;       // what is measured
  to: Point;
  lineFrom: Point;   // the dimension line
  lineTo: Point;
}

const axes: Point[] = [[1, 0, 0], [-1, 0, 0], [0, 1, 0], [0, -1, 0]];

/// Furthest any corner of the bounds lies along a way.
function reach(bounds: Model['bounds'], way: Point): number {
  const pick = (i: 0 | 1) => (way[i] > 0 ? bounds.max[i] : bounds.min[i]) * way[i];
  return pick(0) + pick(1);
}

function best(ways: Point[], like: Vector3): Point {
  let found = ways[0]!;
  for (const way of ways) if (new Vector3(...way).dot(like) > new Vector3(...found).dot(like)) found = way;
  return found;
}

/// Lines that follow one another share a line, as in a chain of dimensions; those that overlap go further out.
function freeLevel(taken: Map<string, { level: number; from: number; to: number }[]>, side: string, one: number, other: number): number {
  const [from, to] = [Math.min(one, other), Math.max(one, other)];
  const rows = taken.get(side) ?? [];
  let level = 0;
  while (rows.some((each) => each.level === level && each.from < to - 1 && each.to > from + 1)) level += 1;
  taken.set(side, [...rows, { level, from, to }]);
  return level;
}

/// What two sizes would say twice is said once, by the one that can be taken hold of; short ones first, which stand inside
/// the long ones.
function saidOnce(sizes: Size[]): Size[] {
  const along = (size: Size) => { const i = 'xyz'.indexOf(size.axis); return [size.from[i]!, size.to[i]!].sort((a, b) => a - b); };
  const alike = (one: Size, other: Size) => one.axis === other.axis && along(one).every((each, i) => Math.abs(each - along(other)[i]!) < 1);
  const long = (size: Size) => along(size)[1]! - along(size)[0]!;
  const byHand = [...sizes].sort((a, b) => Number(!a.choice) - Number(!b.choice));
  return byHand.filter((each, i) => !byHand.slice(0, i).some((before) => before.structure === each.structure && alike(before, each))).sort((a, b) => long(a) - long(b));
}

/// `toEye` and `left` are the reader's own ways, in the garden; lines stand at least `apart` mm from one another.
export function dimensionLines(model: Model, toEye: Vector3, left: Vector3, apart: number): DimensionLine[] {
  const taken = new Map<string, { level: number; from: number; to: number }[]>();
  const span = Math.max(model.bounds.max[0] - model.bounds.min[0], model.bounds.max[2] - model.bounds.min[2], 800);
  // Where the picture is small the rows draw together, and what finds no room there is left out, rather than the work.
  const gap = Math.min(Math.max(span * 0.1, apart), span * 0.15);
  const flatGap = Math.min(Math.max(span * 0.1, apart * 1.8), span * 0.22);  // what lies on the ground is seen foreshortened
  return saidOnce(model.sizes).map((size) => {
    const along = new Vector3(...size.to).sub(new Vector3(...size.from)).normalize();
    const upright = Math.abs(along.z) > 0.7;
    const across = axes.filter((way) => Math.abs(new Vector3(...way).dot(along)) < 0.3);
    const way = best(across.length > 0 ? across : axes, upright ? left : toEye);
    const i = { x: 0, y: 1, z: 2 }[size.axis] as 0 | 1 | 2;
    const level = freeLevel(taken, way.join() + (upright ? ' up' : ''), size.from[i], size.to[i]);
    const out = (at: Point): Point => {
      const already = at[0] * way[0] + at[1] * way[1];
      const more = reach(model.bounds, way) - already + (upright ? gap : flatGap) * (level * 1.15 + 0.8);
      return [at[0] + way[0] * more, at[1] + way[1] * more, upright ? at[2] : 0];
    };
    // Level ones are drawn on the ground, with their extension lines, where nothing stands before them.
    const foot = (at: Point): Point => (upright ? at : [at[0], at[1], 0]);
    return { size, from: foot(size.from), to: foot(size.to), lineFrom: out(size.from), lineTo: out(size.to) };
  });
}

/// How many rows of sizes stand on each side of the outline on paper.
export function rowsOnPaper(model: Model, right: Vector3, up: Vector3): { left: number; right: number; top: number; bottom: number } {
  const rows = { left: 0, right: 0, top: 0, bottom: 0 };
  for (const { upright, high, level } of placedOnPaper(model, right, up, model.bounds.min[2])) {
    const side = upright ? (high ? 'right' : 'left') : high ? 'top' : 'bottom';
    rows[side] = Math.max(rows[side], level + 1);
  }
  return rows;
}

/// Which side of the outline each size stands on, and in which row: on the side that it is nearest to, short ones inside
/// long ones. What runs towards the reader is not shown.
function placedOnPaper(model: Model, right: Vector3, up: Vector3, low: number) {
  const taken = new Map<string, { level: number; from: number; to: number }[]>();
  const { min, max } = model.bounds;
  const corners = [min, max].flatMap((a) => [min, max].flatMap((b) => [Math.min(low, min[2]), max[2]].map((z) => new Vector3(a[0], b[1], z))));
  const ends = (way: Vector3) => [Math.min(...corners.map((each) => each.dot(way))), Math.max(...corners.map((each) => each.dot(way)))] as const;
  const reachOf = { level: ends(up), upright: ends(right) };
  const laid = saidOnce(model.sizes).flatMap((size) => {
    const [from, to] = [new Vector3(...size.from), new Vector3(...size.to)];
    const along = to.clone().sub(from);
    const [x, y] = [Math.abs(along.dot(right)), Math.abs(along.dot(up))];
    if (Math.max(x, y) < 0.7 * along.length()) return [];
    return [{ size, from, to, upright: y > x, long: Math.max(x, y) }];
  });
  laid.sort((a, b) => a.long - b.long);
  return laid.map((each) => {
    const [run, out] = each.upright ? [up, right] : [right, up];
    const [least, most] = each.upright ? reachOf.upright : reachOf.level;
    const middle = (each.from.dot(out) + each.to.dot(out)) / 2;
    const high = middle - least > 1.35 * (most - middle);  // below and to the left, unless the other side is clearly nearer
    return { ...each, out, least, most, high, level: freeLevel(taken, `${each.upright} ${high}`, each.from.dot(run), each.to.dot(run)) };
  });
}

/// Sizes as on paper, for a view without perspective; rows `apart` mm from one another. `low`: the deepest hole.
export function flatDimensionLines(model: Model, right: Vector3, up: Vector3, low: number, apart: number): DimensionLine[] {
  return placedOnPaper(model, right, up, low).map(({ size, from, to, out, least, most, high, level }) => {
    const at = high ? most + apart * (level + 0.85) : least - apart * (level + 0.85);
    const moved = (point: Vector3, reach: number): Point => {
      const there = point.clone().addScaledVector(out, reach - point.dot(out));
      return [there.x, there.y, there.z];
    };
    // An extension line begins at the outline, not in the middle of the work.
    const edge = high ? most : least;
    return { size, from: moved(from, edge), to: moved(to, edge), lineFrom: moved(from, at), lineTo: moved(to, at) };
  });
}
