// SPDX-License-Identifier: Apache-2.0
import { useEffect, useRef } from 'preact/hooks';
import { redo, title, undo } from './job/store';
import { JobBar } from './parts/job_bar';
import { Places } from './parts/places';
import { StatusLine } from './parts/status';
import { TitleBlock } from './parts/title_block';
import { TroubleNote } from './parts/trouble_note';
import { WhyDialog } from './parts/why_dialog';
import { places, route, type Place } from './route';
import { BenchView } from './views/bench_view';
import { BuildView } from './views/build_view';
import { BuyingView } from './views/buying_view';
import { ChecksView } from './views/checks_view';
import { CompareView } from './views/compare_view';
import { DesignView } from './views/design_view';
import { EndsView } from './views/ends_view';
import { GardenView } from './views/garden_view';
import { PiecesView } from './views/pieces_view';
import { SheetsView } from './views/sheets_view';

const views: Record<Place, () => preact.JSX.Element> = {
  design: DesignView, garden: GardenView, ends: EndsView, pieces: PiecesView, buying: BuyingView, checks: ChecksView, build: BuildView,
  sheets: SheetsView, bench: BenchView, compare: CompareView,
};

function keys(event: KeyboardEvent): void {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  const typing = event.target instanceof HTMLTextAreaElement ||
    (event.target instanceof HTMLInputElement && event.target.type === 'text' && event.target.dataset['dirty'] === 'yes');
  if (typing) return;  // a field that is being typed in has its own undo
  const key = event.key.toLowerCase();
  if (key === 'z') event.shiftKey ? redo() : undo();
  else if (key === 'y') redo();
  else return;
  event.preventDefault();
}

export function App() {
  const { place } = route.value;
  const View = views[place];
  const name = places.find(([each]) => each === place)?.[1] ?? '';
  const heading = useRef<HTMLHeadingElement>(null);
  const first = useRef(true);
  useEffect(() => {
    document.addEventListener('keydown', keys);
    return () => document.removeEventListener('keydown', keys);
  }, []);
  useEffect(() => {
    document.title = `${name} · ${title.value} · Garthwright`;
  }, [name, title.value]);
  useEffect(() => {
    // Who goes to another sheet by keyboard or reader is taken to its heading.
    if (!first.current) heading.current?.focus({ preventScroll: true });
    first.current = false;
    heading.current?.parentElement?.scrollTo(0, 0);
  }, [place]);
  return (
    <div class="sheet">
      <a class="skip" href="#view" onClick={(event) => { event.preventDefault(); heading.current?.focus(); }}>
        Skip to the sheet
      </a>
      <JobBar />
      <Places />
      <main id="view" class={`view view-${place}`}>
        <h1 class="unseen" tabIndex={-1} ref={heading}>{name}</h1>
        <TroubleNote />
        <View />
      </main>
      <TitleBlock />
      <WhyDialog />
      <StatusLine />
    </div>
  );
}
