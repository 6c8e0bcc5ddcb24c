// SPDX-License-Identifier: Apache-2.0
//
// Screws and bolts as they are driven: a shaft with its head, six-sided. One that is in shows its head alone.
import { Color, Matrix4, Vector3 } from 'three';
import { sunOn } from './bodies';
import type { Drawn } from './ground';
import { Lit } from './paint';
import type { Drive } from './film';
import type { Tones } from './tones';

const sides = 6;
const headHigh = 4;  // mm

/// `shares`: how far each is in, 0 … 1; `poses`: where the bodies are that are not in their place.
export function drivenFixings(driven: { drive: Drive; share: number }[], poses: ReadonlyMap<string, Matrix4>, tones: Tones): Drawn {
  const points: number[] = [];
  const steel = new Lit(new Color(tones.soft).lerp(new Color(tones.paper), 0.35));
  const fresh = new Lit(new Color(tones.accent));
  const lit: Lit[] = [];
  const triangle = (tone: Lit, ...corners: Vector3[]) => {
    for (const each of corners) points.push(each.x, each.y, each.z);
    lit.push(tone);
  };
  for (const { drive, share } of driven) {
    const { fixing, key } = drive;
    const way = new Vector3(...fixing.way).normalize();
    const aside = new Vector3(0, 0, 1).cross(way);
    if (aside.lengthSq() < 0.01) aside.set(1, 0, 0);
    aside.normalize();
    const other = way.clone().cross(aside);
    const head = new Vector3(...fixing.head).addScaledVector(way, -(1 - share) * (fixing.length_mm + 30));
    const pose = key === null ? undefined : poses.get(key);
    const ring = (radius: number, along: number) => Array.from({ length: sides }, (_, i) => {
      const turn = (2 * Math.PI * i) / sides;
      const at = head.clone().addScaledVector(aside, Math.cos(turn) * radius).addScaledVector(other, Math.sin(turn) * radius).addScaledVector(way, along);
      return pose ? at.applyMatrix4(pose) : at;
    });
    const prism = (tone: Lit, radius: number, from: number, to: number) => {
      const [a, b] = [ring(radius, from), ring(radius, to)];
      for (let i = 0; i < sides; i += 1) {
        const k = (i + 1) % sides;
        triangle(tone, a[i]!, a[k]!, b[k]!);
        triangle(tone, a[i]!, b[k]!, b[i]!);
      }
      for (let i = 1; i + 1 < sides; i += 1) triangle(tone, a[0]!, a[i + 1]!, a[i]!);
    };
    const tone = share < 1 ? fresh : steel;
    prism(tone, Math.max(4, fixing.across_head_mm / 2 || fixing.diameter_mm), -headHigh, 0);
    if (share < 1) prism(tone, Math.max(2.5, fixing.diameter_mm / 2), 0, fixing.length_mm);
  }
  const array = new Float32Array(points);
  const colours = new Uint8Array((points.length / 3) * 4);
  lit.forEach((tone, n) => {
    const seen = tone.at(sunOn(array, n * 3));
    for (let k = 0; k < 3; k += 1) colours.set(seen, (n * 3 + k) * 4);
  });
  return { points: array, colours };
}
