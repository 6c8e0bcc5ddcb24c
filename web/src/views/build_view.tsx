// SPDX-License-Identifier: Apache-2.0
//
// The build order as a film at a hand's pace: it plays, stops, goes stage by stage, and can be drawn to any moment. Where
// no motion is wanted it goes from stage to stage.
import { useEffect, useRef, useState } from 'preact/hooks';
import { api } from '../api/client';
import type { ModelFixing, Stage } from '../api/types';
import { kilograms } from '../base/figures';
import { plan, quick, unfinished } from '../live/live';
import { ModelView } from '../parts/model_view';
import { Waiting } from '../parts/waiting';
import { filmOf, momentOf, type Film } from '../scene/film';
import { waysOf } from '../scene/orbit';
import { personAt } from '../scene/people';
import { plainLook, type View } from '../scene/view';

/// The planner's reckoning is rough: it is told to five minutes, long work to half hours.
function workTime(minutes: number): string {
  return minutes < 90 ? `about ${Math.max(5, Math.round(minutes / 5) * 5)} min` : `about ${Math.round(minutes / 30) / 2} h`;
}

const count = (people: number) => `${people} ${people === 1 ? 'person' : 'people'}`;

function useFixings(text: string | null): ModelFixing[] {
  const [known, setKnown] = useState<{ text: string; fixings: ModelFixing[] } | null>(null);
  useEffect(() => {
    if (text === null) return undefined;
    const stop = new AbortController();
    api.model(text, stop.signal).then((model) => setKnown({ text, fixings: model.fixings ?? [] }), () => undefined);  // without them the film is the poorer
    return () => stop.abort();
  }, [text]);
  return known?.text === text ? known!.fixings : [];
}

const still = () => matchMedia('(prefers-reduced-motion: reduce)').matches;

/// Runs the film: `show` is told each moment, without the page being laid anew.
function usePlayer(film: Film | null, show: (time: number) => void) {
  const time = useRef(0);
  const [playing, setPlaying] = useState(false);
  const [scene, setScene] = useState(0);
  const to = (seconds: number) => {
    if (!film) return;
    time.current = Math.max(0, Math.min(film.seconds, seconds));
    show(time.current);
    const now = film.scenes.findIndex((each) => time.current < each.end);
    setScene(now < 0 ? film.scenes.length - 1 : now);
  };
  useEffect(() => to(film?.scenes[0] ? film.scenes[0].end - 0.01 : 0), [film]);
  useEffect(() => {
    if (!playing || !film) return undefined;
    let [last, frame] = [performance.now(), 0];
    const step = (now: number) => {
      const passed = Math.min(0.2, (now - last) / 1000);
      last = now;
      to(still() ? nextStill(film, time.current, now) : time.current + passed);
      if (time.current >= film.seconds) return setPlaying(false);
      frame = requestAnimationFrame(step);
    };
    frame = requestAnimationFrame(step);
    return () => cancelAnimationFrame(frame);
  }, [playing, film]);
  /// The end of a stage: all that it brings is there.
  const toScene = (i: number) => {
    setPlaying(false);
    const one = film?.scenes[Math.max(0, Math.min(film.scenes.length - 1, i))];
    if (one) to(one.end - 0.01);
  };
  const play = () => {
    if (!playing && film && time.current >= film.seconds - 0.05) time.current = 0;
    else if (!playing && film && scene === 0) time.current = 0;
    setPlaying(!playing);
  };
  return { scene, playing, to: (seconds: number) => { setPlaying(false); to(seconds); }, toScene, play };
}

const none: Stage[] = [];

let stoodSince = 0;
/// Without motion: each stage stands for a while, then the next one does.
function nextStill(film: Film, time: number, now: number): number {
  if (stoodSince === 0 || now - stoodSince > 4000) stoodSince = now;
  if (now - stoodSince < 1800) return time;
  stoodSince = now;
  const next = film.scenes.find((each) => each.end - 0.01 > time + 0.02);
  return next ? next.end - 0.01 : film.seconds;
}

export function BuildView() {
  const now = plan.value;
  const model = now && quick.value?.text === now.text ? quick.value.answer.model : null;
  const stages = now?.answer.stages ?? none;
  const fixings = useFixings(now && stages.length > 0 ? now.text : null);
  const view = useRef<View | null>(null);
  const [film, setFilm] = useState<Film | null>(null);
  useEffect(() => {
    if (!model || !view.current || stages.length === 0) return setFilm(null);
    const made = filmOf(model, stages, fixings, view.current.boxes());
    const { min, max } = model.bounds;
    view.current.include = made.front < min[1] ? [[min[0], made.front, 0], [max[0], made.front, 0], [max[0], made.front, 900]] : [];
    view.current.fit();
    setFilm(made);
  }, [model, stages, fixings]);
  const slider = useRef<HTMLInputElement>(null);
  const show = (time: number) => {
    if (slider.current) slider.current.value = String(time);
    if (!film || !view.current || !model) return;
    const moment = momentOf(film, time);
    const { stage } = moment.scene;
    view.current.setLook({
      ...plainLook, ghosts: true, poses: moment.poses, driven: moment.driven,
      shown: (key) => moment.there.has(key) || time >= film.seconds - 0.02, fresh: (key) => moment.inHand.has(key),
    });
    view.current.annotate = (project) => {
      if (!view.current || stage.motions.length === 0) return [];
      const { right } = waysOf(view.current.orbit.stand);
      const { min, max } = model.bounds;
      return Array.from({ length: stage.people }, (_, i) => personAt([min[0] + ((i + 1) * (max[0] - min[0])) / (stage.people + 1), (stage.motions.some((each) => each.to === 'trestles') ? film.front - 150 : min[1] - 500), 0], right, project)).flat();
    };
  };
  const player = usePlayer(film, show);
  if (!now || (!now.whole && !unfinished.value)) return <Waiting what="the build order" />;
  const at = stages[Math.min(player.scene, stages.length - 1)];
  if (!at)
    return (
      <div class="page-sheet">
        <h2>No build order was worked out</h2>
        <p>The planner has not found out in which order this can be put up. Do not take the order of the piece list for one.</p>
      </div>
    );
  return (
    <div class="split">
      <div class="split-text">
        <div class="player" role="group" aria-label="Build order">
          <button type="button" onClick={() => player.toScene(player.scene - 1)} disabled={player.scene === 0}>Back</button>
          <button type="button" class="main-act" onClick={player.play} aria-pressed={player.playing}>{player.playing ? 'Stop' : 'Play'}</button>
          <button type="button" onClick={() => player.toScene(player.scene + 1)} disabled={player.scene >= stages.length - 1}>Next</button>
          <span>{at.number} of {stages.length}</span>
        </div>
        <input ref={slider} type="range" aria-label="Moment of the build order" aria-valuetext={`stage ${at.number}, ${at.title}`} min="0" max={film?.seconds ?? 1} step="0.05"
          onInput={(event) => player.to(Number(event.currentTarget.value))} />
        <StageWords stage={at} />
        <h3>All stages</h3>
        <ol class="stage-list">
          {stages.map((each, i) => (
            <li key={each.number}><button type="button" aria-current={i === player.scene ? 'step' : undefined} onClick={() => player.toScene(i)}>{each.number}. {each.title}</button></li>
          ))}
        </ol>
      </div>
      <div class="split-picture">
        <ModelView model={model} label={`Stage ${at.number}: ${at.title}`} look={plainLook} fitKey={model ? 'build' : ''} onView={(made) => { view.current = made; }} />
        <p class="caption">{at.number}. {at.title}{at.motions.length > 0 && `: ${count(at.people)}`}{at.lift_kg > 0 && `, ${kilograms(at.lift_kg)} to lift`}</p>
      </div>
    </div>
  );
}

function StageWords({ stage }: { stage: Stage }) {
  return (
    <section aria-live="polite">
      <h2>{stage.title}</h2>
      <p class="quiet">
        {count(stage.people)}{stage.lift_kg > 0 && `, to lift ${kilograms(stage.lift_kg)}`}{stage.minutes > 0 && `, ${workTime(stage.minutes)}`}{stage.wait_h > 0 && `, then wait ${stage.wait_h} h`}
      </p>
      <ol class="actions">{stage.actions.map((each, i) => <li key={i}>{each}</li>)}</ol>
    </section>
  );
}
