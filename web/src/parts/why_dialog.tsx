// SPDX-License-Identifier: Apache-2.0
//
// Where a figure comes from. What the planner can derive it derives; sums of the purchase are told from the plan itself.
import { effect, signal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { api, asRefusal } from '../api/client';
import { jobText } from '../job/store';

interface Told {
  title: string;
  lines: string[];
  source?: string;
  waiting?: boolean;
}

const told = signal<Told | null>(null);
/// What was told is of the job as it was.
effect(() => {
  void jobText.value;
  told.value = null;
});

export function explain(title: string, lines: string[], source?: string): void {
  told.value = source ? { title, lines, source } : { title, lines };
}

/// Why a piece is as long as it is: at once the sum, then what it rests on.
export function explainPiece(mark: string, sum: string): void {
  const title = `Why ${mark} is as long as it is`;
  const asked: Told = { title, lines: [sum], waiting: true };
  told.value = asked;
  api.why(jobText.value, mark).then(
    (answer) => { if (told.value === asked) told.value = { title, lines: answer.lines }; },
    (error: unknown) => {
      if (told.value !== asked) return;
      told.value = { title, lines: [sum, `(what it rests on cannot be told now: ${asRefusal(error).message})`] };
    });
}

export function WhyDialog() {
  const dialog = useRef<HTMLDialogElement>(null);
  const now = told.value;
  useEffect(() => {
    if (now && !dialog.current?.open) dialog.current?.showModal();
    if (!now && dialog.current?.open) dialog.current.close();
  }, [now]);
  return (
    <dialog class="why" ref={dialog} onClose={() => (told.value = null)} aria-labelledby="why-title"
      onClick={(event) => { if (event.target === dialog.current) dialog.current?.close(); }}>
      {now && (
        <div class="why-inside">
          <h2 id="why-title">{now.title}</h2>
          <ol class="why-lines">
            {now.lines.map((line, i) => <li key={i} class={/^\s/.test(line) ? 'why-under' : ''}>{line.trim()}</li>)}
          </ol>
          {now.waiting && <p class="quiet">asking what it rests on …</p>}
          {now.source && <p class="quiet">Source: {now.source}</p>}
          <button type="button" onClick={() => dialog.current?.close()}>Close</button>
        </div>
      )}
    </dialog>
  );
}
