// SPDX-License-Identifier: Apache-2.0
//
// The price over one choice, as a line of steps: where it jumps, and where a small change would save.
import { useEffect, useState } from 'preact/hooks';
import { api, asRefusal, isAbort } from '../api/client';
import type { ThriftChoice } from '../api/types';
import { money, words } from '../base/figures';
import { lengthToToml, printLength, sayLength } from '../base/length';
import { jobText, setChoice, units } from '../job/store';
import { quick, unplanned } from '../live/live';

export function ThriftPanel({ digits }: { digits: number }) {
  const structures = quick.value?.answer.structures ?? [];
  const options = structures.flatMap((structure, index) =>
    structure.choices.filter((each) => (each.value_mm ?? each.value) !== undefined).map((each) => ({ structure, index, choice: each.name })));
  const [picked, setPicked] = useState('');
  const now = options.find((each) => `${each.structure.name}.${each.choice}` === picked) ?? options[0];
  const [answer, setAnswer] = useState<{ of: string; currency: string; found: ThriftChoice | null } | null>(null);
  const [wrong, setWrong] = useState<string | null>(null);
  const job = jobText.value;
  const name = now ? `${now.structure.name}.${now.choice}` : '';

  useEffect(() => {
    if (!name) return undefined;
    const stop = new AbortController();
    setWrong(null);
    const timer = setTimeout(() => {
      api.thrift(job, name, stop.signal).then(
        (thrift) => setAnswer({ of: name + job, currency: thrift.currency, found: thrift.choices[0] ?? null }),
        (error: unknown) => {
          if (isAbort(error)) return;
          const why = asRefusal(error);
          setWrong(why.kind === 'missing' ? 'This planner does not tell how the price moves.' : why.message);
        });
    }, 250);
    return () => {
      clearTimeout(timer);
      stop.abort();
    };
  }, [job, name]);

  if (!now || unplanned.value) return null;
  const fresh = answer?.of === name + job;
  return (
    <section aria-label="Price over a choice">
      <h2>What a small change would save</h2>
      <p class="inline-form">
        <label for="thrift-choice">Price over</label>
        <select id="thrift-choice" value={name} onChange={(event) => setPicked(event.currentTarget.value)}>
          {options.map((each) => {
            const full = `${each.structure.name}.${each.choice}`;
            return <option key={full} value={full}>{words(each.choice)}{structures.length > 1 ? `, ${each.structure.name}` : ''}</option>;
          })}
        </select>
      </p>
      {wrong && <p>{wrong}</p>}
      {!wrong && !fresh && <p class="quiet steps-wait" role="status">Trying its values; this takes a second or two …</p>}
      {!wrong && fresh && (answer.found
        ? <div><Steps thrift={answer.found} currency={answer.currency} digits={digits} structure={now.index} /></div>
        : <p>The price does not move with it.</p>)}
    </section>
  );
}

function Steps({ thrift, currency, digits, structure }: { thrift: ThriftChoice; currency: string; digits: number; structure: number }) {
  const priced = thrift.steps.filter((each) => each.cost_minor !== undefined);
  if (priced.length === 0) return <p>Nothing near this value can be built or bought.</p>;
  const low = Math.min(...thrift.steps.map((each) => each.from));
  const high = Math.max(...thrift.steps.map((each) => each.to), low + 1);
  const costs = priced.map((each) => each.cost_minor!);
  const least = Math.min(...costs);
  const most = Math.max(...costs, least + 1);
  const x = (value: number) => 9 + (89 * (value - low)) / (high - low);
  const y = (minor: number) => 22 + (130 * (most - minor)) / (most - least);
  const tell = (value: number) => (thrift.unit === 'length' ? sayLength(value, units.value) : String(value));
  const print = (value: number) => (thrift.unit === 'length' ? printLength(value, units.value) : String(value));
  const take = (value: number) =>
    setChoice(structure, thrift.choice, thrift.unit === 'length' ? lengthToToml(value, units.value) : String(value), `${words(thrift.choice)} ${tell(value)}`);
  return (
    <>
      <svg class="steps" width="100%" height="190" role="img"
        aria-label={`Price of ${words(thrift.choice)} from ${tell(low)} to ${tell(high)}: ${money(least, currency, digits)} to ${money(most, currency, digits)}; now ${money(thrift.now_minor, currency, digits)} at ${tell(thrift.now)}`}>
        <line x1="9%" x2="98%" y1="160" y2="160" class="axis" />
        <text x="9%" y="178" text-anchor="start">{print(low)}</text>
        <text x="98%" y="178" text-anchor="end">{print(high)}</text>
        <text x="0" y={y(most) + 5}>{(most / 10 ** digits).toFixed(0)}</text>
        <text x="0" y={y(least) + 5}>{(least / 10 ** digits).toFixed(0)}</text>
        {thrift.steps.map((each, i) => each.cost_minor === undefined
          ? <rect key={i} x={`${x(each.from)}%`} width={`${Math.max(0.2, x(each.to) - x(each.from))}%`} y="14" height="146" class="refused"><title>{each.refusal}</title></rect>
          : (
            <g key={i}>
              <line x1={`${x(each.from)}%`} x2={`${x(each.to)}%`} y1={y(each.cost_minor)} y2={y(each.cost_minor)} class="tread" />
              {thrift.steps[i + 1]?.cost_minor !== undefined &&
                <line x1={`${x(each.to)}%`} x2={`${x(thrift.steps[i + 1]!.from)}%`} y1={y(each.cost_minor)} y2={y(thrift.steps[i + 1]!.cost_minor!)} class="riser" />}
            </g>
          ))}
        <line x1={`${x(thrift.now)}%`} x2={`${x(thrift.now)}%`} y1="8" y2="166" class="now" />
        <text x={`${Math.min(90, x(thrift.now))}%`} dx="5" y="14" class="now-text">now {print(thrift.now)}</text>
        {thrift.cheaper.map((each) => (
          <g key={each.value} onClick={() => take(each.value)} class="cheaper-spot">
            <title>{tell(each.value)} saves {money(each.saved_minor, currency, digits)}</title>
            <circle cx={`${x(each.value)}%`} cy={y(each.cost_minor)} r="14" class="reach" />
            <circle cx={`${x(each.value)}%`} cy={y(each.cost_minor)} r="7" class="cheaper" />
          </g>
        ))}
      </svg>
      {thrift.passed_over > 0 && <p class="quiet">Nearer steps cost less, but a check would fail there that holds now.</p>}
      {thrift.cheaper.length === 0 ? thrift.passed_over === 0 && <p>No value near it costs less.</p> : (
        <ul class="cheaper-list">
          {thrift.cheaper.map((each) => (
            <li key={each.value}>
              <button type="button" onClick={() => take(each.value)}>{tell(each.value)}</button>
              <span>saves <strong>{money(each.saved_minor, currency, digits)}</strong></span>
              {each.lines.length > 0 && <span class="quiet">{each.lines.slice(0, 2).join('; ')}</span>}
            </li>
          ))}
        </ul>
      )}
      {!thrift.proven && <p class="quiet">Not every step is proven to be the least.</p>}
    </>
  );
}
