// SPDX-License-Identifier: Apache-2.0
import { useEffect, useMemo, useState } from 'preact/hooks';
import type { Plan, StrengthCheck, Verdict } from '../api/types';
import { percent, significant } from '../base/figures';
import { complete, plan, quick } from '../live/live';
import { findWhatStands, looking } from '../live/stands';
import { ModelView } from '../parts/model_view';
import { cureOf, failing, openChoices, StandsPanel } from '../parts/stands_panel';
import { madeChecks, standings, standSentence, type Standing } from '../parts/verdict';
import { Waiting } from '../parts/waiting';
import { plainLook } from '../scene/view';

const titles: Record<Verdict, string> = { fails: 'Fails', attention: 'Look at it', ok: 'Holds' };
const order: Verdict[] = ['fails', 'attention', 'ok'];

/// The marks of the pieces that a check is about.
function marksOf(check: StrengthCheck): string[] {
  return check.subjects.flatMap((each) => each.mark ?? []);
}

export function ChecksView() {
  const now = plan.value;
  const model = now && quick.value?.text === now.text ? quick.value.answer.model : null;
  const [open, setOpen] = useState<string | null>(null);
  const checks = useMemo(() => [...(now?.answer.checks ?? [])].sort((a, b) => b.utilisation - a.utilisation), [now]);
  const opened = checks.find((each) => each.id === open);
  const marked = useMemo(() => (opened ? marksOf(opened) : []), [opened]);
  const look = useMemo(() => {
    const failing = new Set(checks.filter((each) => each.verdict === 'fails').flatMap(marksOf));
    const fresh = (key: string) => marked.some((mark) => key.startsWith(`${mark}#`));
    return { ...plainLook, failing, fresh: marked.length > 0 ? fresh : null };
  }, [checks, marked]);
  // Who reads what fails wants to know what would mend it: looked for once all else of the job is worked out.
  const mend = complete.value && failing.value > 0 && openChoices.value.length === 0;
  useEffect(() => {
    if (mend) void findWhatStands('mended', false);
  }, [mend, now?.text]);
  if (!now) return <Waiting what="the checks" />;
  const { made, notMade } = madeChecks(checks);
  if (made.length === 0)
    return (
      <div class="page-sheet">
        <h2>Nothing was checked</h2>
        <p>The planner has not computed strength or footings for this job. That is no pass: nobody has looked whether it stands.</p>
        {notMade.map((each) => <p key={each.id}><strong>{each.title}.</strong> {each.plain}</p>)}
        <Cautions lines={now.answer.cautions ?? []} />
      </div>
    );
  const worst = checks.filter((each) => each.verdict === 'fails').length;
  return (
    <div class="split">
      <div class="split-text">
        <h2>{worst > 0 ? `${worst} of ${made.length} checks fail` : `None of ${made.length} checks fails`}{notMade.length > 0 && `; ${notMade.length} could not be made`}</h2>
        <StandNote plan={now.answer} open={setOpen} />
        <StandsPanel />
        <p class="quiet">Indicative results, computed from the structure as it stands. Press one to see its numbers and where it is on the picture.</p>
        {order.map((verdict) => {
          const some = checks.filter((each) => each.verdict === verdict);
          if (some.length === 0) return null;
          return (
            <section key={verdict} aria-label={titles[verdict]}>
              <h3 class="verdict-head"><span class={`verdict is-${verdict}`}>{titles[verdict]}</span> {some.length}</h3>
              <ul class="check-list">
                {some.map((each) => (
                  <li key={each.id}><CheckLine check={each} open={open === each.id} toggle={() => setOpen(open === each.id ? null : each.id)} /></li>
                ))}
              </ul>
            </section>
          );
        })}
        <Cautions lines={now.answer.cautions ?? []} />
      </div>
      <div class="split-picture">
        <ModelView model={model} label="Where the checks are" look={look} fitKey={model ? 'checks' : ''} />
        <p class="quiet caption">{marked.length > 0 ? `Marked: ${marked.join(', ')}.` : worst > 0 ? 'Tinted: pieces with a check that fails.' : 'No piece has a check that fails.'}</p>
      </div>
    </div>
  );
}

/// Up to what wind each part stands, and what gives first.
function StandNote({ plan, open }: { plan: Plan; open: (id: string) => void }) {
  const all = standings(plan);
  if (all.length === 0) return null;
  const first = (each: Standing) => each.least ?? each.person;
  return (
    <section class="stand-note" aria-label="Whether it stands">
      {all.map((each) => {
        const { what, check } = first(each) ?? { what: null, check: undefined };
        return (
          <div key={each.part}>
            {all.length > 1 && <h3>{each.part}</h3>}
            <p class="stand-words"><span class={`verdict ${each.enough ? '' : 'is-fails'}`}>{each.enough ? 'Enough' : 'Not enough'}</span> {standSentence(each, plan.site.route)}</p>
            {each.person && <p>{each.person.enough ? 'Bears a person who leans on it or hangs from it.' : 'Does not bear a person who leans on it or hangs from it.'}</p>}
            {what && <p>First to give: {check ? <button type="button" class="asks" onClick={() => { open(check); document.getElementById(`check-${check}`)?.scrollIntoView({ block: 'center' }); }}>{what}</button> : what}</p>}
          </div>
        );
      })}
      {plan.stand_lines.length > 0 && <details><summary>All of it, as it is printed</summary>{plan.stand_lines.map((each) => <p key={each}>{each}</p>)}</details>}
    </section>
  );
}

/// Full at the limit at two thirds; what is over goes on by its logarithm to ten times, so that 150 and 426 % are told apart.
function barOf(share: number): number {
  return share <= 1 ? share * 66.7 : 66.7 + 33.3 * Math.min(1, Math.log10(share));
}

function shareWords(share: number): string {
  if (share >= 10) return 'ten times and more';
  return share >= 1.995 ? `${share.toFixed(1)} times` : percent(share);
}

function CheckLine({ check, open, toggle }: { check: StrengthCheck; open: boolean; toggle: () => void }) {
  const fails = check.verdict === 'fails';
  const cure = fails ? cureOf(check) : null;
  return (
    <>
      <button type="button" class="check-line" id={`check-${check.id}`} aria-expanded={open} onClick={toggle}>
        <span class="check-title">{check.title}</span>
        {fails && (cure ? <span class="check-cure"><b>Cure</b> {cure}</span> : looking.value && <span class="check-cure">Looking for a cure …</span>)}
        <span class="check-plain">{check.plain ?? (check.verdict === 'fails' ? 'More is asked of it than it can take.' : 'It can take what is asked of it.')}</span>
        <svg class={`check-bar bar-${check.verdict}`} width="100%" height="11" aria-hidden="true">
          <rect x="0" y="3" height="5" width={`${barOf(check.utilisation)}%`} />
          <line x1="66.7%" x2="66.7%" y1="0" y2="11" />
          {[2, 5, 10].map((each) => <line key={each} class="beyond" x1={`${barOf(each) - 0.2}%`} x2={`${barOf(each) - 0.2}%`} y1="3" y2="8" />)}
        </svg>
      </button>
      {open && (
        <dl class="numbers">
          <div><dt>asked</dt><dd>{significant(check.demand)} {check.unit}</dd></div>
          <div><dt>can take</dt><dd>{significant(check.capacity)} {check.unit}</dd></div>
          <div><dt>used</dt><dd>{significant(check.demand)} ÷ {significant(check.capacity)} → {shareWords(check.utilisation)}</dd></div>
          {check.combination && <div><dt>under</dt><dd>{check.combination}</dd></div>}
          <div><dt>after</dt><dd>{check.source}</dd></div>
        </dl>
      )}
    </>
  );
}

function Cautions({ lines }: { lines: string[] }) {
  if (lines.length === 0) return null;
  return (
    <section aria-label="Cautions">
      <h3 class="verdict-head">Cautions</h3>
      <ul class="cautions">{lines.map((each, i) => <li key={i}>{each}</li>)}</ul>
    </section>
  );
}
