// SPDX-License-Identifier: Apache-2.0
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Mark, MarkList, Plan } from '../api/types';
import { kilograms } from '../base/figures';
import { printLength } from '../base/length';
import { units } from '../job/store';
import { plan, quick, unplanned } from '../live/live';
import { Figure } from '../parts/figure';
import { Rod } from '../parts/rod';
import { explainMassOf, explainSection } from '../parts/reasons';
import { explain, explainPiece } from '../parts/why_dialog';
import { Waiting } from '../parts/waiting';

export function PiecesView() {
  const answer = unplanned.value ? undefined : quick.value?.answer;
  const whole = plan.value?.answer;
  const [open, setOpen] = useState<string | null>(null);
  if (!answer) return <Waiting />;
  const size = (mm: number) => printLength(mm, units.value);
  return (
    <div class="page-sheet">
      <h2>Pieces</h2>
      <p class="quiet">Lengths are long point to long point{units.value === 'mm' ? ', in mm' : ''}. Press a figure to hear why; press a mark to see where its pencil lines go.</p>
      <div class="table-wrap" tabIndex={0} role="region" aria-label="Table of pieces">
        <table class="pieces-table">
          <thead>
            <tr><th scope="col">Mark</th><th scope="col">Piece</th><th scope="col" class="num">No.</th><th scope="col" class="wide-cell">Section</th>
              <th scope="col" class="num wide-cell">Wide × thick</th><th scope="col" class="num">Length</th><th scope="col" class="num wide-cell">Each</th></tr>
          </thead>
          <tbody>
            {answer.pieces.map((piece) => (
              <tr key={piece.mark} class={open === piece.mark ? 'open' : ''}>
                <th scope="row">
                  <button type="button" class="mark" aria-expanded={open === piece.mark} aria-label={`${piece.mark}: marking out`}
                    onClick={() => setOpen(open === piece.mark ? null : piece.mark)}>{piece.mark}</button>
                </th>
                <td>{piece.name}<span class="narrow-only quiet"><br />{piece.section}, {size(piece.width_mm)} × {size(piece.thickness_mm)}, {kilograms(piece.mass_kg)}</span></td>
                <td class="num">{piece.quantity}</td>
                <td class="wide-cell">{piece.section}</td>
                <td class="num wide-cell"><Figure text={`${size(piece.width_mm)} × ${size(piece.thickness_mm)}`} label={`section of ${piece.mark}`} onWhy={() => explainSection(piece)} /></td>
                <td class="num"><Figure text={piece.length_text || size(piece.length_mm)} label={`length of ${piece.mark}`} onWhy={() => explainPiece(piece.mark, piece.why)} /></td>
                <td class="num wide-cell"><Figure text={kilograms(piece.mass_kg)} label={`mass of ${piece.mark}`} onWhy={() => explainMassOf(piece)} /></td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {open && <Marking mark={open} whole={whole} />}
    </div>
  );
}

/// All lists of a mark: left and right hands of one piece have each their own.
function Marking({ mark, whole }: { mark: string; whole: Plan | undefined }) {
  const lists = (whole?.marking ?? []).filter((each) => each.mark === mark);
  const piece = whole?.pieces.find((each) => each.mark === mark);
  const first = useRef<HTMLElement>(null);
  // Below a long table it would open unseen.
  useEffect(() => first.current?.scrollIntoView({ block: 'nearest' }), [mark, lists.length > 0]);
  if (lists.length === 0 || !piece) return <Waiting />;
  return (
    <>
      {lists.map((list, i) => (
        <section key={list.hand ?? ''} ref={i === 0 ? first : null} class="marking" aria-label={`Marking out ${mark}${list.hand ? `, ${list.hand}` : ''}`}>
          <h2><span class="mark">{mark}</span> {piece.name}{list.hand && `, ${list.hand}`}: marking out</h2>
          <p class="quiet">Measure everything from the {list.datum}.{lists.length > 1 && ` For ${list.pieces.join(', ')}.`}</p>
          <Rod list={list} length={piece.length_mm} width={piece.width_mm} />
          <MarkTable list={list} />
        </section>
      ))}
    </>
  );
}

function MarkTable({ list }: { list: MarkList }) {
  const size = (mm: number) => printLength(mm, units.value);
  const why = (each: Mark) => explain(`Why ${size(each.at_mm)} from the ${list.datum}`, [each.why ?? 'It is where the joint falls as the pieces stand.']);
  return (
    <div class="table-wrap" tabIndex={0} role="region" aria-label="Marks">
      <table>
        <thead><tr><th scope="col" class="num">From the {list.datum}</th><th scope="col">What</th><th scope="col">Face</th><th scope="col">Against</th></tr></thead>
        <tbody>
          {list.marks.map((each, i) => (
            <tr key={i}>
              <td class="num"><Figure text={size(each.at_mm)} onWhy={() => why(each)} /></td>
              <td>{each.kind}{each.diameter_mm ? ` ⌀ ${each.diameter_mm}` : ''}{each.across_mm !== undefined ? `, ${size(each.across_mm)} from ${each.from ?? 'the edge'}` : ''}{each.side ? `, what comes there lies ${each.side}` : ''}</td>
              <td>{each.face}</td><td>{each.against}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
