// SPDX-License-Identifier: Apache-2.0
//
// Dimension lines as on paper: thin extension lines, oblique ticks, the figure above the line. Those that are a choice
// carry a handle; dragging it, or arrow keys on it, changes that choice.
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Model, Size } from '../api/types';
import { lengthStep, lengthToToml, printLength, sayLength } from '../base/length';
import { words } from '../base/figures';
import { markMoment } from '../base/moments';
import { commitPreview, previewChoice, setChoice, units } from '../job/store';
import { quick } from '../live/live';
import { dimensionLines, flatDimensionLines, type DimensionLine } from '../scene/dimensions';
import { placeLabels, widthOf, type Label } from '../scene/labels';
import { waysOf } from '../scene/orbit';
import type { At, Stroke } from '../scene/strokes';
import type { Project, View } from '../scene/view';

interface Held {
  name: string;
  value: number;   // of the choice now
  size: number;    // of the line now
  start: number;
  startSize: number;
  way: { x: number; y: number };
  perPixel: number;
  from: { x: number; y: number };
}

const keyOf = (size: Size) => `${size.structure}/${size.name}`;

/// Two lines may move one choice: each is named by what it measures too, where that is not the choice itself.
function handleName(size: Size): string {
  const [choice, measured] = [words(size.choice!), words(size.name)];
  return `${choice} of ${size.structure}${measured === choice ? '' : `, by the ${measured}`}`;
}

function structureIndex(size: Size): number {
  return Math.max(0, quick.value?.answer.structures.findIndex((each) => each.name === size.structure) ?? 0);
}
function chosen(size: Size): number | null {
  const taken = quick.value?.answer.structures[structureIndex(size)]?.choices.find((each) => each.name === size.choice);
  return taken?.value_mm ?? null;
}
function within(value: number, size: Size): number {
  const step = lengthStep(units.value);
  const stepped = Math.round(value / step) * step;
  return Math.min(size.max ?? Infinity, Math.max(size.min ?? 0, stepped));
}

interface Laid {
  lines: DimensionLine[];
  labels: Map<string, Label>;
  project: Project;
}

/// Lays the lines over each picture of the view; figures and handles stand on them.
export function DimensionLines({ view, fixed }: { view: View; fixed: boolean }) {
  const [laid, setLaid] = useState<Laid | null>(null);
  const [held, setHeld] = useState<Held | null>(null);
  const now = useRef<Held | null>(null);
  const focused = useRef<string | null>(null);
  const moved = useRef<{ frame: number; act: () => void }>({ frame: 0, act: () => undefined });
  now.current = held;
  useEffect(() => {
    view.annotate = (project) => {
      const seen = view.shown ? linesSeen(view.measured(view.shown), view, project, fixed) : [];
      const labels = labelsOf(seen, view, project, now.current, !fixed);
      // A size whose figure finds no room tells nothing: it comes when one goes nearer, or looks from another side.
      const lines = seen.filter((each) => labels.has(keyOf(each.size)) || [now.current?.name, focused.current].includes(keyOf(each.size)));
      setLaid({ lines, labels, project });
      return lines.flatMap((each) => strokesOf(each, project, now.current?.name === keyOf(each.size), view.rem))
        .map((each) => ({ ...each, wide: each.wide * view.rem }));
    };
    view.draw();
    return () => {
      view.annotate = null;
      view.draw();
    };
  }, [view, fixed]);
  useEffect(() => {
    view.held = held !== null;
    view.draw();
  }, [view, held?.name]);
  if (!laid) return null;
  const { lines, labels, project } = laid;

  const grasp = (line: DimensionLine) => (event: PointerEvent) => {
    const value = chosen(line.size);
    if (value === null || event.button > 0) return;
    event.stopPropagation();
    event.preventDefault();
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    (event.currentTarget as HTMLElement).focus();
    const a = project(line.lineFrom);
    const b = project(line.lineTo);
    const long = Math.hypot(b.x - a.x, b.y - a.y);
    setHeld({
      name: keyOf(line.size), value, size: line.size.value_mm, start: value, startSize: line.size.value_mm,
      way: { x: (b.x - a.x) / long, y: (b.y - a.y) / long }, perPixel: line.size.value_mm / long,
      from: { x: event.clientX, y: event.clientY },
    });
  };
  const drag = (size: Size) => (event: PointerEvent) => {
    const grip = now.current;
    if (!grip || grip.name !== keyOf(size)) return;
    event.stopPropagation();
    // Once to a picture: a mouse tells its place more often than it can be drawn.
    moved.current.act = () => follow(size, event);
    moved.current.frame ||= requestAnimationFrame(takeMove);
  };
  const takeMove = () => {
    moved.current.frame = 0;
    moved.current.act();
  };
  const follow = (size: Size, event: PointerEvent) => {
    const grip = now.current;
    if (!grip) return;
    const pixels = (event.clientX - grip.from.x) * grip.way.x + (event.clientY - grip.from.y) * grip.way.y;
    const value = within(grip.start + (pixels * grip.perPixel) / (size.per || 1), size);
    if (value === grip.value) return;
    now.current = { ...grip, value, size: grip.startSize + (value - grip.start) * (size.per || 1) };
    setHeld(now.current);
    markMoment('input');
    view.leadTo(keyOf(size), grip.startSize + (value - grip.start) * (size.per || 1));
    previewChoice(structureIndex(size), size.choice!, lengthToToml(value, units.value));
  };
  const release = (size: Size) => (event: PointerEvent) => {
    if (!now.current) return;
    event.stopPropagation();
    if (moved.current.frame) {
      cancelAnimationFrame(moved.current.frame);
      takeMove();
    }
    commitPreview(`${words(size.choice!)} ${sayLength(now.current.value, units.value)}`);
    setHeld(null);
  };
  const press = (size: Size) => (event: KeyboardEvent) => {
    const value = chosen(size);
    if (value === null) return;
    const step = lengthStep(units.value) * (event.shiftKey || event.key.startsWith('Page') ? 10 : 1);
    const up = ['ArrowRight', 'ArrowUp', 'PageUp'].includes(event.key);
    const down = ['ArrowLeft', 'ArrowDown', 'PageDown'].includes(event.key);
    if (!up && !down) return;
    event.preventDefault();
    event.stopPropagation();
    const next = within(value + (up ? step : -step), size);
    setChoice(structureIndex(size), size.choice!, lengthToToml(next, units.value), `${words(size.choice!)} ${sayLength(next, units.value)}`);
  };

  return (
    <>
      {lines.map((line) => {
        const label = labels.get(keyOf(line.size));
        return label && <SizeLabel key={keyOf(line.size)} line={line} label={label} held={held?.name === keyOf(line.size) ? held.size : null} />;
      })}
      {!fixed && lines.filter((line) => line.size.choice && chosen(line.size) !== null).map((line) => {
        const { size } = line;
        const at = project(line.lineTo);
        const value = chosen(size)!;
        return (
          <div key={keyOf(size)} class={`handle ${held?.name === keyOf(size) ? 'held' : ''}`} role="slider" tabIndex={0}
            style={{ transform: `translate(${at.x.toFixed(1)}px, ${at.y.toFixed(1)}px)` }}
            aria-label={handleName(size)} aria-valuenow={value} aria-valuemin={size.min ?? 0}
            aria-valuemax={size.max ?? 10000} aria-valuetext={sayLength(value, units.value)} aria-orientation={size.axis === 'z' ? 'vertical' : 'horizontal'}
            title={`Drag to change ${words(size.choice!)}`}
            onPointerDown={grasp(line)} onPointerMove={drag(size)} onPointerUp={release(size)} onPointerCancel={release(size)}
            onKeyDown={press(size)} onFocus={() => (focused.current = keyOf(size))} onBlur={() => (focused.current = null)} />
        );
      })}
    </>
  );
}

function linesSeen(model: Model, view: View, project: Project, fixed: boolean): DimensionLine[] {
  const { stand } = view.orbit;
  const { right, up, toEye } = waysOf(stand);
  const low = Math.min(...model.footings.map((each) => each.centre[2] - each.depth_mm));
  const lines = stand.flat ? flatDimensionLines(model, right, up, low, 30 * view.rem * view.mmToPixel())
    : dimensionLines(model, toEye.setZ(0).normalize(), right.negate(), 24 * view.rem * view.mmToPixel());
  // Always in one order, whatever is short or long now: a handle that is moved in the document is lost to the finger on it.
  const order = new Map(model.sizes.map((each, i) => [each, i]));
  return lines.sort((a, b) => order.get(a.size)! - order.get(b.size)!).filter((each) => {
    if (fixed && !each.size.name.startsWith('overall')) return false;
    const a = project(each.lineFrom);
    const b = project(each.lineTo);
    // From the corner a size that is too short for its figure is left to the front, the side and the top.
    return !a.behind && !b.behind && Math.hypot(a.x - b.x, a.y - b.y) > (stand.flat ? 4 : Math.max(26, widthOf(figureOf(each, null).length, view.rem) + 8));
  });
}

function strokesOf(line: DimensionLine, project: Project, held: boolean, rem: number): Stroke[] {
  const a = project(line.lineFrom);
  const b = project(line.lineTo);
  const long = Math.hypot(b.x - a.x, b.y - a.y);
  const way = { x: (b.x - a.x) / long, y: (b.y - a.y) / long };
  const tone = held ? 'accent' : 'ink';
  const extension = (p: At, q: At): Stroke => {
    const far = Math.hypot(q.x - p.x, q.y - p.y) || 1;
    const u = { x: (q.x - p.x) / far, y: (q.y - p.y) / far };
    const gap = Math.min(6 * rem, far);
    return { from: { x: p.x + u.x * gap, y: p.y + u.y * gap }, to: { x: q.x + u.x * 7 * rem, y: q.y + u.y * 7 * rem }, wide: 1, tone: 'soft' };
  };
  const tick = (at: At): Stroke => {
    const s = { x: (way.x - way.y) * 5 * rem, y: (way.y + way.x) * 5 * rem };
    return { from: { x: at.x - s.x, y: at.y - s.y }, to: { x: at.x + s.x, y: at.y + s.y }, wide: 2, tone };
  };
  return [
    extension(project(line.from), a), extension(project(line.to), b),
    { from: { x: a.x - way.x * 6 * rem, y: a.y - way.y * 6 * rem }, to: { x: b.x + way.x * 6 * rem, y: b.y + way.y * 6 * rem }, wide: held ? 1.5 : 1, tone },
    tick(a), tick(b),
  ];
}

function figureOf(line: DimensionLine, held: number | null): string {
  return held === null ? line.size.text.replace(/ mm$/, '') : printLength(held, units.value);
}

/// The figures of all lines, each where no other and no handle stands.
function labelsOf(lines: DimensionLine[], view: View, project: Project, held: Held | null, handles: boolean): Map<string, Label> {
  const handled = handles ? lines.filter((each) => each.size.choice).map((each) => project(each.lineTo)) : [];
  return placeLabels(lines.map((line) => ({
    key: keyOf(line.size), a: project(line.lineFrom), b: project(line.lineTo), letters: figureOf(line, held?.name === keyOf(line.size) ? held.size : null).length,
  })), handled, view);
}

function SizeLabel({ line, label, held }: { line: DimensionLine; label: Label; held: number | null }) {
  return (
    <span class={`size-label ${held === null ? '' : 'held'}`} aria-hidden="true"
      style={{ transform: `translate(${label.x.toFixed(1)}px, ${label.y.toFixed(1)}px) rotate(${label.angle.toFixed(2)}deg) translate(-50%, calc(-100% - 1px))` }}>{figureOf(line, held)}</span>
  );
}
