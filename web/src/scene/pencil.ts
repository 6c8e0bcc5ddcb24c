// SPDX-License-Identifier: Apache-2.0
//
// Edges as a pencil draws them: heavier on what is near and thick, finer and fainter on what is small, so that a large roof
// from afar does not turn black. Each line is a thin area in the plane of the picture; a set of lines is one thing to draw.
import {
  BufferAttribute, BufferGeometry, GreaterDepth, GLSL3, InterleavedBuffer, InterleavedBufferAttribute, LessEqualDepth, Mesh, RawShaderMaterial,
  Vector2,
} from 'three';

const vertex = `
  in vec2 position;                 // end of the line, 0 or 1; side of it, -1 or 1
  in vec3 start, finish; in vec4 colour; in float thick;
  uniform mat4 modelViewMatrix, projectionMatrix;
  uniform vec2 sheet;               // of the picture, device pixels
  uniform float dots;                // device pixels to a CSS pixel
  uniform bool fine;
  out vec4 tone; out float deep;
  flat out float steep;
  void main() {
    vec4 a = projectionMatrix * (modelViewMatrix * vec4(start, 1.0));
    vec4 b = projectionMatrix * (modelViewMatrix * vec4(finish, 1.0));
    // What reaches behind the eye is drawn from where it comes before it.
    if (a.w < 1.0 && b.w > a.w) a = mix(a, b, (1.0 - a.w) / (b.w - a.w));
    if (b.w < 1.0 && a.w > b.w) b = mix(b, a, (1.0 - b.w) / (a.w - b.w));
    vec2 p = a.xy / a.w * sheet * 0.5, q = b.xy / b.w * sheet * 0.5;
    vec2 way = q - p;
    way /= max(length(way), 0.001);
    vec4 at = position.x < 0.5 ? a : b;
    float body = thick * projectionMatrix[1][1] * sheet.y * 0.5 / at.w / dots;   // CSS pixels that its body is thick
    float wide = fine ? 0.7 : clamp(0.55 + body / 26.0, 0.6, 2.1);
    float cover = fine ? clamp((body - 1.5) / 6.0, 0.0, 1.0) : clamp(body / 7.0, 0.1, 1.0);
    wide *= dots;
    tone = vec4(colour.rgb, colour.a * cover * min(wide, 1.0));
    deep = position.x < 0.5 ? start.y : finish.y;
    steep = abs(way.y) > abs(way.x) ? 1.0 : 0.0;
    vec2 aside = vec2(-way.y, way.x) * position.y * max(wide, 1.0) * 0.5 + way * (position.x - 0.5) * 0.6 * dots;
    gl_Position = at + vec4(aside / (sheet * 0.5) * at.w, 0.0, 0.0);
  }`;
const fragment = `
  precision mediump float;
  in vec4 tone; in highp float deep; flat in float steep;
  uniform highp float cutAt, dots;
  uniform bool dashed;
  out vec4 seen;
  void main() {
    if (deep < cutAt) discard;
    highp float along = steep > 0.5 ? gl_FragCoord.y : gl_FragCoord.x;
    if (dashed && mod(along, 8.0 * dots) > 5.0 * dots) discard;
    seen = tone;
  }`;

/// One for all pencils of a picture: shared, so that setting it once sets them all.
export interface Sheet {
  sheet: { value: Vector2 };
  dots: { value: number };
}

export interface PencilManner {
  hidden?: boolean;  // only where something lies before it: fine and dashed
  fine?: boolean;
}

/// One program for all of them: to make another takes longer than to draw with one that asks.
export function pencil(shared: Sheet, { hidden = false, fine = hidden }: PencilManner): RawShaderMaterial {
  return new RawShaderMaterial({
    glslVersion: GLSL3, vertexShader: vertex, fragmentShader: fragment,
    uniforms: { ...shared, cutAt: { value: -1e9 }, fine: { value: fine }, dashed: { value: hidden } }, side: 2, transparent: true, depthWrite: false,
    depthFunc: hidden ? GreaterDepth : LessEqualDepth,
  });
}

const corners = new Float32Array([0, -1, 1, -1, 1, 1, 0, 1]);

/// Lines between pairs of points, with a tone and the thickness of its body for each. Laid out in full, four corners a line:
/// drawn as instances, thousands of so small things take a picture without a graphics card far longer.
export class Lines {
  readonly geometry = new BufferGeometry();
  /// The first of them alone: those that may lie below the ground.
  readonly first = new BufferGeometry();
  /// The points as they are drawn, two a line; `moved` lays them anew after they were written over.
  points: Float32Array = new Float32Array();
  private ends = new InterleavedBuffer(new Float32Array(), 6);

  constructor() {
    this.lay(0);
  }

  mesh(material: RawShaderMaterial, geometry = this.geometry): Mesh<BufferGeometry, RawShaderMaterial> {
    const made = new Mesh(geometry, material);
    made.frustumCulled = false;
    made.matrixAutoUpdate = false;
    return made;
  }

  moved(): void {
    const ends = this.ends.array as Float32Array;
    for (let i = 0, o = 0; i < this.points.length; i += 6)
      for (let corner = 0; corner < 4; corner += 1, o += 6)
        for (let k = 0; k < 6; k += 1) ends[o + k] = this.points[i + k]!;
    this.ends.needsUpdate = true;
  }

  fill(points: Float32Array, colours: Uint8Array, thick: Float32Array): void {
    const count = points.length / 6;
    if (this.points.length !== points.length) this.lay(count);
    this.points = points.slice();
    this.moved();
    const tone = this.geometry.getAttribute('colour') as BufferAttribute;
    const body = this.geometry.getAttribute('thick') as BufferAttribute;
    for (let i = 0; i < count * 4; i += 1) {
      for (let k = 0; k < 4; k += 1) tone.array[i * 4 + k] = colours[(i >> 2) * 4 + k]!;
      body.array[i] = thick[i >> 2]!;
    }
    tone.needsUpdate = body.needsUpdate = true;
  }

  private lay(count: number): void {
    this.dispose();
    const places = new Float32Array(count * 8);
    const order = new Uint32Array(count * 6);
    for (let i = 0; i < count; i += 1) {
      places.set(corners, i * 8);
      order.set([0, 1, 2, 0, 2, 3].map((each) => each + i * 4), i * 6);
    }
    this.ends = new InterleavedBuffer(new Float32Array(count * 24), 6);
    const laid = {
      position: new BufferAttribute(places, 2), start: new InterleavedBufferAttribute(this.ends, 3, 0), finish: new InterleavedBufferAttribute(this.ends, 3, 3),
      colour: new BufferAttribute(new Uint8Array(count * 16), 4, true), thick: new BufferAttribute(new Float32Array(count * 4), 1),
    };
    const index = new BufferAttribute(order, 1);
    for (const each of [this.geometry, this.first]) {
      for (const [name, values] of Object.entries(laid)) each.setAttribute(name, values);
      each.setIndex(index);
    }
  }

  /// How many of them `first` has.
  drawFirst(count: number): void {
    this.first.setDrawRange(0, count * 6);
  }

  dispose(): void {
    this.geometry.dispose();
    this.first.dispose();
  }
}
