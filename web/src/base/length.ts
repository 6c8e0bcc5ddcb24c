// SPDX-License-Identifier: Apache-2.0
//
// Lengths as people write them, in mm. The planner reads job files itself; this reader only serves what is typed here.

export type Units = 'mm' | 'ft-in';
const inch = 25.4;

function number(text: string): number | null {
  const mixed = /^(\d+)[\s-]+(\d+)\/(\d+)$/.exec(text);
  if (mixed) return Number(mixed[1]) + Number(mixed[2]) / Number(mixed[3]);
  const fraction = /^(\d+)\/(\d+)$/.exec(text);
  if (fraction) return Number(fraction[1]) / Number(fraction[2]);
  return /^\d*\.?\d+$|^\d+\.$/.test(text) ? Number(text) : null;
}

const unitsInMm: Record<string, number> = {
  mm: 1, cm: 10, m: 1000, in: inch, inch: inch, inches: inch, '"': inch, '″': inch, ft: 12 * inch, foot: 12 * inch,
  feet: 12 * inch, "'": 12 * inch, '′': 12 * inch,
};

/// "1.2 m", "1150", "3 ft 9 1/4 in", "7' 6-1/2\"" -> mm; null when it is no length. A bare number is in mm, in a job that
/// is printed in feet and inches in inches.
export function parseLength(typed: string, units: Units): number | null {
  const text = typed.trim().toLowerCase().replace(',', '.').replace(/½/g, ' 1/2').replace(/¼/g, ' 1/4').replace(/¾/g, ' 3/4');
  if (text === '') return null;
  const bare = number(text);
  if (bare !== null) return bare * (units === 'mm' ? 1 : inch);
  const term = /\s*(\d+[\s-]+\d+\/\d+|\d+\/\d+|\d*\.?\d+)\s*(mm|cm|m|inches|inch|in|feet|foot|ft|["'″′])/y;
  let sum = 0;
  let at = 0;
  while (at < text.length) {
    term.lastIndex = at;
    const found = term.exec(text);
    if (!found) return text.slice(at).trim() === '' ? sum : null;
    const value = number(found[1] ?? '');
    const unit = unitsInMm[found[2] ?? ''];
    if (value === null || unit === undefined || !Number.isFinite(value)) return null;
    sum += value * unit;
    at = term.lastIndex;
  }
  return sum;
}

/// A place on the ground, which may lie to the left, before, or below: a length with a minus before it.
export function parsePlace(typed: string, units: Units): number | null {
  const text = typed.trim();
  const below = /^[-−]\s*/.exec(text);
  const length = parseLength(below ? text.slice(below[0].length) : text, units);
  return length === null || !below ? length : -length || 0;
}

function feetAndInches(mm: number, finest: number): string {
  const parts = Math.round((Math.abs(mm) / inch) * finest);
  const feet = Math.floor(parts / (12 * finest));
  const inches = Math.floor((parts - feet * 12 * finest) / finest);
  let top = parts - (feet * 12 + inches) * finest;
  let bottom = finest;
  while (top > 0 && top % 2 === 0) {
    top /= 2;
    bottom /= 2;
  }
  const fraction = top > 0 ? `${top}/${bottom}` : '';
  const small = [inches > 0 || (feet === 0 && !fraction) ? String(inches) : '', fraction].filter(Boolean).join(' ');
  return (mm < 0 ? '−' : '') + [feet > 0 ? `${feet} ft` : '', small ? `${small} in` : ''].filter(Boolean).join(' ');
}

/// Finest part of an inch that is printed: the job's own `fraction`.
let finestPart = 16;
export function printTo(fraction: number): void {
  finestPart = [2, 4, 8, 16, 32, 64].includes(fraction) ? fraction : 16;
}

/// Tenths, half away from zero, as the planner prints them: a length reads alike wherever it stands.
function tenths(mm: number): string {
  return String((Math.sign(mm) * Math.round(Math.abs(mm) * 10)) / 10 + 0);
}

/// As the sheets print it: millimetres to a tenth, or feet and inches.
export function printLength(mm: number, units: Units, finest = finestPart): string {
  return units === 'mm' ? tenths(mm) : feetAndInches(mm, finest);
}

/// With its unit, for running text.
export function sayLength(mm: number, units: Units): string {
  return units === 'mm' ? `${tenths(mm)} mm` : feetAndInches(mm, finestPart);
}

/// As a job file holds it.
export function lengthToToml(mm: number, units: Units): string {
  if (units === 'mm') return String(Math.round(mm * 10) / 10);
  return `'${feetAndInches(mm, 64).replace('−', '-')}'`;
}

/// The step of sliders and arrow keys, mm.
export function lengthStep(units: Units): number {
  return units === 'mm' ? 10 : inch / 2;
}
