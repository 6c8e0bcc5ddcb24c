// SPDX-License-Identifier: Apache-2.0
//
// Drawing contexts are slow to come by without a graphics card: one that is no longer needed waits for the next picture.
import { LinearSRGBColorSpace, WebGLRenderer } from 'three';

const idle: WebGLRenderer[] = [];
const mostIdle = 2;  // as many as are shown side by side

function make(): WebGLRenderer {
  const made = new WebGLRenderer({ antialias: false, alpha: false, stencil: false, powerPreference: 'low-power' });
  made.sortObjects = false;  // a picture says itself in which order it is drawn
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
