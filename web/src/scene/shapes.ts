// SPDX-License-Identifier: Apache-2.0
//
// Equal bodies share one shape, and a shape seen before is kept: while a choice is dragged most of them stay the same.
import { BufferAttribute, BufferGeometry } from 'three';
import type { Shape } from '../api/types';

export interface Body {
  faces: BufferGeometry;
  edges: BufferGeometry;
}

function bytes(base64: string): ArrayBuffer {
  const binary = atob(base64);
  const out = new Uint8Array(binary.length);
  for (let i = 0; i < binary.length; i += 1) out[i] = binary.charCodeAt(i);
  return out.buffer;
}

function decode(shape: Shape): Body {
  const faces = new BufferGeometry();
  faces.setAttribute('position', new BufferAttribute(new Float32Array(bytes(shape.positions)), 3));
  faces.setIndex(new BufferAttribute(new Uint32Array(bytes(shape.indices)), 1));
  const edges = new BufferGeometry();
  edges.setAttribute('position', new BufferAttribute(new Float32Array(bytes(shape.edges)), 3));
  return { faces, edges };
}

export class ShapeShelf {
  private bodies = new Map<string, Body>();

  /// The bodies of these shapes; those that are not among them are given up.
  take(shapes: Shape[]): Map<string, Body> {
    const now = new Map<string, Body>();
    for (const shape of shapes) now.set(shape.id, this.bodies.get(shape.id) ?? decode(shape));
    for (const [id, body] of this.bodies) if (!now.has(id)) dispose(body);
    this.bodies = now;
    return now;
  }

  clear(): void {
    this.bodies.forEach(dispose);
    this.bodies.clear();
  }
}

function dispose(body: Body): void {
  body.faces.dispose();
  body.edges.dispose();
}
