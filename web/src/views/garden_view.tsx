// SPDX-License-Identifier: Apache-2.0
//
// The ground from above: where the parts of a garden stand, how they are turned, and how high the ground is.
import { useMemo, useState } from 'preact/hooks';
import { api, asRefusal } from '../api/client';
import type { Pattern } from '../api/types';
import { parsePlace, printLength } from '../base/length';
import { commit, committedText, jobTable, tableOf, units, unitsOf } from '../job/store';
import { addPart, levelsOf, partsOf, placePart, removePart, setLevels, shareNone, sharePost, type Level, type Part } from '../job/parts';
import { plan, quick } from '../live/live';
import { patterns } from '../live/shelves';
import { GardenPlan } from '../parts/garden_plan';
import { PatternPicture } from '../parts/pattern_picture';
import { say } from '../parts/status';
import { Waiting } from '../parts/waiting';
import { meetings, type Meeting } from '../scene/plan_outline';

export function GardenView() {
  const answer = quick.value?.answer;
  const parts = partsOf(jobTable.value);
  const levels = levelsOf(jobTable.value);
  const [chosen, setChosen] = useState(0);
  const part = parts[Math.min(chosen, parts.length - 1)];
  const meeting = useMemo(() => (answer && part && parts.length > 1 ? meetings(answer.model, part.name) : []), [answer, part?.name]);
  return (
    <div class="garden">
      <section class="garden-sheet" aria-label="Plan of the garden">
        {answer ? <GardenPlan model={answer.model} parts={parts} levels={levels ?? []} chosen={part?.index ?? 0} choose={setChosen} /> : <Waiting what="the garden" />}
      </section>
      <aside class="garden-side" aria-label="Parts of the garden">
        <h2>Parts</h2>
        <ul class="part-list">
          {parts.map((each) => <li key={each.index}><button type="button" aria-pressed={each === part} onClick={() => setChosen(each.index)}>{each.name}<span class="quiet">, {each.pattern}</span></button></li>)}
        </ul>
        {part && <PartPlace key={part.index} part={part} only={parts.length === 1} meeting={meeting} />}
        <AddPart at={answer ? [answer.model.bounds.max[0] + 900, answer.model.bounds.min[1]] : [0, 0]} />
        <h2>Levels of the ground</h2>
        {levels ? <Levels levels={levels} /> : <p class="quiet">The job tells the lie of the ground in another way; its text shows how.</p>}
      </aside>
    </div>
  );
}

function LengthField({ label, value, take, figure = 'length' }: { label: string; value: number; take: (value: number) => void; figure?: 'length' | 'angle' }) {
  const [draft, setDraft] = useState<string | null>(null);
  const shown = figure === 'length' ? printLength(value, units.value) : String(value);
  const read = draft === null ? value : figure === 'length' ? parsePlace(draft, units.value) : Number(draft.replace(',', '.'));
  const wrong = draft !== null && (read === null || !Number.isFinite(read));
  const done = () => {
    if (draft === null || wrong) return;
    setDraft(null);
    if (read !== null && read !== value) take(read);
  };
  return (
    <label>{label} <input type="text" inputMode={units.value === 'mm' ? 'decimal' : 'text'} autocomplete="off" value={draft ?? shown} aria-invalid={wrong ? true : undefined} data-dirty={draft === null ? 'no' : 'yes'}
      onInput={(event) => setDraft(event.currentTarget.value)} onBlur={done} onKeyDown={(event) => { if (event.key === 'Enter') done(); if (event.key === 'Escape') setDraft(null); }} />
      {wrong && <span class="wrong" role="alert">“{draft}” is no {figure}</span>}
    </label>
  );
}

/// A part that shares posts stands by them; what it would be without is known once the plan is.
function SharedPlace({ part }: { part: Part }) {
  const now = plan.value?.answer.structures.flatMap((each) => each.guests ?? []).find((each) => each.name === part.name);
  return (
    <div class="part-place" role="group" aria-label={`Place of ${part.name}`}>
      {part.shares.map(([own, post]) => <p key={own} class="whole-row">Its <strong>{own}</strong> is <strong>{post.split('/').pop()}</strong> of {post.split('/').slice(0, -1).join('/')}: built, bought and dug once.</p>)}
      <button type="button" disabled={!now} onClick={() => now && commit(shareNone(committedText(), part, [now.at_mm[0]!, now.at_mm[1]!], now.turn_deg), `posts of ${part.name} its own`)}>Posts of its own again</button>
      <button type="button" onClick={() => commit(removePart(committedText(), part.index), `take away ${part.name}`)}>Take away</button>
    </div>
  );
}

function PartPlace({ part, only, meeting }: { part: Part; only: boolean; meeting: Meeting[] }) {
  if (part.shares.length > 0) return <SharedPlace part={part} />;

  const place = (at: [number, number], turn: number, label: string) => commit(placePart(committedText(), part, at, turn), `${label} ${part.name}`);
  return (
    <div class="part-place" role="group" aria-label={`Place of ${part.name}`}>
      <LengthField label="across" value={part.at[0]} take={(x) => place([x, part.at[1]], part.turn, 'move')} />
      <LengthField label="deep" value={part.at[1]} take={(y) => place([part.at[0], y], part.turn, 'move')} />
      <LengthField label="turned, °" figure="angle" value={part.turn} take={(turn) => place(part.at, turn, 'turn')} />
      <button type="button" onClick={() => place(part.at, part.turn + 90, 'turn')}>Turn a quarter</button>
      {meeting.map((each) => (
        <button key={`${each.own} ${each.other}`} type="button" class="main-act"
          onClick={() => commit(sharePost(committedText(), part, each.own, `${each.other}/${each.post}`), `share ${each.post} of ${each.other}`)}>Share {each.post} of {each.other}</button>
      ))}
      {!only && <button type="button" onClick={() => commit(removePart(committedText(), part.index), `take away ${part.name}`)}>Take away</button>}
    </div>
  );
}

function AddPart({ at }: { at: [number, number] }) {
  const add = async (pattern: Pattern) => {
    try {
      const examples = (await api.examples()).filter((each) => each.pattern === pattern.name);
      const example = examples.find((each) => unitsOf(tableOf(each.job)) === units.value) ?? examples[0];
      commit(addPart(committedText(), pattern, example?.job ?? '', at), `add ${pattern.title}`);
    } catch (error) {
      say(asRefusal(error).message);
    }
  };
  return (
    <details class="add-part">
      <summary>Add a part…</summary>
      <ul class="add-list">{patterns.value.map((each) => <li key={each.name}><button type="button" class="add-pattern" onClick={() => void add(each)}>{each.picture && <PatternPicture svg={each.picture} />}{each.title}</button></li>)}</ul>
    </details>
  );
}

function Levels({ levels }: { levels: Level[] }) {
  const set = (next: Level[], label: string) => commit(setLevels(committedText(), next), label);
  const change = (i: number, k: number, value: number) => set(levels.map((each, n) => (n === i ? (each.map((one, m) => (m === k ? value : one)) as Level) : each)), 'level of the ground');
  return (
    <>
      {levels.length === 0 && <p class="quiet">The ground is taken to be level. Measure a point and it follows.</p>}
      <ul class="level-list">
        {levels.map((each, i) => (
          <li key={i} role="group" aria-label={`Point ${i + 1}`}>
            {(['across', 'deep', 'level'] as const).map((label, k) => <LengthField key={label} label={label} value={each[k]!} take={(value) => change(i, k, value)} />)}
            <button type="button" aria-label={`Take away point ${i + 1}`} onClick={() => set(levels.filter((_, n) => n !== i), 'take away a level')}>×</button>
          </li>
        ))}
      </ul>
      <p><button type="button" onClick={() => set([...levels, levels.length === 0 ? [0, 0, 0] : [levels[levels.length - 1]![0] + 1000, levels[levels.length - 1]![1], levels[levels.length - 1]![2]]], 'measure a level')}>Measure a point</button></p>
    </>
  );
}
