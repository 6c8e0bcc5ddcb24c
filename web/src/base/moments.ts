// SPDX-License-Identifier: Apache-2.0

/// Moments that a measurement may listen for (bench/page.mjs). They are not kept: a page that is open for days grows no list.
export function markMoment(moment: 'picture' | 'input' | 'answer' | 'price' | 'checks' | 'whole'): void {
  performance.mark(moment);
  performance.clearMarks(moment);
}
