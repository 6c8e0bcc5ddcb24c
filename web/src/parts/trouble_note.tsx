// SPDX-License-Identifier: Apache-2.0
import { undo, undoLabel, jobText } from '../job/store';
import { askAgain, keptSince, quick, trouble } from '../live/live';

/// What is wrong with the job, what would be right, and a way back. The last good picture stays.
export function TroubleNote() {
  const why = trouble.value;
  if (!why) return <KeptNote />;
  const job = why.kind === 'job';
  const errors = why.diagnostics.filter((each) => each.severity === 'error');
  const lines = errors.length > 0 ? errors : why.diagnostics;
  return (
    <section class="trouble" role="alert" aria-label={job ? 'What is wrong with the job' : 'The planner'}>
      <h2>{job ? 'This cannot be built as it stands' : why.kind === 'away' ? 'No planner within reach' : 'The planner could not answer'}</h2>
      <ul>
        {lines.slice(0, 4).map((each, i) => (
          <li key={i}>
            {each.what}{each.cure && <>: <strong>{each.cure}</strong></>}
            {each.where.line > 0 && <span class="quiet"> (line {each.where.line} of the job)</span>}
          </li>
        ))}
        {lines.length > 4 && <li>and {lines.length - 4} more</li>}
      </ul>
      {quick.value && quick.value.text !== jobText.value && <p class="quiet">Picture and figures are of the last job that could be planned.</p>}
      <p class="trouble-acts">
        {job && undoLabel.value && <button type="button" onClick={undo}>Take back: {undoLabel.value}</button>}
        {!job && <button type="button" onClick={askAgain}>Ask again</button>}
      </p>
    </section>
  );
}

function KeptNote() {
  const since = keptSince.value;
  if (!since) return null;
  return <p class="trouble" role="status">Shown is the plan this device kept on {new Date(since).toLocaleString()}.</p>;
}
