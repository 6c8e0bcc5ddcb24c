// SPDX-License-Identifier: Apache-2.0
//
// The end of a timber, drawn over its section. Points are dragged, or moved with the arrow keys.
import { useRef, useState } from 'preact/hooks';
import { words } from '../base/figures';
import { printLength, sayLength } from '../base/length';
import { commitPreview, previewChoice, setChoice, units } from '../job/store';
import { tomlString } from '../job/toml_text';
import { blades } from '../live/shelves';
import { bladesFor, corners, radiusOf, tightest } from './radius';
import { join, movePoint, noseHeight, pointsIn, split, startFrom, toToml, type Uv } from './shape';

interface Props {
  structure: number;
  choice: string;
  options: string[];
  named: string;
  value: unknown;
  section: { width: number; thickness: number; name: string };
}

/// A radius is sawn by eye: to whole millimetres.
const sayRadius = (mm: number) => sayLength(units.value === 'mm' ? Math.round(mm) : mm, units.value);

export function EndEditor({ structure, choice, options, named, value, section }: Props) {
  const drawn = pointsIn(value);
  const points = drawn ?? startFrom(named);
  const [smooth, setSmooth] = useState(true);
  const [held, setHeld] = useState<number | null>(null);
  const [chosen, setChosen] = useState<number | null>(null);
  const svg = useRef<SVGSVGElement>(null);

  const nose = noseHeight(section.width);
  const size = section.width - nose;
  const square = !drawn && named === 'square';
  // Drawn with the tip at the left: x = 0 is the end of the timber, y = 0 its upper edge, mm.
  const toMm = ([u, v]: Uv): Uv => [u * size, nose + (1 - v) * size];
  const tail = size * 0.9 + 60;
  const margin = section.width * 0.16 + 8;
  const box = { x: -margin, y: -margin, w: size + tail + 2 * margin, h: section.width + 2 * margin };
  const fromScreen = (event: PointerEvent): Uv => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.current!.getScreenCTM()!.inverse());
    return [at.x / size, 1 - (at.y - nose) / size];
  };

  const show = (next: Uv[]) => previewChoice(structure, choice, toToml(next));
  const keep = (next: Uv[], label: string) => setChoice(structure, choice, toToml(next), label);
  const press = (index: number) => (event: KeyboardEvent) => {
    const by = event.shiftKey ? 0.1 : 0.01;
    const ways: Record<string, Uv> = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, by], ArrowDown: [0, -by] };
    const way = ways[event.key];
    const here = points[index]!;
    if (!way) return;
    event.preventDefault();
    keep(movePoint(points, index, [here[0] + way[0], here[1] + way[1]], smooth), `draw ${words(choice)}`);
  };

  const place = points.map(toMm);
  let path = `M0 0 L0 ${nose}`;
  if (square) path = `M0 0 L0 ${section.width}`;
  else for (let i = 1; i + 2 < place.length; i += 3) path += ` C${place[i]!.join(' ')} ${place[i + 1]!.join(' ')} ${place[i + 2]!.join(' ')}`;
  const right = size + tail;
  const outline = `${path} L${right} ${section.width} L${right} 0 Z`;
  const tight = tightest(points, size);
  const broken = corners(points);
  const joint = chosen !== null && chosen % 3 === 0 && chosen > 0 && chosen < points.length - 1 ? chosen : null;
  const grip = Math.max(3.4, box.w / 90);

  return (
    <div class="end-editor">
      <svg ref={svg} class="end-drawing" viewBox={`${box.x} ${box.y} ${box.w} ${box.h}`} role="group" aria-label={`End of a ${section.name}, ${Math.round(section.width)} mm deep`}>
        <rect x="0" y="0" width={right} height={section.width} class="uncut" />
        <path d={outline} class="timber-fill" />
        <g class="grain" aria-hidden="true">
          {[0.2, 0.42, 0.6, 0.83].map((share) => <line key={share} x1={size * 1.15} x2={right} y1={section.width * share} y2={section.width * (share + 0.02)} />)}
        </g>
        <path d={path} class="saw-line" />
        <Size x1={0} y1={-margin * 0.45} x2={size} y2={-margin * 0.45} text={printLength(size, units.value)} />
        <Size x1={-margin * 0.45} y1={0} x2={-margin * 0.45} y2={section.width} text={printLength(section.width, units.value)} />
        {!square && Number.isFinite(tight.radius) && <circle cx={toMm(tight.at)[0]} cy={toMm(tight.at)[1]} r={grip * 0.8} class="tight-spot" />}
        {drawn && points.map((_, i) => {
          const anchor = i % 3 === 1 ? i - 1 : i % 3 === 2 ? i + 1 : i;
          return anchor === i ? null : <line key={`arm${i}`} x1={place[i]![0]} y1={place[i]![1]} x2={place[anchor]![0]} y2={place[anchor]![1]} class="arm" />;
        })}
        {drawn && points.map((each, i) => {
          if (i === 0 || i === points.length - 1) return null;
          const [x, y] = place[i]!;
          const what = i % 3 === 0 ? `joint ${i / 3}` : `handle ${i}`;
          return (
            <g key={i} class={`grip ${i % 3 === 0 ? 'joint' : ''} ${held === i ? 'held' : ''}`} tabIndex={0} role="slider"
              aria-label={`${what}, arrow keys move it`} aria-valuenow={Math.round(each[0] * 100)} aria-valuemin={0} aria-valuemax={100}
              aria-valuetext={`${Math.round(each[0] * 100)} along, ${Math.round(each[1] * 100)} up`}
              onFocus={() => setChosen(i)} onKeyDown={press(i)}
              onPointerDown={(event) => {
                event.preventDefault();
                (event.currentTarget as Element).setPointerCapture(event.pointerId);
                (event.currentTarget as SVGElement).focus();
                setHeld(i);
              }}
              onPointerMove={(event) => { if (held === i) show(movePoint(points, i, fromScreen(event), smooth)); }}
              onPointerUp={() => { if (held === i) { commitPreview(`draw ${words(choice)}`); setHeld(null); } }}
              onPointerCancel={() => { if (held === i) { commitPreview(`draw ${words(choice)}`); setHeld(null); } }}>
              <circle cx={x} cy={y} r={grip * 3} class="reach" />
              {i % 3 === 0 ? <rect x={x - grip} y={y - grip} width={2 * grip} height={2 * grip} /> : <circle cx={x} cy={y} r={grip} />}
            </g>
          );
        })}
      </svg>
      <div class="end-side">
        <h2>{drawn ? 'Drawn by hand' : `As named: ${named}`}</h2>
        <div class="end-names" role="group" aria-label="Begin from">
          {options.map((each) => (
            <button key={each} type="button" aria-pressed={!drawn && each === named} onClick={() => setChoice(structure, choice, tomlString(each), `${words(choice)} ${each}`)}>{each}</button>
          ))}
        </div>
        {!drawn && !square && <button type="button" class="main-act" onClick={() => keep(startFrom(named), `draw ${words(choice)}`)}>Draw on from here</button>}
        {square && <button type="button" class="main-act" onClick={() => keep(startFrom('quarter round'), `draw ${words(choice)}`)}>Draw a shape</button>}
        {drawn && (
          <div class="end-acts">
            <label class="check"><input type="checkbox" checked={smooth} onChange={(event) => setSmooth(event.currentTarget.checked)} /> keep joints smooth</label>
            <button type="button" disabled={points.length > 40} onClick={() => keep(split(points, Math.min(Math.floor((chosen ?? 0) / 3), (points.length - 4) / 3)), `another joint of ${words(choice)}`)}>Another joint</button>
            <button type="button" disabled={joint === null} onClick={() => { if (joint !== null) keep(join(points, joint), `one joint less of ${words(choice)}`); setChosen(null); }}>Take the joint out</button>
          </div>
        )}
        {!square && <Blade radius={tight.radius} hollow={tight.hollow} corners={broken.length} thickness={section.thickness} />}
        <p class="quiet">{section.name}, {sayLength(section.width, units.value)} deep, {sayLength(section.thickness, units.value)} thick. The nose keeps {sayLength(nose, units.value)} uncut. The full-size template is on the sheets.</p>
      </div>
    </div>
  );
}

function Blade({ radius, hollow, corners: broken, thickness }: { radius: number; hollow: boolean; corners: number; thickness: number }) {
  const table = blades.value;
  const bandsaw = table && bladesFor(table, 'bandsaw', radius, thickness);
  const jigsaw = table && bladesFor(table, 'jigsaw', radius, thickness);
  const called = (blade: { width_mm: number; inches: string }) => <strong>{blade.width_mm.toFixed(1).replace(/\.0$/, '')} mm ({blade.inches} in)</strong>;
  return (
    <section class={`blade ${bandsaw?.widest === null ? 'too-tight' : ''}`} aria-label="Which blade follows it" aria-live="polite">
      <h3>Smallest radius: <span class="figure">{Number.isFinite(radius) ? sayRadius(radius) : 'straight'}</span>{Number.isFinite(radius) && (hollow ? ', in a hollow' : ', on a rounding')}</h3>
      {!table && <p>Which blade follows it the planner has not told.</p>}
      {table && bandsaw?.widest && <p>A bandsaw blade up to {called(bandsaw.widest)} wide follows it{Number.isFinite(radius) && `: it wants ${sayRadius(radiusOf(bandsaw.widest, table, thickness))}`}.</p>}
      {table && bandsaw?.widest === null && bandsaw.narrowest &&
        <p><strong>No bandsaw blade follows it</strong>: the narrowest, {called(bandsaw.narrowest)}, wants {sayLength(radiusOf(bandsaw.narrowest, table, thickness), units.value)}. Open the curve, or rasp it out by hand.</p>}
      {table && jigsaw && (jigsaw.widest
        ? <p>By jigsaw, a blade up to {called(jigsaw.widest)}.</p>
        : <p>No jigsaw blade follows it in stock this thick{jigsaw.narrowest && <>: the narrowest fit for it, {called(jigsaw.narrowest)}, wants {sayLength(radiusOf(jigsaw.narrowest, table, thickness), units.value)}</>}.</p>)}
      {broken > 0 && <p>{broken === 1 ? 'At one joint' : `At ${broken} joints`} the line breaks: saw up to it from both sides.</p>}
      {table && <p class="quiet">Bandsaws: radius by blade width as bandsaw manuals print it, the larger where they differ{thickness >= table.thick_from_mm ? '; a quarter more in thick wet timber (a caution of our own)' : ''}. Jigsaws: common practice, no source.</p>}
    </section>
  );
}

function Size({ x1, y1, x2, y2, text }: { x1: number; y1: number; x2: number; y2: number; text: string }) {
  const upright = x1 === x2;
  const t = 2.4;
  const [mx, my] = [(x1 + x2) / 2, (y1 + y2) / 2];
  return (
    <g class="size-line" aria-hidden="true">
      <line x1={x1} y1={y1} x2={x2} y2={y2} />
      <line x1={x1 - t} y1={y1 + t} x2={x1 + t} y2={y1 - t} class="tick" />
      <line x1={x2 - t} y1={y2 + t} x2={x2 + t} y2={y2 - t} class="tick" />
      <text x={mx} y={my} dy="-2.5" text-anchor="middle" transform={upright ? `rotate(-90 ${mx} ${my})` : ''}>{text}</text>
    </g>
  );
}
