// SPDX-License-Identifier: Apache-2.0
//
// Where one looks from: round a point, by finger, mouse or keys. Angles in radians, distances in mm, z up. From the front,
// the side and the top one may look as on paper, without perspective; whoever turns on sees perspective again.
import { OrthographicCamera, PerspectiveCamera, Vector3 } from 'three';
import type { Point } from '../api/types';

export interface Standpoint {
  turn: number;   // about z; 0 looks from the front
  tilt: number;   // above the ground
  far: number;
  at: Point;
  flat: Elevation | null;
}

export type Elevation = 'front' | 'side' | 'top';
export type Camera = PerspectiveCamera | OrthographicCamera;

export const corner = { turn: -0.52, tilt: 0.3 };
export const elevations: Record<Elevation, { turn: number; tilt: number }> = {
  front: { turn: 0, tilt: 0 }, side: { turn: Math.PI / 2, tilt: 0 }, top: { turn: 0, tilt: Math.PI / 2 },
};

const fieldOfView = 26;
const half = Math.tan((fieldOfView * Math.PI) / 360);
const clear = 40000;  // mm that a camera without perspective stands off: nothing is behind it

/// The ways to the right of and up the picture, and to the reader's eye, in the garden.
export function waysOf({ turn, tilt }: { turn: number; tilt: number }): { right: Vector3; up: Vector3; toEye: Vector3 } {
  const toEye = new Vector3(Math.cos(tilt) * Math.sin(turn), -Math.cos(tilt) * Math.cos(turn), Math.sin(tilt));
  const right = new Vector3(Math.cos(turn), Math.sin(turn), 0);
  return { right, up: toEye.clone().cross(right), toEye };
}

/// Room left around the structure for its dimension lines, CSS pixels.
export interface Margins {
  left: number;
  right: number;
  top: number;
  bottom: number;
}

/// Moves a standpoint; the cameras follow it in `place`.
export class Orbit {
  stand: Standpoint = { ...corner, far: 6000, at: [0, 0, 0], flat: null };
  apart = 0;  // 0 … 1: how far the bodies are drawn apart; one steps back for them
  private perspective = new PerspectiveCamera(fieldOfView, 1, 10, 50000);
  private paper = new OrthographicCamera(-1, 1, 1, -1, 1, 2 * clear);

  get camera(): Camera {
    return this.stand.flat ? this.paper : this.perspective;
  }

  /// mm of the garden from the bottom to the top of the picture, where one looks at.
  get high(): number {
    return 2 * this.stand.far * half;
  }

  /// All these corners within the picture, and in its middle; `rim` CSS pixels of it stay free.
  fitAll(corners: Point[], wide: number, high: number, rim: number): void {
    const { right, up, toEye } = waysOf(this.stand);
    const aspect = wide / high;
    const [x, y] = [1 - (2 * Math.min(rim, wide / 4)) / wide, 1 - (2 * Math.min(rim, high / 4)) / high];
    const at = new Vector3();
    for (const each of corners) at.addScaledVector(new Vector3(...each), 1 / corners.length);
    let far = Math.max(1000, ...corners.map((each) => new Vector3(...each).distanceTo(at))) / half;
    // A perspective's middle and size depend on each other: a few rounds settle both.
    for (let round = 0; round < 6; round += 1) {
      const seen = corners.map((each) => {
        const from = new Vector3(...each).sub(at);
        const deep = Math.max(far * 0.05, far - from.dot(toEye));
        return { x: from.dot(right) / deep / half / aspect, y: from.dot(up) / deep / half };
      });
      const [left, most, low, top] = [Math.min(...seen.map((each) => each.x)), Math.max(...seen.map((each) => each.x)), Math.min(...seen.map((each) => each.y)), Math.max(...seen.map((each) => each.y))];
      at.addScaledVector(right, ((left + most) / 2) * far * half * aspect).addScaledVector(up, ((low + top) / 2) * far * half);
      far *= Math.max((most - left) / 2 / x, (top - low) / 2 / y);
    }
    this.stand.far = far;
    this.stand.at = [at.x, at.y, at.z];
  }

  /// As on paper: all of it, with room for its sizes.
  fitFlat(min: Point, max: Point, wide: number, high: number, margin: Margins): void {
    const { right, up } = waysOf(this.stand);
    const reach = (way: Vector3) => {
      const ends = [min, max].map((each) => each.map((value, i) => value * way.getComponent(i)));
      const [low, top] = [0, 1, 2].reduce<[number, number]>(([a, b], i) => [a + Math.min(ends[0]![i]!, ends[1]![i]!), b + Math.max(ends[0]![i]!, ends[1]![i]!)], [0, 0]);
      return { low, top };
    };
    const [across, upward] = [reach(right), reach(up)];
    const scale = Math.max(
      (across.top - across.low) / Math.max(40, wide - margin.left - margin.right), (upward.top - upward.low) / Math.max(40, high - margin.top - margin.bottom), 0.05);
    this.stand.far = (scale * high) / (2 * half);
    const middle = new Vector3((min[0] + max[0]) / 2, (min[1] + max[1]) / 2, (min[2] + max[2]) / 2);
    middle.addScaledVector(right, ((margin.right - margin.left) / 2) * scale).addScaledVector(up, ((margin.top - margin.bottom) / 2) * scale);
    this.stand.at = [middle.x, middle.y, middle.z];
  }

  turnBy(dx: number, dy: number): void {
    this.stand.flat = null;
    this.stand.turn -= dx;
    this.stand.tilt = Math.min(1.55, Math.max(-0.6, this.stand.tilt + dy));
  }

  /// Nearer to or further from `to`, which stays where it is on the picture.
  zoomBy(factor: number, to: Point = this.stand.at): void {
    const far = Math.min(90000, Math.max(260, this.stand.far * factor));
    const share = far / this.stand.far;
    this.stand.at = this.stand.at.map((each, i) => to[i]! + (each - to[i]!) * share) as Point;
    this.stand.far = far;
  }

  /// By shares of the height of the picture.
  panBy(right: number, up: number): void {
    const ways = waysOf(this.stand);
    const moved = new Vector3(...this.stand.at).addScaledVector(ways.right, right * this.high).addScaledVector(ways.up, up * this.high);
    this.stand.at = [moved.x, moved.y, moved.z];
  }

  place(aspect: number): void {
    const { flat } = this.stand;
    const far = this.stand.far * (1 + 0.45 * this.apart);
    const at = new Vector3(this.stand.at[0], this.stand.at[1], this.stand.at[2] + 450 * this.apart);
    const { up, toEye } = waysOf(this.stand);
    const { camera } = this;
    camera.up.copy(up);
    camera.position.copy(at).addScaledVector(toEye, flat ? clear : far);
    camera.lookAt(at);
    if (camera instanceof PerspectiveCamera) {
      camera.aspect = aspect;
      camera.near = far / 50;
      camera.far = far * 6 + 20000;
    } else {
      [camera.top, camera.bottom] = [far * half, -far * half];
      [camera.right, camera.left] = [far * half * aspect, -far * half * aspect];
    }
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld();
  }
}
