// SPDX-License-Identifier: Apache-2.0
//
// Between two answers of the planner the picture is drawn on along the line through them, so that it keeps up with the
// finger; every answer puts it right. Only the picture leads: lengths, price and checks are never guessed.
import { BufferAttribute, BufferGeometry, LineSegments, Matrix4, Mesh, type Group } from 'three';
import type { Model } from '../api/types';

export interface Stood {
  shape: string;
  at: Matrix4;
  faces: Float32Array;
  edges: Float32Array;
}

const furthest = 1.5;  // steps past the last answer

export function sizeValue(model: Model | null, key: string): number | null {
  return model?.sizes.find((each) => `${each.structure}/${each.name}` === key)?.value_mm ?? null;
}

/// How far past the last answer `value` lies, in steps from the one before; null when the two do not tell.
export function stepsPast(before: Model | null, last: Model | null, key: string, value: number): number | null {
  const was = sizeValue(before, key);
  const is = sizeValue(last, key);
  if (was === null || is === null || Math.abs(is - was) < 0.5) return null;
  return Math.max(-furthest, Math.min(furthest, (value - is) / (is - was)));
}

const positions = (geometry: BufferGeometry) => geometry.getAttribute('position').array as Float32Array;

export function stoodIn(holder: Group, shape: string, at: Matrix4): Stood {
  const [face, , edges] = holder.children as [Mesh, Mesh, LineSegments];
  return { shape, at, faces: positions(face.geometry), edges: positions(edges.geometry) };
}

function along(before: Float32Array, last: Float32Array, steps: number): Float32Array {
  const out = new Float32Array(last.length);
  for (let i = 0; i < out.length; i += 1) out[i] = last[i]! + (last[i]! - before[i]!) * steps;
  return out;
}

/// Puts a body where the line through its two answers leads. Gives the geometries it made, for the caller to give up.
export function lead(holder: Group, before: Stood, last: Stood, steps: number): BufferGeometry[] {
  const matrix = last.at.elements.map((each, i) => each + (each - before.at.elements[i]!) * steps);
  holder.matrix.fromArray(matrix);
  if (before.shape === last.shape || before.faces.length !== last.faces.length || before.edges.length !== last.edges.length) return [];
  const [face, back, line] = holder.children as [Mesh, Mesh, LineSegments];
  const faces = new BufferGeometry();
  faces.setAttribute('position', new BufferAttribute(along(before.faces, last.faces, steps), 3));
  const index = (face.geometry as BufferGeometry).index;
  if (index) faces.setIndex(new BufferAttribute(index.array, 1));  // its own: giving this one up must not take the other along
  const edges = new BufferGeometry();
  edges.setAttribute('position', new BufferAttribute(along(before.edges, last.edges, steps), 3));
  face.geometry = back.geometry = faces;
  line.geometry = edges;
  return [faces, edges];
}
