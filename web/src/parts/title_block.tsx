// SPDX-License-Identifier: Apache-2.0
//
// The block in the corner of a drawing: what it costs, weighs and takes, always in sight.
import { kilograms, percent } from '../base/figures';
import { title } from '../job/store';
import { behind, complete, figures, plan } from '../live/live';
import { go } from '../route';
import { Figure } from './figure';
import { explainCount, explainLengths, explainMass, explainPrice } from './reasons';

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
        <div class="cell cell-pieces"><dt>Pieces</dt><dd>{summary ? <Figure text={`${summary.pieces} in ${summary.marks} marks`} label="Pieces" onWhy={() => explainCount(figures.value?.answer.pieces ?? [])} /> : '…'}</dd></div>
        <div class="cell"><dt>Worst check</dt><dd><WorstCheck /></dd></div>
        <div class="cell cell-state"><dt>Plan</dt><dd>{complete.value ? 'complete' : stale ? 'behind' : 'working'}</dd></div>
      </dl>
    </footer>
  );
}
