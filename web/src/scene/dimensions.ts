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
function freeLevel(taken: Map<string, { level: number; from: number; to: number }[]>, way: string, size: Size): number {
  const i = { x: 0, y: 1, z: 2 }[size.axis] as 0 | 1 | 2;
  const [from, to] = [Math.min(size.from[i], size.to[i]), Math.max(size.from[i], size.to[i])];
  const rows = taken.get(way) ?? [];
  let level = 0;
  while (rows.some((each) => each.level === level && each.from < to - 1 && each.to > from + 1)) level += 1;
  taken.set(way, [...rows, { level, from, to }]);
  return level;
}

/// `toEye` and `left` are the reader's own ways, in the garden; lines stand at least `apart` mm from one another.
export function dimensionLines(model: Model, toEye: Vector3, left: Vector3, apart: number): DimensionLine[] {
  const taken = new Map<string, { level: number; from: number; to: number }[]>();
  const span = Math.max(model.bounds.max[0] - model.bounds.min[0], model.bounds.max[2] - model.bounds.min[2], 800);
  const gap = Math.max(span * 0.1, apart);
  const flatGap = Math.max(span * 0.1, apart * 1.8);  // what lies on the ground is seen foreshortened
  return model.sizes.map((size) => {
    const along = new Vector3(...size.to).sub(new Vector3(...size.from)).normalize();
    const upright = Math.abs(along.z) > 0.7;
    const across = axes.filter((way) => Math.abs(new Vector3(...way).dot(along)) < 0.3);
    const way = best(across.length > 0 ? across : axes, upright ? left : toEye);
    const level = freeLevel(taken, way.join() + (upright ? ' up' : ''), size);
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
