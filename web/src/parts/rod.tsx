// SPDX-License-Identifier: Apache-2.0
import type { MarkList } from '../api/types';
import { printLength } from '../base/length';
import { units } from '../job/store';

/// The piece lying down with its pencil lines, as on a rod: to scale along, not across.
export function Rod({ list, length, width }: { list: MarkList; length: number; width: number }) {
  const at = (mm: number) => `${2 + (96 * mm) / length}%`;
  const places = [...new Set(list.marks.map((each) => Math.round(each.at_mm * 10) / 10))].sort((a, b) => a - b);
  // Figures that would run into their neighbours step down a row.
  const last: number[] = [];
  const rows = places.map((mm) => {
    const share = mm / length;
    const free = last.findIndex((each) => share - each > 0.075);
    const row = free < 0 ? last.length : free;
    last[row] = share;
    return row;
  });
  return (
    <svg class="rod" width="100%" height={72 + 20 * last.length} role="img" aria-label={`${places.length} marks between 0 and ${printLength(length, units.value)}`}>
      <rect x="2%" y="12" width="96%" height="44" class="timber" />
      {list.marks.map((each, i) => each.diameter_mm
        ? <circle key={i} cx={at(each.at_mm)} cy={12 + 44 * Math.min(0.9, Math.max(0.1, (each.across_mm ?? width / 2) / width))} r="3.5" class="hole" />
        : <line key={i} x1={at(each.at_mm)} x2={at(each.at_mm)} y1="12" y2="56" class={each.kind === 'end' ? 'end' : 'pencil'} />)}
      {places.map((mm, i) => (
        <g key={mm}>
          <line x1={at(mm)} x2={at(mm)} y1="56" y2={66 + (rows[i] ?? 0) * 20} class="thin" />
          <text x={at(mm)} y={78 + (rows[i] ?? 0) * 20} text-anchor={mm < length * 0.03 ? 'start' : mm > length * 0.97 ? 'end' : 'middle'}>{printLength(mm, units.value)}</text>
        </g>
      ))}
    </svg>
  );
}
