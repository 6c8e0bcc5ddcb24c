// SPDX-License-Identifier: Apache-2.0
//
// Lines laid over the picture, in CSS pixels of it: y grows downwards. They are drawn with the picture, so that they never
// trail behind it, and as thin areas, so that they are as wide as they are said to be.
import { BufferGeometry, Mesh, OrthographicCamera, Scene, type RawShaderMaterial } from 'three';
import { fill, paint, type Tone } from './paint';

export interface At {
  x: number;
  y: number;
}

export interface Stroke {
  from: At;
  to: At;
  wide: number;
  tone: 'ink' | 'soft' | 'accent';
}

export class StrokeLayer {
  readonly scene = new Scene();
  readonly camera = new OrthographicCamera(0, 1, 0, 1, -1, 1);
  private mesh: Mesh<BufferGeometry, RawShaderMaterial>;

  constructor() {
    this.mesh = new Mesh(new BufferGeometry(), paint({ through: true, over: true }));
    this.mesh.frustumCulled = false;
    this.mesh.matrixAutoUpdate = false;
    this.scene.add(this.mesh);
  }

  resize(wide: number, high: number): void {
    this.camera.right = wide;
    this.camera.bottom = high;
    this.camera.updateProjectionMatrix();
  }

  set(strokes: Stroke[], tones: Record<Stroke['tone'], Tone>): void {
    const points = new Float32Array(strokes.length * 18);
    const colours = new Uint8Array(strokes.length * 24);
    strokes.forEach(({ from, to, wide, tone }, i) => {
      const long = Math.hypot(to.x - from.x, to.y - from.y) || 1;
      const x = ((to.y - from.y) / long) * (wide / 2);
      const y = (-(to.x - from.x) / long) * (wide / 2);
      const corners = [[from.x + x, from.y + y], [to.x + x, to.y + y], [to.x - x, to.y - y], [from.x - x, from.y - y]];
      [0, 1, 2, 0, 2, 3].forEach((corner, k) => {
        points.set(corners[corner]!, i * 18 + k * 3);
        colours.set(tones[tone], i * 24 + k * 4);
      });
    });
    fill(this.mesh.geometry, points, colours);
  }

  dispose(): void {
    this.mesh.geometry.dispose();
    this.mesh.material.dispose();
  }
}
