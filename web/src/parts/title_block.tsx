// SPDX-License-Identifier: Apache-2.0
//
// The block in the corner of a drawing: what it costs, weighs and takes, always in sight.
import { useLayoutEffect } from 'preact/hooks';
import { kilograms } from '../base/figures';
import { markMoment } from '../base/moments';
import { jobText, title } from '../job/store';
import { behind, complete, figures, lastPlan, lastStands, plan, trouble, unfinished, unplanned } from '../live/live';
import { go } from '../route';
import { Figure } from './figure';
import { explainCount, explainLengths, explainMass, explainPrice } from './reasons';
import { leastWords, madeChecks } from './verdict';

const verdictWords = { ok: 'holds', attention: 'look at it', fails: 'fails' };

/// Up to what wind it stands, and whether its checks hold, as the last plans say; what is of an older text is marked old.
function Stands() {
  const planned = lastPlan.value;
  const level = planned?.text === jobText.value;
  const checks = madeChecks(planned?.answer.checks ?? []).made;
  const told = checks.length > 0 ? lastStands.value : null;
  const least = told && leastWords(told.answer);
  const windOld = told?.text !== jobText.value;
  if (checks.length === 0) return <span class="figure">{complete.value || unfinished.value ? 'not checked' : '…'}</span>;
  const verdict = (['fails', 'attention', 'ok'] as const).find((each) => checks.some((one) => one.verdict === each))!;
  const wordsOld = !level;
  const words = verdictWords[verdict];
  return (
    <button type="button" class={`figure asks verdict-${verdict}`} onClick={() => go('checks')}
      aria-label={`Whether it stands${wordsOld ? ', before the last change' : ''}: ${least ? `to ${least.text}; ` : ''}${words}. Show the checks`}>
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
  const [priced, planned, whole] = [figures.value, plan.value, complete.value];
  useLayoutEffect(() => { if (priced) markMoment('price'); }, [priced]);
  useLayoutEffect(() => { if (planned) markMoment('checks'); }, [planned]);
  useLayoutEffect(() => { if (whole) markMoment('whole'); }, [whole, planned]);
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
