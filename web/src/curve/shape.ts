// SPDX-License-Identifier: Apache-2.0
//
// An end shape as a chain of cubic Bézier strokes in the unit square of the planner: u = 0 at the tip and 1 where the
// shape meets the underside, v = 0 at the underside and 1 below the nose. It runs from [0, 1] to [1, 0].

export type Uv = [number, number];

/// Cubic handles that follow a quadrant to 0.03 % of its radius (Riškus 2006 gives 4/3 (√2 − 1)).
const quadrant = (4 / 3) * (Math.SQRT2 - 1);

/// The named shapes, as strokes one can begin to draw from. "square" has none.
export function startFrom(name: string): Uv[] {
  const k = quadrant;
  switch (name) {
    case 'quarter round':
      return [[0, 1], [0, 1 - k], [1 - k, 0], [1, 0]];
    case 'cove':
      return [[0, 1], [k, 1], [1, k], [1, 0]];
    case 'ogee':
      return [[0, 1], [0.5 * k, 1], [0.5, 0.5 + 0.5 * k], [0.5, 0.5], [0.5, 0.5 - 0.5 * k], [1 - 0.5 * k, 0], [1, 0]];
    default:
      return [[0, 1], [1 / 3, 2 / 3], [2 / 3, 1 / 3], [1, 0]];
  }
}

/// Reads the points out of a job; null when it holds a name or something else.
export function pointsIn(value: unknown): Uv[] | null {
  if (!Array.isArray(value) || value.length < 4 || value.length % 3 !== 1) return null;
  const points: Uv[] = [];
  for (const each of value) {
    if (!Array.isArray(each) || each.length !== 2) return null;
    const [u, v] = each.map(Number);
    if (!Number.isFinite(u) || !Number.isFinite(v)) return null;
    points.push([u!, v!]);
  }
  return points;
}

export function toToml(points: Uv[]): string {
  const figure = (value: number) => String(Math.round(value * 1000) / 1000);
  return `[${points.map(([u, v]) => `[${figure(u)}, ${figure(v)}]`).join(', ')}]`;
}

/// The uncut nose above the shape, mm, as the planner leaves it: a quarter of the section, at least 20, at most half.
export function noseHeight(width: number): number {
  return Math.min(0.5 * width, Math.max(20, 0.25 * width));
}

const clamp = (value: number) => Math.min(1, Math.max(0, value));

/// Moves one point; its handles go with a joint, and the handles of a smooth joint stay in line.
export function movePoint(points: Uv[], index: number, to: Uv, smooth: boolean): Uv[] {
  const next = points.map((each) => [...each] as Uv);
  const last = points.length - 1;
  if (index === 0 || index === last) return next;  // the ends are where the planner wants them
  const target: Uv = [clamp(to[0]), clamp(to[1])];
  const was = points[index]!;
  next[index] = target;
  if (index % 3 === 0) {
    for (const side of [index - 1, index + 1]) {
      const handle = points[side]!;
      next[side] = [clamp(handle[0] + target[0] - was[0]), clamp(handle[1] + target[1] - was[1])];
    }
    return next;
  }
  const joint = index % 3 === 1 ? index - 1 : index + 1;
  const other = index % 3 === 1 ? index - 2 : index + 2;
  if (!smooth || joint === 0 || joint === last) return next;
  const centre = points[joint]!;
  const far = Math.hypot(points[other]![0] - centre[0], points[other]![1] - centre[1]);
  const long = Math.hypot(target[0] - centre[0], target[1] - centre[1]);
  if (long > 1e-6) next[other] = [clamp(centre[0] - ((target[0] - centre[0]) * far) / long), clamp(centre[1] - ((target[1] - centre[1]) * far) / long)];
  return next;
}

/// Another joint in the middle of a stroke; the curve stays as it is (de Casteljau).
export function split(points: Uv[], stroke: number): Uv[] {
  const at = stroke * 3;
  const [a, b, c, d] = points.slice(at, at + 4) as [Uv, Uv, Uv, Uv];
  const mid = (p: Uv, q: Uv): Uv => [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
  const ab = mid(a, b);
  const bc = mid(b, c);
  const cd = mid(c, d);
  const abc = mid(ab, bc);
  const bcd = mid(bc, cd);
  return [...points.slice(0, at), a, ab, abc, mid(abc, bcd), bcd, cd, d, ...points.slice(at + 4)];
}

/// Takes a joint out and lets its neighbours meet.
export function join(points: Uv[], joint: number): Uv[] {
  return [...points.slice(0, joint - 1), ...points.slice(joint + 2)];
}
