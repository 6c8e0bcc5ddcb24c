// SPDX-License-Identifier: Apache-2.0
//
// The block in the corner of a drawing: what it costs, weighs and takes, always in sight.
import { kilograms, money, percent } from '../base/figures';
import { title } from '../job/store';
import { behind, complete, figures, plan } from '../live/live';
import { go } from '../route';
import { Figure } from './figure';
import { explain } from './why_dialog';

function explainPrice(): void {
  const bought = plan.value?.answer.purchase;
  if (!bought) return explain('What it costs', ['The sum is still being worked out.']);
  const digits = bought.minor_digits ?? 2;
  const say = (minor: number) => money(minor, bought.currency, digits);
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

function explainMass(): void {
  const parts = plan.value?.answer.structures ?? [];
  explain('What it weighs', parts.length === 0 ? ['The sum is still being worked out.'] : parts.flatMap((each) => [
    `${each.name}: as it stands`, ` timber ${kilograms(each.timber_kg ?? 0)}`, ` panels ${kilograms(each.panels_kg ?? 0)}`,
  ]), 'volumes of the pieces times the density of their species and moisture');
}

function explainLengths(): void {
  const bought = plan.value?.answer.purchase.timber ?? [];
  explain('Lengths to buy', bought.length === 0 ? ['The list is still being worked out.'] :
    bought.map((each) => ` ${each.quantity} × ${each.section}, ${(each.length_mm / 1000).toFixed(2)} m`));
}

function WorstCheck() {
  const summary = figures.value?.answer.summary;
  // The quick answer may come without the studies of strength; the plan's own checks follow when they are there.
  const level = plan.value && plan.value.text === figures.value?.text ? plan.value.answer.checks ?? [] : [];
  const worst = summary?.worst_check ?? [...level].sort((a, b) => b.utilisation - a.utilisation)[0] ?? null;
  if (!worst) return <span class="figure">{complete.value ? 'not checked' : '…'}</span>;
  const words = { ok: 'holds', attention: 'look at it', fails: 'fails' }[worst.verdict];
  return (
    <button type="button" class={`figure asks verdict-${worst.verdict}`} onClick={() => go('checks')}
      aria-label={`Worst check: ${worst.title}, ${percent(worst.utilisation)}, ${words}. Show the checks`}>
      {percent(worst.utilisation)} <span class="verdict">{words}</span>
    </button>
  );
}

export function TitleBlock() {
  const summary = figures.value?.answer.summary;
  const stale = behind.value;
  return (
    <footer class={`title-block ${stale ? 'stale' : ''}`} aria-label="The job in figures">
      <dl>
        <div class="cell cell-title"><dt>Job</dt><dd>{title.value}</dd></div>
        <div class="cell"><dt>To buy</dt><dd>{summary ? <Figure text={summary.price_text} label="To buy" onWhy={explainPrice} /> : '…'}</dd></div>
        <div class="cell"><dt>Mass</dt><dd>{summary ? <Figure text={kilograms(summary.mass_kg)} label="Mass" onWhy={explainMass} /> : '…'}</dd></div>
        <div class="cell"><dt>Lengths</dt><dd>{summary ? <Figure text={String(summary.lengths)} label="Lengths" onWhy={explainLengths} /> : '…'}</dd></div>
        <div class="cell cell-pieces"><dt>Pieces</dt><dd>{summary ? <Figure text={`${summary.pieces} in ${summary.marks} marks`} /> : '…'}</dd></div>
        <div class="cell"><dt>Worst check</dt><dd><WorstCheck /></dd></div>
        <div class="cell cell-state"><dt>Plan</dt><dd>{complete.value ? 'complete' : stale ? 'behind' : 'working'}</dd></div>
      </dl>
    </footer>
  );
}
