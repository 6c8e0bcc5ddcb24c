// SPDX-License-Identifier: Apache-2.0
//
// What belongs to the job as a whole: its title, units, yard, saw and site.
import { computed } from '@preact/signals';
import { useState } from 'preact/hooks';
import type { SiteQuestion } from '../api/types';
import { words } from '../base/figures';
import { lengthToToml, parseLength } from '../base/length';
import { catalogue, catalogues, commit, committedText, jobTable, setAt, title, units, type Table } from '../job/store';
import { setValue, tomlString } from '../job/toml_text';
import { changeYard, leftWords, routeOf } from '../job/yard_change';
import { refusals } from '../live/remarks';
import { patterns, siteQuestions, yard, yards } from '../live/shelves';
import { say } from './status';

/// What the words of a site mean to whoever has to say them; a fact that is not here is shown by its name alone.
const labels: Record<string, [label: string, help: string]> = {
  route: ['rules', 'by whose codes it is checked; by the yard unless given'],
  wind_speed: ['wind speed', 'basic wind of the place'],
  exposure: ['exposure', 'how open the garden lies'],
  snow: ['snow on the ground', 'as the maps give it'],
  soil: ['soil', 'what the posts stand in'],
  clay_strength: ['strength of the clay', 'undrained, as you measured it with a hand vane or a pocket penetrometer'],
  frost_depth: ['frost depth', 'how deep the ground freezes'],
  climber: ['climber', 'what will grow on it'],
  foliage: ['foliage', 'closed where a hedge or the like leaves no gaps'],
  consequence: ['consequence', 'how much would come of its falling'],
  country: ['country', 'whose national values are taken, and whose words for the parts'],
  house_eaves: ['eaves of the house', 'how high, where it leans on one'],
  house_run: ['roof of the house', 'how far it runs back from the eaves, level'],
  house_pitch: ['pitch of that roof', 'snow slides off it'],
  climber_years: ['years of growth', 'for information: it is checked grown'],
  moisture: ['moisture of the timber', 'in service, over the year'],
  trailer: ['bed of the trailer', 'the site sheet says which lengths fit it'],
  carry: ['way from the road', 'how far all of it is carried'],
};

function Line({ id, label, help, value, placeholder, refused = null, take }:
  { id: string; label: string; help: string; value: string; placeholder?: string; refused?: string | null; take: (typed: string) => string | null }) {
  const [draft, setDraft] = useState<string | null>(null);
  const [unread, setWrong] = useState<string | null>(null);
  const wrong = unread ?? refused;
  const done = () => {
    if (draft === null || draft === value) {
      setWrong(null);
      return setDraft(null);
    }
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
    <Line id={`saw-${name}`} label={name} help={help} value={given('saw', name)} placeholder={usual} refused={wrongAt('saw', name)} take={(typed) => {
      if (typed === '') { setAt(['saw', name], null, `default ${name}`); return null; }
      const length = parseLength(typed, units.value);
      if (length === null) return `“${typed}” is no length; write 3, 3 mm or 1/8 in`;
      setAt(['saw', name], lengthToToml(length, units.value), `${name} ${typed}`);
      return null;
    }} />
  );
}

const wrongAt = (...path: string[]) => refusals.value.get(path.join('/')) ?? null;

function SiteField({ question }: { question: SiteQuestion }) {
  const { name, options, unit } = question;
  const [label, help] = labels[name] ?? [words(name), ''];
  // The codes' own word for it, which a job may use instead.
  const code = name === 'exposure' ? given('site', 'terrain') : '';
  const value = given('site', name) || code;
  const wrong = wrongAt('site', name);
  const set = (toml: string | null, told: string) => {
    const text = code ? setValue(committedText(), ['site', 'terrain'], null) : committedText();
    commit(setValue(text, ['site', name], toml), toml === null ? `default ${label}` : `${label} ${told}`);
  };
  if (!options) {
    const range = `${question.min ?? ''} to ${question.max ?? ''} ${unit ?? ''}`;
    return (
      <Line id={`site-${name}`} label={label} help={`${help}${help && ', '}${range}`} value={value} placeholder={`${question.default_value ?? ''} ${unit ?? ''}`} refused={wrong} take={(typed) => {
        if (typed === '') { set(null, ''); return null; }
        const number = Number(typed.replace(',', '.').replace(new RegExp(`\\s*${unit ?? ''}$`), ''));
        if (!Number.isFinite(number)) return `“${typed}” is no number; give ${range}`;
        if (number < (question.min ?? -Infinity) || number > (question.max ?? Infinity)) return `${typed} is out of reach; give ${range}`;
        set(String(number), `${number} ${unit ?? ''}`);
        return null;
      }} />
    );
  }
  return (
    <div class={`field ${wrong ? 'field-wrong' : ''}`}>
      <div class="field-head"><label for={`site-${name}`}>{label}</label></div>
      <select id={`site-${name}`} value={value} aria-describedby={`site-${name}-help`} aria-invalid={wrong ? true : undefined}
        onChange={(event) => set(event.currentTarget.value ? tomlString(event.currentTarget.value) : null, event.currentTarget.value)}>
        <option value="">{name === 'route' ? 'by the yard' : question.default ? `not said: ${words(question.default)} is taken` : 'not said'}</option>
        {value !== '' && !options.includes(value) && <option value={value}>{value} (not known)</option>}
        {options.map((each) => <option key={each} value={each}>{words(each)}</option>)}
      </select>
      {help && <p class="help" id={`site-${name}-help`}>{help}</p>}
      {wrong && <p class="wrong" role="alert">{wrong}</p>}
    </div>
  );
}

const several = '\u0000several';

function YardField() {
  const known = yards.value.some((each) => each.name === catalogue.value);
  const many = catalogues.value;
  const wrong = wrongAt('timber', 'catalogue') !== null && yards.value.length > 0
    ? `There is no yard “${catalogue.value}” here; pick one of the list` : null;
  const change = (name: string) => {
    const to = yards.value.find((each) => each.name === name);
    if (!to || name === catalogue.value) return;
    const kind = (pattern: string, choice: string) =>
      patterns.value.find((each) => each.name === pattern)?.choices.find((each) => each.name === choice)?.kind ?? null;
    const changed = changeYard(committedText(), yard.value, to, siteQuestions.value, kind);
    commit(changed.text, `yard ${to.title}`);
    const told = leftWords(changed.left);
    if (told) say(told, true);
  };
  return (
    <div class={`field ${wrong ? 'field-wrong' : ''}`}>
      <div class="field-head"><label for="job-yard">yard</label></div>
      <select id="job-yard" value={many.length > 0 ? several : catalogue.value} aria-describedby="job-yard-help" aria-invalid={wrong ? true : undefined}
        onChange={(event) => change(event.currentTarget.value)}>
        {many.length > 0 && <option value={several}>{many.join(' and ')}</option>}
        {many.length === 0 && !known && <option value={catalogue.value}>{catalogue.value || 'none yet'}</option>}
        {yards.value.map((each) => <option key={each.name} value={each.name}>{each.title}</option>)}
      </select>
      <p class="help" id="job-yard-help">whose sections, lengths and prices are taken</p>
      {wrong && <p class="wrong" role="alert">{wrong}</p>}
    </div>
  );
}

export function JobFields() {
  const questions = (siteQuestions.value[routeOf(jobTable.value, yard.value)] ?? []);
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
        <YardField />
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
          {questions.map((each) => <SiteField key={each.name} question={each} />)}
        </fieldset>
      </details>
    </>
  );
}
