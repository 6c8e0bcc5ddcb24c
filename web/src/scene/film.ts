// SPDX-License-Identifier: Apache-2.0
//
// The build order as something that can be watched: when each body flies in, along the way that the planner found, and when
// each fixing is driven. What is made on trestles lies before the structure, turned so that what comes from above does come
// from above, until it is stood up. Seconds here are the film's, not the work's.
import { Matrix4, Quaternion, Vector3 } from 'three';
import type { Model, ModelFixing, Stage } from '../api/types';
import { bodyNames } from './stage_bodies';

export interface Move {
  keys: string[];
  way: Vector3;
  to: 'site' | 'trestles';
  start: number;
  end: number;
}
export interface Drive {
  fixing: ModelFixing;
  key: string | null;  // the body it goes with while that lies on trestles
  start: number;
  end: number;
}
export interface Scene {
  stage: Stage;
  start: number;
  end: number;
}
export interface Film {
  scenes: Scene[];
  moves: Move[];
  drives: Drive[];
  lying: Map<string, Matrix4>;  // from its place in the structure to where a body lies on trestles
  front: number;                // how far to the front they lie, y in the garden
  seconds: number;
}

/// What is seen at one moment.
export interface Moment {
  scene: Scene;
  poses: Map<string, Matrix4>;   // of bodies that are not in their place
  there: Set<string>;
  inHand: Set<string>;
  driven: { drive: Drive; share: number }[];
}

const pace = 1.15;       // s for one motion at a hand's pace
const longest = 11;      // s that the motions of one stage take at most
const reading = 2.6;     // s that a stage stands at least
const driving = 0.9;     // s for the fixings that a motion made possible
const comesFrom = 850;   // mm that a body flies

/// Where sets that are made on trestles lie: one before the other in front of the structure, 820 mm up.
function layOut(model: Model, sets: Made[], boxes: Map<string, Vector3[]>): { lying: Map<string, Matrix4>; front: number } {
  const lying = new Map<string, Matrix4>();
  const { min, max } = model.bounds;
  let [y, front, stage] = [min[1] - 600, min[1], -1];
  for (const { keys, down, made } of sets) {
    if (made !== stage) [y, stage] = [min[1] - 600, made];  // what an earlier stage made has been stood up by then
    const corners = keys.flatMap((each) => boxes.get(each) ?? []);
    if (corners.length === 0) continue;
    const turn = new Matrix4().makeRotationFromQuaternion(new Quaternion().setFromUnitVectors(down.clone().normalize(), new Vector3(0, 0, -1)));
    const turned = corners.map((each) => each.clone().applyMatrix4(turn));
    const reach = (k: number) => [Math.min(...turned.map((each) => each.getComponent(k))), Math.max(...turned.map((each) => each.getComponent(k)))] as const;
    const [[left, right], [near, far], [low]] = [reach(0), reach(1), reach(2)];
    const at = new Matrix4().makeTranslation((min[0] + max[0]) / 2 - (left + right) / 2, y - far, 820 - low).multiply(turn);
    for (const each of keys) lying.set(each, at);
    y -= far - near + 350;
    front = Math.min(front, y);
  }
  return { lying, front };
}

/// A set of bodies that is made on trestles and brought to the site as one: the way that was down there, and the stage.
interface Made {
  keys: string[];
  down: Vector3;
  made: number;
}

function setsOf(moves: (Move & { stage: number })[]): Made[] {
  const sets: Made[] = [];
  const first = new Map<string, Move & { stage: number }>();
  for (const move of moves) {
    if (move.to === 'trestles') for (const key of move.keys) first.set(key, first.get(key) ?? move);
    else {
      const keys = move.keys.filter((each) => first.has(each));
      const one = first.get(keys[0] ?? '');
      if (one && !sets.some((each) => each.keys.includes(keys[0]!))) sets.push({ keys, down: one.way, made: one.stage });
    }
  }
  return sets;
}

/// `boxes`: corners of each body where it stands, by its key.
export function filmOf(model: Model, stages: Stage[], fixings: ModelFixing[], boxes: Map<string, Vector3[]>): Film {
  const names = bodyNames(model);
  const keyOf = (structure: string, name: string) => names.get(`${structure}/${name}`) ?? null;
  const scenes: Scene[] = [];
  const moves: Move[] = [];
  const drives: Drive[] = [];
  const left = new Set(fixings);
  const place = new Map<string, string>();  // body → "site", or the set that it lies in
  const all = stages.flatMap((stage) => stage.motions.map((motion): Move & { stage: number } => ({
    keys: motion.bodies.flatMap((each) => keyOf(stage.structure, each) ?? []), way: new Vector3(...(motion.way as [number, number, number])), to: motion.to, stage: stage.number, start: 0, end: 0,
  })));
  const sets = setsOf(all);
  const setOf = (key: string) => {
    const found = sets.findIndex((each) => each.keys.includes(key));
    return found < 0 ? 'site' : `set ${found}`;
  };
  /// What can be driven now: all it goes through is there, and in one place.
  const ready = (): ModelFixing[] => [...left].filter((each) => {
    const at = each.through.flatMap((name) => {
      const key = keyOf(each.structure, name);
      return key === null ? [] : [place.get(key) ?? 'away'];
    });
    return at.length > 0 && !at.includes('away') && new Set(at).size === 1;
  });

  let now = 0;
  let next = 0;
  for (const stage of stages) {
    const start = now;
    const mine = all.slice(next, (next += stage.motions.length)).filter((each) => each.keys.length > 0);
    const each = Math.min(pace, longest / Math.max(1, mine.length));
    for (const move of mine) {
      moves.push({ ...move, start: now, end: now + each });
      now += each;
      for (const key of move.keys) place.set(key, move.to === 'site' ? 'site' : setOf(key));
      const can = ready();
      if (can.length === 0) continue;
      const takes = driving * Math.min(1, 6 / Math.max(1, mine.length));
      for (const fixing of can) {
        left.delete(fixing);
        const key = fixing.through.map((name) => keyOf(fixing.structure, name)).find((one) => one !== null) ?? null;
        drives.push({ fixing, key, start: now, end: now + takes });
      }
      now += takes;
    }
    now = Math.max(now, start + reading);
    scenes.push({ stage, start, end: now });
  }
  return { scenes, moves, drives, ...layOut(model, sets, boxes), seconds: now };
}

const ease = (share: number) => share * share * (3 - 2 * share);

function between(from: Matrix4, to: Matrix4, share: number): Matrix4 {
  const parts = [from, to].map((each) => {
    const [at, turn, size] = [new Vector3(), new Quaternion(), new Vector3()];
    each.decompose(at, turn, size);
    return { at, turn };
  });
  return new Matrix4().compose(parts[0]!.at.lerp(parts[1]!.at, share), parts[0]!.turn.slerp(parts[1]!.turn, share), new Vector3(1, 1, 1));
}

export function momentOf(film: Film, time: number): Moment {
  const scene = film.scenes.find((each) => time < each.end) ?? film.scenes[film.scenes.length - 1]!;
  const poses = new Map<string, Matrix4>();
  const there = new Set<string>();
  const inHand = new Set<string>();
  for (const move of film.moves) {
    if (move.start > time) break;
    const share = Math.min(1, (time - move.start) / (move.end - move.start));
    // It comes from before its place, along its way; what lay on trestles is first brought there.
    const back = move.way.clone().multiplyScalar(-comesFrom * (1 - ease(Math.max(0, share * 1.5 - 0.5))));
    for (const key of move.keys) {
      const lies = film.lying.get(key);
      let pose = new Matrix4().makeTranslation(back);
      if (lies && move.to === 'trestles') pose = lies.clone().multiply(new Matrix4().makeTranslation(move.way.clone().multiplyScalar(-comesFrom * (1 - ease(share)))));
      else if (lies && there.has(key)) pose = between(lies, pose, ease(Math.min(1, share * 1.5)));
      else pose = new Matrix4().makeTranslation(move.way.clone().multiplyScalar(-comesFrom * (1 - ease(share))));
      there.add(key);
      if (share >= 1 && move.to === 'site') poses.delete(key);
      else poses.set(key, pose);
      if (share < 1 || move.start >= scene.start) inHand.add(key);
    }
  }
  const driven = film.drives.filter((each) => each.start <= time).map((drive) => ({ drive, share: Math.min(1, (time - drive.start) / (drive.end - drive.start)) }));
  return { scene, poses, there, inHand, driven };
}
