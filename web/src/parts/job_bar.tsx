// SPDX-License-Identifier: Apache-2.0
import { useRef, useState } from 'preact/hooks';
import { api, asRefusal } from '../api/client';
import { chooseFile, download, fileName } from '../job/files';
import { linkTo } from '../job/share';
import { committedText, openJob, origin, redo, redoLabel, savedAt, title, undo, undoLabel } from '../job/store';
import { LastJobsDialog } from './last_jobs_dialog';
import { NewJobDialog } from './new_job_dialog';
import { JobTextDialog } from './job_text_dialog';
import { ServerJobsDialog } from './server_jobs_dialog';
import { say } from './status';

async function openFile(): Promise<void> {
  const file = await chooseFile('.toml,application/toml,text/plain');
  if (!file) return;
  if (file.size > 262144) return say(`${file.name} is larger than 256 kB: that is no job file.`);
  openJob(await file.text(), `open ${file.name}`);
  say(`${file.name} is open.`);
}

function saveFile(): void {
  download(fileName(title.value, 'toml'), new Blob([committedText()], { type: 'application/toml' }));
}

async function saveToServer(): Promise<void> {
  const from = origin.value;
  if (!from) return;
  try {
    savedAt({ name: from.name, etag: await api.saveJob(from.name, committedText(), from.etag) });
    say(`Saved over ${from.name}.`);
  } catch (error) {
    say(`Not saved: ${asRefusal(error).message}`);
  }
}

async function share(): Promise<void> {
  const link = linkTo(committedText());
  try {
    await navigator.clipboard.writeText(link);
    say('A link that carries the whole job is on the clipboard.');
  } catch {
    window.prompt('A link that carries the whole job:', link);
  }
}

export function JobBar() {
  const [open, setOpen] = useState<'new' | 'last' | 'text' | 'jobs' | null>(null);
  const menu = useRef<HTMLDetailsElement>(null);
  const act = (what: () => void) => () => {
    if (menu.current) menu.current.open = false;
    what();
  };
  const close = () => setOpen(null);
  return (
    <header class="job-bar">
      <p class="wordmark">Garthwright</p>
      <div class="job-acts" role="group" aria-label="Steps">
        <button type="button" disabled={!undoLabel.value} onClick={undo} title={undoLabel.value ? `Undo: ${undoLabel.value}` : 'Nothing to undo'}
          aria-label={undoLabel.value ? `Undo: ${undoLabel.value}` : 'Undo'}>
          <span aria-hidden="true">↶</span> <span class="wide-only">Undo</span>
        </button>
        <button type="button" disabled={!redoLabel.value} onClick={redo} title={redoLabel.value ? `Redo: ${redoLabel.value}` : 'Nothing to redo'}
          aria-label={redoLabel.value ? `Redo: ${redoLabel.value}` : 'Redo'}>
          <span aria-hidden="true">↷</span> <span class="wide-only">Redo</span>
        </button>
      </div>
      <details class="job-menu" ref={menu} onKeyDown={(event) => {
        if (event.key !== 'Escape' || !menu.current?.open) return;
        menu.current.open = false;
        menu.current.querySelector('summary')?.focus();
      }}>
        <summary>Job</summary>
        <div class="job-menu-list">
          <button type="button" onClick={act(() => setOpen('new'))}>Begin another…</button>
          <button type="button" onClick={act(() => setOpen('last'))}>Last jobs…</button>
          <button type="button" onClick={act(() => void openFile())}>Open a file…</button>
          <button type="button" onClick={act(saveFile)}>Save as a file</button>
          <button type="button" onClick={act(() => setOpen('jobs'))}>On the planner's shelf…</button>
          {origin.value && <button type="button" onClick={act(() => void saveToServer())}>Save over {origin.value.name}</button>}
          <button type="button" onClick={act(() => void share())}>Copy a link to it</button>
          <button type="button" onClick={act(() => window.print())}>Print this sheet…</button>
          <button type="button" onClick={act(() => setOpen('text'))}>Its text…</button>
          <a href="/manual/index.html" target="_blank" rel="noopener">Manual…</a>
          <a href="/licences.txt" target="_blank" rel="noopener">Licences…</a>
        </div>
      </details>
      {open === 'new' && <NewJobDialog close={close} />}
      {open === 'last' && <LastJobsDialog close={close} />}
      {open === 'text' && <JobTextDialog close={close} />}
      {open === 'jobs' && <ServerJobsDialog close={close} />}
    </header>
  );
}
