// SPDX-License-Identifier: Apache-2.0
//
// Wood as it looks from near: streaks along the timber, rings where it was cut across. One small picture carries both; a
// corner of a face says where on it it lies. From afar its finer levels are even, so that nothing shimmers.
import { DataTexture, LinearFilter, LinearMipmapLinearFilter, RepeatWrapping, RGBAFormat } from 'three';

const size = 256;
const along = 1100;   // mm of timber to the picture, along the grain
const across = 170;   // and across it

export const kinds = { side: 0, end: 1, none: 2 } as const;

/// Three numbers a face's corner: where on the picture it lies, and which of `kinds` it is. Timber runs along its own x.
export function grainOf(points: Float32Array, faces: Uint32Array): Float32Array {
  const out = new Float32Array(faces.length * 3);
  for (let i = 0; i < faces.length; i += 3) {
    const [a, b, c] = [faces[i]! * 3, faces[i + 1]! * 3, faces[i + 2]! * 3];
    const side = (k: number) => [points[b + k]! - points[a + k]!, points[c + k]! - points[a + k]!] as const;
    const [ux, vx] = side(0);
    const [uy, vy] = side(1);
    const [uz, vz] = side(2);
    const [nx, ny, nz] = [Math.abs(uy * vz - uz * vy), Math.abs(uz * vx - ux * vz), Math.abs(ux * vy - uy * vx)];
    // A cut steeper than 60° to the grain shows rings; a mitre of 45° shows the streaks drawn out.
    const end = nx > 0.86 * Math.hypot(nx, ny, nz);
    [a, b, c].forEach((at, k) => {
      const [x, y, z] = [points[at]!, points[at + 1]!, points[at + 2]!];
      out[(i + k) * 3] = end ? y / across : x / along;
      out[(i + k) * 3 + 1] = end ? z / across : (ny > nz ? z + 40 : y) / across;
      out[(i + k) * 3 + 2] = end ? kinds.end : kinds.side;
    });
  }
  return out;
}

/// Where a body's own streaks begin on the picture: no two neighbours look alike, and each always looks as it did.
export function seedOf(key: string): [number, number] {
  let hash = 2166136261;
  for (let i = 0; i < key.length; i += 1) hash = Math.imul(hash ^ key.charCodeAt(i), 16777619);
  return [(hash & 1023) / 1024, ((hash >>> 10) & 1023) / 1024];
}

/// Even noise between 0 and 1 on a lattice that closes on itself after `every` steps.
function noise(x: number, y: number, every: number, salt: number): number {
  const at = (i: number, j: number) => {
    let hash = Math.imul(((i % every) + every) % every + 1, 374761393) ^ Math.imul(((j % every) + every) % every + 1, 668265263) ^ salt;
    hash = Math.imul(hash ^ (hash >>> 13), 1274126177);
    return ((hash ^ (hash >>> 16)) >>> 0) / 4294967296;
  };
  const [i, j] = [Math.floor(x), Math.floor(y)];
  const ease = (t: number) => t * t * (3 - 2 * t);
  const [u, v] = [ease(x - i), ease(y - j)];
  return (at(i, j) * (1 - u) + at(i + 1, j) * u) * (1 - v) + (at(i, j + 1) * (1 - u) + at(i + 1, j + 1) * u) * v;
}

let made: DataTexture | null = null;

export function woodPicture(): DataTexture {
  if (made) return made;
  const data = new Uint8Array(size * size * 4);
  for (let j = 0; j < size; j += 1)
    for (let i = 0; i < size; i += 1) {
      const [u, v] = [i / size, j / size];
      // Early and late wood: bands that wander a little along the timber, and fine fibres over them.
      const bend = noise(u * 4, v * 4, 4, 7) * 2.2;
      const band = 0.5 + 0.5 * Math.cos(2 * Math.PI * (v * 12 + bend));
      const streak = 0.62 * band ** 3 + 0.38 * noise(u * 8, v * 64, 64, 11);
      // Rings about a pith outside the timber, crossed by rays.
      const ring = 0.5 + 0.5 * Math.cos(2 * Math.PI * (Math.hypot((u - 0.5) * 1.15, v + 0.22) * 15 + noise(u * 4, v * 4, 4, 3) * 0.5));
      data[(j * size + i) * 4] = Math.round(255 * streak);
      data[(j * size + i) * 4 + 1] = Math.round(255 * (0.75 * ring ** 2 + 0.25 * noise(u * 64, v * 64, 64, 5)));
      data[(j * size + i) * 4 + 3] = 255;
    }
  made = new DataTexture(data, size, size, RGBAFormat);
  made.wrapS = made.wrapT = RepeatWrapping;
  made.magFilter = LinearFilter;
  made.minFilter = LinearMipmapLinearFilter;
  made.generateMipmaps = true;
  made.needsUpdate = true;
  return made;
}
