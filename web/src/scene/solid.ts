// SPDX-License-Identifier: Apache-2.0
//
// A body's form in its own place: corners of faces (three numbers each), three indices to a face, two points to an edge.
export interface Solid {
  points: Float32Array;
  faces: Uint32Array;
  edges: Float32Array;
  grain: Float32Array;  // three numbers a face's corner (wood.ts)
  thick: number;        // its least measure, mm: lines grow thin with it
}
