// SPDX-License-Identifier: Apache-2.0
//
// The parts of a garden as the job has them: where each stands and how it is turned, and the levels of the ground.
import type { Pattern } from '../api/types';
import { lengthToToml, parseLength, parsePlace, type Units } from '../base/length';
import { tableOf, unitsOf, type Table } from './store';
import { choicePath, rawValue, removeUnder, setValue, tomlString } from './toml_text';

export interface Part {
  index: number;
  name: string;
  pattern: string;
  at: [number, number];
  level: number | null;  // where the job gives it
  turn: number;          // degrees, anticlockwise from above
  shares: [own: string, post: string][];  // its posts that are another's: ["left post", "arbor/right front post"]
}

const asLength = (value: unknown, units: Units) => parsePlace(String(value ?? 0), units) ?? 0;

export function partsOf(table: Table | null): Part[] {
  const given = Array.isArray(table?.['structure']) ? (table['structure'] as Table[]) : [];
  const units = unitsOf(table);
  return given.map((each, index) => {
    const at = Array.isArray(each['at']) ? each['at'] : [0, 0];
    return {
      index, name: String(each['name'] ?? each['pattern'] ?? `part ${index + 1}`), pattern: String(each['pattern'] ?? ''),
      at: [asLength(at[0], units), asLength(at[1], units)], level: at.length > 2 ? asLength(at[2], units) : null, turn: Number(each['turn'] ?? 0) || 0,
      shares: Object.entries((each['shares'] ?? {}) as Table).map(([own, post]) => [own, String(post)]),
    };
  });
}

const angle = (degrees: number) => {
  const turned = ((Math.round(degrees * 10) / 10) % 360 + 360) % 360;
  return turned > 180 ? turned - 360 : turned;
};

/// The job with this part somewhere else.
export function placePart(text: string, part: Part, at: [number, number], turn: number): string {
  const units = unitsOf(tableOf(text));
  const values = [...at, ...(part.level === null ? [] : [part.level])].map((each) => lengthToToml(each, units));
  const moved = setValue(text, [`structure#${part.index}`, 'at'], `[${values.join(', ')}]`);
  const turned = angle(turn);
  const had = rawValue(moved, [`structure#${part.index}`, 'turn']) !== null;
  return turned !== 0 || had ? setValue(moved, [`structure#${part.index}`, 'turn'], String(turned)) : moved;
}

/// The job with a post of this part being another's: the part then stands by that post, wherever it is.
export function sharePost(text: string, part: Part, own: string, post: string): string {
  const shared = setValue(text, [`structure#${part.index}`, 'shares', own], tomlString(post));
  return part.shares.length === 0 ? setValue(shared, [`structure#${part.index}`, 'at'], null) : shared;
}

/// The job with all posts of this part its own again, where it stands.
export function shareNone(text: string, part: Part, at: [number, number], turn: number): string {
  return placePart(removeUnder(text, [`structure#${part.index}`, 'shares']), part, at, turn);
}

/// The job with one part more, with the choices that an example of its pattern makes.
export function addPart(text: string, pattern: Pattern, example: string, at: [number, number]): string {
  const table = tableOf(text);
  const units = unitsOf(table);
  const from = tableOf(example);
  const choices = (((from?.['structure'] as Table[] | undefined)?.[0]?.['choices'] ?? {}) as Table);
  const names = partsOf(table).map((each) => each.name);
  let name = pattern.name;
  for (let i = 2; names.includes(name); i += 1) name = `${pattern.name} ${i}`;
  const lines = Object.keys(choices).flatMap((choice) => {
    const about = pattern.choices.find((each) => each.name === choice);
    const raw = rawValue(example, choicePath(0, choice));
    if (!about || raw === null || about.kind === 'section' || about.kind === 'panel') return [];  // of another yard, maybe: its own usual ones
    const length = about.kind === 'length' ? parseLength(String(choices[choice]), unitsOf(from)) : null;
    return [`${choice} = ${length === null ? raw : lengthToToml(length, units)}`];
  });
  const place = at.map((each) => lengthToToml(Math.round(each), units)).join(', ');
  return `${text.replace(/\s*$/, '\n')}\n[[structure]]\nname = ${tomlString(name)}\npattern = ${tomlString(pattern.name)}\nat = [${place}]\n\n[structure.choices]\n${lines.join('\n')}${lines.length ? '\n' : ''}`;
}

export function removePart(text: string, index: number): string {
  return removeUnder(text, [`structure#${index}`]);
}

export type Level = [number, number, number];

/// Measured points of the ground; null where the job tells its lie in another way.
export function levelsOf(table: Table | null): Level[] | null {
  const ground = table?.['ground'] as Table | undefined;
  if (!ground) return [];
  if (!Array.isArray(ground['points'])) return Object.keys(ground).length === 0 ? [] : null;
  const units = unitsOf(table);
  return (ground['points'] as unknown[]).map((each) => (Array.isArray(each) ? [0, 1, 2].map((k) => asLength(each[k], units)) : [0, 0, 0]) as Level);
}

export function setLevels(text: string, levels: Level[]): string {
  if (levels.length === 0) return removeUnder(text, ['ground']);
  const units = unitsOf(tableOf(text));
  return setValue(text, ['ground', 'points'], `[${levels.map((each) => `[${each.map((one) => lengthToToml(Math.round(one), units)).join(', ')}]`).join(', ')}]`);
}
