// SPDX-License-Identifier: Apache-2.0
//
// Where the figures of dimension lines stand: above their line, read from below or from the right of the sheet (ISO 129-1),
// and never one over another. A figure that finds no free place along its line stands beyond an end of it, or is left out.
import type { At } from './strokes';

export interface LabelLine {
  key: string;
  a: At;
  b: At;
  letters: number;
}

export interface Label {
  x: number;
  y: number;
  angle: number;  // degrees, clockwise on the screen
}

const letter = 8.6;  // CSS pixels wide, about, where text is 16 high
const high = 17;

/// How wide a figure of so many letters is, CSS pixels, about.
export const widthOf = (letters: number, rem: number) => letters * letter * rem;

/// A figure is told from others by a row of round spots that cover it.
function spotsOf(label: Label, letters: number, rem: number): At[] {
  const turn = (label.angle * Math.PI) / 180;
  const [right, up] = [{ x: Math.cos(turn), y: Math.sin(turn) }, { x: Math.sin(turn), y: -Math.cos(turn) }];
  const long = widthOf(letters, rem);
  const count = Math.max(2, Math.ceil(long / (12 * rem)));
  return Array.from({ length: count }, (_, i) => {
    const along = ((i + 0.5) / count - 0.5) * long;
    return { x: label.x + right.x * along + up.x * (high * rem / 2), y: label.y + right.y * along + up.y * (high * rem / 2) };
  });
}

export function readable(a: At, b: At): number {
  let angle = (Math.atan2(b.y - a.y, b.x - a.x) * 180) / Math.PI;
  while (angle > 60) angle -= 180;
  while (angle <= -120) angle += 180;
  return angle;
}

/// `room`: the picture's own size, which no figure leaves; `rem`: how much larger than usual text is there.
export function placeLabels(lines: LabelLine[], handles: At[], room: { wide: number; high: number; rem?: number }): Map<string, Label> {
  const { rem = 1 } = room;
  const taken: At[] = [];
  const found = new Map<string, Label>();
  // The short ones first: they have the least choice.
  const ordered = lines.map((each) => ({ ...each, long: Math.hypot(each.b.x - each.a.x, each.b.y - each.a.y) })).sort((p, q) => p.long - q.long);
  for (const { key, a, b, letters, long } of ordered) {
    const angle = readable(a, b);
    const need = widthOf(letters, rem);
    const beyond = (need / 2 + 16 * rem) / Math.max(long, 1);
    const shares = need + 8 < long ? [0.5, 0.36, 0.64, 0.25, 0.75, -beyond, 1 + beyond] : [-beyond, 1 + beyond];
    for (const share of shares) {
      const label = { x: a.x + (b.x - a.x) * share, y: a.y + (b.y - a.y) * share, angle };
      const spots = spotsOf(label, letters, rem);
      const free = spots.every((spot) => spot.x > 6 && spot.y > 6 && spot.x < room.wide - 6 && spot.y < room.high - 6 && taken.every((each) => Math.hypot(each.x - spot.x, each.y - spot.y) > 14 * rem) &&
        handles.every((each) => Math.hypot(each.x - spot.x, each.y - spot.y) > 16 * rem));
      if (!free) continue;
      taken.push(...spots);
      found.set(key, label);
      break;
    }
  }
  return found;
}
