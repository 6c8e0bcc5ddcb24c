// SPDX-License-Identifier: Apache-2.0
//
// Equal bodies share one shape, and a shape seen before is kept decoded: while a choice is dragged most stay the same.
import type { Shape } from '../api/types';
import { latticeOf, type Laths } from './lattice';
import type { Solid } from './solid';
import { grainOf } from './wood';

function bytes(base64: string): ArrayBuffer {
  const binary = atob(base64);
  const out = new Uint8Array(binary.length);
  for (let i = 0; i < binary.length; i += 1) out[i] = binary.charCodeAt(i);
  return out.buffer;
}

function leastMeasure(points: Float32Array): number {
  const measures = [0, 1, 2].map((k) => {
    let [low, high] = [Infinity, -Infinity];
    for (let i = k; i < points.length; i += 3) [low, high] = [Math.min(low, points[i]!), Math.max(high, points[i]!)];
    return high - low;
  });
  return Math.max(1, Math.min(...measures));
}

function decode(shape: Shape): Solid {
  const points = new Float32Array(bytes(shape.positions));
  const faces = new Uint32Array(bytes(shape.indices));
  return { points, faces, edges: new Float32Array(bytes(shape.edges)), grain: grainOf(points, faces), thick: leastMeasure(points) };
}

export class ShapeShelf {
  private solids = new Map<string, Solid>();
  private open = new Map<string, Solid>();

  /// The solids of these shapes; those that are not among them are forgotten.
  take(shapes: Shape[]): Map<string, Solid> {
    const now = new Map<string, Solid>();
    for (const shape of shapes) now.set(shape.id, this.solids.get(shape.id) ?? decode(shape));
    for (const key of this.open.keys()) if (!now.has(key.split(' ')[0]!)) this.open.delete(key);
    this.solids = now;
    return now;
  }

  /// The panel of this shape with its openings.
  lattice(id: string, laths: Laths): Solid {
    const key = `${id} ${JSON.stringify(laths)}`;
    let found = this.open.get(key);
    if (!found) this.open.set(key, (found = latticeOf(this.solids.get(id)!, laths)));
    return found;
  }
}
