// SPDX-License-Identifier: Apache-2.0
//
// Draws the picture plainly while it moves and smoothed once it rests: without a graphics card, smoothing is what costs.
import {
  Color, LinearSRGBColorSpace, Mesh, OrthographicCamera, PlaneGeometry, RawShaderMaterial, Scene, GLSL3, WebGLRenderTarget,
  type Camera, type WebGLRenderer,
} from 'three';

const restMs = 220;       // without a new picture: it rests
const mostSmooth = 9e6;   // pixels; a larger picture is fine enough as it is

export class Brush {
  private restTimer = 0;
  private restFrame = 0;
  private fine: WebGLRenderTarget | null = null;
  private sheet = new Mesh(new PlaneGeometry(2, 2), new RawShaderMaterial({
    glslVersion: GLSL3, depthTest: false, depthWrite: false, uniforms: { seen: { value: null } },
    vertexShader: 'in vec3 position; in vec2 uv; out vec2 at; void main() { at = uv; gl_Position = vec4(position, 1.0); }',
    fragmentShader: 'precision mediump float; uniform sampler2D seen; in vec2 at; out vec4 tone; void main() { tone = texture(seen, at); }',
  }));
  private flat = new Scene();
  private straight = new OrthographicCamera();

  /// `layers` are drawn one over the other; `moves` is told when the picture begins to move and when it rests.
  constructor(
    private renderer: WebGLRenderer, private layers: readonly { scene: Scene; camera: Camera }[], private moves: (now: boolean) => void,
  ) {
    renderer.autoClear = false;
    this.sheet.frustumCulled = false;
    this.flat.add(this.sheet);
  }

  paper(colour: string): void {
    // Clearing takes the colour as it stands: it is not to be converted either.
    const { r, g, b } = new Color().setStyle(colour, LinearSRGBColorSpace);
    this.renderer.setClearColor(new Color(r, g, b), 1);
  }

  resize(wide: number, high: number): void {
    this.fine?.dispose();
    this.fine = null;
    const ratio = Math.min(devicePixelRatio, 2);
    if (ratio !== this.renderer.getPixelRatio()) this.renderer.setPixelRatio(ratio);  // it lays the buffer anew, even to the same size
    this.renderer.setSize(wide, high);
  }

  draw(): void {
    this.drawLayers();
    this.moves(true);
    clearTimeout(this.restTimer);
    cancelAnimationFrame(this.restFrame);
    this.restTimer = window.setTimeout(() => (this.restFrame = requestAnimationFrame(() => this.drawFine())), restMs);
  }

  private drawLayers(): void {
    this.renderer.clear();
    for (const { scene, camera } of this.layers) this.renderer.render(scene, camera);
  }

  private drawFine(): void {
    this.moves(false);
    const { renderer } = this;
    const { width, height } = renderer.domElement;
    if (width * height > mostSmooth || width === 0 || height === 0) return;
    this.fine ??= new WebGLRenderTarget(width, height, { samples: 4 });
    this.sheet.material.uniforms['seen']!.value = this.fine.texture;
    renderer.setRenderTarget(this.fine);
    this.drawLayers();
    renderer.setRenderTarget(null);
    renderer.render(this.flat, this.straight);
  }

  dispose(): void {
    clearTimeout(this.restTimer);
    cancelAnimationFrame(this.restFrame);
    this.fine?.dispose();
    this.sheet.geometry.dispose();
    this.sheet.material.dispose();
  }
}
