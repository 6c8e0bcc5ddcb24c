// SPDX-License-Identifier: Apache-2.0
import { useEffect, useState } from 'preact/hooks';
import { api, asRefusal } from '../api/client';
import type { Example, Pattern } from '../api/types';
import { openJob, tableOf, units, unitsOf, yardOf } from '../job/store';
import { setValue, tomlString } from '../job/toml_text';
import { changeYard, leftWords } from '../job/yard_change';
import { patterns, siteQuestions, yard, yards } from '../live/shelves';
import { Dialog } from './dialog';
import { PatternPicture } from './pattern_picture';
import { say } from './status';

/// Pick a pattern by its picture, or an example.
export function NewJobDialog({ close }: { close: () => void }) {
  const [examples, setExamples] = useState<Example[] | null>(null);
  const [wrong, setWrong] = useState('');
  useEffect(() => {
    api.examples().then(setExamples, (error: unknown) => setWrong(asRefusal(error).message));
  }, []);
  const beginPattern = async (pattern: Pattern) => {
    try {
      begin(exampleOf(pattern, examples ?? await api.examples()), pattern);
    } catch (error) {
      setWrong(asRefusal(error).message);
    }
  };
  const begin = (example: Example | undefined, pattern: Pattern | null) => {
    if (example && pattern) beginIn(example);
    else if (example) openJob(example.job, `begin ${example.title}`);
    else if (pattern) setWrong(`There is no example of ${pattern.title} to begin with; garthwright new ${pattern.name} writes one.`);
    if (example) close();
  };
  const inUnits = (example: Example) => unitsOf(tableOf(example.job)) === units.value;
  // In the units of who asks; where there is none, another is carried over to the yard that is in use.
  const exampleOf = (pattern: Pattern, among: Example[]) => {
    const fit = among.filter((each) => each.pattern === pattern.name);
    return fit.find(inUnits) ?? fit.find((each) => each.name === pattern.example) ?? fit[0];
  };
  const beginIn = (example: Example) => {
    let text = example.job;
    let told = '';
    if (!inUnits(example)) {
      text = setValue(text, ['units'], tomlString(units.value));
      const from = yards.value.find((each) => each.name === yardOf(tableOf(text))) ?? null;
      if (yard.value && from) {
        const kind = (of: string, choice: string) => patterns.value.find((each) => each.name === of)?.choices.find((each) => each.name === choice)?.kind ?? null;
        const changed = changeYard(text, from, yard.value, siteQuestions.value, kind);
        text = changed.text;
        told = leftWords(changed.left);
      }
    }
    openJob(text, `begin ${example.title}`);
    if (told) say(told, true);
  };
  return (
    <Dialog title="Begin another job" close={close}>
      <p>It takes the place of the job on the sheet; undo brings that back.</p>
      {wrong && <p role="alert">{wrong}</p>}
      <ul class="pattern-list">
        {patterns.value.map((pattern) => (
          <li key={pattern.name}>
            <button type="button" class="pattern" onClick={() => void beginPattern(pattern)}>
              {pattern.picture && <PatternPicture svg={pattern.picture} />}
              <strong>{pattern.title}</strong>
              <span>{pattern.help}</span>
            </button>
          </li>
        ))}
      </ul>
      <h3>Examples</h3>
      <ul class="plain-list">
        {(examples ?? []).map((each) => (
          <li key={each.name}><button type="button" onClick={() => begin(each, null)}>{each.title}</button></li>
        ))}
      </ul>
    </Dialog>
  );
}
