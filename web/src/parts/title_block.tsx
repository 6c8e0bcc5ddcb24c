// SPDX-License-Identifier: Apache-2.0
//
// The block in the corner of a drawing: what it costs, weighs and takes, always in sight.
import { kilograms, percent } from '../base/figures';
import { jobText, title } from '../job/store';
import { behind, complete, figures, plan, trouble, unfinished, unplanned } from '../live/live';
import { go } from '../route';
import { Figure } from './figure';
import { explainCount, explainLengths, explainMass, explainPrice } from './reasons';

function WorstCheck() {
  const shown = figures.value;
  const summary = shown?.answer.summary;
  // The quick answer may come without the studies of strength; the plan's own checks follow when they are there.
  const level = plan.value && plan.value.text === shown?.text ? plan.value.answer.checks ?? [] : [];
  const worst = summary?.worst_check ?? [...level].sort((a, b) => b.utilisation - a.utilisation)[0] ?? null;
  if (!worst) return <span class="figure">{complete.value ? 'not checked' : '…'}</span>;
  const words = { ok: 'holds', attention: 'look at it', fails: 'fails' }[worst.verdict];
  const old = shown?.text !== jobText.value;
  return (
    <button type="button" class={`figure asks verdict-${worst.verdict} ${old ? 'old' : ''}`} onClick={() => go('checks')}
      aria-label={`Worst check${old ? ' before the last change' : ''}: ${worst.title}, ${percent(worst.utilisation)}, ${words}. Show the checks`}>
      {percent(worst.utilisation)} <span class="verdict">{old ? `${words}?` : words}</span>
    </button>
  );
}

function state(stale: boolean): string {
  if (complete.value) return 'complete';
  if (unplanned.value && trouble.value?.kind === 'job') return 'refused';
  if (unfinished.value) return 'in part';
  if (trouble.value) return 'no answer';
  return stale ? 'behind' : 'working';
}

export function TitleBlock() {
  // Of a job that cannot be planned there are no figures; those of the job before it are not its own.
  const none = unplanned.value;
  const summary = none ? undefined : figures.value?.answer.summary;
  const empty = none ? '–' : '…';
  const stale = behind.value;
  return (
    <footer class={`title-block ${stale ? 'stale' : ''}`} aria-label="The job in figures">
      <dl>
        <div class="cell cell-title"><dt>Job</dt><dd>{title.value}</dd></div>
        <div class="cell"><dt>To buy</dt><dd>{summary ? <Figure text={summary.price_text} label="To buy" onWhy={explainPrice} /> : empty}</dd></div>
        <div class="cell"><dt>Mass</dt><dd>{summary ? <Figure text={kilograms(summary.mass_kg)} label="Mass" onWhy={explainMass} /> : empty}</dd></div>
        <div class="cell cell-lengths"><dt>Lengths</dt><dd>{summary ? <Figure text={String(summary.lengths)} label="Lengths" onWhy={explainLengths} /> : empty}</dd></div>
        <div class="cell cell-pieces"><dt>Pieces</dt><dd>{summary ? <Figure text={`${summary.pieces} in ${summary.marks} marks`} label="Pieces" onWhy={() => explainCount(figures.value?.answer.pieces ?? [])} /> : empty}</dd></div>
        <div class="cell cell-worst"><dt>Worst check</dt><dd>{none ? empty : <WorstCheck />}</dd></div>
        <div class="cell cell-state"><dt>Plan</dt><dd>{state(stale)}</dd></div>
      </dl>
    </footer>
  );
}
