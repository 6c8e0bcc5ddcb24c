// SPDX-License-Identifier: Apache-2.0
import { useEffect, useRef, useState } from 'preact/hooks';
import { api, asRefusal, isAbort } from '../api/client';
import type { Plan, Quick } from '../api/types';
import { kilograms, money, words } from '../base/figures';
import { commit, committedText, earlierTexts, jobId, jobText } from '../job/store';
import { drop, setAside, versionsOf } from '../job/versions';
import { plan as whole } from '../live/live';
import { ModelView } from '../parts/model_view';
import { leastWords, madeChecks } from '../parts/verdict';
import type { View } from '../scene/view';

interface Side {
  name: string;
  text: string;
}

function sides(): Side[] {
  const now = { name: 'as it is now', text: jobText.value };
  const before = earlierTexts(12).map((each, i) => ({ name: `${i + 1} back, before: ${each.label}`, text: each.text }));
  return [now, ...versionsOf(jobId.value).map((each) => ({ name: `set aside: ${each.name}`, text: each.text })), ...before];
}

interface Answers {
  answer: Quick | null;
  plan: Plan | null;  // comes later
  wrong: string | null;
}

function useAnswer(text: string): Answers {
  const [state, setState] = useState<Answers & { text: string }>({ text, answer: null, plan: null, wrong: null });
  useEffect(() => {
    const stop = new AbortController();
    const ask = async () => {
      try {
        const answer = await api.quick(text, stop.signal);
        setState({ text, answer, plan: null, wrong: null });
        const plan = text === whole.peek()?.text ? whole.peek()!.answer : await api.plan(text, stop.signal);
        setState({ text, answer, plan, wrong: null });
      } catch (error) {
        if (!isAbort(error)) setState((was) => (was.text === text && was.answer ? was : { text, answer: null, plan: null, wrong: asRefusal(error).message }));
      }
    };
    void ask();
    return () => stop.abort();
  }, [text]);
  return state.text === text ? state : { answer: null, plan: null, wrong: null };
}

export function CompareView() {
  const all = sides();
  const [left, setLeft] = useState<string | null>(null);
  const [right, setRight] = useState('as it is now');
  const [name, setName] = useState('');
  const rightSide = all.find((each) => each.name === right) ?? all[0]!;
  const leftSide = all.find((each) => each.name === left) ?? all[1] ?? all[0]!;
  const a = useAnswer(leftSide.text);
  const b = useAnswer(rightSide.text);
  const views = useRef<(View | null)[]>([null, null]);
  const [over, setOver] = useState(false);
  const [one, setOne] = useState<View | null>(null);
  useEffect(() => one?.layOver(over ? a.answer?.model ?? null : null), [one, over, a.answer]);
  const link = (i: 0 | 1) => (view: View) => {
    views.current[i] = view;
    view.onStand = () => {
      const other = views.current[1 - i];
      if (!other) return;
      other.orbit.stand = { ...view.orbit.stand };
      other.draw();
    };
  };
  const picker = (label: string, value: string, set: (name: string) => void) => (
    <label>{label}
      <select value={value} onChange={(event) => set(event.currentTarget.value)}>
        {all.map((each) => <option key={each.name} value={each.name}>{each.name}</option>)}
      </select>
    </label>
  );
  return (
    <div class="compare">
      <form class="inline-form" onSubmit={(event) => {
        event.preventDefault();
        const given = name.trim() || `version ${versionsOf(jobId.value).length + 1}`;
        setAside(jobId.peek(), given, committedText());
        setLeft(`set aside: ${given}`);
        setName('');
      }}>
        <label>Set this version aside as <input type="text" value={name} placeholder={`version ${versionsOf(jobId.value).length + 1}`} onInput={(event) => setName(event.currentTarget.value)} /></label>
        <button type="submit">Set aside</button>
      </form>
      <div class="compare-pickers">{picker('Left', leftSide.name, setLeft)}{picker('Right', rightSide.name, setRight)}</div>
      {all.length === 1 && <p>There is one version yet. Set it aside, change something, and come back.</p>}
      <div class="player" role="group" aria-label="Pictures">
        <button type="button" aria-pressed={!over} onClick={() => setOver(false)}>Side by side</button>
        <button type="button" aria-pressed={over} onClick={() => setOver(true)}>Laid over each other</button>
      </div>
      {over ? (
        <div class="compare-pictures compare-over">
          <figure>
            {b.wrong ? <p class="waiting-line">{b.wrong}</p> : <ModelView model={b.answer?.model ?? null} label={`${rightSide.name}, with ${leftSide.name} laid over it`} fitKey={jobId.value} onView={setOne} />}
            <figcaption>{rightSide.name}; <span class="in-accent">in lines: {leftSide.name}</span></figcaption>
          </figure>
        </div>
      ) : (
        <div class="compare-pictures">
          {([[a, leftSide, 0], [b, rightSide, 1]] as const).map(([side, of, i]) => (
            <figure key={i}>
              {side.wrong ? <p class="waiting-line">{side.wrong}</p> : <ModelView model={side.answer?.model ?? null} label={of.name} dimensions fixed fitKey={jobId.value} onView={link(i)} />}
              <figcaption>{of.name}</figcaption>
            </figure>
          ))}
        </div>
      )}
      {a.answer && b.answer && <Differences a={a.answer} b={b.answer} plans={[a.plan, b.plan]} />}
      <p class="inline-form">
        {leftSide.text !== jobText.value && <button type="button" onClick={() => commit(leftSide.text, `back to ${leftSide.name}`)}>Go on with the left one</button>}
        {leftSide.name.startsWith('set aside: ') && <button type="button" onClick={() => drop(jobId.peek(), leftSide.name.slice(11))}>Drop the left one</button>}
      </p>
    </div>
  );
}

const verdicts = { ok: 'holds', attention: 'look at it', fails: 'fails' };

/// What its checks say in a line: how many fail, and the worst of them.
function checkWords(plan: Plan | null): { fails: string; worst: string; stands: string } {
  if (!plan) return { fails: '…', worst: '…', stands: '…' };
  const { made } = madeChecks(plan.checks);
  const fails = made.filter((each) => each.verdict === 'fails').length;
  const order = { fails: 0, attention: 1, ok: 2 };
  const worst = [...made].sort((x, y) => order[x.verdict] - order[y.verdict] || y.utilisation - x.utilisation)[0];
  if (!worst) return { fails: 'not checked', worst: 'not checked', stands: 'not checked' };
  return { fails: `${fails} of ${made.length} fail`, worst: `${worst.title}: ${verdicts[worst.verdict]}`, stands: leastWords(plan)?.text ?? '–' };
}

function Differences({ a, b, plans }: { a: Quick; b: Quick; plans: [Plan | null, Plan | null] }) {
  const rows: [string, string, string, string][] = [];
  const row = (what: string, left: string, right: string, difference = '') => rows.push([what, left, right, difference]);
  const [s, t] = [a.summary, b.summary];
  const more = t.price_minor - s.price_minor;
  row('To buy', s.price_text, t.price_text, s.currency === t.currency && more !== 0 ? `${more > 0 ? '+' : '−'}${money(Math.abs(more), t.currency, t.minor_digits)}` : '');
  const [x, y] = plans.map(checkWords) as [ReturnType<typeof checkWords>, ReturnType<typeof checkWords>];
  row('Stands to', x.stands, y.stands, x.stands === y.stands ? '' : 'changed');
  row('Checks', x.fails, y.fails, x.fails === y.fails ? '' : 'changed');
  row('Worst check', x.worst, y.worst, x.worst === y.worst ? '' : 'changed');
  const heavier = t.mass_kg - s.mass_kg;
  row('Mass', kilograms(s.mass_kg), kilograms(t.mass_kg), Math.abs(heavier) >= 0.05 ? `${heavier > 0 ? '+' : '−'}${kilograms(Math.abs(heavier))}` : '');
  const count = (what: string, x: number, y: number) => row(what, String(x), String(y), x === y ? '' : `${y > x ? '+' : '−'}${Math.abs(y - x)}`);
  count('Lengths', s.lengths, t.lengths);
  count('Pieces', s.pieces, t.pieces);
  b.structures.forEach((structure, i) => {
    const other = a.structures[i];
    for (const choice of structure.choices) {
      const before = other?.choices.find((each) => each.name === choice.name);
      if (before?.text !== choice.text) row(words(choice.name), before?.text ?? '', choice.text, 'changed');
    }
  });
  for (const piece of b.pieces) {
    const before = a.pieces.find((each) => each.mark === piece.mark && each.name === piece.name);
    if (!before) row(`${piece.mark} ${piece.name}`, '', piece.length_text, 'new');
    else if (before.length_text !== piece.length_text || before.quantity !== piece.quantity)
      row(`${piece.mark} ${piece.name}`, `${before.quantity} × ${before.length_text}`, `${piece.quantity} × ${piece.length_text}`, 'changed');
  }
  return (
    <div class="table-wrap" tabIndex={0} role="region" aria-label="What differs">
      <table>
        <thead><tr><th scope="col">What</th><th scope="col" class="num">Left</th><th scope="col" class="num">Right</th><th scope="col" class="num">Difference</th></tr></thead>
        <tbody>
          {rows.map(([what, left, right, difference]) => (
            <tr key={what} class={difference ? 'differs' : ''}><th scope="row">{what}</th><td class={left.length > 24 ? 'words' : 'num'}>{left}</td><td class={right.length > 24 ? 'words' : 'num'}>{right}</td><td class="num">{difference}</td></tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
