// SPDX-License-Identifier: Apache-2.0
//
// How tightly a drawn end turns, and which bandsaw blade still follows it.
import type { Blade, Blades } from '../api/types';
import type { Uv } from './shape';

export interface Tightest {
  radius: number;   // mm; Infinity where it is straight
  at: Uv;
  hollow: boolean;  // the blade turns in the waste of a hollow; a rounding can be sawn in facets as well
}

/// Radius of curvature of a cubic at t: |p'|³ / |p' × p''|, in units of the curve; signed by the way it turns.
function curvature(p: [Uv, Uv, Uv, Uv], t: number): number {
  const s = 1 - t;
  const first = (i: 0 | 1) => 3 * (s * s * (p[1][i] - p[0][i]) + 2 * s * t * (p[2][i] - p[1][i]) + t * t * (p[3][i] - p[2][i]));
  const second = (i: 0 | 1) => 6 * (s * (p[2][i] - 2 * p[1][i] + p[0][i]) + t * (p[3][i] - 2 * p[2][i] + p[1][i]));
  const [dx, dy, ddx, ddy] = [first(0), first(1), second(0), second(1)];
  const speed = Math.hypot(dx, dy);
  return speed < 1e-9 ? 0 : (dx * ddy - dy * ddx) / speed ** 3;
}

export function pointAt(p: [Uv, Uv, Uv, Uv], t: number): Uv {
  const s = 1 - t;
  const mix = (i: 0 | 1) => s ** 3 * p[0][i] + 3 * s * s * t * p[1][i] + 3 * s * t * t * p[2][i] + t ** 3 * p[3][i];
  return [mix(0), mix(1)];
}

export function strokes(points: Uv[]): [Uv, Uv, Uv, Uv][] {
  const found: [Uv, Uv, Uv, Uv][] = [];
  for (let i = 0; i + 3 < points.length; i += 3) found.push(points.slice(i, i + 4) as [Uv, Uv, Uv, Uv]);
  return found;
}

/// The tightest place of the curve, `size` mm being one unit. Sampled, then narrowed about the tightest sample.
export function tightest(points: Uv[], size: number): Tightest {
  let best: Tightest = { radius: Infinity, at: [0.5, 0.5], hollow: false };
  const samples = 200;
  for (const stroke of strokes(points)) {
    let top = 0;
    let topT = 0;
    const look = (t: number) => {
      const found = Math.abs(curvature(stroke, t));
      if (found > top) [top, topT] = [found, t];
    };
    for (let i = 0; i <= samples; i += 1) look(i / samples);
    for (let step = 1 / samples / 2; step > 1e-6; step /= 2) {
      look(Math.max(0, topT - step));
      look(Math.min(1, topT + step));
    }
    const radius = top < 1e-9 ? Infinity : size / top;
    // Drawn from the tip down to the underside the timber lies to the left: a turn to the right is a hollow.
    if (radius < best.radius) best = { radius, at: pointAt(stroke, topT), hollow: curvature(stroke, topT) < 0 };
  }
  return best;
}

/// Joints where the curve breaks by more than a degree: two cuts meet there, no blade turns through it.
export function corners(points: Uv[]): number[] {
  const found: number[] = [];
  for (let i = 3; i + 1 < points.length; i += 3) {
    const [a, b, c] = [points[i - 1]!, points[i]!, points[i + 1]!];
    const into = Math.atan2(b[1] - a[1], b[0] - a[0]);
    const out = Math.atan2(c[1] - b[1], c[0] - b[0]);
    const turn = Math.abs(Math.atan2(Math.sin(out - into), Math.cos(out - into)));
    if (turn > Math.PI / 180) found.push(i);
  }
  return found;
}

/// The radius a blade wants in timber of this thickness, mm.
export function radiusOf(blade: Blade, table: Blades, thickness: number): number {
  return thickness >= table.thick_from_mm ? blade.least_radius_thick_mm : blade.least_radius_mm;
}

/// The widest blade of a tool that follows it, and its narrowest; null where none does or none is fit for the timber.
export function bladesFor(table: Blades, tool: Blade['tool'], radius: number, thickness: number): { widest: Blade | null; narrowest: Blade | null } {
  const fit = table.blades.filter((each) => each.tool === tool && thickness <= (each.most_thickness_mm ?? Infinity));
  return { widest: fit.find((each) => radiusOf(each, table, thickness) <= radius) ?? null, narrowest: fit[fit.length - 1] ?? null };
}
