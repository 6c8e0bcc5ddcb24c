// SPDX-License-Identifier: Apache-2.0
//
// The garden from above: each part as it is built, to be moved and turned by hand. It snaps to whole steps, and to the line
// of another part's posts; arrow keys move the one that has the focus, comma and full stop turn it.
import { useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { Model } from '../api/types';
import { printLength, sayLength } from '../base/length';
import { commit, commitPreview, committedText, preview, units } from '../job/store';
import { placePart, type Level, type Part } from '../job/parts';
import { outlinesOf, type Outline } from '../scene/plan_outline';

type Spot = [number, number];

const margin = 900;     // mm of ground around the parts, at least
const aside = 0.12;     // of the parts' own size: room for the turner and the scale
const finger = 28;      // px that a hand can hit
const foot = 304.8;
const scaleBars = { mm: [1000, 2000, 5000, 10000, 20000], 'ft-in': [2, 5, 10, 20, 50].map((each) => each * foot) };
const snapping = 60;    // mm within which posts of two parts come to one line

function turned([x, y]: Spot, degrees: number): Spot {
  const turn = (degrees * Math.PI) / 180;
  return [x * Math.cos(turn) - y * Math.sin(turn), x * Math.sin(turn) + y * Math.cos(turn)];
}

function middleOf(outlines: Outline[]): Spot {
  const [xs, ys] = [0, 1].map((k) => outlines.flatMap((each) => each.corners.map((corner) => corner[k]!)));
  return [(Math.min(...xs!) + Math.max(...xs!)) / 2, (Math.min(...ys!) + Math.max(...ys!)) / 2];
}

interface Frame {
  left: number;
  right: number;
  front: number;
  back: number;
}

function frameOf(model: Model, levels: Level[]): Frame {
  const { min, max } = model.bounds;
  const far = (k: 0 | 1, pick: typeof Math.min) => pick(pick(min[k], max[k]), ...levels.map((each) => each[k]), ...model.existing.map((each) => each.at[k]));
  const [left, right, front, back] = [far(0, Math.min), far(0, Math.max), far(1, Math.min), far(1, Math.max)];
  const around = Math.max(margin, aside * Math.max(right - left, back - front));
  return { left: left - around, right: right + around, front: front - around, back: back + around };
}

/// Grown to the shape of the screen, so that there is ground wherever one looks.
function filling(frame: Frame, screen: { wide: number; high: number }): Frame {
  const [wide, high] = [frame.right - frame.left, frame.back - frame.front];
  const across = Math.max(0, (high * screen.wide) / screen.high - wide) / 2;
  const deep = Math.max(0, (wide * screen.high) / screen.wide - high) / 2;
  return { left: frame.left - across, right: frame.right + across, front: frame.front - deep, back: frame.back + deep };
}

interface Grip {
  part: Part;
  turning: boolean;
  from: Spot;
  middle: Spot;
}

/// What the pattern's posts stand on, from the model's footings.
const postsOf = (model: Model, structure: string): Spot[] => model.footings.filter((each) => each.structure === structure).map((each) => [each.centre[0], each.centre[1]]);

export function GardenPlan({ model, parts, levels, chosen, choose }: { model: Model; parts: Part[]; levels: Level[]; chosen: number; choose: (index: number) => void }) {
  const sheet = useRef<SVGSVGElement>(null);
  const rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
  const [screen, setScreen] = useState({ wide: 700, high: 500 });
  useLayoutEffect(() => {
    const look = () => {
      const { clientWidth: wide, clientHeight: high } = sheet.current!;
      if (wide > 0 && high > 0) setScreen((was) => (was.wide === wide && was.high === high ? was : { wide, high }));
    };
    look();
    const watch = new ResizeObserver(look);
    watch.observe(sheet.current!);
    return () => watch.disconnect();
  }, []);
  const [grip, setGrip] = useState<Grip | null>(null);
  const [moved, setMoved] = useState<{ by: Spot; turn: number } | null>(null);
  const kept = useRef<Frame | null>(null);
  const outlines = useMemo(() => outlinesOf(model), [model]);
  // The sheet stays where it is while a part is held.
  const frame = (grip && kept.current) || (kept.current = filling(frameOf(model, levels), screen));
  // While one is held the picture is the one it was taken in; the job follows behind.
  const held = useRef<Outline[]>(outlines);
  if (!grip) held.current = outlines;
  const [wide, high] = [frame.right - frame.left, frame.back - frame.front];
  const onSheet = ([x, y]: Spot): Spot => [x - frame.left, frame.back - y];
  const spot = (event: PointerEvent): Spot => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(sheet.current!.getScreenCTM()!.inverse());
    return [at.x + frame.left, frame.back - at.y];
  };
  const step = units.value === 'mm' ? 10 : 25.4 / 2;

  const snapped = (part: Part, to: Spot): Spot => {
    const by: Spot = [to[0] - part.at[0], to[1] - part.at[1]];
    const mine = postsOf(model, part.name);
    const others = parts.filter((each) => each.index !== part.index).flatMap((each) => postsOf(model, each.name));
    return [0, 1].map((k) => {
      let [least, found] = [snapping, Math.round(to[k]! / step) * step];
      for (const a of mine) for (const b of others) {
        const off = b[k]! - (a[k]! + by[k]!);
        if (Math.abs(off) < least) [least, found] = [Math.abs(off), to[k]! + off];
      }
      return found;
    }) as Spot;
  };
  /// Turned about its middle: where its origin comes to be.
  const turnedAt = (part: Part, middle: Spot, turn: number): Spot => {
    const arm = turned([part.at[0] - middle[0], part.at[1] - middle[1]], turn - part.turn);
    return [middle[0] + arm[0], middle[1] + arm[1]];
  };

  const hold = (part: Part, turning: boolean) => (event: PointerEvent) => {
    if (event.button > 0) return;
    event.stopPropagation();
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    choose(part.index);
    setGrip({ part, turning, from: spot(event), middle: middleOf(outlines.filter((each) => each.structure === part.name)) });
    setMoved({ by: [0, 0], turn: 0 });
  };
  const drag = (event: PointerEvent) => {
    if (!grip) return;
    const { part, middle, from } = grip;
    const now = spot(event);
    if (grip.turning) {
      const about = (each: Spot) => (Math.atan2(each[1] - middle[1], each[0] - middle[0]) * 180) / Math.PI;
      const by = Math.round((part.turn + about(now) - about(from)) / 5) * 5 - part.turn;
      setMoved({ by: [0, 0], turn: by });
      preview(placePart(committedText(), part, turnedAt(part, middle, part.turn + by), part.turn + by));
    } else {
      const to = snapped(part, [part.at[0] + now[0] - from[0], part.at[1] + now[1] - from[1]]);
      setMoved({ by: [to[0] - part.at[0], to[1] - part.at[1]], turn: 0 });
      preview(placePart(committedText(), part, to, part.turn));
    }
  };
  const letGo = () => {
    if (!grip) return;
    commitPreview(`${grip.turning ? 'turn' : 'move'} ${grip.part.name}`);
    setGrip(null);
    setMoved(null);
  };
  const press = (part: Part) => (event: KeyboardEvent) => {
    const by = step * (event.shiftKey ? 10 : 1);
    const ways: Record<string, Spot> = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, by], ArrowDown: [0, -by] };
    const way = ways[event.key];
    const turn = event.key === ',' ? 15 : event.key === '.' ? -15 : 0;
    if (!way && !turn) return;
    event.preventDefault();
    const middle = middleOf(outlines.filter((each) => each.structure === part.name));
    const at: Spot = way ? [part.at[0] + way[0], part.at[1] + way[1]] : turnedAt(part, middle, part.turn + turn);
    commit(placePart(committedText(), part, at, part.turn + turn), `${turn ? 'turn' : 'move'} ${part.name}`);
  };

  const grid = [];
  for (let x = Math.ceil(frame.left / 1000) * 1000; x <= frame.right; x += 1000) grid.push(<line key={`x${x}`} x1={x - frame.left} x2={x - frame.left} y1="0" y2={high} class={x === 0 ? 'axis' : ''} vector-effect="non-scaling-stroke" />);
  for (let y = Math.ceil(frame.front / 1000) * 1000; y <= frame.back; y += 1000) grid.push(<line key={`y${y}`} x1="0" x2={wide} y1={frame.back - y} y2={frame.back - y} class={y === 0 ? 'axis' : ''} vector-effect="non-scaling-stroke" />);
  // Letters are as large as elsewhere, whatever the sheet's scale.
  const text = 14 * (rem / 16) * Math.max(wide / screen.wide, high / screen.high);
  // Lines grow lighter as timbers grow small, or a large roof were a black slab.
  const line = Math.min(1, Math.max(0.15, ((14 * rem) / 16 / text) * 15));
  const bars = scaleBars[units.value];
  const bar = bars.find((each) => each > 4 * text) ?? bars[bars.length - 1]!;
  const graspOf = (outlines: Outline[]) => hull4(outlines, (finger / 14) * text);
  /// Over a part that is thinner than its name the name would hide it.
  const nameSpot = (whole: Spot[], middle: number) => {
    const [low, top] = [onSheet(whole[0]!)[1], onSheet(whole[2]!)[1]];
    return low - top < 3.5 * text ? top - 0.4 * text : middle;
  };
  const named = namesShown(parts.flatMap(({ index, name }) => {
    const mine = held.current.filter((each) => each.structure === name);
    if (mine.length === 0) return [];
    const [x, y] = onSheet(middleOf(mine));
    return [{ index, name, at: [x, nameSpot(graspOf(mine), y)] }];
  }), chosen, text * 1.15);
  return (
    <svg ref={sheet} class="garden-plan" viewBox={`0 0 ${wide} ${high}`} role="group" aria-label="The garden from above" style={{ '--line': `${line}px` }} onPointerMove={drag} onPointerUp={letGo} onPointerCancel={letGo}>
      <g class="garden-grid">{grid}</g>
      {model.existing.map((each) => {
        const [x, y] = onSheet([each.at[0], each.at[1]]);
        return <g key={each.name} class="garden-existing">
          {each.kind === 'tree' ? <circle cx={x} cy={y} r={each.width_mm / 2} vector-effect="non-scaling-stroke" />
            : <polygon points={([[0, 0], [each.width_mm, 0], [each.width_mm, each.depth_mm], [0, each.depth_mm]] as Spot[]).map((corner) => { const [a, b] = turned(corner, each.turn_deg); return onSheet([each.at[0] + a, each.at[1] + b]).join(); }).join(' ')} vector-effect="non-scaling-stroke" />}
          <text x={x} y={y - each.width_mm / 2 - text * 0.4} text-anchor="middle" style={{ fontSize: `${text}px` }}>{each.name}</text>
        </g>;
      })}
      {model.walls.map((each, i) => {
        const [[x, y], [u, v]] = [onSheet([each.at[0], each.at[1]]), [-each.outward[1] * 6000, -each.outward[0] * 6000]];
        return <line key={i} x1={x - u} y1={y - v} x2={x + u} y2={y + v} class="garden-wall" vector-effect="non-scaling-stroke" />;
      })}
      {[...parts].sort((a, b) => Number(a.index === chosen) - Number(b.index === chosen)).map((part) => {
        const mine = held.current.filter((each) => each.structure === part.name);
        if (mine.length === 0) return null;
        const middle = grip?.part.index === part.index ? grip.middle : middleOf(mine);
        const here = grip?.part.index === part.index ? moved : null;
        const [cx, cy] = onSheet(middle);
        const shift = here ? `translate(${here.by[0]} ${-here.by[1]}) rotate(${-here.turn} ${cx} ${cy})` : undefined;
        const whole = graspOf(mine);
        const nameAt = nameSpot(whole, cy);
        const posts = postsOf(model, part.name);
        const topRight = onSheet([Math.max(...mine.flatMap((each) => each.corners.map((corner) => corner[0]))), Math.max(...mine.flatMap((each) => each.corners.map((corner) => corner[1])))]);
        return (
          <g key={part.index} class={`garden-part ${chosen === part.index ? 'chosen' : ''}`} transform={shift}>
            <polygon class="grasp" points={whole.map((each) => onSheet(each).join()).join(' ')} role="button" tabIndex={0} aria-pressed={chosen === part.index}
              aria-label={`${part.name}: ${sayLength(part.at[0], units.value)} across, ${sayLength(part.at[1], units.value)} deep, turned ${part.turn}°`}
              aria-description="Arrow keys move it, with Shift ten times as far; comma and full stop turn it."
              onPointerDown={hold(part, false)} onKeyDown={press(part)} onFocus={() => choose(part.index)} vector-effect="non-scaling-stroke" />
            {mine.map((each, i) => <polygon key={i} class={`plan-${each.member}`} points={each.corners.map((corner) => onSheet(corner).join()).join(' ')} vector-effect="non-scaling-stroke" />)}
            {!grip && posts.map((each, i) => { const [x, y] = onSheet(each); return <circle key={i} class="post-spot" cx={x} cy={y} r="75" vector-effect="non-scaling-stroke" />; })}
            {named.has(part.index) && <text x={cx} y={nameAt} text-anchor="middle" class="part-name" style={{ fontSize: `${text * 1.15}px`, strokeWidth: `${text * 0.28}px` }}>{part.name}</text>}
            {chosen === part.index && <g class="turner" onPointerDown={hold(part, true)}>
              <title>Turn {part.name}</title>
              <circle class="reach" cx={topRight[0] + text} cy={topRight[1] - text} r={text * 1.6} />
              <circle cx={topRight[0] + text} cy={topRight[1] - text} r={text * 0.75} vector-effect="non-scaling-stroke" />
              <text x={topRight[0] + text} y={topRight[1] - text * 0.6} text-anchor="middle" style={{ fontSize: `${text * 1.1}px` }}>⟲</text>
            </g>}
          </g>
        );
      })}
      {!grip && (model.swings ?? []).map((each, i) => {
        const [hinge, shut] = [onSheet([each.axis[0], each.axis[1]]), onSheet([each.reach[0], each.reach[1]])];
        const arm = turned([each.reach[0] - each.axis[0], each.reach[1] - each.axis[1]], each.opens_deg);
        const open = onSheet([each.axis[0] + arm[0], each.axis[1] + arm[1]]);
        const radius = Math.hypot(shut[0] - hinge[0], shut[1] - hinge[1]);
        return <path key={i} class="garden-swing" d={`M${hinge.join(' ')}L${open.join(' ')}A${radius} ${radius} 0 ${Math.abs(each.opens_deg) > 180 ? 1 : 0} ${each.opens_deg > 0 ? 1 : 0} ${shut.join(' ')}`} vector-effect="non-scaling-stroke"><title>{each.name} swings here</title></path>;
      })}
      {levels.map((each, i) => {
        const [x, y] = onSheet([each[0], each[1]]);
        return <g key={i} class="garden-level"><path d={`M${x - text / 2} ${y}h${text}M${x} ${y - text / 2}v${text}`} vector-effect="non-scaling-stroke" />
          <text x={x + text * 0.4} y={y - text * 0.35} style={{ fontSize: `${text}px` }}>{printLength(each[2], units.value)}</text></g>;
      })}
      <g class="scale-bar" transform={`translate(${wide * 0.03} ${high - text * 0.9})`}>
        <path d={`M0 ${-text * 0.4}V0H${bar}V${-text * 0.4}`} vector-effect="non-scaling-stroke" />
        <text x={bar / 2} y={-text * 0.5} text-anchor="middle" style={{ fontSize: `${text * 0.9}px` }}>{units.value === 'mm' ? `${bar / 1000} m` : `${Math.round(bar / foot)} ft`}</text>
      </g>
    </svg>
  );
}

interface Named {
  index: number;
  name: string;
  at: Spot;
}

/// The parts whose names find room, the chosen one's first; the list beside the plan names all.
function namesShown(parts: Named[], chosen: number, high: number): Set<number> {
  const wide = (each: Named) => each.name.length * high * 0.6;
  const shown: Named[] = [];
  for (const each of [...parts].sort((a, b) => Number(b.index === chosen) - Number(a.index === chosen)))
    if (shown.every((one) => Math.abs(one.at[0] - each.at[0]) > (wide(one) + wide(each)) / 2 || Math.abs(one.at[1] - each.at[1]) > high)) shown.push(each);
  return new Set(shown.map((each) => each.index));
}

/// The rectangle around a part's outlines, by which it is taken hold of; no side of it is shorter than `least`.
function hull4(outlines: Outline[], least: number): Spot[] {
  const [[a, b], [c, d]] = ([0, 1] as const).map((k) => {
    const all = outlines.flatMap((each) => each.corners.map((corner) => corner[k]));
    const [low, high] = [Math.min(...all), Math.max(...all)];
    const more = Math.max(0, (least - (high - low)) / 2);
    return [low - more, high + more];
  }) as [Spot, Spot];
  return [[a, c], [b, c], [b, d], [a, d]];
}
