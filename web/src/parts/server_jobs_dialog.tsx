// SPDX-License-Identifier: Apache-2.0
import { useEffect, useState } from 'preact/hooks';
import { api, asRefusal } from '../api/client';
import type { JobFile } from '../api/types';
import { committedText, openJob, savedAt, title } from '../job/store';
import { fileName } from '../job/files';
import { Dialog } from './dialog';
import { say } from './status';

/// Job files that stand beside the planner.
export function ServerJobsDialog({ close }: { close: () => void }) {
  const [jobs, setJobs] = useState<JobFile[] | null>(null);
  const [wrong, setWrong] = useState('');
  const [name, setName] = useState(fileName(title.value, 'toml').replace(/\.toml$/, ''));
  useEffect(() => {
    api.jobs().then(setJobs, (error: unknown) => setWrong(asRefusal(error).message));
  }, []);
  const open = async (file: JobFile) => {
    try {
      const { text, etag } = await api.readJob(file.name);
      openJob(text, `open ${file.name}`, { name: file.name, etag });
      close();
    } catch (error) {
      setWrong(asRefusal(error).message);
    }
  };
  const save = async () => {
    try {
      savedAt({ name, etag: await api.saveJob(name, committedText(), null) });
      say(`Saved as ${name}.`);
      close();
    } catch (error) {
      setWrong(asRefusal(error).message);
    }
  };
  return (
    <Dialog title="On the planner's shelf" close={close}>
      {wrong && <p role="alert">{wrong}</p>}
      {jobs?.length === 0 && <p>The planner was started without job files.</p>}
      <ul class="plain-list">
        {(jobs ?? []).map((each) => (
          <li key={each.name}><button type="button" onClick={() => void open(each)}>{each.title} <span class="quiet">{each.name}</span></button></li>
        ))}
      </ul>
      <form class="inline-form" onSubmit={(event) => { event.preventDefault(); void save(); }}>
        <label>Save this job as <input type="text" value={name} pattern="[A-Za-z0-9_\-]+" required
          onInput={(event) => setName(event.currentTarget.value)} /></label>
        <button type="submit">Save</button>
      </form>
    </Dialog>
  );
}
