// SPDX-License-Identifier: Apache-2.0
//
// Drawing contexts are slow to come by without a graphics card. So the first is asked for before anything is laid out, and
// one that is no longer needed waits for the next picture.
import { BufferAttribute, BufferGeometry, Camera, LinearSRGBColorSpace, Mesh, Scene, WebGLRenderer } from 'three';
import { paint } from './paint';

const idle: WebGLRenderer[] = [];
const mostIdle = 2;  // as many as are shown side by side

function make(): WebGLRenderer {
  const made = new WebGLRenderer({ antialias: false, alpha: false, stencil: false, powerPreference: 'low-power' });
  made.outputColorSpace = LinearSRGBColorSpace;  // colours come as the screen takes them
  made.domElement.setAttribute('aria-hidden', 'true');
  return made;
}

/// Throws where there is no WebGL.
export function takeRenderer(): WebGLRenderer {
  let found = idle.pop();
  while (found?.getContext().isContextLost()) found = idle.pop();
  return found ?? make();
}

export function giveBack(renderer: WebGLRenderer): void {
  renderer.domElement.remove();
  if (idle.length < mostIdle && !renderer.getContext().isContextLost()) return void idle.push(renderer);
  renderer.dispose();
  renderer.forceContextLoss();
}

/// Has a context made and the one shader built, by drawing a single corner. Without WebGL the picture itself will say so.
export function warmUp(): void {
  try {
    const made = make();
    const geometry = new BufferGeometry();
    geometry.setAttribute('position', new BufferAttribute(new Float32Array(9), 3));
    geometry.setAttribute('colour', new BufferAttribute(new Uint8Array(12), 4, true));
    const drop = new Mesh(geometry, paint({}));
    drop.frustumCulled = false;
    made.render(new Scene().add(drop), new Camera());
    idle.push(made);
  } catch {
    // no WebGL
  }
}
