// SPDX-License-Identifier: Apache-2.0
import type { CutLength } from '../api/types';
import { printLength, sayLength } from '../base/length';
import { units } from '../job/store';

const share = (mm: number, of: number) => `${(100 * mm) / of}%`;

/// Every length as it lies on the saw bench, all to the scale of the longest.
export function CuttingLayouts({ cutting }: { cutting: CutLength[] }) {
  const longest = Math.max(1, ...cutting.map((each) => each.length_mm));
  const sections = [...new Set(cutting.map((each) => each.section))];
  return (
    <div class="layouts">
      <svg width="0" height="0" class="unseen" aria-hidden="true">
        <defs>
          <pattern id="hatch" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <line x1="0" y1="0" x2="0" y2="7" class="hatch-line" />
          </pattern>
        </defs>
      </svg>
      {sections.map((section) => (
        <section key={section} aria-label={section}>
          <h3>{section}</h3>
          {cutting.filter((each) => each.section === section).map((each, i) => <Layout key={i} cut={each} longest={longest} />)}
        </section>
      ))}
    </div>
  );
}

function words(cut: CutLength): string {
  const size = (mm: number) => sayLength(mm, units.value);
  return `${cut.count} of ${size(cut.length_mm)}: ${cut.pieces.map((each) => `${each.mark} ${size(each.length_mm)}`).join(', ')}; off-cut ${size(cut.offcut_mm)}`;
}

function Layout({ cut, longest }: { cut: CutLength; longest: number }) {
  const ripped = cut.pieces.some((each) => each.across_mm > 0);
  const offAt = cut.length_mm - cut.offcut_mm;
  return (
    <div class="layout">
      <span class="layout-count">{cut.count} ×</span>
      <svg width="100%" height="46" role="img" aria-label={words(cut)}>
        <rect x="0" y="2" width={share(cut.length_mm, longest)} height="26" class="length" />
        {cut.offcut_mm > 0 && <rect x={share(offAt, longest)} y="2" width={share(cut.offcut_mm, longest)} height="26" fill="url(#hatch)" class="offcut" />}
        {cut.pieces.map((each, i) => {
          const wide = each.length_mm / longest;
          const middle = share(each.at_mm + each.length_mm / 2, longest);
          return (
            <g key={i}>
              <rect x={share(each.at_mm, longest)} y={ripped && each.across_mm > 0 ? 16 : 2} width={share(each.length_mm, longest)} height={ripped ? 12 : 26} class="timber" />
              {wide > 0.035 && <text x={middle} y="20" text-anchor="middle" class="layout-mark">{each.mark}</text>}
              {wide > 0.07 && <text x={middle} y="43" text-anchor="middle" class="layout-size">{printLength(each.length_mm, units.value)}</text>}
            </g>
          );
        })}
      </svg>
    </div>
  );
}
