// SPDX-License-Identifier: Apache-2.0
//
// What the planner has against single values of the job, found by the line of its text that it points at.
import { computed } from '@preact/signals';
import type { Diagnostic } from '../api/types';
import { jobText } from '../job/store';
import { pathsByLine } from '../job/toml_text';
import { fields, trouble } from './live';

function byPath(text: string, found: Diagnostic[]): Map<string, string> {
  const remarks = new Map<string, string>();
  const pointed = found.filter((each) => each.where.line > 0);
  if (pointed.length === 0) return remarks;
  const pathOf = pathsByLine(text);
  for (const each of pointed) {
    const path = pathOf(each.where.line)?.join('/');
    if (path !== undefined && !remarks.has(path)) remarks.set(path, each.cure ? `${each.what}: ${each.cure}` : each.what);
  }
  return remarks;
}

/// Why the job was refused, by the value that is at fault.
export const refusals = computed(() => (trouble.value ? byPath(jobText.value, trouble.value.diagnostics) : new Map<string, string>()));

/// That, or what else is to be said of the job as it was answered.
export const remarks = computed(() => {
  if (trouble.value) return refusals.value;
  const shown = fields.value;
  return shown?.answer ? byPath(shown.text, shown.answer.diagnostics) : new Map<string, string>();
});
