// SPDX-License-Identifier: Apache-2.0
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { jobId } from '../job/store';
import { plan, quick, trouble } from '../live/live';
import { ChoicesForm } from '../parts/choices_form';
import { ModelView } from '../parts/model_view';
import { PieceCard } from '../parts/piece_card';
import { stageOfBodies } from '../scene/stage_bodies';
import { keyOfPanel, keyOfPiece } from '../scene/keys';
import { plainLook, type View } from '../scene/view';

const stands = [['corner', 'Corner'], ['front', 'Front'], ['side', 'Side'], ['top', 'Top']] as const;

export function DesignView() {
  const [cut, setCut] = useState(0);
  const [explode, setExplode] = useState(0);
  const [selected, setSelected] = useState<string | null>(null);
  const view = useRef<View | null>(null);
  const model = quick.value?.answer.model ?? null;
  const stages = (plan.value?.text === quick.value?.text ? plan.value?.answer.stages : undefined) ?? [];
  const stageOf = useMemo(() => (model && stages.length > 0 && explode > 0 ? stageOfBodies(model, stages) : null), [model, stages, explode > 0]);
  const look = useMemo(() => ({ ...plainLook, cut, explode, selected, stageOf }), [cut, explode, selected, stageOf]);
  useEffect(() => setSelected(null), [jobId.value]);
  // In a garden of several parts the sizes of all would run over one another: those of the part that was pressed last.
  const structures = quick.value?.answer.structures ?? [];
  const pressed = model && selected ? [...model.pieces, ...model.panels].find((each) => ('mark' in each ? keyOfPiece(each) : keyOfPanel(each)) === selected)?.structure : undefined;
  const last = useRef<string | undefined>(undefined);
  if (pressed) last.current = pressed;
  const part = structures.length < 2 ? undefined : structures.find((each) => each.name === last.current)?.name ?? structures[0]!.name;
  const fitKey = jobId.value + (quick.value?.answer.structures ?? []).map((each) => `${each.pattern} ${each.name}`).join();
  return (
    <div class="design">
      <section class="bench-board" aria-label="Picture">
        <ModelView model={model} label="The structure" look={look} dimensions={explode === 0} {...(part === undefined ? {} : { sizesOf: part })} onPick={setSelected} fitKey={fitKey}
          onView={(made) => (view.current = made)} />
        <div class="view-tools" role="group" aria-label="Picture">
          <div class="stands">
            {stands.map(([way, name]) => <button key={way} type="button" onClick={() => view.current?.stand(way)}>{name}</button>)}
          </div>
          <label class="mini">Cut away
            <input type="range" min="0" max="1" step="0.01" value={cut} onInput={(event) => setCut(Number(event.currentTarget.value))} />
          </label>
          <label class="mini" title={stages.length > 0 ? 'Apart, by the build order' : undefined}>Apart
            <input type="range" min="0" max="1" step="0.01" value={explode} onInput={(event) => setExplode(Number(event.currentTarget.value))} />
          </label>
        </div>
        {selected && <PieceCard body={selected} close={() => setSelected(null)} />}
        {!model && <p class="waiting">{trouble.value ? 'There is no picture of this job yet.' : 'Setting it up …'}</p>}
      </section>
      <aside class="choices-column" aria-label="Choices">
        <ChoicesForm />
      </aside>
    </div>
  );
}
