// SPDX-License-Identifier: Apache-2.0
//
// Where the figures of a plan come from, told from the plan itself. Sums are put together from what the planner answered;
// none is a second reckoning.
import type { CutLength, PieceLine, Plan, Purchase } from '../api/types';
import { kilograms, money, significant } from '../base/figures';
import { printLength, sayLength } from '../base/length';
import { jobTable, units, type Table } from '../job/store';
import { plan } from '../live/live';
import { explain } from './why_dialog';

const size = (mm: number) => sayLength(mm, units.value);
const bare = (mm: number) => printLength(mm, units.value);
const pending = ['The sum is still being worked out.'];

export function explainPrice(): void {
  const bought = plan.value?.answer.purchase;
  if (!bought) return explain('What it costs', pending);
  const say = (minor: number) => money(minor, bought.currency, bought.minor_digits ?? 2);
  const sum = (goods: { quantity: number; unit_price_minor: number }[]) =>
    goods.reduce((total, each) => total + each.quantity * each.unit_price_minor, 0);
  explain('What it costs', [
    `${say(bought.total_minor)} in all`,
    ` timber ${say(sum(bought.timber))}, ${bought.proof.optimal ? 'proven to cost least' : `at most ${say(bought.proof.cost_minor - bought.proof.lower_bound_minor)} above the least`}`,
    ` fixings ${say(sum(bought.fixings))}`,
    ` ground works ${say(sum(bought.ground))}`,
    ` panels, preservative, delivery and the like ${say(sum(bought.extras))}`,
  ], bought.price_note);
}

export function explainMass(): void {
  const parts = plan.value?.answer.structures ?? [];
  explain('What it weighs', parts.length === 0 ? pending : parts.flatMap((each) => [
    `${each.name}: as it stands`, ` timber ${kilograms(each.timber_kg ?? 0)}`, ` panels ${kilograms(each.panels_kg ?? 0)}`,
  ]), 'volumes of the pieces times the density of their species and moisture');
}

export function explainLengths(): void {
  const bought = plan.value?.answer.purchase.timber ?? [];
  explain('Lengths to buy', bought.length === 0 ? pending :
    bought.map((each) => ` ${each.quantity} × ${each.section}, ${(each.length_mm / 1000).toFixed(2)} m`));
}

export function explainCount(pieces: readonly PieceLine[]): void {
  explain('How many pieces', pieces.map((each) => ` ${each.quantity} × ${each.mark} ${each.name}`), 'pieces that are alike in all share a mark');
}

export function explainMassOf(piece: PieceLine): void {
  const volume = plan.value?.answer.pieces.find((each) => each.mark === piece.mark)?.volume_mm3;
  explain(`What ${piece.mark} weighs`, volume ? [
    `${(volume / 1e6).toFixed(2)} dm³ of timber, as it is machined`,
    `${significant((piece.mass_kg / volume) * 1e9)} kg to the m³, for its species and moisture`,
    `${kilograms(piece.mass_kg)} each`,
  ] : pending);
}

export function explainSection(piece: PieceLine): void {
  const measured = ((jobTable.value?.['timber'] as Table | undefined)?.['measured'] as Table | undefined)?.[piece.section];
  explain(`How wide and thick ${piece.mark} is`, [
    `a ${piece.section} ${measured === undefined ? 'as the yard lists it' : `as it was measured: ${String(measured)}`}`,
    `${size(piece.width_mm)} wide, ${size(piece.thickness_mm)} thick`,
  ], measured === undefined ? 'At the bench you can enter the size you measure; every length follows.' : undefined);
}

/// How many of one length are bought: for what.
export function explainBought(bought: Purchase, section: string, length: number): void {
  const cut = bought.cutting.filter((each) => each.section === section && Math.abs(each.length_mm - length) < 0.5);
  explain(`What the ${section} of ${(length / 1000).toFixed(2)} m is for`, cut.length === 0 ? ['The planner has not told how it is sawn.'] : cut.map((each) =>
    ` ${each.count} × ${each.pieces.map((one) => one.mark).join(' + ')}${each.offcut_mm > 0 ? `, ${size(each.offcut_mm)} left` : ''}`));
}

export function explainOffcut(cut: CutLength): void {
  const before = cut.pieces[0]?.at_mm ?? 0;
  const ripped = cut.pieces.some((each) => each.across_mm > 0);
  const long = cut.pieces.reduce((sum, each) => sum + each.length_mm, 0);
  explain(`Why ${size(cut.offcut_mm)} is left of the ${cut.section}`, ripped ? [
    `${size(cut.length_mm)} as it is sold`, 'pieces lie side by side in it, as the picture above shows', `${size(cut.offcut_mm)} left`,
  ] : [
    `${size(cut.length_mm)} as it is sold`,
    ...cut.pieces.map((each) => ` − ${bare(each.length_mm)} for ${each.mark}`),
    ...(before > 0 ? [` − ${bare(before)} to square its end`] : []),
    ` − ${bare(cut.length_mm - cut.offcut_mm - long - before)} for what the saw takes, cut by cut`,
    `${size(cut.offcut_mm)} left`,
  ]);
}

export function explainTimber(bought: Plan['purchase']): void {
  const say = (minor: number) => money(minor, bought.currency, bought.minor_digits ?? 2);
  explain('The timber’s price', [
    `lengths bought cost ${say(bought.proof.cost_minor)}`,
    `no other choice of lengths can cost less than ${say(bought.proof.lower_bound_minor)}`,
    bought.proof.optimal ? 'the two are equal: this is proven to cost least' : `so at most ${say(bought.proof.cost_minor - bought.proof.lower_bound_minor)} could still be saved`,
  ]);
}
