// SPDX-License-Identifier: Apache-2.0
//
// An open panel drawn as it is: upright laths before level ones, where the model says they are.
import type { ModelPanel } from '../api/types';
import type { Solid } from './solid';
import { grainOf } from './wood';

export type Laths = NonNullable<ModelPanel['laths']>;

interface Box {
  from: [number, number, number];
  to: [number, number, number];
}

const corners = [[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0], [0, 0, 1], [1, 0, 1], [1, 1, 1], [0, 1, 1]] as const;
const sides = [[0, 3, 2, 1], [4, 5, 6, 7], [0, 1, 5, 4], [2, 3, 7, 6], [1, 2, 6, 5], [3, 0, 4, 7]] as const;
/// A lath is drawn by the outline of the face it shows outwards: of hundreds of edges most fall together on the picture.
const outlines = { upright: [[4, 5], [5, 6], [6, 7], [7, 4]], level: [[0, 1], [1, 2], [2, 3], [3, 0]] } as const;

function solidOf(boxes: Box[], upright: number): Solid {
  const points = new Float32Array(boxes.length * 24);
  const faces = new Uint32Array(boxes.length * 36);
  const edges = new Float32Array(boxes.length * 24);
  boxes.forEach(({ from, to }, n) => {
    const at = corners.map((corner) => corner.map((end, k) => (end ? to[k]! : from[k]!)));
    at.forEach((point, i) => points.set(point, n * 24 + i * 3));
    sides.forEach(([a, b, c, d], i) => faces.set([a, b, c, a, c, d].map((each) => each + n * 8), n * 36 + i * 6));
    outlines[n < upright ? 'upright' : 'level'].forEach(([a, b], i) => edges.set([...at[a]!, ...at[b]!], n * 24 + i * 6));
  });
  const grain = grainOf(points, faces);
  // Upright laths have their grain upright.
  for (let i = 0; i < upright * 36; i += 1) {
    const corner = faces[i]! * 3;
    grain.set([points[corner + 1]! / 1100, points[corner]! / 170, 0], i * 3);
  }
  return { points, faces, edges, grain, thick: Math.min(...boxes.map(({ from, to }) => to[0] - from[0])) };
}

/// From the box of a panel: x across its width, y up its height, z through its thickness.
export function latticeOf(whole: Solid, { upright, level }: Laths): Solid {
  const from: Box['from'] = [Infinity, Infinity, Infinity];
  const to: Box['to'] = [-Infinity, -Infinity, -Infinity];
  whole.points.forEach((value, i) => {
    const k = (i % 3) as 0 | 1 | 2;
    from[k] = Math.min(from[k], value);
    to[k] = Math.max(to[k], value);
  });
  const middle = (from[2] + to[2]) / 2;
  const boxes: Box[] = [];
  for (let i = 0; i < upright.count; i += 1) {
    const x = from[0] + upright.every_mm * i;
    boxes.push({ from: [x, from[1], middle], to: [x + upright.wide_mm, to[1], to[2]] });
  }
  for (let i = 0; i < level.count; i += 1) {
    const y = from[1] + level.every_mm * i;
    boxes.push({ from: [from[0], y, from[2]], to: [to[0], y + level.wide_mm, middle] });
  }
  return solidOf(boxes, upright.count);
}
