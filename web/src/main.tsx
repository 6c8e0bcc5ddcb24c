// SPDX-License-Identifier: Apache-2.0
import { render } from 'preact';
import { App } from './app';
import { openJob, restore } from './job/store';
import { jobIn } from './job/share';
import { answeredOnce, goLive } from './live/live';
import { watchSearch } from './live/stands';
import { fillShelves } from './live/shelves';
import { addressIsKnown } from './route';
import { say } from './parts/status';
import './style/page.css';
import './style/design.css';
import './style/views.css';
import './style/bench.css';
import './style/garden.css';
import './style/print.css';

restore();

function openLink(): void {
  try {
    const shared = jobIn(location.hash);
    if (shared === null) return;
    openJob(shared, 'open a shared job');
    say('The job in the link is open. Undo brings yours back.');
  } catch {
    say('The link is broken: the job in it cannot be read. Ask for it again.');
  }
  history.replaceState(null, '', location.pathname + '#/design');
}
function tellOfAddress(): void {
  if (addressIsKnown()) return;
  say('There is no such sheet; this is the design.');
  history.replaceState(null, '', location.pathname + '#/design');
}
function takeAddress(): void {
  openLink();
  tellOfAddress();
}
takeAddress();
window.addEventListener('hashchange', takeAddress);

goLive();
watchSearch();
void answeredOnce(600).then(fillShelves);  // the picture first: what there is to choose from is asked for beside it otherwise
render(<App />, document.getElementById('page')!);

// Only over https or on this machine; elsewhere the bench says that it needs the network.
if (import.meta.env.PROD && 'serviceWorker' in navigator) void navigator.serviceWorker.register('/sw.js').catch(() => undefined);
