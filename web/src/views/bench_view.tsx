// SPDX-License-Identifier: Apache-2.0
//
// For dusty hands: one thing at a time, in type that is read from two metres.
import { useEffect, useMemo } from 'preact/hooks';
import { jobId, jobText } from '../job/store';
import { lastPlan } from '../live/live';
import { OlderPlan } from '../bench/older_plan';
import { chapters, locks, tasksOf, type Task } from '../bench/tasks';
import { note, openRecord, record, tick } from '../bench/record';
import { TaskCard } from '../bench/task_card';
import { useScreenOn } from '../bench/wake';
import { Waiting } from '../parts/waiting';

export function BenchView() {
  // The one place that goes on with a plan older than its job: at the bench there may be no planner. It says so, and locks.
  const planned = lastPlan.value;
  const now = planned?.answer;
  const older = planned !== null && planned.text !== jobText.value;
  const screenOn = useScreenOn();
  const tasks = useMemo(() => (now ? tasksOf(now) : []), [now]);
  useEffect(() => openRecord(jobId.value), [jobId.value]);
  if (!planned || !now) return <Waiting />;
  if (tasks.length === 0) return <p class="waiting-line">There is nothing to saw in this plan.</p>;
  const { done, at } = record.value;
  const open = tasks.findIndex((each) => each.id === at);
  const index = open >= 0 ? open : Math.max(0, tasks.findIndex((each) => !done[each.id]));
  const task = tasks[index]!;
  const finished = tasks.filter((each) => done[each.id]).length;
  const to = (i: number) => note({ at: tasks[Math.max(0, Math.min(tasks.length - 1, i))]!.id });
  const locked = older && locks(task);
  const tickOff = () => {
    if (locked) return;
    const was = done[task.id];
    tick(task.id, !was);
    if (!was) to(index + 1);
  };
  return (
    <div class="bench">
      <p class="bench-head">
        <span>{chapters[task.kind]}</span>
        <span>{finished} of {tasks.length} done</span>
      </p>
      <svg class="bench-progress" width="100%" height="10" aria-hidden="true"><rect width={`${(100 * finished) / tasks.length}%`} height="10" /></svg>
      {older && <OlderPlan planned={planned.answer} />}
      <section class={`task ${done[task.id] ? 'task-done' : ''} ${locked ? 'task-locked' : ''}`} aria-live="polite">
        <TaskCard task={task} locked={locked} />
      </section>
      <div class="bench-acts">
        <button type="button" onClick={() => to(index - 1)} disabled={index === 0}>Back</button>
        <button type="button" class="main-act" aria-pressed={Boolean(done[task.id])} disabled={locked} onClick={tickOff}>{locked ? 'Locked' : done[task.id] ? '✓ Done' : 'Tick off'}</button>
        <button type="button" onClick={() => to(index + 1)} disabled={index === tasks.length - 1}>Next</button>
      </div>
      <TaskList tasks={tasks} index={index} to={to} />
      <p class="quiet bench-foot">
        {screenOn ? 'The screen stays on.' : 'This browser does not let a page keep the screen on here.'}{' '}
        {'serviceWorker' in navigator ? 'Ticks and sizes are kept on this device; it opens without a network.' : 'Over this address the page needs the network; ticks and sizes are kept all the same.'}
      </p>
    </div>
  );
}

function words(task: Task): string {
  switch (task.kind) {
    case 'measure': return `Measure a ${task.section}`;
    case 'take': return `Take a ${task.section}`;
    case 'cut': return `Saw ${task.mark}`;
    case 'mark': return `Mark out ${task.mark}${task.hand && `, ${task.hand}`}`;
    case 'stage': return task.title;
  }
}

function TaskList({ tasks, index, to }: { tasks: Task[]; index: number; to: (i: number) => void }) {
  const { done } = record.value;
  return (
    <details class="task-list">
      <summary>All of it</summary>
      <ol>
        {tasks.map((each, i) => (
          <li key={each.id}>
            <button type="button" aria-current={i === index ? 'step' : undefined} onClick={() => to(i)}>
              <span aria-hidden="true">{done[each.id] ? '✓' : '·'}</span> {words(each)}{done[each.id] && <span class="unseen">, done</span>}
            </button>
          </li>
        ))}
      </ol>
    </details>
  );
}
