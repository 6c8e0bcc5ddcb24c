// SPDX-License-Identifier: Apache-2.0
//
// A piece as it lies on the trestles, to scale both ways, with its pencil lines and seats; and from near, one mark after
// another, with the tape as one reads it there.
import { useState } from 'preact/hooks';
import type { Mark } from '../api/types';
import { printLength } from '../base/length';
import { units } from '../job/store';

const size = (mm: number) => printLength(mm, units.value);
const near = 150;  // mm of the piece to either side of the mark one looks at

/// A seat is the place between two lines where another piece meets this one.
export interface Seat {
  from: number;
  to: number;
  against: string;
  face: string;
}

export function seatsOf(marks: Mark[]): Seat[] {
  const lines = marks.filter((each) => each.kind === 'seat').sort((a, b) => a.at_mm - b.at_mm);
  const seats: Seat[] = [];
  for (const each of lines) {
    const open = seats.find((seat) => seat.against === each.against && seat.face === each.face && Number.isNaN(seat.to));
    if (open) [open.from, open.to] = [Math.min(open.from, each.at_mm), Math.max(open.from, each.at_mm)];
    else seats.push({ from: each.at_mm, to: NaN, against: each.against, face: each.face });
  }
  return seats.filter((each) => !Number.isNaN(each.to));
}

/// How far from the upper edge of the drawn face a mark lies: it is measured from the face that it names.
function acrossOf(mark: Mark, wide: number): number {
  if (mark.across_mm === undefined) return wide / 2;
  return mark.from_on?.endsWith('high') ? wide - mark.across_mm : mark.across_mm;
}

interface Place {
  at: number;
  face: string;
  marks: Mark[];
}

const allRound = 'all round';

/// Places along the piece where there is anything to mark, face by face, from its datum on.
function placesOf(marks: Mark[]): Place[] {
  const places: Place[] = [];
  for (const each of [...marks].sort((a, b) => a.at_mm - b.at_mm)) {
    const known = places.find((one) => one.face === each.face && Math.abs(one.at - each.at_mm) < 0.05);
    if (known) known.marks.push(each);
    else places.push({ at: each.at_mm, face: each.face, marks: [each] });
  }
  return places;
}

function Timber({ from, to, wide, long, marks, seats, here }: { from: number; to: number; wide: number; long: number; marks: Mark[]; seats: Seat[]; here: number | null }) {
  const [left, right] = [Math.max(0, from), Math.min(long, to)];
  return (
    <g>
      <rect x={left} y="0" width={right - left} height={wide} class="timber" vector-effect="non-scaling-stroke" />
      {seats.filter((each) => each.to > from && each.from < to).map((each, i) => (
        <g key={i} class="seat">
          <rect x={each.from} y="0" width={each.to - each.from} height={wide} />
          <path d={`M${each.from} 0L${each.to} ${wide}M${each.to} 0L${each.from} ${wide}`} vector-effect="non-scaling-stroke" />
        </g>
      ))}
      {marks.filter((each) => each.at_mm >= from && each.at_mm <= to).map((each, i) => each.diameter_mm
        ? <circle key={i} cx={each.at_mm} cy={acrossOf(each, wide)} r={each.diameter_mm / 2} class="hole" vector-effect="non-scaling-stroke" />
        : <line key={i} x1={each.at_mm} x2={each.at_mm} y1="0" y2={wide} class={each.at_mm === here ? 'here' : each.kind === 'end' ? 'end' : 'pencil'} vector-effect="non-scaling-stroke" />)}
    </g>
  );
}

/// The tape beside the piece: steps as they are printed on one.
function Tape({ from, to, y, high }: { from: number; to: number; y: number; high: number }) {
  const metric = units.value === 'mm';
  const step = metric ? 10 : 25.4 / 4;
  const [whole, text] = metric ? [10, (i: number) => String(i * step)] : [4, (i: number) => `${i / 4}″`];
  const ticks = [];
  for (let i = Math.ceil(Math.max(0, from) / step); i * step <= to; i += 1) {
    const [big, half] = [i % whole === 0, i % (whole / 2) === 0];
    ticks.push(
      <g key={i}>
        <line x1={i * step} x2={i * step} y1={y} y2={y + high * (big ? 0.55 : half ? 0.4 : 0.25)} class="thin" vector-effect="non-scaling-stroke" />
        {big && <text x={i * step} y={y + high * 0.92} text-anchor="middle" style={{ fontSize: `${high * 0.27}px` }}>{text(i)}</text>}
      </g>);
  }
  return <g class="tape"><rect x={from} y={y} width={to - from} height={high} vector-effect="non-scaling-stroke" />{ticks}</g>;
}

export function MarkedPiece({ marks, long, wide: width, thick }: { marks: Mark[]; long: number; wide: number; thick: number }) {
  const places = placesOf(marks);
  const [step, setStep] = useState(0);
  const here = places[Math.min(step, places.length - 1)];
  if (!here) return null;
  // One face at a time lies upwards.
  const up = marks.filter((each) => each.face === here.face || each.face === allRound);
  const seats = seatsOf(up);
  const wide = here.marks[0]!.on?.startsWith('edge') ? thick : width;
  const view = near * 2;
  const [from, to] = [here.at - near, here.at + near];
  const tape = 34;
  const words = here.marks.map((each) => `${each.kind}${each.diameter_mm ? ` ⌀ ${size(each.diameter_mm)}` : ''}${each.across_mm !== undefined ? `, ${size(each.across_mm)} from ${each.from}` : ''}${each.against ? `, ${each.against}` : ''}`);
  return (
    <div class="marked-piece">
      <svg class="whole-piece" viewBox={`-8 -8 ${long + 16} ${wide + 16}`} style={{ aspectRatio: `${long + 16} / ${Math.max(wide + 16, long / 22)}` }} role="img" aria-label={`The whole piece, ${size(long)}, with ${places.length} places to mark; ${here.face} upwards`}>
        <Timber from={0} to={long} wide={wide} long={long} marks={up} seats={seats} here={here.at} />
        <rect x={from} y="-6" width={view} height={wide + 12} class="window" vector-effect="non-scaling-stroke" />
      </svg>
      <svg class="near-piece" viewBox={`${from} -14 ${view} ${wide + tape + 18}`} role="img" aria-label={`From near: ${size(here.at)}`}>
        <Timber from={from} to={to} wide={wide} long={long} marks={up} seats={seats} here={here.at} />
        <Tape from={Math.max(0, from)} to={to} y={wide + 2} high={tape} />
        <line x1={here.at} x2={here.at} y1={-12} y2={wide + 2 + tape * 0.6} class="here" vector-effect="non-scaling-stroke" />
      </svg>
      <div class="mark-steps" role="group" aria-label="Marks one by one">
        <button type="button" aria-label="mark before" disabled={step <= 0} onClick={() => setStep(Math.min(step, places.length - 1) - 1)}>‹</button>
        <p aria-live="polite"><strong>{size(here.at)}</strong> {here.face}: {words.join('; ')} <span class="quiet">({Math.min(step, places.length - 1) + 1} of {places.length})</span></p>
        <button type="button" aria-label="mark after" disabled={step >= places.length - 1} onClick={() => setStep(step + 1)}>›</button>
      </div>
    </div>
  );
}
