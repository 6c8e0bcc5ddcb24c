// SPDX-License-Identifier: Apache-2.0
import { computed } from '@preact/signals';
import type { PatternChoice } from '../api/types';
import { isOpen, openWords } from '../job/open';
import { givenChoice, jobText, underHand } from '../job/store';
import { fields, unplanned } from '../live/live';
import { remarks } from '../live/remarks';
import { patterns } from '../live/shelves';
import { ChoiceField } from './choice_fields';
import { JobFields } from './job_fields';
import { opened, openChoices, StandsPanel } from './stands_panel';

function groupsOf(choices: PatternChoice[]): [string, PatternChoice[]][] {
  const groups = new Map<string, PatternChoice[]>();
  for (const choice of choices) {
    const name = choice.group || 'Choices';
    groups.set(name, [...(groups.get(name) ?? []), choice]);
  }
  return [...groups];
}

/// What the planner has against one choice, given or left open.
function wrongWith(structure: number, choice: string): string | null {
  const found = remarks.value;
  return found.get(`structure#${structure}/choices/${choice}`) ?? found.get(`structure#${structure}/open/${choice}`) ?? null;
}

/// The job was changed, and is not being dragged: until it is answered its fields show what it says.
const ahead = computed(() => fields.value !== null && fields.value.text !== jobText.value && !underHand.value);

export function ChoicesForm() {
  const shown = fields.value;
  // What was typed stays in its field, as the job has it, while it is worked out and when it was refused.
  const asGiven = unplanned.value || ahead.value;
  return (
    <form class="choices" aria-label="Choices" onSubmit={(event) => event.preventDefault()}>
      <StandsPanel />
      {(shown?.structures ?? []).map((structure, index) => {
        const pattern = patterns.value.find((each) => each.name === structure.pattern);
        const leftOpen = opened.value[index] ?? { named: {} };
        const openNames = openChoices.value.filter((each) => each.structure === index).map((each) => each.name).join(',');
        return (
          <section key={`${index} ${structure.pattern}`} aria-label={structure.name}>
            <h2 class="structure-name">{structure.name}</h2>
            {groupsOf(pattern?.choices ?? []).map(([group, choices]) => (
              <fieldset key={group} class="group">
                <legend>{group}</legend>
                {choices.map((choice) => (
                  <ChoiceField key={choice.name} structure={index} choice={choice} wrong={wrongWith(index, choice.name)}
                    open={isOpen(leftOpen, choice, structure.choices.some((each) => each.name === choice.name))} openWords={openWords(leftOpen, choice.name)} openNames={openNames}
                    given={asGiven ? givenChoice(index, choice.name) : null}
                    taken={structure.choices.find((each) => each.name === choice.name)} />
                ))}
              </fieldset>
            ))}
          </section>
        );
      })}
      <JobFields />
    </form>
  );
}
