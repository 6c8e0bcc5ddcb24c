// SPDX-License-Identifier: Apache-2.0
//
// Where one looks from: round a point, by finger, mouse or keys. Angles in radians, distances in mm, z up.
import { Vector3, type PerspectiveCamera } from 'three';
import type { Point } from '../api/types';

export interface Standpoint {
  turn: number;   // about z; 0 looks from the front
  tilt: number;   // above the ground
  far: number;
  at: Point;
}

export const corner = { turn: -0.52, tilt: 0.3 };

/// Moves a standpoint; the camera follows it in `place`.
export class Orbit {
  stand: Standpoint = { ...corner, far: 6000, at: [0, 0, 0] };
  apart = 0;  // 0 … 1: how far the bodies are drawn apart; one steps back for them

  /// `small`: a picture so low that its dimension lines take a larger share of it.
  fit(min: Point, max: Point, fieldOfView: number, aspect: number, small: boolean): void {
    const size = Math.hypot(max[0] - min[0], max[1] - min[1], max[2] - Math.max(min[2], -300));
    const narrow = Math.min(1, aspect * 0.95);
    this.stand.far = (size * (small ? 0.67 : 0.6)) / Math.tan((fieldOfView * Math.PI) / 360) / narrow;
    this.stand.at = [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2, (Math.max(min[2], -300) + max[2]) / 2];
  }

  turnBy(dx: number, dy: number): void {
    this.stand.turn -= dx;
    this.stand.tilt = Math.min(1.55, Math.max(-0.6, this.stand.tilt + dy));
  }

  zoomBy(factor: number): void {
    this.stand.far = Math.min(60000, Math.max(300, this.stand.far * factor));
  }

  /// By shares of the height of the picture.
  panBy(right: number, up: number, camera: PerspectiveCamera): void {
    const high = 2 * this.stand.far * Math.tan((camera.fov * Math.PI) / 360);
    const across = new Vector3().setFromMatrixColumn(camera.matrix, 0).multiplyScalar(right * high);
    const upward = new Vector3().setFromMatrixColumn(camera.matrix, 1).multiplyScalar(up * high);
    const moved = new Vector3(...this.stand.at).add(across).add(upward);
    this.stand.at = [moved.x, moved.y, moved.z];
  }

  place(camera: PerspectiveCamera): void {
    const { turn, tilt } = this.stand;
    const far = this.stand.far * (1 + 0.45 * this.apart);
    const at: Point = [this.stand.at[0], this.stand.at[1], this.stand.at[2] + 450 * this.apart];
    camera.up.set(0, 0, 1);
    camera.position.set(
      at[0] + far * Math.cos(tilt) * Math.sin(turn), at[1] - far * Math.cos(tilt) * Math.cos(turn), at[2] + far * Math.sin(tilt));
    camera.lookAt(at[0], at[1], at[2]);
    camera.near = far / 50;
    camera.far = far * 6 + 20000;
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld();
  }
}
