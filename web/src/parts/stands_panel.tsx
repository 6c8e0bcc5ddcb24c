// SPDX-License-Identifier: Apache-2.0
//
// What stands: what is open, a search with its bound, and what it found as changes to take or to leave.
import { computed } from '@preact/signals';
import type { Settled, StrengthCheck, Way } from '../api/types';
import { money, words } from '../base/figures';
import { parseLength, sayLength } from '../base/length';
import { isOpen, openedOf, type Opened } from '../job/open';
import { jobTable, jobText, tableOf, units } from '../job/store';
import { fields, plan, quick } from '../live/live';
import { patterns } from '../live/shelves';
import { findWhatStands, leave, looking, noSearch, offered, stopLooking, take, type Found, type Wanted } from '../live/stands';

/// What each structure leaves open. Equal while nothing about it changes, so that a drag draws nothing here anew.
const openedText = computed(() => {
  const given = jobTable.value?.['structure'];
  return JSON.stringify((Array.isArray(given) ? given : []).map((_, index) => openedOf(jobTable.value, index)));
});
export const opened = computed<Opened[]>(() => JSON.parse(openedText.value) as Opened[]);

export interface OpenChoice {
  structure: number;
  name: string;
}
const openText = computed(() => JSON.stringify((fields.value?.structures ?? []).flatMap((structure, index) => {
  const choices = patterns.value.find((each) => each.name === structure.pattern)?.choices ?? [];
  const of = opened.value[index] ?? { named: {} };
  return choices.filter((each) => isOpen(of, each, structure.choices.some((one) => one.name === each.name))).map((each) => ({ structure: index, name: each.name }));
})));
export const openChoices = computed<OpenChoice[]>(() => JSON.parse(openText.value) as OpenChoice[]);

export const failing = computed(() => (plan.value?.answer.checks ?? []).filter((each) => each.verdict === 'fails').length);

function say(minor: number): string {
  const told = quick.value?.answer.summary;
  return money(minor, told?.currency ?? '', told?.minor_digits ?? 2).replace(' ', '\u00a0');  // never over two lines
}

function more(minor: number): string {
  return minor === 0 ? 'for the same money' : `for ${say(Math.abs(minor))} ${minor > 0 ? 'more' : 'less'}`;
}

/// A value as it stands in a job, for a person.
function valueWords(structure: string, choice: string, toml: string): string {
  const value = tableOf(`x = ${toml}`)?.['x'];
  if (value === undefined) return toml;
  const pattern = quick.value?.answer.structures.find((each) => each.name === structure)?.pattern;
  const kind = patterns.value.find((each) => each.name === pattern)?.choices.find((each) => each.name === choice)?.kind;
  if (kind === 'yes-no') return value === true ? 'yes' : 'no';
  const length = kind === 'length' ? parseLength(String(value), 'mm') : null;
  return length === null ? String(value) : sayLength(length, units.value);
}

const severalStructures = () => (quick.value?.answer.structures.length ?? 0) > 1;

function choiceWords(choice: Settled): string {
  return `${words(choice.name)} ${valueWords(choice.structure, choice.name, choice.value)}${severalStructures() ? ` (${choice.structure})` : ''}`;
}

/// "post 5x5, in ground 800 mm".
export function wayWords(way: Way): string {
  return [
    ...way.choices.map(choiceWords),
    ...way.fixings.map((each) => `${each.joint} with ${each.value}`),
    ...way.site.map((each) => `${words(each.name)} ${String(tableOf(`x = ${each.value}`)?.['x'] ?? each.value)}`),
  ].join(', ');
}

/// What of the cheapest way would mend this one check, or else the whole of it; null while none is known.
export function cureOf(check: StrengthCheck): string | null {
  const answer = offered.value?.wanted === 'mended' ? offered.value.answer : null;
  const way = answer?.ways[0];
  if (!answer || !way) return null;
  const own = (answer.cures ?? []).find((each) => each.check === check.id && each.structure === check.structure)?.words;
  return own ? words(own).replace(/ = /g, ' ').replace(/"/g, '') : `${wayWords(way)}, ${more(way.extra_minor)}`;
}

function Change({ name, was, is }: { name: string; was: string; is: string }) {
  return <li><span class="change-name">{name}</span> {was !== '' && <><s>{was}</s> → </>}<strong>{is}</strong></li>;
}

function Choices({ list }: { list: Settled[] }) {
  return (
    <>
      {list.map((each) => (
        <Change key={`${each.structure}.${each.name}`} name={`${words(each.name)}${severalStructures() ? `, ${each.structure}` : ''}`}
          was={each.was === each.value || each.was === '' ? '' : valueWords(each.structure, each.name, each.was)} is={valueWords(each.structure, each.name, each.value)} />
      ))}
    </>
  );
}

/// Open choices that were settled.
function Decision({ found }: { found: Found & { wanted: 'open' } }) {
  const { answer, job } = found;
  if (job === null || answer.total_minor === null)
    return (
      <>
        <p><strong>{answer.proven ? 'Nothing stands' : 'Nothing was found that stands'}</strong> {answer.proven ? `among the ${answer.combinations} combinations of what is open.` : `in the ${Math.round(answer.seconds)} s there were; that is no proof that nothing does.`}</p>
        {answer.excluded.map((each) => <p key={each.why} class="quiet">{each.count} {each.words}.</p>)}
        <p class="stands-acts">
          {failing.value > 0 && <button type="button" class="main-act" onClick={() => void findWhatStands('mended')}>Look for other changes</button>}
          <button type="button" onClick={leave}>Leave it</button>
        </p>
      </>
    );
  const changed = answer.choices.filter((each) => each.value !== each.was);
  const same = answer.choices.length - changed.length;
  const least = answer.proven && answer.lower_bound_minor === answer.total_minor;
  const extra = quick.value?.text === found.text ? answer.total_minor - quick.value.answer.summary.price_minor : null;
  return (
    <>
      <p><strong>Every check passes</strong> for {say(answer.total_minor)}{extra !== null && extra !== 0 && ` (${say(Math.abs(extra))} ${extra > 0 ? 'more' : 'less'} than now)`}.</p>
      <ul class="changes">
        <Choices list={changed} />
        {answer.fixings.map((each) => <Change key={each.joint} name={each.joint} was={each.was} is={each.value} />)}
      </ul>
      {same > 0 && <p class="quiet">{same === 1 ? '1 choice stays as it is.' : `${same} choices stay as they are.`}</p>}
      <p class="quiet">{least ? `Nothing cheaper stands among all ${answer.combinations} combinations: that is proven. Fixings follow a rule and were not searched.`
        : `Not proven to be the least: at most ${say(answer.total_minor - (answer.lower_bound_minor ?? 0))} less is possible.`} Results are indicative.</p>
      <p class="stands-acts">
        <button type="button" class="main-act" onClick={() => take({ text: job, label: `what stands${changed.length > 0 ? `: ${changed.slice(0, 2).map(choiceWords).join(', ')}` : ''}` })}>Take it</button>
        <button type="button" onClick={leave}>Leave it</button>
      </p>
    </>
  );
}

const kindWords: Record<Way['kind'], string> = {
  least: 'Cheapest', fixings: 'Other fixings', holes: 'Other holes', timber: 'Other timber', 'lighter climber': 'A lighter climber', shelter: 'More shelter from the wind', 'another wall': 'Another wall', 'posts instead of the wall': 'Posts instead of the wall', without: 'Without what may be left out',
};

/// Ways to mend what fails.
function Ways({ found }: { found: Found & { wanted: 'mended' } }) {
  const { answer, jobs } = found;
  if (answer.verdict === 'stands') return <p>Every check passes as it is.</p>;
  if (answer.ways.length === 0)
    return (
      <>
        <p><strong>No cure was found</strong> in {Math.round(answer.seconds)} s by other sections, holes, fixings, a lighter climber or more shelter. That is no proof that there is none: another size, or choices left open, may do.</p>
        <p class="stands-acts"><button type="button" onClick={leave}>Leave it</button></p>
      </>
    );
  return (
    <>
      <p><strong>{answer.ways.length === 1 ? 'With this, every check passes:' : 'With any one of these, every check passes:'}</strong></p>
      <ol class="ways">
        {answer.ways.map((way, index) => (
          <li key={index}>
            <div class="way">
              <p class="way-head"><strong>{kindWords[way.kind]}</strong>, {more(way.extra_minor)}</p>
              <ul class="changes">
                <Choices list={way.choices} />
                {way.fixings.map((each) => <Change key={each.joint} name={each.joint} was={each.was} is={each.value} />)}
                {way.site.map((each) => <Change key={each.name} name={`the garden’s ${words(each.name)}`} was="" is={String(tableOf(`x = ${each.value}`)?.['x'] ?? each.value)} />)}
              </ul>
            </div>
            <button type="button" class={index === 0 ? 'main-act' : ''} aria-label={`Take: ${wayWords(way)}`} onClick={() => take({ text: jobs[index]!, label: wayWords(way) })}>Take it</button>
          </li>
        ))}
      </ol>
      <p class="quiet">The cheapest found of each kind, each planned whole. Results are indicative.</p>
      <p class="stands-acts"><button type="button" onClick={leave}>Leave it as it is</button></p>
    </>
  );
}

function Progress() {
  const now = looking.value!;
  const { bound_minor: bound, best_minor: best } = now.progress ?? { bound_minor: 0, best_minor: null };
  return (
    <div class="looking">
      <p role="status">{now.wanted === 'open' ? 'Looking for the least that stands …' : 'Looking for what would mend it …'}
        {best !== null && <> found for <strong>{say(best)}</strong>{bound > 0 && ';'}</>}
        {bound > 0 && <> no choice costs less than {say(bound)}, before its fixings are tried for less</>}</p>
      {best !== null && bound > 0 && <div class="gap-bar" aria-hidden="true"><span style={{ width: `${Math.min(100, (100 * bound) / best)}%` }} /></div>}
      <p class="stands-acts"><button type="button" onClick={stopLooking}>Stop looking</button></p>
    </div>
  );
}

/// What is to be done about it now: nothing where nothing is open and nothing fails.
function Begin({ wanted, open }: { wanted: Wanted; open: OpenChoice[] }) {
  const names = [...new Set(open.map((each) => words(each.name)))];
  return (
    <>
      <p>{wanted === 'open'
        ? `${names.length === 1 ? 'Open is' : 'Open are'} ${names.slice(0, 4).join(', ')}${names.length > 4 ? ` and ${names.length - 4} more` : ''}: the planner may settle what is open so that all stands at least cost.`
        : `${failing.value === 1 ? 'A check fails' : `${failing.value} checks fail`}: the planner may look for the cheapest change with which all of it stands.`}</p>
      <p class="stands-acts"><button type="button" class="main-act" disabled={!quick.value || quick.value.text !== jobText.value} onClick={() => void findWhatStands(wanted)}>Find what stands</button></p>
    </>
  );
}

export function StandsPanel() {
  const open = openChoices.value;
  const found = offered.value;
  const wanted: Wanted = open.length > 0 ? 'open' : 'mended';
  if (open.length === 0 && failing.value === 0 && !looking.value) return null;
  return (
    <section class="stands-panel" aria-label="What stands">
      {looking.value ? <Progress />
        : found?.wanted === 'open' ? <Decision found={found} />
        : found?.wanted === 'mended' ? <Ways found={found} />
        : <Begin wanted={wanted} open={open} />}
      {noSearch.value && <p class="wrong" role="alert">{noSearch.value.kind === 'missing' ? 'This planner does not look for what stands.' : noSearch.value.diagnostics.map((each) => (each.cure ? `${each.what}: ${each.cure}` : each.what)).join('; ')}</p>}
    </section>
  );
}
