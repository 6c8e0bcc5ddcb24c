// SPDX-License-Identifier: Apache-2.0
import type { ComponentChildren } from 'preact';
import { useLayoutEffect, useRef } from 'preact/hooks';
import { plan, trouble, unplanned, type Planned } from '../live/live';

/// What stands where an answer is still to come.
export function Waiting({ what = 'the plan' }: { what?: string }) {
  const why = trouble.value;
  const none = why && (unplanned.value || !plan.value);
  return <p class="waiting-line" role="status">{none ? `Without an answer of the planner ${what} cannot be shown.` : `Working out ${what} …`}</p>;
}

/// What is of the plan of this very job, and of no other. While one is worked out its place stays as high as it was, so
/// that a sheet that is being read does not jump.
export function OfPlan({ what, children, class: look = '' }: { what: string; children: (planned: Planned) => ComponentChildren; class?: string }) {
  const box = useRef<HTMLDivElement>(null);
  const high = useRef(0);
  const now = plan.value;
  useLayoutEffect(() => {
    if (now && box.current) high.current = box.current.offsetHeight;
  });
  return <div ref={box} class={look} style={now ? undefined : { minHeight: `${high.current}px` }}>{now ? children(now) : <Waiting what={what} />}</div>;
}
