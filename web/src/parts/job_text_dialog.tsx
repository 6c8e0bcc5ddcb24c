// SPDX-License-Identifier: Apache-2.0
import { useState } from 'preact/hooks';
import { api, asRefusal } from '../api/client';
import type { Diagnostic } from '../api/types';
import { commit, jobText } from '../job/store';
import { Dialog } from './dialog';

/// Opens the text from where it is told to be wrong.
export function JobTextButton() {
  const [open, setOpen] = useState(false);
  return (
    <>
      <button type="button" onClick={() => setOpen(true)}>Its text…</button>
      {open && <JobTextDialog close={() => setOpen(false)} />}
    </>
  );
}

/// The job as it is written, for those who would rather write it.
export function JobTextDialog({ close }: { close: () => void }) {
  const [draft, setDraft] = useState(jobText.value);
  const [found, setFound] = useState<Diagnostic[]>([]);
  const check = async () => {
    try {
      const answer = await api.check(draft);
      setFound(answer.diagnostics);
      return answer.ok;
    } catch (error) {
      setFound(asRefusal(error).diagnostics);
      return false;
    }
  };
  const take = async () => {
    if (!(await check())) return;
    commit(draft, 'write in the job');
    close();
  };
  return (
    <Dialog title="The job's text" close={close}>
      <textarea class="job-text" aria-label="The job's text" spellcheck={false} value={draft}
        onInput={(event) => setDraft(event.currentTarget.value)} />
      {found.length > 0 && (
        <ul class="found" role="alert">
          {found.map((each, i) => <li key={i}>{each.where.line > 0 && `line ${each.where.line}: `}{each.what}{each.cure && `: ${each.cure}`}</li>)}
        </ul>
      )}
      <p class="dialog-acts">
        <button type="button" onClick={() => void check()}>Check</button>
        <button type="button" class="main-act" onClick={() => void take()}>Take it</button>
      </p>
    </Dialog>
  );
}
