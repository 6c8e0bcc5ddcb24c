// SPDX-License-Identifier: Apache-2.0
import type { TakenStructure } from '../api/types';
import { words } from '../base/figures';
import { jobTable, type Table } from '../job/store';
import { quick } from '../live/live';
import { patterns, yard } from '../live/shelves';
import { EndEditor } from '../curve/end_editor';
import { go, route } from '../route';
import { Waiting } from '../parts/waiting';

interface End {
  structure: number;
  of: TakenStructure;
  choice: string;
  options: string[];
  help: string;
}

function allEnds(): End[] {
  return (quick.value?.answer.structures ?? []).flatMap((of, structure) =>
    (patterns.value.find((each) => each.name === of.pattern)?.choices ?? [])
      .filter((each) => each.kind === 'profile')
      .map((each) => ({ structure, of, choice: each.name, options: each.options ?? [], help: each.help })));
}

/// The timber a shaped end is sawn from: by the pattern's names beam_end -> beam.
function sectionOf(end: End): { width: number; thickness: number; name: string } {
  const taken = end.of.choices.find((each) => each.name === end.choice.replace(/_end$/, ''));
  const piece = quick.value?.answer.pieces.find((each) => each.section === taken?.text && each.structure === end.of.name);
  const sold = yard.value?.sections.find((each) => each.name === taken?.text);
  return {
    width: piece?.width_mm ?? sold?.width_mm ?? 145, thickness: piece?.thickness_mm ?? sold?.thickness_mm ?? 45,
    name: taken?.text ?? 'an example section',
  };
}

export function EndsView() {
  const ends = allEnds();
  if (ends.length === 0) return quick.value ? <p class="waiting-line">This pattern has no shaped ends.</p> : <Waiting what="the end shapes" />;
  const [structure, choice] = route.value.rest;
  const end = ends.find((each) => String(each.structure) === structure && each.choice === choice) ?? ends[0]!;
  const tables = jobTable.value?.['structure'] as Table[] | undefined;
  const value = (tables?.[end.structure]?.['choices'] as Table | undefined)?.[end.choice];
  const name = end.of.choices.find((each) => each.name === end.choice)?.text ?? 'square';
  return (
    <div class="ends">
      <div class="player" role="group" aria-label="Which end">
        {ends.map((each) => (
          <button key={`${each.structure} ${each.choice}`} type="button" aria-pressed={each === end} onClick={() => go('ends', String(each.structure), each.choice)}>
            {words(each.choice)}
          </button>
        ))}
        <span class="quiet">{end.help}</span>
      </div>
      <EndEditor key={`${end.structure} ${end.choice}`} structure={end.structure} choice={end.choice} options={end.options} named={name} value={value} section={sectionOf(end)} />
    </div>
  );
}
