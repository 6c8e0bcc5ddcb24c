// SPDX-License-Identifier: Apache-2.0
import { kilograms } from '../base/figures';
import { printLength } from '../base/length';
import { units } from '../job/store';
import { quick } from '../live/live';
import { keyOfPanel, keyOfPiece } from '../scene/keys';
import { Figure } from './figure';
import { explainPiece } from './why_dialog';

/// What was picked on the picture: its mark, its size, and why.
export function PieceCard({ body, close }: { body: string; close: () => void }) {
  const answer = quick.value?.answer;
  const piece = answer?.model.pieces.find((each) => keyOfPiece(each) === body);
  const panel = answer?.model.panels.find((each) => keyOfPanel(each) === body);
  const line = piece && answer?.pieces.find((each) => each.mark === piece.mark);
  const size = (mm: number) => printLength(mm, units.value);
  return (
    <div class="piece-card" role="status">
      <button type="button" class="close" onClick={close} aria-label="Let go">×</button>
      {piece && line && (
        <>
          <h2><span class="mark">{piece.mark}</span> {piece.where} {piece.name}</h2>
          <p>{line.section}, {size(line.width_mm)} × {size(line.thickness_mm)}, long{' '}
            <Figure text={line.length_text || size(line.length_mm)} label={`length of ${piece.mark}`} onWhy={() => explainPiece(piece.mark, line.why)} /></p>
          <p class="quiet">= {line.why}</p>
          <p class="quiet">{kilograms(line.mass_kg)} each; {line.quantity} alike</p>
        </>
      )}
      {panel && <h2>{panel.name} <span class="quiet">{panel.item}</span></h2>}
      {!piece && !panel && <p>It is no longer there.</p>}
    </div>
  );
}
