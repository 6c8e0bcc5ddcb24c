// SPDX-License-Identifier: Apache-2.0
//
// People who lift and hold, as strokes: as tall as people are, so that one sees how high a thing is.
import { Vector3 } from 'three';
import type { Point } from '../api/types';
import type { Stroke } from './strokes';
import type { Project } from './view';

const tall = 1750;  // mm

/// Joints by shares of the height: across and up. Arms are raised to what is held.
const limbs: [number, number, number, number][] = [
  [0, 0.82, 0, 0.48], [0, 0.48, -0.09, 0.25], [-0.09, 0.25, -0.11, 0], [0, 0.48, 0.09, 0.25], [0.09, 0.25, 0.11, 0],
  [-0.09, 0.8, 0.09, 0.8], [-0.09, 0.8, -0.14, 0.96], [-0.14, 0.96, -0.1, 1.11], [0.09, 0.8, 0.14, 0.96], [0.14, 0.96, 0.1, 1.11],
];

export function personAt(foot: Point, right: Vector3, project: Project): Stroke[] {
  const at = (across: number, up: number) => project([foot[0] + right.x * across * tall, foot[1] + right.y * across * tall, foot[2] + up * tall]);
  const head = Array.from({ length: 9 }, (_, i) => at(0.062 * Math.cos((i * Math.PI) / 4), 0.92 + 0.062 * Math.sin((i * Math.PI) / 4)));
  const pixels = Math.abs(at(0, 0).y - at(0, 1).y);
  const wide = Math.max(1.2, pixels * 0.022);
  const strokes: Stroke[] = limbs.map(([x, y, u, v]) => ({ from: at(x, y), to: at(u, v), wide, tone: 'soft' }));
  for (let i = 0; i < 8; i += 1) strokes.push({ from: head[i]!, to: head[i + 1]!, wide, tone: 'soft' });
  return strokes;
}
