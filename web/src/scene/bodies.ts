// SPDX-License-Identifier: Apache-2.0
//
// All bodies of a model as one set of faces and one of edges, in garden coordinates, so that a picture of many pieces is
// a handful of things to draw. Light is worked into the colours: the sun stands still over the garden.
import { Matrix4, Vector3 } from 'three';
import type { Solid } from './solid';
import { seedOf } from './wood';

/// One body where it stands. `key` names it across answers.
export interface Body {
  key: string;
  mark: string;
  member: string;
  structure: string;
  stage: number;
  shape: string;
  solid: Solid;
  at: Matrix4;
  centre: Vector3;
  low: number;       // its lowest point, where it stands
  seed: [number, number];
}

/// Where a body's corners are in the arrays, counted in corners (three numbers each).
export interface Span {
  body: Body;
  face: number;
  faces: number;
  edge: number;
  edges: number;
}

export interface Stood {
  spans: Span[];
  facePoints: Float32Array;
  grain: Float32Array;       // three numbers a face's corner
  edgePoints: Float32Array;  // two points an edge
  thick: Float32Array;       // one number an edge: the least measure of its body
}

export function bodyOf(from: Omit<Body, 'centre' | 'low' | 'seed'>): Body {
  const min = new Vector3(Infinity, Infinity, Infinity);
  const max = min.clone().negate();
  const point = new Vector3();
  let low = Infinity;
  for (let i = 0; i < from.solid.points.length; i += 3) {
    point.fromArray(from.solid.points, i);
    min.min(point);
    max.max(point);
    low = Math.min(low, point.applyMatrix4(from.at).z);
  }
  return { ...from, centre: min.add(max).multiplyScalar(0.5).applyMatrix4(from.at), low, seed: seedOf(from.key) };
}

function carry(from: Float32Array, i: number, m: number[], out: Float32Array, o: number): void {
  const [x, y, z] = [from[i]!, from[i + 1]!, from[i + 2]!];
  out[o] = m[0]! * x + m[4]! * y + m[8]! * z + m[12]!;
  out[o + 1] = m[1]! * x + m[5]! * y + m[9]! * z + m[13]!;
  out[o + 2] = m[2]! * x + m[6]! * y + m[10]! * z + m[14]!;
}

/// Every body where `pose` puts it, from its place in the garden; null leaves it there.
export function stand(bodies: Body[], pose: (body: Body) => Matrix4 | null): Stood {
  const spans: Span[] = [];
  let [face, edge] = [0, 0];
  for (const body of bodies) {
    const span = { body, face, faces: body.solid.faces.length, edge, edges: body.solid.edges.length / 3 };
    spans.push(span);
    face += span.faces;
    edge += span.edges;
  }
  const facePoints = new Float32Array(face * 3);
  const grain = new Float32Array(face * 3);
  const edgePoints = new Float32Array(edge * 3);
  const thick = new Float32Array(edge / 2);
  for (const span of spans) {
    const moved = pose(span.body);
    const at = moved ? moved.clone().multiply(span.body.at) : span.body.at;
    const m = at.elements;
    const { points, faces, edges, grain: own, thick: least } = span.body.solid;
    const [u, v] = span.body.seed;
    const mirrored = at.determinant() < 0;  // keeps the outside of a mirrored body outside
    for (let i = 0; i < faces.length; i += 1) {
      const corner = mirrored && i % 3 !== 0 ? (i % 3 === 1 ? i + 1 : i - 1) : i;
      const o = (span.face + i) * 3;
      carry(points, faces[corner]! * 3, m, facePoints, o);
      grain[o] = own[corner * 3]! + u;
      grain[o + 1] = own[corner * 3 + 1]! + v;
      grain[o + 2] = own[corner * 3 + 2]!;
    }
    for (let i = 0; i < span.edges; i += 1) carry(edges, i * 3, m, edgePoints, (span.edge + i) * 3);
    thick.fill(least, span.edge / 2, (span.edge + span.edges) / 2);
  }
  return { spans, facePoints, grain, edgePoints, thick };
}

const sun = new Vector3(-0.45, -0.8, 1.2).normalize();

/// How much the sun reaches each face, -1 … 1: the cosine between its outward normal and the way to the sun.
export function sunOn(points: Float32Array, corner: number): number {
  const i = corner * 3;
  const [ax, ay, az] = [points[i + 3]! - points[i]!, points[i + 4]! - points[i + 1]!, points[i + 5]! - points[i + 2]!];
  const [bx, by, bz] = [points[i + 6]! - points[i]!, points[i + 7]! - points[i + 1]!, points[i + 8]! - points[i + 2]!];
  const [nx, ny, nz] = [ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx];
  const long = Math.hypot(nx, ny, nz) || 1;
  return (nx * sun.x + ny * sun.y + nz * sun.z) / long;
}
