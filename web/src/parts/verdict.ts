// SPDX-License-Identifier: Apache-2.0
//
// Whether it stands, in words a person uses: up to what wind, and what the garden asks. From the plan's own stands.
import type { Plan, Stand, StrengthCheck } from '../api/types';

export interface Standing {
  part: string;
  winds: Stand[];        // bare, overgrown, in winter
  person: Stand | null;
  least: Stand | null;   // the wind state that comes furthest short, or nearest to it
  enough: boolean;
}

/// Checks that were made, and those that only say that none could be: of what nobody has reckoned nothing is counted.
export function madeChecks(checks: readonly StrengthCheck[]): { made: StrengthCheck[]; notMade: StrengthCheck[] } {
  const unknown = (each: StrengthCheck) => (each.kind === 'unsolved' || each.kind === 'grade') && each.verdict === 'attention';
  return { made: checks.filter((each) => !unknown(each)), notMade: checks.filter(unknown) };
}

const stateWords: Record<Stand['state'], string> = { bare: 'bare', overgrown: 'overgrown', winter: 'in winter', person: 'with a person on it' };

export function standings(plan: Plan): Standing[] {
  const parts = [...new Set(plan.stands.map((each) => each.part))];
  return parts.map((part) => {
    const all = plan.stands.filter((each) => each.part === part);
    const winds = all.filter((each) => each.state !== 'person');
    const least = winds.reduce<Stand | null>((found, each) => (!found || each.gives_at_m_s < found.gives_at_m_s ? each : found), null);
    return { part, winds, person: all.find((each) => each.state === 'person') ?? null, least, enough: all.every((each) => each.enough) };
  });
}

/// A wind in the words of the code that is followed; never more than was reckoned.
export function windWords(m_s: number, route: string, unit = true): string {
  const value = Math.floor(route === 'US' ? m_s / 0.44704 : m_s);
  return unit ? `${value} ${route === 'US' ? 'mph' : 'm/s'}` : String(value);
}

/// "Stands to 31 m/s bare, 22 overgrown; your garden asks 24."
export function standSentence(standing: Standing, route: string): string {
  const { winds } = standing;
  if (winds.length === 0) return '';
  const told = winds.map((each, i) => `${windWords(each.gives_at_m_s, route, i === 0)} ${stateWords[each.state]}`);
  return `Stands to ${told.join(', ')}; your garden asks ${windWords(winds[0]!.asked_m_s, route)}.`;
}

/// The least of all parts, for the corner of the sheet: "8 of 24 m/s".
export function leastWords(plan: Plan): { text: string; enough: boolean } | null {
  const all = standings(plan);
  const least = all.reduce<Stand | null>((found, { least: each }) => (each && (!found || each.gives_at_m_s / each.asked_m_s < found.gives_at_m_s / found.asked_m_s) ? each : found), null);
  if (!least) return null;
  const { route } = plan.site;
  return { text: `${windWords(least.gives_at_m_s, route, false)} of ${windWords(least.asked_m_s, route)}`, enough: all.every((each) => each.enough) };
}
