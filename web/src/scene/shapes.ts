// SPDX-License-Identifier: Apache-2.0
//
// Equal bodies share one shape, and a shape seen before is kept decoded: while a choice is dragged most stay the same.
import type { Shape } from '../api/types';

/// In the shape's own place: corners of faces (three numbers each), three indices to a face, two points to an edge.
export interface Solid {
  points: Float32Array;
  faces: Uint32Array;
  edges: Float32Array;
}

function bytes(base64: string): ArrayBuffer {
  const binary = atob(base64);
  const out = new Uint8Array(binary.length);
  for (let i = 0; i < binary.length; i += 1) out[i] = binary.charCodeAt(i);
  return out.buffer;
}

function decode(shape: Shape): Solid {
  return {
    points: new Float32Array(bytes(shape.positions)), faces: new Uint32Array(bytes(shape.indices)),
    edges: new Float32Array(bytes(shape.edges)),
  };
}

export class ShapeShelf {
  private solids = new Map<string, Solid>();

  /// The solids of these shapes; those that are not among them are forgotten.
  take(shapes: Shape[]): Map<string, Solid> {
    const now = new Map<string, Solid>();
    for (const shape of shapes) now.set(shape.id, this.solids.get(shape.id) ?? decode(shape));
    this.solids = now;
    return now;
  }
}
