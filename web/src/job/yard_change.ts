// SPDX-License-Identifier: Apache-2.0
//
// Another yard: what the job says that still holds goes along, and what belonged to the old yard is left out and told.
import type { SiteQuestion, Yard } from '../api/types';
import { tableOf, type Table } from './store';
import { removeUnder, setValue, tomlString } from './toml_text';

export interface YardChange {
  text: string;
  left: string[];  // what did not go along, in words
}

/// Only where the two are the same thing in other units. A wind speed is not: one is a mean of ten minutes, the other a gust.
const factors: Record<string, number> = { 'kN/m² psf': 1 / 0.0478803, 'psf kN/m²': 0.0478803, 'kPa psf': 1 / 0.0478803, 'psf kPa': 0.0478803, 'mm in': 1 / 25.4, 'in mm': 25.4 };

type Site = Record<string, SiteQuestion[]>;

export function routeOf(table: Table | null, yard: Yard | null): string {
  const given = (table?.['site'] as Table | undefined)?.['route'];
  return typeof given === 'string' ? given : yard?.units === 'ft-in' ? 'US' : 'EN';
}

function siteChange(text: string, from: SiteQuestion[], to: SiteQuestion[], left: string[]): string {
  const site = (tableOf(text)?.['site'] ?? {}) as Table;
  for (const [name, value] of Object.entries(site)) {
    const old = from.find((each) => each.name === name);
    const now = to.find((each) => each.name === name);
    if (!old) continue;  // nothing that either route asks for by its own units
    const drop = (why: string) => {
      left.push(`${name.replace(/_/g, ' ')} ${String(value)}${old.unit ? ` ${old.unit}` : ''}${why}`);
      text = setValue(text, ['site', name], null);
    };
    if (!now) drop('');
    else if (now.options) {
      if (!now.options.includes(String(value))) drop('');
    } else if (now.unit !== old.unit) {
      const factor = factors[`${old.unit} ${now.unit}`];
      const next = typeof value === 'number' && factor ? Number((value * factor).toPrecision(3)) : null;
      if (next === null || next < (now.min ?? -Infinity) || next > (now.max ?? Infinity))
        drop(name === 'wind_speed' ? `, which is told otherwise there: look it up in ${now.unit}` : '');
      else text = setValue(text, ['site', name], String(next));
    }
  }
  return text;
}

/// `kinds` tells the kind of a choice of a structure: what is a section or a panel must be sold by the new yard.
export function changeYard(text: string, from: Yard | null, to: Yard, site: Site, kinds: (pattern: string, choice: string) => string | null): YardChange {
  const left: string[] = [];
  const table = tableOf(text);
  const timber = table?.['timber'] as Table | undefined;
  const measured = Object.entries((timber?.['measured'] ?? {}) as Table);
  if (measured.length > 0) left.push(`sizes measured of the old yard’s timber (${measured.map(([name, size]) => `${name} ${String(size)}`).join(', ')})`);
  if (timber?.['prices'] !== undefined) left.push('prices asked by the old yard');
  let next = removeUnder(removeUnder(text, ['timber', 'measured']), ['timber', 'prices']);
  next = setValue(next, ['timber', 'catalogue'], tomlString(to.name));

  const sold = new Set([...to.sections, ...to.panels].map((each) => each.name));
  ((table?.['structure'] ?? []) as Table[]).forEach((structure, i) => {
    for (const [name, value] of Object.entries((structure['choices'] ?? {}) as Table)) {
      const kind = kinds(String(structure['pattern']), name);
      if ((kind !== 'section' && kind !== 'panel') || typeof value !== 'string' || sold.has(value)) continue;
      left.push(`${name.replace(/_/g, ' ')} “${value}”, which it does not sell`);
      next = setValue(next, [`structure#${i}`, 'choices', name], null);
    }
  });
  const was = routeOf(table, from);
  const is = routeOf(table, to);
  if (was !== is) next = siteChange(next, site[was] ?? [], site[is] ?? [], left);
  return { text: next, left };
}

/// What did not go along, in one line; '' when all did.
export function leftWords(left: string[]): string {
  return left.length === 0 ? '' : `Left out: ${left.join('; ')}. Undo brings it back.`;
}
