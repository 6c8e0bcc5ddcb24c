// SPDX-License-Identifier: Apache-2.0
//
// The block in the corner of a drawing: what it costs, weighs and takes, always in sight.
import { kilograms } from '../base/figures';
import { jobText, title } from '../job/store';
import { behind, complete, figures, lastPlan, trouble, unfinished, unplanned } from '../live/live';
import { go } from '../route';
import { Figure } from './figure';
import { explainCount, explainLengths, explainMass, explainPrice } from './reasons';
import { leastWords } from './verdict';

const verdictWords = { ok: 'holds', attention: 'look at it', fails: 'fails' };

/// Up to what wind it stands, as the last plan says; while that is of an older text it is marked old.
function Stands() {
  const shown = figures.value;
  const planned = lastPlan.value;
  const level = planned?.text === jobText.value;
  const least = planned && leastWords(planned.answer);
  // The quick answer may come without the studies of strength; the plan's own checks follow when they are there.
  const quickly = shown?.answer.summary.worst_check;
  const checks = level ? [...(planned.answer.checks ?? [])].sort((a, b) => b.utilisation - a.utilisation) : [];
  const worst = quickly ?? checks.find((each) => each.verdict === 'fails') ?? checks[0] ?? null;
  if (!worst && !least) return <span class="figure">{complete.value ? 'not checked' : '…'}</span>;
  const verdict = worst?.verdict ?? (least?.enough ? 'ok' : 'fails');
  const windOld = least !== null && !level;
  const wordsOld = worst !== null && quickly != null && shown?.text !== jobText.value;
  const words = verdictWords[verdict];
  return (
    <button type="button" class={`figure asks verdict-${verdict}`} onClick={() => go('checks')}
      aria-label={`Whether it stands${windOld || wordsOld ? ', before the last change' : ''}: ${least ? `to ${least.text}; ` : ''}${words}. Show the checks`}>
      {least && <span class={windOld ? 'old' : ''}>{least.text}{windOld && '?'} </span>}
      <span class={`verdict ${wordsOld ? 'old' : ''}`}>{wordsOld ? `${words}?` : words}</span>
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
        <div class="cell cell-worst"><dt>Stands to</dt><dd>{none ? empty : <Stands />}</dd></div>
        <div class="cell cell-state"><dt>Plan</dt><dd>{state(stale)}</dd></div>
      </dl>
    </footer>
  );
}
