// SPDX-License-Identifier: Apache-2.0
import { useEffect, useMemo, useState } from 'preact/hooks';
import { kilograms } from '../base/figures';
import { plan, quick, unfinished } from '../live/live';
import { ModelView } from '../parts/model_view';
import { Waiting } from '../parts/waiting';
import { bodiesInHand, stageOfBodies } from '../scene/stage_bodies';
import { plainLook } from '../scene/view';

/// The planner's reckoning is rough: it is told to five minutes, long work to half hours.
function workTime(minutes: number): string {
  return minutes < 90 ? `about ${Math.max(5, Math.round(minutes / 5) * 5)} min` : `about ${Math.round(minutes / 30) / 2} h`;
}

export function BuildView() {
  const now = plan.value;
  const model = now && quick.value?.text === now.text ? quick.value.answer.model : null;
  const stages = now?.answer.stages ?? [];
  const [step, setStep] = useState(0);
  const [playing, setPlaying] = useState(false);
  const at = stages[Math.min(step, stages.length - 1)];
  const bodies = useMemo(() => (model ? stageOfBodies(model, stages) : new Map<string, number>()), [model, stages]);
  const inHand = useMemo(() => (model && at ? bodiesInHand(model, at) : new Set<string>()), [model, at]);
  const look = useMemo(() => ({
    ...plainLook,
    ghosts: true,
    shown: at ? (key: string) => (bodies.get(key) ?? Infinity) <= at.number || !bodies.has(key) && at === stages[stages.length - 1] : null,
    fresh: at ? (key: string) => inHand.has(key) || bodies.get(key) === at.number : null,
  }), [at, bodies, inHand]);
  useEffect(() => {
    if (!playing) return undefined;
    const timer = setInterval(() => setStep((was) => {
      if (was + 1 < stages.length) return was + 1;
      setPlaying(false);
      return was;
    }), 1800);
    return () => clearInterval(timer);
  }, [playing, stages.length]);
  if (!now || (!now.whole && !unfinished.value)) return <Waiting what="the build order" />;
  if (!at)
    return (
      <div class="page-sheet">
        <h2>No build order was worked out</h2>
        <p>The planner has not found out in which order this can be put up. Do not take the order of the piece list for one.</p>
      </div>
    );
  const play = () => {
    if (!playing && step >= stages.length - 1) setStep(0);
    setPlaying(!playing);
  };
  return (
    <div class="split">
      <div class="split-text">
        <div class="player" role="group" aria-label="Build order">
          <button type="button" onClick={() => setStep(Math.max(0, step - 1))} disabled={step === 0}>Back</button>
          <button type="button" class="main-act" onClick={play} aria-pressed={playing}>{playing ? 'Stop' : 'Play'}</button>
          <button type="button" onClick={() => setStep(Math.min(stages.length - 1, step + 1))} disabled={step >= stages.length - 1}>Next</button>
          <span>{at.number} of {stages.length}</span>
        </div>
        <section aria-live="polite">
          <h2>{at.title}</h2>
          <p class="quiet">
            {at.people} {at.people === 1 ? 'person' : 'people'}{at.lift_kg > 0 && `, to lift ${kilograms(at.lift_kg)}`}{at.minutes !== undefined && at.minutes > 0 && `, ${workTime(at.minutes)}`}{at.wait_h > 0 && `, then wait ${at.wait_h} h`}
          </p>
          <ol class="actions">{at.actions.map((each, i) => <li key={i}>{each}</li>)}</ol>
        </section>
        <h3>All stages</h3>
        <ol class="stage-list">
          {stages.map((each, i) => (
            <li key={each.number}><button type="button" aria-current={i === step ? 'step' : undefined} onClick={() => setStep(i)}>{each.number}. {each.title}</button></li>
          ))}
        </ol>
      </div>
      <div class="split-picture">
        <ModelView model={model} label={`Stage ${at.number}: ${at.title}`} look={look} fitKey={model ? 'build' : ''} />
      </div>
    </div>
  );
}
