// SPDX-License-Identifier: Apache-2.0
import { useState } from 'preact/hooks';
import { undo, undoLabel, jobText } from '../job/store';
import { askAgain, keptSince, plan, quick, trouble, unfinished } from '../live/live';
import { JobTextButton } from './job_text_dialog';

/// What is wrong with the job, what would be right, and a way back. The last good picture stays.
export function TroubleNote() {
  const why = trouble.value;
  if (!why) return <UnfinishedNote />;
  const job = why.kind === 'job';
  const errors = why.diagnostics.filter((each) => each.severity === 'error');
  const lines = errors.length > 0 ? errors : why.diagnostics;
  const older = quick.value !== null && quick.value.text !== jobText.value;
  return (
    <section class="trouble" role="alert" aria-label={job ? 'What is wrong with the job' : 'The planner'}>
      <h2>{job ? 'This cannot be built as it stands' : why.kind === 'away' ? 'No planner within reach' : why.kind === 'late' ? 'The planner ran out of time' : 'The planner could not answer'}</h2>
      <ul>
        {lines.slice(0, 4).map((each, i) => (
          <li key={i}>
            {each.what}{each.cure && <>: <strong>{each.cure}</strong></>}
            {each.where.line > 0 && <span class="quiet"> (line {each.where.line} of the job)</span>}
          </li>
        ))}
        {lines.length > 4 && <li>and {lines.length - 4} more</li>}
      </ul>
      {keptSince.value && <p>Shown is the plan this device kept on {new Date(keptSince.value).toLocaleString()}.</p>}
      {older && <p class="quiet">The picture is of the job before its last change. Figures and checks are not shown until the job as it stands is planned.</p>}
      <p class="trouble-acts">
        {job && undoLabel.value && <button type="button" onClick={undo}>Take back: {undoLabel.value}</button>}
        {job && <JobTextButton />}
        {!job && <button type="button" onClick={askAgain}>Ask again</button>}
      </p>
    </section>
  );
}

const studies = { checks: 'the checks', order: 'the build order', stands: 'the winds it stands to' } as const;

const begun = (words: string) => words.charAt(0).toUpperCase() + words.slice(1);

function listed(names: string[]): string {
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]}`;
}

/// The plan is here but for what takes longest.
function UnfinishedNote() {
  const why = unfinished.value;
  const [read, setRead] = useState<string | null>(null);  // of which text it was read: the title block says it on
  if (!why || !plan.value || plan.value.whole || read === jobText.value) return null;
  const missing = plan.value.answer.left_out;
  const out = listed((['checks', 'order', 'stands'] as const).filter((each) => missing.includes(each)).map((each) => studies[each]));
  const here = listed(['pieces', 'purchase', 'marking out', ...(['checks', 'order'] as const).filter((each) => !missing.includes(each)).map((each) => studies[each].slice(4))]);
  const reasons = why.diagnostics.map((each) => (each.cure ? `${each.what}; ${each.cure}` : each.what));
  return (
    <section class="trouble" role="status" aria-label="What is not worked out">
      <p><strong>{begun(out)} could not be worked out.</strong> {begun(here)} are of this job and stand{missing.includes('checks') && '; whether it bears its loads nobody has looked'}.</p>
      {reasons.length > 0 && <details><summary>Why</summary>{reasons.map((each) => <p key={each} class="quiet">{begun(each)}.</p>)}</details>}
      <p class="trouble-acts"><button type="button" onClick={askAgain}>Ask again</button> <button type="button" onClick={() => setRead(jobText.value)}>I have read it</button></p>
    </section>
  );
}
