// SPDX-License-Identifier: Apache-2.0
import { useEffect, useRef, useState } from 'preact/hooks';
import { api, asRefusal, isAbort } from '../api/client';
import type { Quick } from '../api/types';
import { kilograms, money, words } from '../base/figures';
import { commit, committedText, earlierTexts, jobId, jobText } from '../job/store';
import { drop, setAside, versionsOf } from '../job/versions';
import { ModelView } from '../parts/model_view';
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

function useAnswer(text: string): { answer: Quick | null; wrong: string | null } {
  const [state, setState] = useState<{ text: string; answer: Quick | null; wrong: string | null }>({ text, answer: null, wrong: null });
  useEffect(() => {
    const stop = new AbortController();
    api.quick(text, stop.signal).then(
      (answer) => setState({ text, answer, wrong: null }),
      (error: unknown) => { if (!isAbort(error)) setState({ text, answer: null, wrong: asRefusal(error).message }); });
    return () => stop.abort();
  }, [text]);
  return state.text === text ? state : { answer: null, wrong: null };
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
      <div class="compare-pictures">
        {([[a, leftSide, 0], [b, rightSide, 1]] as const).map(([side, of, i]) => (
          <figure key={i}>
            {side.wrong ? <p class="waiting-line">{side.wrong}</p> : <ModelView model={side.answer?.model ?? null} label={of.name} dimensions fixed fitKey={jobId.value} onView={link(i)} />}
            <figcaption>{of.name}</figcaption>
          </figure>
        ))}
      </div>
      {a.answer && b.answer && <Differences a={a.answer} b={b.answer} />}
      <p class="inline-form">
        {leftSide.text !== jobText.value && <button type="button" onClick={() => commit(leftSide.text, `back to ${leftSide.name}`)}>Go on with the left one</button>}
        {leftSide.name.startsWith('set aside: ') && <button type="button" onClick={() => drop(jobId.peek(), leftSide.name.slice(11))}>Drop the left one</button>}
      </p>
    </div>
  );
}

function Differences({ a, b }: { a: Quick; b: Quick }) {
  const rows: [string, string, string, string][] = [];
  const row = (what: string, left: string, right: string, difference = '') => rows.push([what, left, right, difference]);
  const [s, t] = [a.summary, b.summary];
  const more = t.price_minor - s.price_minor;
  row('To buy', s.price_text, t.price_text, s.currency === t.currency && more !== 0 ? `${more > 0 ? '+' : '−'}${money(Math.abs(more), t.currency, t.minor_digits)}` : '');
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
            <tr key={what} class={difference ? 'differs' : ''}><th scope="row">{what}</th><td class="num">{left}</td><td class="num">{right}</td><td class="num">{difference}</td></tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
