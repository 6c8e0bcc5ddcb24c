// SPDX-License-Identifier: Apache-2.0
//
// One choice of a pattern as a field: slide, type in any unit, or step. What stands by default says so.
import { Component } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { PatternChoice, TakenChoice } from '../api/types';
import { words } from '../base/figures';
import { markMoment } from '../base/moments';
import { lengthStep, lengthToToml, parseLength, printLength, sayLength } from '../base/length';
import { canOpen, setOpen } from '../job/open';
import { commit, committedText, commitPreview, previewChoice, setChoice, units } from '../job/store';
import { tomlString } from '../job/toml_text';
import { yard } from '../live/shelves';
import { go } from '../route';

export interface FieldProps {
  structure: number;
  choice: PatternChoice;
  taken: TakenChoice | undefined;
  wrong: string | null;
  /// What the job says, while the planner has no answer to it.
  given: string | null;
  /// Left open for the planner to settle; in words of which values, where the job says.
  open: boolean;
  openWords: string;
  /// Names of what this structure leaves open, parted by commas.
  openNames: string;
}

/// Drawn anew only when what it shows is another: an answer of the planner touches few of the fields.
export class ChoiceField extends Component<FieldProps> {
  override shouldComponentUpdate(next: FieldProps): boolean {
    return !(next.choice === this.props.choice && next.structure === this.props.structure && next.wrong === this.props.wrong && next.given === this.props.given && next.open === this.props.open && next.openWords === this.props.openWords && next.openNames === this.props.openNames && same(next.taken, this.props.taken));
  }

  override render() {
    return <Field {...this.props} />;
  }
}

function same(a: TakenChoice | undefined, b: TakenChoice | undefined): boolean {
  return a?.text === b?.text && a?.value === b?.value && a?.value_mm === b?.value_mm && a?.min === b?.min && a?.max === b?.max && a?.is_default === b?.is_default;
}

function Field(props: FieldProps) {
  const { choice, taken, structure, wrong, open, openWords, openNames } = props;
  const id = `choice-${structure}-${choice.name}`;
  const canReset = taken && !taken.is_default && (choice.default !== '' || choice.worked_out || choice.optional);
  return (
    <div class={`field ${wrong ? 'field-wrong' : ''}`}>
      <div class="field-head">
        <label for={id}>{words(choice.name)}</label>
        {taken?.is_default && <span class="default-note">{choice.worked_out ? 'worked out' : 'default'}</span>}
        {canReset && (
          <button type="button" class="reset" onClick={() => setChoice(structure, choice.name, null, `default ${words(choice.name)}`)}
            aria-label={`Use the default of ${words(choice.name)}`}>{choice.optional && choice.default === '' ? 'leave out' : 'default'}</button>
        )}
        {canOpen(choice) && (
          <button type="button" class="reset opens" aria-pressed={open} aria-label={`${words(choice.name)} is open for the planner to settle`}
            onClick={() => commit(setOpen(committedText(), structure, choice, !open, openNames.split(',').filter(Boolean)), `${words(choice.name)} ${open ? 'no longer open' : 'open'}`)}>open</button>
        )}
      </div>
      <Body {...props} id={id} />
      <p class="help" id={`${id}-help`}>{choice.help}</p>
      {open && openWords !== '' && <p class="help">open: {openWords}</p>}
      {wrong && <p class="wrong" id={`${id}-wrong`}>{wrong}</p>}
    </div>
  );
}

type Inside = FieldProps & { id: string };

function Body(props: Inside) {
  switch (props.choice.kind) {
    case 'length':
    case 'count':
    case 'number':
      return <NumberField {...props} />;
    case 'section':
      return <PickField {...props} options={(yard.value?.sections ?? []).map((each) => ({ value: each.name, text: `${each.name} (${each.text})` }))} />;
    case 'panel':
      return <PickField {...props} options={(yard.value?.panels ?? []).map((each) => ({ value: each.name, text: each.name }))} />;
    case 'option':
      return <PickField {...props} options={(props.choice.options ?? []).map((each) => ({ value: each, text: each }))} />;
    case 'profile':
      return <ProfileField {...props} />;
    case 'yes-no':
      return <YesNoField {...props} />;
  }
}

function NumberField({ structure, choice, taken, wrong, given, id }: Inside) {
  const [draft, setDraft] = useState<string | null>(null);
  const [unread, setUnread] = useState<string | null>(null);
  // The slider stays under the finger; it is let go when the answer to where it was left is here.
  const [slid, setSlid] = useState<number | null>(null);
  const sliding = useRef(false);
  const length = choice.kind === 'length';
  const asked = given === null ? null : length ? parseLength(given, 'mm') : Number(given);
  const value = asked !== null && Number.isFinite(asked) ? asked : length ? taken?.value_mm : taken?.value;
  useEffect(() => {
    if (!sliding.current) setSlid(null);
  }, [value, wrong]);
  const min = taken?.min ?? choice.min;
  const max = taken?.max ?? choice.max;
  const step = length ? lengthStep(units.value) : choice.kind === 'count' ? 1 : 0.1;
  const toml = (next: number) => (length ? lengthToToml(next, units.value) : String(Number(next.toFixed(6))));
  const tell = (next: number) => `${words(choice.name)} ${length ? sayLength(next, units.value) : toml(next)}`;
  const limit = (next: number) => Math.min(max ?? Infinity, Math.max(min ?? -Infinity, next));
  const set = (next: number) => setChoice(structure, choice.name, toml(next), tell(next));
  const at = slid ?? value;
  const shown = given !== null && (asked === null || !Number.isFinite(asked)) ? given : at === undefined ? '' : length ? printLength(at, units.value) : String(at);
  const take = () => {
    if (draft === null) return;
    if (draft.trim() === '' && value === undefined) return setDraft(null);
    const next = length ? parseLength(draft, units.value) : /^\s*-?\d+([.,]\d+)?\s*$/.test(draft) ? Number(draft.replace(',', '.')) : null;
    if (next === null) {
      setUnread(length ? `“${draft}” is no length; write 1150, 1.15 m or 3 ft 9 1/4 in` : `“${draft}” is no number`);
      return;
    }
    if (choice.kind === 'count' && !Number.isInteger(next)) return setUnread(`“${draft}” is no whole number`);
    setUnread(null);
    setDraft(null);
    set(next);
  };
  const name = words(choice.name);
  return (
    <>
      <div class={`number-field ${length && units.value === 'ft-in' ? 'in-feet' : ''}`}>
        {value !== undefined && min !== undefined && max !== undefined && (
          <input type="range" aria-label={`${name}, slider`} min={min} max={max} step={step} value={slid ?? value}
            aria-valuetext={length ? sayLength(slid ?? value, units.value) : String(slid ?? value)}
            onInput={(event) => {
              markMoment('input');
              sliding.current = true;
              setSlid(Number(event.currentTarget.value));
              previewChoice(structure, choice.name, toml(Number(event.currentTarget.value)));
            }}
            onChange={(event) => {
              sliding.current = false;
              previewChoice(structure, choice.name, toml(Number(event.currentTarget.value)));
              commitPreview(tell(Number(event.currentTarget.value)));
            }} />
        )}
        <button type="button" class="step" aria-label={`less ${name}`} disabled={value === undefined} onClick={() => set(limit((value ?? 0) - step))}>−</button>
        <input id={id} type="text" inputMode={length && units.value === 'ft-in' ? 'text' : 'decimal'} autocomplete="off" value={draft ?? shown}
          placeholder={choice.optional ? 'not given' : ''} data-dirty={draft === null ? 'no' : 'yes'}
          aria-invalid={wrong || unread ? true : undefined} aria-describedby={`${id}-help`}
          onInput={(event) => setDraft(event.currentTarget.value)} onBlur={take}
          onKeyDown={(event) => {
            if (event.key === 'Enter') take();
            if (event.key === 'Escape') { setDraft(null); setUnread(null); }
          }} />
        <button type="button" class="step" aria-label={`more ${name}`} disabled={value === undefined} onClick={() => set(limit((value ?? 0) + step))}>+</button>
      </div>
      {unread && <p class="wrong" role="alert">{unread}</p>}
    </>
  );
}

function PickField({ structure, choice, taken, wrong, given, id, options }: Inside & { options: { value: string; text: string }[] }) {
  const now = given ?? taken?.text ?? '';
  const listed = options.some((each) => each.value === now) ? options : [{ value: now, text: now || 'not given' }, ...options];
  return (
    <select id={id} value={now} aria-invalid={wrong ? true : undefined} aria-describedby={`${id}-help`}
      onChange={(event) => {
        const picked = event.currentTarget.value;
        setChoice(structure, choice.name, picked ? tomlString(picked) : null, `${words(choice.name)} ${picked || 'left out'}`);
      }}>
      {choice.optional && now !== '' && <option value="">not given</option>}
      {listed.map((each) => <option key={each.value} value={each.value}>{each.text}</option>)}
    </select>
  );
}

function ProfileField(props: Inside) {
  const options = (props.choice.options ?? []).map((each) => ({ value: each, text: each }));
  return (
    <div class="profile-field">
      <PickField {...props} options={options} />
      <button type="button" onClick={() => go('ends', String(props.structure), props.choice.name)}>Draw…</button>
    </div>
  );
}

function YesNoField({ structure, choice, taken, given, id }: Inside) {
  const now = given ?? taken?.text;
  const on = now === 'yes' || now === 'true';
  return (
    <input id={id} type="checkbox" checked={on} aria-describedby={`${id}-help`}
      onChange={(event) => setChoice(structure, choice.name, String(event.currentTarget.checked), `${words(choice.name)} ${event.currentTarget.checked ? 'yes' : 'no'}`)} />
  );
}
