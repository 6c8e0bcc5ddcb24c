// SPDX-License-Identifier: Apache-2.0
//
// Draws the picture plainly while it moves, and once it rests smoothed and with shade where things meet: without a graphics
// card it is these that cost.
import {
  Color, DepthTexture, LinearSRGBColorSpace, Mesh, OrthographicCamera, PlaneGeometry, RawShaderMaterial, Scene, GLSL3, UnsignedIntType, Vector2, Vector3,
  WebGLRenderTarget, type PerspectiveCamera, type WebGLRenderer,
} from 'three';
import { Pace, type Haste } from './pace';

const restMs = 220;       // without a new picture: it rests
const heldMs = 900;       // the same while something is held: pictures that come slowly are no rest
const mostSmooth = 9e6;   // pixels; a larger picture is fine enough as it is
const fineness = [1, 0.7, 0.5];  // of the screen's own, by haste

type Camera = PerspectiveCamera | OrthographicCamera;
export interface Layer {
  scene: Scene;
  camera: Camera;
}

/// Where two faces meet in a hollow, less light comes: told from how the depths on either side of a pixel lie to its own.
const shade = `
  precision highp float;
  uniform sampler2D seen; uniform highp sampler2D depths;
  uniform vec2 one; uniform float near, far, flat_; uniform vec3 paper; uniform float tall;   // tall: device pixels to a mm, at distance 1 in perspective
  in vec2 at; out vec4 tone;
  float away(vec2 p) {
    float d = texture(depths, p).r;
    return flat_ > 0.5 ? near + d * (far - near) : near * far / (far - d * (far - near));
  }
  void main() {
    tone = texture(seen, at);
    float here = texture(depths, at).r;
    if (here >= 1.0 || distance(tone.rgb, paper) < 0.006) return;  // nor where the paper itself lies before what is buried
    float d = away(at);
    float scale = flat_ > 0.5 ? tall : tall / d;
    float hollow = 0.0;
    const float reach[2] = float[2](22.0, 64.0);
    for (int ring = 0; ring < 2; ring++) {
      float pixels = clamp(reach[ring] * scale, 1.5, 26.0);
      for (int i = 0; i < 6; i++) {
        float angle = 0.5235988 * (float(i) + 0.5 * float(ring));
        vec2 by = vec2(cos(angle), sin(angle)) * pixels * one;
        vec2 a = at + by, b = at - by;
        if (min(min(a.x, a.y), min(b.x, b.y)) < 0.0 || max(max(a.x, a.y), max(b.x, b.y)) > 1.0) continue;
        float p = d - away(a), q = d - away(b);
        float most = 1.3 * reach[ring];
        if (abs(p) > most || abs(q) > most) continue;
        hollow += clamp((p + q) / reach[ring], 0.0, 1.0);
      }
    }
    tone.rgb *= 1.0 - 0.4 * min(hollow / 5.0, 1.0);
  }`;

export class Brush {
  private restTimer = 0;
  private restFrame = 0;
  private fine: WebGLRenderTarget | null = null;
  private sheet = new Mesh(new PlaneGeometry(2, 2), new RawShaderMaterial({
    glslVersion: GLSL3, depthTest: false, depthWrite: false,
    uniforms: {
      seen: { value: null }, depths: { value: null }, one: { value: new Vector2() }, near: { value: 1 }, far: { value: 2 }, flat_: { value: 0 }, tall: { value: 1 }, paper: { value: new Vector3() },
    },
    vertexShader: 'in vec3 position; in vec2 uv; out vec2 at; void main() { at = uv; gl_Position = vec4(position, 1.0); }',
    fragmentShader: shade,
  }));
  private flat = new Scene();
  private straight = new OrthographicCamera();

  private pace = new Pace();
  private haste: Haste = 0;
  private size = { wide: 1, high: 1 };

  /// `over` is laid over `picture`; `moves` is told when it begins to move and rests, `coarsens` when it is drawn plainly or
  /// whole from now on.
  constructor(private renderer: WebGLRenderer, private picture: () => Layer, private over: Layer, private moves: (now: boolean) => void, private coarsens: (now: boolean) => void) {
    renderer.autoClear = false;
    this.sheet.frustumCulled = false;
    this.flat.add(this.sheet);
  }

  paper(colour: string): void {
    // Clearing takes the colour as it stands: it is not to be converted either.
    const { r, g, b } = new Color().setStyle(colour, LinearSRGBColorSpace);
    this.renderer.setClearColor(new Color(r, g, b), 1);
    this.sheet.material.uniforms['paper']!.value.set(r, g, b);
  }

  resize(wide: number, high: number): void {
    this.dropFine();
    this.size = { wide, high };
    this.lay();
  }

  private lay(): void {
    const ratio = Math.min(devicePixelRatio, 2) * fineness[this.haste]!;
    if (ratio !== this.renderer.getPixelRatio()) this.renderer.setPixelRatio(ratio);  // it lays the buffer anew, even to the same size
    this.renderer.setSize(this.size.wide, this.size.high);
  }

  private draws(haste: Haste): void {
    if (haste === this.haste) return;
    this.haste = haste;
    this.lay();
    this.coarsens(haste > 0);
  }

  /// Paper alone, while there is nothing to draw on it.
  blank(): void {
    this.renderer.clear();
  }

  /// To be drawn finely soon, where nothing moves it on.
  draw(held: boolean): void {
    this.pace.picture(performance.now(), held);
    this.draws(this.pace.haste);
    this.drawLayers();
    this.moves(true);
    clearTimeout(this.restTimer);
    cancelAnimationFrame(this.restFrame);
    this.restTimer = window.setTimeout(() => (this.restFrame = requestAnimationFrame(() => this.drawFine())), held ? heldMs : restMs);
  }

  private drawLayers(): void {
    this.renderer.clear();
    for (const { scene, camera } of [this.picture(), this.over]) this.renderer.render(scene, camera);
  }

  private drawFine(): void {
    this.moves(false);
    const wasCoarse = this.haste > 0;
    this.draws(0);
    const { renderer } = this;
    const { width, height } = renderer.domElement;
    if (width === 0 || height === 0) return;
    if (width * height > mostSmooth) {
      if (wasCoarse) this.drawLayers();
      return;
    }
    this.fine ??= new WebGLRenderTarget(width, height, { samples: 4, depthTexture: new DepthTexture(width, height, UnsignedIntType) });
    const { camera } = this.picture();
    const known = this.sheet.material.uniforms;
    known['seen']!.value = this.fine.texture;
    known['depths']!.value = this.fine.depthTexture;
    known['one']!.value.set(1 / width, 1 / height);
    known['near']!.value = camera.near;
    known['far']!.value = camera.far;
    known['flat_']!.value = 'isOrthographicCamera' in camera ? 1 : 0;
    known['tall']!.value = (camera.projectionMatrix.elements[5]! * height) / 2;
    renderer.setRenderTarget(this.fine);
    this.drawLayers();  // what is laid over leaves no depth
    renderer.setRenderTarget(null);
    renderer.render(this.flat, this.straight);
  }

  private dropFine(): void {
    this.fine?.depthTexture?.dispose();
    this.fine?.dispose();
    this.fine = null;
  }

  dispose(): void {
    clearTimeout(this.restTimer);
    cancelAnimationFrame(this.restFrame);
    this.dropFine();
    this.sheet.geometry.dispose();
    this.sheet.material.dispose();
  }
}
