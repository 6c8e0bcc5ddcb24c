// SPDX-License-Identifier: Apache-2.0
//
// Dimension lines as on paper: thin extension lines, oblique ticks, the figure above the line. Those that are a choice
// carry a handle; dragging it, or arrow keys on it, changes that choice.
import { useRef, useState } from 'preact/hooks';
import { Vector3 } from 'three';
import type { Model, Size } from '../api/types';
import { lengthStep, lengthToToml, printLength, sayLength } from '../base/length';
import { words } from '../base/figures';
import { commitPreview, previewChoice, setChoice, units } from '../job/store';
import { quick } from '../live/live';
import { dimensionLines, type DimensionLine } from '../scene/dimensions';
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

/// `drawn` is a new value for each picture, so that the lines follow it.
export function DimensionLines({ model, view, drawn, fixed }: { model: Model; view: View; drawn: { project: Project }; fixed: boolean }) {
  const { project } = drawn;
  const [held, setHeld] = useState<Held | null>(null);
  const now = useRef<Held | null>(null);
  now.current = held;
  const { turn } = view.orbit.stand;
  const toEye = new Vector3(Math.sin(turn), -Math.cos(turn), 0);
  const left = new Vector3(-Math.cos(turn), -Math.sin(turn), 0);
  const lines = dimensionLines(model, toEye, left).filter((each) => {
    if (fixed && !each.size.name.startsWith('overall')) return false;
    const a = project(each.lineFrom);
    const b = project(each.lineTo);
    return !a.behind && !b.behind && Math.hypot(a.x - b.x, a.y - b.y) > 26;
  });

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
    const pixels = (event.clientX - grip.from.x) * grip.way.x + (event.clientY - grip.from.y) * grip.way.y;
    const value = within(grip.start + (pixels * grip.perPixel) / (size.per || 1), size);
    if (value === grip.value) return;
    setHeld({ ...grip, value, size: grip.startSize + (value - grip.start) * (size.per || 1) });
    performance.mark('input');
    view.leadTo(keyOf(size), grip.startSize + (value - grip.start) * (size.per || 1));
    previewChoice(structureIndex(size), size.choice!, lengthToToml(value, units.value));
  };
  const release = (size: Size) => (event: PointerEvent) => {
    if (!now.current) return;
    event.stopPropagation();
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
      <svg class="dimensions" aria-hidden="true">
        {lines.map((line) => <Line key={keyOf(line.size)} line={line} project={project} held={held?.name === keyOf(line.size) ? held.size : null} />)}
      </svg>
      {!fixed && lines.filter((line) => line.size.choice && chosen(line.size) !== null).map((line) => {
        const { size } = line;
        const at = project(line.lineTo);
        const value = chosen(size)!;
        return (
          <div key={keyOf(size)} class={`handle ${held?.name === keyOf(size) ? 'held' : ''}`} role="slider" tabIndex={0}
            style={{ left: `${at.x}px`, top: `${at.y}px` }}
            aria-label={`${words(size.choice!)} of ${size.structure}`} aria-valuenow={value} aria-valuemin={size.min ?? 0}
            aria-valuemax={size.max ?? 10000} aria-valuetext={sayLength(value, units.value)} aria-orientation={size.axis === 'z' ? 'vertical' : 'horizontal'}
            title={`Drag to change ${words(size.choice!)}`}
            onPointerDown={grasp(line)} onPointerMove={drag(size)} onPointerUp={release(size)} onPointerCancel={release(size)}
            onKeyDown={press(size)} />
        );
      })}
    </>
  );
}

function Line({ line, project, held }: { line: DimensionLine; project: Project; held: number | null }) {
  const a = project(line.lineFrom);
  const b = project(line.lineTo);
  const from = project(line.from);
  const to = project(line.to);
  const long = Math.hypot(b.x - a.x, b.y - a.y);
  const way = { x: (b.x - a.x) / long, y: (b.y - a.y) / long };
  const tick = (at: { x: number; y: number }) => {
    const s = { x: (way.x - way.y) * 5, y: (way.y + way.x) * 5 };
    return <line x1={at.x - s.x} y1={at.y - s.y} x2={at.x + s.x} y2={at.y + s.y} class="tick" />;
  };
  // The figure stands above the line and is read from below or from the right.
  let angle = (Math.atan2(way.y, way.x) * 180) / Math.PI;
  if (angle > 90.5 || angle < -89.5) angle += angle > 0 ? -180 : 180;
  const text = held === null ? line.size.text.replace(/ mm$/, '') : printLength(held, units.value);
  const extension = (p: { x: number; y: number }, q: { x: number; y: number }) => {
    const far = Math.hypot(q.x - p.x, q.y - p.y) || 1;
    const u = { x: (q.x - p.x) / far, y: (q.y - p.y) / far };
    return <line x1={p.x + u.x * Math.min(6, far)} y1={p.y + u.y * Math.min(6, far)} x2={q.x + u.x * 7} y2={q.y + u.y * 7} class="extension" />;
  };
  return (
    <g class={held === null ? '' : 'held'}>
      {extension(from, a)}
      {extension(to, b)}
      <line x1={a.x - way.x * 6} y1={a.y - way.y * 6} x2={b.x + way.x * 6} y2={b.y + way.y * 6} />
      {tick(a)}
      {tick(b)}
      {long > 44 && (
        <text x={(a.x + b.x) / 2} y={(a.y + b.y) / 2} dy="-5" text-anchor="middle"
          transform={`rotate(${angle} ${(a.x + b.x) / 2} ${(a.y + b.y) / 2})`}>{text}</text>
      )}
    </g>
  );
}
