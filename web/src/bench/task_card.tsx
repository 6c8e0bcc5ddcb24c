// SPDX-License-Identifier: Apache-2.0
import { useState } from 'preact/hooks';
import { kilograms } from '../base/figures';
import { parseLength, printLength, sayLength } from '../base/length';
import { setAt, units } from '../job/store';
import { tomlString } from '../job/toml_text';
import { say } from '../parts/status';
import { MarkedPiece } from './marked_piece';
import { measure, record } from './record';
import type { Task } from './tasks';

const size = (mm: number) => printLength(mm, units.value);

/// `locked`: the plan is older than the job, and its figures are not to be worked to.
export function TaskCard({ task, locked }: { task: Task; locked: boolean }) {
  const Big = ({ children }: { children: string }) => <p class="big">{locked ? <s>{children}</s> : children}</p>;
  switch (task.kind) {
    case 'measure':
      return <MeasureTask task={task} key={task.id} />;
    case 'take':
      return (
        <>
          <h2>Take a {task.section}</h2>
          <Big>{sayLength(task.length, units.value)}</Big>
          <p>Number {task.number} of {task.of}. Square one end first; measure everything from it.</p>
        </>
      );
    case 'cut':
      return (
        <>
          <h2>Saw <span class="mark">{task.mark}</span> {task.name}</h2>
          <Big>{size(task.length)}</Big>
          {!locked && <AsMeasured id={task.id} planned={task.length} label={`${task.mark} as sawn`} key={task.id} />}
          <p class="quiet">{task.why && `= ${task.why}. `}{task.last ? 'The rest is the off-cut.' : 'Keep the rest on the bench.'}</p>
        </>
      );
    case 'mark':
      return (
        <>
          <h2>Mark out <span class="mark">{task.mark}</span> {task.name}{task.hand && `, ${task.hand}`}{task.quantity > 1 && `, ${task.quantity} alike`}</h2>
          <p>All from the {task.datum}.</p>
          {!locked && <MarkedPiece key={task.id} marks={task.at} long={task.length} wide={task.width} thick={task.thickness} />}
          <ul class="bench-marks">
            {task.at.map((each, i) => <li key={i}><strong>{locked ? <s>{size(each.at_mm)}</s> : size(each.at_mm)}</strong> <span>{each.kind}{each.diameter_mm ? ` ⌀ ${each.diameter_mm}` : ''}, {each.face}{each.against && `, ${each.against}`}</span></li>)}
          </ul>
        </>
      );
    case 'stage':
      return (
        <>
          <h2>{task.title}</h2>
          <p>{task.people} {task.people === 1 ? 'person' : 'people'}{task.lift > 0 && `, to lift ${kilograms(task.lift)}`}</p>
          <ol class="actions">{task.actions.map((each, i) => <li key={i}>{each}</li>)}</ol>
        </>
      );
  }
}

/// A size as measured, beside the one that was planned.
function AsMeasured({ id, planned, label }: { id: string; planned: number; label: string }) {
  const kept = record.value.measured[id] ?? '';
  const [draft, setDraft] = useState(kept);
  const read = draft.trim() === '' ? null : parseLength(draft, units.value);
  const off = read === null ? null : read - planned;
  return (
    <p class="as-measured">
      <label>{label} <input type="text" inputMode={units.value === 'mm' ? 'decimal' : 'text'} autocomplete="off" value={draft} placeholder={size(planned)} data-dirty="yes"
        aria-invalid={draft.trim() !== '' && read === null ? true : undefined}
        onInput={(event) => {
          setDraft(event.currentTarget.value);
          measure(id, event.currentTarget.value);
        }} /></label>
      <span aria-live="polite">
        {draft.trim() !== '' && read === null && 'no length; write 1150, 1.15 m or 3 ft 9 in'}
        {off !== null && (Math.abs(off) < 0.5 ? 'as planned' : `${off > 0 ? '+' : '−'}${sayLength(Math.abs(off), units.value)} beside ${size(planned)} planned`)}
      </span>
    </p>
  );
}

function MeasureTask({ task }: { task: Extract<Task, { kind: 'measure' }> }) {
  const wide = record.value.measured[`${task.id}/wide`];
  const thick = record.value.measured[`${task.id}/thick`];
  const [w, t] = [wide, thick].map((each) => (each ? parseLength(each, units.value) : null));
  const ready = w !== null && w !== undefined && t !== null && t !== undefined && w > 0 && t > 0;
  const take = () => {
    if (!ready) return;
    const figure = (mm: number) => String(Math.round(mm * 10) / 10);
    setAt(['timber', 'measured', task.section], tomlString(`${figure(t!)} x ${figure(w!)}`), `${task.section} as measured`);
    say(`The job now takes the ${task.section} as measured. Cuts stay locked until the plan has followed.`);
  };
  return (
    <>
      <h2>Measure a {task.section}</h2>
      <p class="big">{size(task.width)} × {size(task.thickness)}</p>
      <p>So wide and thick the plan takes it. What does the caliper say?</p>
      <AsMeasured id={`${task.id}/wide`} planned={task.width} label="wide" />
      <AsMeasured id={`${task.id}/thick`} planned={task.thickness} label="thick" />
      <p><button type="button" disabled={!ready} onClick={take}>Let the plan take these</button></p>
    </>
  );
}
