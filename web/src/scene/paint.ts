// SPDX-License-Identifier: Apache-2.0
//
// How things are laid on the picture: one small program that draws corners in their own colours, and which is told apart
// only by what it cuts and lets through. Colours are those of the screen (sRGB); nothing is converted on the way.
import {
  BackSide, BufferAttribute, BufferGeometry, Color, DoubleSide, FrontSide, GLSL3, RawShaderMaterial, SRGBColorSpace, type Side,
} from 'three';
import { sunOn } from './bodies';
import { woodPicture } from './wood';

const vertex = `
  in vec3 position; in vec4 colour;
  uniform mat4 modelViewMatrix, projectionMatrix;
  out vec4 tone; out float deep;
  #ifdef WOOD
  in vec3 grain; out vec3 streak;
  #endif
  void main() {
    tone = colour; deep = position.y;
    #ifdef WOOD
    streak = grain;
    #endif
    gl_Position = projectionMatrix * (modelViewMatrix * vec4(position, 1.0));
  }`;
const fragment = `
  precision mediump float;
  in vec4 tone; in highp float deep;
  uniform highp float cutAt; uniform vec4 plain, hatch; uniform float spacing;
  #ifdef WOOD
  in highp vec3 streak; uniform sampler2D wood;
  #endif
  out vec4 seen;
  void main() {
    #ifdef CUT
    if (deep < cutAt) discard;
    #endif
    #ifdef PLAIN
    // A cut face, hatched as on paper.
    highp float across = mod(gl_FragCoord.x + gl_FragCoord.y, spacing);
    seen = across < spacing * 0.16 ? hatch : plain;
    #else
    seen = tone;
    #ifdef WOOD
    #ifdef HASTY
    vec2 fibre = vec2(0.45);
    #else
    vec2 fibre = texture(wood, streak.xy).rg;
    #endif
    seen.rgb *= streak.z < 0.5 ? 1.055 - 0.15 * fibre.r : streak.z < 1.5 ? 0.97 - 0.24 * fibre.g : 1.0;
    #endif
    #endif
  }`;

export interface Manner {
  cut?: boolean;                  // what lies before the cut is left out
  plain?: boolean;                // all in one colour, hatched: `plain`, `hatch`
  wood?: boolean;                 // with its grain
  hasty?: boolean;                // the grain by its mean tone alone
  through?: boolean;              // laid over what is there by its share of cover
  side?: Side;
  over?: boolean;                 // over all that is there, from either side
  behind?: boolean;               // pushed back a little, so that edges lie on it
}

export { BackSide, DoubleSide, FrontSide };

export function paint({ cut = false, plain = false, wood = false, hasty = false, through = false, side = FrontSide, over = false, behind = false }: Manner): RawShaderMaterial {
  return new RawShaderMaterial({
    glslVersion: GLSL3, vertexShader: vertex, fragmentShader: fragment, side: over ? DoubleSide : side, depthTest: !over,
    defines: { ...(cut ? { CUT: 1 } : {}), ...(plain ? { PLAIN: 1 } : {}), ...(wood ? { WOOD: 1 } : {}), ...(hasty ? { HASTY: 1 } : {}) },
    uniforms: {
      cutAt: { value: 0 }, plain: { value: [0, 0, 0, 1] }, hatch: { value: [0, 0, 0, 1] }, spacing: { value: 9 },
      ...(wood && !hasty ? { wood: { value: woodPicture() } } : {}),
    },
    transparent: through, depthWrite: !through, polygonOffset: behind, polygonOffsetFactor: 1, polygonOffsetUnits: 1,
  });
}

/// Red, green, blue and cover as bytes.
export type Tone = readonly [number, number, number, number];

const byte = (share: number) => Math.round(255 * Math.min(1, Math.max(0, share)));

export function toneOf(colour: Color, cover = 1): Tone {
  const out = { r: 0, g: 0, b: 0 };
  colour.getRGB(out, SRGBColorSpace);
  return [byte(out.r), byte(out.g), byte(out.b), byte(cover)];
}

const steps = 48;

/// A colour under the sky alone, under the full sun, and between: by how much the sun reaches a face.
export class Lit {
  private tones: Tone[];

  constructor(colour: Color) {
    this.tones = Array.from({ length: steps + 1 }, (_, i) => toneOf(colour.clone().multiplyScalar(0.493 + (0.668 * i) / steps)));
  }

  at(sun: number): Tone {
    return this.tones[Math.round(Math.max(0, sun) * steps)]!;
  }
}

export function setTone(colours: Uint8Array, corner: number, count: number, tone: Tone): void {
  for (let i = corner * 4, end = (corner + count) * 4; i < end; i += 4) {
    colours[i] = tone[0];
    colours[i + 1] = tone[1];
    colours[i + 2] = tone[2];
    colours[i + 3] = tone[3];
  }
}

export function setLit(colours: Uint8Array, points: Float32Array, corner: number, count: number, lit: Lit): void {
  for (let i = corner; i < corner + count; i += 3) setTone(colours, i, 3, lit.at(sunOn(points, i)));
}

/// Arrays as three keeps them. What had the same length before is written over; else all is laid out anew.
export function fill(geometry: BufferGeometry, points: Float32Array, colours: Uint8Array, grain?: Float32Array): void {
  const had = geometry.getAttribute('position') as BufferAttribute | undefined;
  if (had && had.array.length === points.length) {
    const over = (name: string, values: ArrayLike<number>) => {
      const attribute = geometry.getAttribute(name) as BufferAttribute;
      attribute.array.set(values);
      attribute.needsUpdate = true;
    };
    over('position', points);
    over('colour', colours);
    if (grain) over('grain', grain);
  } else {
    geometry.dispose();
    geometry.setAttribute('position', new BufferAttribute(points.slice(), 3));
    geometry.setAttribute('colour', new BufferAttribute(colours.slice(), 4, true));
    if (grain) geometry.setAttribute('grain', new BufferAttribute(grain.slice(), 3));
  }
  geometry.boundingSphere = null;
}
