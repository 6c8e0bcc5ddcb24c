// SPDX-License-Identifier: Apache-2.0
//
// What belongs to the job as a whole: its title, units, yard, saw and site.
import { computed } from '@preact/signals';
import { useState } from 'preact/hooks';
import { lengthToToml, parseLength } from '../base/length';
import { catalogue, jobTable, setAt, title, units, type Table } from '../job/store';
import { tomlString } from '../job/toml_text';
import { yards } from '../live/shelves';

const site: [key: string, label: string, help: string, text: boolean][] = [
  ['wind_speed', 'wind speed', 'basic wind of the place: m/s, with an American yard mph', false],
  ['exposure', 'exposure', 'how open the garden lies: sheltered, average, open or coast', true],
  ['snow', 'snow on the ground', 'kN/m², with an American yard psf', false],
  ['soil', 'soil', 'gravel, dense sand, sand, loose sand, stiff clay, firm clay, soft clay, made ground, peat', true],
  ['climber', 'climber', 'what will grow on it, as wisteria, or none', true],
];

function Line({ id, label, help, value, placeholder, take }:
  { id: string; label: string; help: string; value: string; placeholder?: string; take: (typed: string) => string | null }) {
  const [draft, setDraft] = useState<string | null>(null);
  const [wrong, setWrong] = useState<string | null>(null);
  const done = () => {
    if (draft === null || draft === value) return setDraft(null);
    const unread = take(draft.trim());
    setWrong(unread);
    if (unread === null) setDraft(null);
  };
  return (
    <div class={`field ${wrong ? 'field-wrong' : ''}`}>
      <div class="field-head"><label for={id}>{label}</label></div>
      <input id={id} type="text" value={draft ?? value} placeholder={placeholder} autocomplete="off" data-dirty={draft === null ? 'no' : 'yes'}
        aria-describedby={`${id}-help`} aria-invalid={wrong ? true : undefined}
        onInput={(event) => setDraft(event.currentTarget.value)} onBlur={done} onKeyDown={(event) => event.key === 'Enter' && done()} />
      <p class="help" id={`${id}-help`}>{help}</p>
      {wrong && <p class="wrong" role="alert">{wrong}</p>}
    </div>
  );
}

/// As text, so that a drag, which leaves these alone, draws none of their fields anew.
const settings = computed(() => JSON.stringify({ saw: jobTable.value?.['saw'] ?? {}, site: jobTable.value?.['site'] ?? {} }));

function given(table: 'saw' | 'site', key: string): string {
  const value = (JSON.parse(settings.value) as Record<'saw' | 'site', Table>)[table][key];
  return value === undefined || typeof value === 'object' ? '' : String(value);
}

function SawLine({ name, help, usual }: { name: string; help: string; usual: string }) {
  return (
    <Line id={`saw-${name}`} label={name} help={help} value={given('saw', name)} placeholder={usual} take={(typed) => {
      if (typed === '') { setAt(['saw', name], null, `default ${name}`); return null; }
      const length = parseLength(typed, units.value);
      if (length === null) return `“${typed}” is no length; write 3, 3 mm or 1/8 in`;
      setAt(['saw', name], lengthToToml(length, units.value), `${name} ${typed}`);
      return null;
    }} />
  );
}

export function JobFields() {
  return (
    <>
      <fieldset class="group">
        <legend>Job</legend>
        <Line id="job-title" label="title" help="printed on every sheet" value={title.value} take={(typed) => {
          if (typed === '') return 'give it a name';
          setAt(['title'], tomlString(typed), `title ${typed}`);
          return null;
        }} />
        <div class="field">
          <div class="field-head"><label for="job-units">units</label></div>
          <select id="job-units" value={units.value} aria-describedby="job-units-help"
            onChange={(event) => setAt(['units'], tomlString(event.currentTarget.value), `units ${event.currentTarget.value}`)}>
            <option value="mm">millimetres</option>
            <option value="ft-in">feet and inches</option>
          </select>
          <p class="help" id="job-units-help">how lengths are printed; either may be typed anywhere</p>
        </div>
        <div class="field">
          <div class="field-head"><label for="job-yard">yard</label></div>
          <select id="job-yard" value={catalogue.value} aria-describedby="job-yard-help"
            onChange={(event) => setAt(['timber', 'catalogue'], tomlString(event.currentTarget.value), `yard ${event.currentTarget.value}`)}>
            {!yards.value.some((each) => each.name === catalogue.value) && <option value={catalogue.value}>{catalogue.value}</option>}
            {yards.value.map((each) => <option key={each.name} value={each.name}>{each.title}</option>)}
          </select>
          <p class="help" id="job-yard-help">whose sections, lengths and prices are taken</p>
        </div>
      </fieldset>
      <details class="group-details">
        <summary>Saw and site</summary>
        <fieldset class="group">
          <legend>Saw</legend>
          <SawLine name="kerf" help="what a cut takes" usual="3 mm" />
          <SawLine name="trim" help="cut off each new length to square its end" usual="10 mm" />
          <SawLine name="fit" help="how much wider a notch is cut than what goes into it" usual="0" />
        </fieldset>
        <fieldset class="group">
          <legend>Site</legend>
          {site.map(([key, label, help, text]) => (
            <Line key={key} id={`site-${key}`} label={label} help={help} value={given('site', key)} placeholder="default" take={(typed) => {
              if (typed === '') { setAt(['site', key], null, `default ${label}`); return null; }
              if (!text && !/^\d+(\.\d+)?$/.test(typed)) return `“${typed}” is no number`;
              setAt(['site', key], text ? tomlString(typed) : typed, `${label} ${typed}`);
              return null;
            }} />
          ))}
        </fieldset>
      </details>
    </>
  );
}
