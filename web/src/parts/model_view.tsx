// SPDX-License-Identifier: Apache-2.0
//
// The picture with its dimension lines. One View lives as long as the element; model and look are handed to it.
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { Model } from '../api/types';
import { plainLook, View, type Look } from '../scene/view';
import { DimensionLines } from './dimension_lines';

export interface ModelViewProps {
  model: Model | null;
  label: string;
  look?: Look;
  dimensions?: boolean;
  /// Dimension lines without handles.
  fixed?: boolean;
  /// Of several structures the one whose sizes are shown.
  sizesOf?: string;
  onPick?: (key: string | null) => void;
  onView?: (view: View) => void;
  /// Changes when another structure is shown, not another size of it: the picture is fitted anew.
  fitKey?: string;
}

export function ModelView({ model, label, look = plainLook, dimensions = false, fixed = false, sizesOf, onPick, onView, fitKey = '' }: ModelViewProps) {
  const host = useRef<HTMLDivElement>(null);
  const view = useRef<View | null>(null);
  const fitted = useRef<string | null>(null);
  const picked = useRef(onPick);
  const chosen = useRef(look.selected);
  picked.current = onPick;
  chosen.current = look.selected;
  const [made, setMade] = useState<View | null>(null);
  const [broken, setBroken] = useState(false);

  useEffect(() => {
    try {
      const made = new View(host.current!);
      view.current = made;
      setMade(made);
      made.onPick = (key) => picked.current?.(key);
      made.onStep = (by) => {
        const keys = made.keys();
        const now = chosen.current ? keys.indexOf(chosen.current) : by === 1 ? -1 : 0;
        picked.current?.(keys[(now + by + keys.length) % keys.length] ?? null);
      };
      onView?.(made);
      return () => made.dispose();
    } catch {
      setBroken(true);  // no WebGL here: figures, lists and sheets still serve
      return undefined;
    }
  }, []);
  useEffect(() => {
    if (!model || !view.current) return;
    view.current.sized = dimensions;
    view.current.sizesOf = sizesOf ?? null;
    view.current.setModel(model, { fit: fitted.current !== fitKey, markChanges: fitted.current === fitKey });
    fitted.current = fitKey;
  }, [model, fitKey, sizesOf]);
  useEffect(() => {
    view.current?.setLook(look);
  }, [look]);

  const undrawn = useMemo(() => (model ? withoutSolid(model) : []), [model]);
  return (
    <div class="model-view" ref={host} role="application" tabIndex={0} aria-label={label}
      aria-roledescription="picture that can be turned"
      aria-description="Arrow keys turn, Shift and arrows move, plus and minus zoom, full stop and comma go from piece to piece, Escape lets go.">
      {undrawn.length > 0 && <p class="undrawn">Not in the picture, because their solid could not be made: {undrawn.join(', ')}</p>}
      {broken && <p class="no-picture">This browser shows no 3D picture. Figures, lists and sheets are all there.</p>}
      {dimensions && made && model && <DimensionLines view={made} fixed={fixed} />}
    </div>
  );
}

/// Marks that cannot be drawn: their shapes came empty.
function withoutSolid(model: Model): string[] {
  const bodiless = new Set(model.shapes.filter((each) => each.indices === '').map((each) => each.id));
  return [...new Set(model.pieces.filter((each) => bodiless.has(each.shape)).map((each) => each.mark))];
}
