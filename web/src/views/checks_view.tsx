// SPDX-License-Identifier: Apache-2.0
import { useMemo, useState } from 'preact/hooks';
import type { StrengthCheck, Verdict } from '../api/types';
import { percent, significant } from '../base/figures';
import { plan, quick } from '../live/live';
import { ModelView } from '../parts/model_view';
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
  if (!now) return <Waiting what="the checks" />;
  if (checks.length === 0)
    return (
      <div class="page-sheet">
        <h2>Nothing was checked</h2>
        <p>The planner has not computed strength or footings for this job. That is no pass: nobody has looked whether it stands.</p>
        <Cautions lines={now.answer.cautions ?? []} />
      </div>
    );
  const worst = checks.filter((each) => each.verdict === 'fails').length;
  return (
    <div class="split">
      <div class="split-text">
        <h2>{worst > 0 ? `${worst} of ${checks.length} checks fail` : `None of ${checks.length} checks fails`}</h2>
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
        <p class="quiet caption">{marked.length > 0 ? `Marked: ${marked.join(', ')}.` : 'Outlined: pieces with a check that fails.'}</p>
      </div>
    </div>
  );
}

function CheckLine({ check, open, toggle }: { check: StrengthCheck; open: boolean; toggle: () => void }) {
  return (
    <>
      <button type="button" class="check-line" aria-expanded={open} onClick={toggle}>
        <span class="check-title">{check.title}</span>
        <span class="check-share">{percent(check.utilisation)}</span>
        <span class="check-plain">{check.plain ?? `${percent(check.utilisation)} of what it can take is asked of it.`}</span>
        <svg class="check-bar" width="100%" height="9" aria-hidden="true">
          <rect x="0" y="2" height="5" width={`${Math.min(100, check.utilisation * 66.7)}%`} />
          <line x1="66.7%" x2="66.7%" y1="0" y2="9" />
        </svg>
      </button>
      {open && (
        <dl class="numbers">
          <div><dt>asked</dt><dd>{significant(check.demand)} {check.unit}</dd></div>
          <div><dt>can take</dt><dd>{significant(check.capacity)} {check.unit}</dd></div>
          <div><dt>used</dt><dd>{significant(check.demand)} ÷ {significant(check.capacity)} → {percent(check.utilisation)}</dd></div>
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
