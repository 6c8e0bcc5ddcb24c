// SPDX-License-Identifier: Apache-2.0
//
// What is there already: the wall that a structure leans on, a tree, a shed. Drawn quieter than the work. Of a wall only
// its face, top and ends are drawn: from behind one looks through it.
import { Color, Vector3 } from 'three';
import type { Model, Point } from '../api/types';
import { sunOn } from './bodies';
import type { Drawn, DrawnLines } from './ground';
import { Lit, toneOf } from './paint';
import type { Tones } from './tones';

const beyond = 700;     // mm that a wall is drawn past the structure, to the sides and up
const wallThick = 240;

class Mason {
  private points: number[] = [];
  private lines: number[] = [];

  /// A flat face by its corners, anticlockwise as seen from outside.
  face(corners: Vector3[], outlined = true): void {
    for (let i = 1; i + 1 < corners.length; i += 1) for (const each of [corners[0]!, corners[i]!, corners[i + 1]!]) this.points.push(each.x, each.y, each.z);
    if (outlined) corners.forEach((from, i) => this.line(from, corners[(i + 1) % corners.length]!));
  }

  line(from: Vector3, to: Vector3): void {
    this.lines.push(from.x, from.y, from.z, to.x, to.y, to.z);
  }

  /// A prism on the ground plan `foot`, anticlockwise as seen from above.
  prism(foot: Vector3[], high: number, outlined = true): void {
    const top = foot.map((each) => each.clone().setZ(each.z + high));
    foot.forEach((from, i) => {
      const k = (i + 1) % foot.length;
      this.face([from, foot[k]!, top[k]!, top[i]!], outlined);
    });
    this.face(top);
  }

  done(tones: Tones): { faces: Drawn; lines: DrawnLines } {
    const points = new Float32Array(this.points);
    const colours = new Uint8Array((points.length / 3) * 4);
    const lit = new Lit(new Color(tones.paper).lerp(new Color(tones.soft), 0.3));
    for (let i = 0; i < points.length / 3; i += 3) for (let k = 0; k < 3; k += 1) colours.set(lit.at(sunOn(points, i)), (i + k) * 4);
    const lines = new Float32Array(this.lines);
    const ink = toneOf(new Color(tones.ink), 0.55);
    return {
      faces: { points, colours },
      lines: { points: lines, colours: new Uint8Array(Array.from({ length: lines.length / 6 }, () => [...ink]).flat()), thick: new Float32Array(lines.length / 6).fill(120) },
    };
  }
}

function wall(mason: Mason, model: Model, at: Point, outward: Point): void {
  const { min, max } = model.bounds;
  const out = new Vector3(...outward);
  const along = new Vector3(-out.y, out.x, 0).normalize();  // to the left of one who looks at the wall
  const reach = [min, max].flatMap((a) => [min, max].map((b) => new Vector3(a[0], b[1], 0).dot(along)));
  const base = new Vector3(...at).setZ(0);
  const foot = (share: number, back: number) => base.clone().addScaledVector(along, share - base.dot(along)).addScaledVector(out, -back);
  const [left, right] = [Math.max(...reach) + beyond, Math.min(...reach) - beyond];
  const high = Math.max(2400, max[2] + beyond);
  const [a, b, c, d] = [foot(left, 0), foot(right, 0), foot(right, wallThick), foot(left, wallThick)];
  const up = (each: Vector3) => each.clone().setZ(high);
  mason.face([b, a, up(a), up(b)]);
  mason.face([up(b), up(a), up(d), up(c)]);
  mason.face([a, d, up(d), up(a)]);
  mason.face([c, b, up(b), up(c)]);
  // Hatched where it is cut, as walls are on a plan.
  const steps = Math.floor((left - right) / 160);
  for (let i = 0; i < steps; i += 1) mason.line(up(foot(right + i * 160, 0)), up(foot(right + (i + 1) * 160, wallThick)));
}

export function surroundingsOf(model: Model, tones: Tones): { faces: Drawn; lines: DrawnLines } {
  const mason = new Mason();
  for (const each of model.walls) wall(mason, model, each.at, each.outward);
  for (const each of model.existing) {
    const turn = (each.turn_deg * Math.PI) / 180;
    const placed = (x: number, y: number) => new Vector3(each.at[0] + x * Math.cos(turn) - y * Math.sin(turn), each.at[1] + x * Math.sin(turn) + y * Math.cos(turn), each.at[2]);
    const foot = each.kind === 'tree'
      ? Array.from({ length: 20 }, (_, i) => placed((each.width_mm / 2) * Math.cos((i * Math.PI) / 10), (each.width_mm / 2) * Math.sin((i * Math.PI) / 10)))
      : [placed(0, 0), placed(each.width_mm, 0), placed(each.width_mm, each.depth_mm), placed(0, each.depth_mm)];
    mason.prism(foot, each.height_mm, each.kind !== 'tree');
  }
  return mason.done(tones);
}
