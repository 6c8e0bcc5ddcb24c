// SPDX-License-Identifier: Apache-2.0
import { expect, test } from '@playwright/test';
import { readFileSync } from 'node:fs';
import { parse } from 'smol-toml';
import { apply, difference, takeBack } from '../src/job/history';
import { parseLength, parsePlace, printLength } from '../src/base/length';
import { choicePath, pathOnLine, rawValue, setValue } from '../src/job/toml_text';
import { bladesFor, corners, tightest } from '../src/curve/radius';
import { pointsIn, startFrom, split, toToml } from '../src/curve/shape';

const arbor = readFileSync(new URL('../../examples/arbor.toml', import.meta.url), 'utf8');

test('a choice is replaced and every other character stays', () => {
  const wider = setValue(arbor, choicePath(0, 'opening'), '1400');
  expect(wider).toBe(arbor.replace('opening = 1350', 'opening = 1400'));
});

test('a choice that was not given is added at the end of its table, and taken out again', () => {
  const more = setValue(arbor, choicePath(0, 'gravel'), '150');
  expect(parse(more)).toMatchObject({ structure: [{ choices: { opening: 1350, gravel: 150 } }] });
  expect(setValue(more, choicePath(0, 'gravel'), null)).toBe(arbor);
});

test('tables that are missing are made, in the right place', () => {
  const soil = setValue(arbor, ['site', 'soil'], '"stiff clay"');
  expect(parse(soil)).toMatchObject({ site: { soil: 'stiff clay' }, timber: { measured: { '4x2': '44 x 94' } }, structure: [{ pattern: 'arbor' }] });
  const measured = setValue(arbor, ['timber', 'measured', '3x2'], '"44 x 69"');
  expect(parse(measured)).toMatchObject({ timber: { measured: { '4x2': '44 x 94', '3x2': '44 x 69' } } });
});

test('inline tables, dotted keys, strings and comments that look like keys are read as TOML reads them', () => {
  const odd = [
    'title = "a # b = [c]" # opening = 1', "note = '''", 'opening = 5', "'''", '[[structure]]', 'pattern = "arbor"',
    'choices = { opening = 900, beam_end = [[0, 1], # tip', '  [1, 0]] }', '[[structure]]', 'choices.opening = 1', 'choices."odd key" = 2', '',
  ].join('\n');
  expect(rawValue(odd, ['title'])).toBe('"a # b = [c]"');
  const first = setValue(odd, choicePath(0, 'opening'), '950');
  expect((parse(first.replace('# tip\n', '\n')) as { structure: { choices: object }[] }).structure[0]!.choices).toMatchObject({ opening: 950 });
  const second = setValue(odd, choicePath(1, 'opening'), '7');
  expect(second).toBe(odd.replace('choices.opening = 1', 'choices.opening = 7'));
  expect(pathOnLine(arbor, arbor.split('\n').findIndex((line) => line.startsWith('rafters')) + 1)).toEqual(['structure#0', 'choices', 'rafters']);
});

test('any text is survived, and undo gives it back', () => {
  let seed = 7;
  const chance = (n: number) => ((seed = (seed * 1103515245 + 12345) % 2147483648) / 2147483648) * n | 0;
  const letters = '[]{}="\'#,.\n a1\\-';
  for (let round = 0; round < 300; round += 1) {
    let text = arbor;
    for (let cut = 0; cut < 4; cut += 1) {
      const at = chance(text.length);
      text = text.slice(0, at) + letters[chance(letters.length)] + text.slice(at + chance(6));
    }
    const next = setValue(text, choicePath(0, 'opening'), '1234');
    const edit = difference(text, next, '');
    expect(apply(text, edit)).toBe(next);
    expect(takeBack(next, edit)).toBe(text);
  }
});

test('lengths are read and printed in either system; an inch is 25.4 mm', () => {
  const cases: [string, number][] = [
    ['1150', 1150], ['1.15 m', 1150], ['115cm', 1150], ['2ft', 609.6], ["7' 6 1/2\"", 90.5 * 25.4], ['7 ft 6-1/2 in', 90.5 * 25.4], ['45 1/4 in', 45.25 * 25.4], ['1,5 m', 1500],
  ];
  for (const [typed, mm] of cases) expect(parseLength(typed, 'mm'), typed).toBeCloseTo(mm, 9);
  for (const typed of ['', 'wide', '12 furlongs', '1 m and', '--3', '1e9 mm x']) expect(parseLength(typed, 'mm'), typed).toBeNull();
  // A place may lie before or below what it is measured from; a length may not.
  expect(parsePlace('-175', 'mm')).toBe(-175);
  expect(parsePlace('−3 ft 2 in', 'ft-in')).toBeCloseTo(-38 * 25.4, 9);
  expect(parseLength('-175', 'mm')).toBeNull();
  expect(parseLength('60', 'ft-in')).toBeCloseTo(1524, 9);
  expect(printLength(90.5 * 25.4, 'ft-in')).toBe('7 ft 6 1/2 in');
  expect(printLength(304.79, 'ft-in')).toBe('1 ft');
  for (let mm = 1; mm < 4000; mm += 37) expect(Math.abs(parseLength(printLength(mm, 'ft-in'), 'ft-in')! - mm)).toBeLessThanOrEqual(25.4 / 32 + 1e-9);
});

test('a quadrant turns with its own radius, and splitting changes nothing', () => {
  const quarter = startFrom('quarter round');
  // Four-thirds-root-two handles stay within 0.4 % of the circle's curvature in the middle and 1 % at the ends.
  expect(tightest(quarter, 100).radius).toBeGreaterThan(98.5);
  expect(tightest(quarter, 100).radius).toBeLessThan(100.5);
  expect(tightest(quarter, 100).hollow).toBe(false);
  expect(tightest(startFrom('cove'), 100).hollow).toBe(true);
  expect(tightest(startFrom('ogee'), 100).radius).toBeGreaterThan(49);
  expect(tightest(startFrom('bevel'), 100).radius).toBe(Infinity);
  expect(tightest(split(quarter, 0), 100).radius).toBeCloseTo(tightest(quarter, 100).radius, 3);
  expect(corners(split(quarter, 0))).toEqual([]);
  expect(corners([[0, 1], [0, 0.8], [0.2, 0.5], [0.5, 0.5], [0.5, 0.3], [0.8, 0], [1, 0]])).toEqual([3]);
});

test('a parabola’s vertex has the radius the books give', () => {
  // y = x² from -1 to 1 as a cubic; its radius of curvature at the vertex is 1/2.
  const parabola: [number, number][] = [[-1, 1], [-1 / 3, -1 / 3], [1 / 3, -1 / 3], [1, 1]];
  expect(tightest(parabola, 1).radius).toBeCloseTo(0.5, 6);
});

test('the widest blade that follows is found; thick stock wants more room, and some blades are not fit for it', () => {
  const blade = (tool: 'bandsaw' | 'jigsaw', inches: string, width_mm: number, least_radius_mm: number) =>
    ({ tool, inches, width_mm, least_radius_mm, least_radius_thick_mm: 1.25 * least_radius_mm });
  const table = {
    thick_from_mm: 45,
    blades: [blade('bandsaw', '1/2', 12.7, 64), blade('bandsaw', '3/8', 9.5, 38), { ...blade('jigsaw', '3/16', 5, 10), most_thickness_mm: 20 }],
  };
  const widest = (radius: number, thickness: number) => bladesFor(table, 'bandsaw', radius, thickness).widest?.inches;
  expect(widest(63.9, 44)).toBe('3/8');
  expect(widest(64, 44)).toBe('1/2');
  expect(widest(64, 45)).toBe('3/8');
  expect(bladesFor(table, 'bandsaw', 30, 44)).toMatchObject({ widest: null, narrowest: { inches: '3/8' } });
  expect(bladesFor(table, 'jigsaw', 100, 45)).toEqual({ widest: null, narrowest: null });
  expect(pointsIn((parse(`x = ${toToml(startFrom('ogee'))}`) as { x: unknown }).x)).toHaveLength(7);
});
