// SPDX-License-Identifier: Apache-2.0
import { jobId, openJob } from '../job/store';
import { lastJobs } from '../job/last_jobs';
import { Dialog } from './dialog';

/// The jobs that were open on this device, each as it was left.
export function LastJobsDialog({ close }: { close: () => void }) {
  const others = lastJobs.value.filter((each) => each.id !== jobId.value);
  return (
    <Dialog title="Last jobs" close={close}>
      {others.length === 0 && <p>No other job was open on this device.</p>}
      <ol class="last-jobs">
        {others.map((each) => (
          <li key={each.id}>
            <button type="button" onClick={() => {
              openJob(each.text, `open ${each.title}`, null, each.id);
              close();
            }}>{each.title}</button>
          </li>
        ))}
      </ol>
    </Dialog>
  );
}
