// SPDX-License-Identifier: Apache-2.0
import type { Plan } from '../api/types';
import { parseLength, printLength } from '../base/length';
import { jobTable, units, type Table } from '../job/store';
import { askAgain, trouble } from '../live/live';

export interface Remeasured {
  section: string;
  planned: string;
  now: string;
}

/// Sections that the job has by another size than the plan was made with.
export function remeasured(plan: Plan, table: Table | null): Remeasured[] {
  const measured = ((table?.['timber'] as Table | undefined)?.['measured'] ?? {}) as Table;
  const size = (mm: number) => printLength(mm, units.value);
  const found: Remeasured[] = [];
  for (const [section, given] of Object.entries(measured)) {
    const piece = plan.pieces.find((each) => each.section === section);
    const [thick, wide] = String(given).split(/[x×]/).map((each) => parseLength(each, 'mm'));
    if (!piece || thick == null || wide == null) continue;
    if (Math.abs(piece.thickness_mm - thick) < 0.05 && Math.abs(piece.width_mm - wide) < 0.05) continue;
    found.push({ section, planned: `${size(piece.thickness_mm)} × ${size(piece.width_mm)}`, now: `${size(thick)} × ${size(wide)}` });
  }
  return found;
}

/// Says that the cards are of a plan older than the job, and what it was made with.
export function OlderPlan({ planned }: { planned: Plan }) {
  const sizes = remeasured(planned, jobTable.value);
  const why = trouble.value;
  return (
    <section class="older-plan" role="status" aria-label="The plan is older than the job">
      {sizes.map((each) => <p key={each.section}><strong>{each.section}: planned with {each.planned}</strong>; the job now says {each.now}.</p>)}
      {sizes.length === 0 && <p><strong>Planned before the job’s last change.</strong></p>}
      <p>Sawing, marking out and putting up are locked until the job is planned anew{why ? ': the planner is not within reach.' : '; it is being planned now.'}</p>
      {why && <p><button type="button" onClick={askAgain}>Ask again</button></p>}
    </section>
  );
}
