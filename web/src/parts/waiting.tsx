// SPDX-License-Identifier: Apache-2.0
import { trouble } from '../live/live';

/// What stands where an answer is still to come.
export function Waiting({ what = 'the plan' }: { what?: string }) {
  return <p class="waiting-line">{trouble.value ? `Without an answer of the planner ${what} cannot be shown.` : `Working out ${what} …`}</p>;
}
