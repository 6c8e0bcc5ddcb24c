// SPDX-License-Identifier: Apache-2.0
//
// The structure as seen from straight above, piece by piece: outlines for a plan of the garden.
import { Matrix4, Vector3 } from 'three';
import type { Model } from '../api/types';
import { ShapeShelf } from './shapes';
import type { Solid } from './solid';

export interface Outline {
  structure: string;
  member: string;
  name: string;                 // as the job calls it: "right front post"
  corners: [number, number][];  // in the garden, anticlockwise
  top: number;
}

function boxOf(solid: Solid): Vector3[] {
  const [min, max] = [[Infinity, Infinity, Infinity], [-Infinity, -Infinity, -Infinity]];
  solid.points.forEach((value, i) => {
    min[i % 3] = Math.min(min[i % 3]!, value);
    max[i % 3] = Math.max(max[i % 3]!, value);
  });
  return [0, 1, 2, 3, 4, 5, 6, 7].map((i) => new Vector3(...[0, 1, 2].map((k) => ((i >> k) & 1 ? max[k]! : min[k]!))));
}

/// The convex outline of points, anticlockwise (Andrew's monotone chain).
export function hull(points: [number, number][]): [number, number][] {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const half = (from: [number, number][]) => {
    const found: [number, number][] = [];
    for (const each of from) {
      for (;;) {
        const [a, b] = [found[found.length - 2], found[found.length - 1]];
        if (!a || !b || (b[0] - a[0]) * (each[1] - a[1]) - (b[1] - a[1]) * (each[0] - a[0]) > 1e-6) break;
        found.pop();
      }
      found.push(each);
    }
    return found.slice(0, -1);
  };
  return [...half(sorted), ...half(sorted.reverse())];
}

export interface Meeting {
  own: string;    // the part's own name of the post
  other: string;  // whose post it stands on
  post: string;   // and what it is called there
}

const meets = 45;  // mm: a hand's idea of one place

/// Posts of a part that stand where another part has one: the two might be one post.
export function meetings(model: Model, part: string): Meeting[] {
  const posts = outlinesOf(model).filter((each) => each.member === 'post').map((each) => {
    const middle = (k: 0 | 1) => each.corners.reduce((sum, corner) => sum + corner[k], 0) / each.corners.length;
    return { ...each, at: [middle(0), middle(1)] as const };
  });
  return posts.filter((each) => each.structure === part).flatMap((own) => posts
    .filter((other) => other.structure !== part && Math.hypot(own.at[0] - other.at[0], own.at[1] - other.at[1]) < meets)
    .map((other) => ({ own: own.name, other: other.structure, post: other.name })));
}

export function outlinesOf(model: Model): Outline[] {
  const solids = new ShapeShelf().take(model.shapes);
  const boxes = new Map<string, Vector3[]>();
  const found: Outline[] = [];
  for (const each of [...model.pieces, ...model.panels]) {
    const solid = solids.get(each.shape);
    if (!solid?.points.length) continue;
    let box = boxes.get(each.shape);
    if (!box) boxes.set(each.shape, (box = boxOf(solid)));
    const at = new Matrix4().fromArray(each.transform);
    const corners = box.map((corner) => corner.clone().applyMatrix4(at));
    found.push({
      structure: each.structure, member: 'member' in each ? each.member : 'panel', name: 'where' in each ? `${each.where} ${each.name}`.trim() : each.name, corners: hull(corners.map((corner) => [corner.x, corner.y])),
      top: Math.max(...corners.map((corner) => corner.z)),
    });
  }
  return found.sort((a, b) => a.top - b.top);
}
