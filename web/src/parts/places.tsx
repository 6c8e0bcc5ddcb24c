// SPDX-License-Identifier: Apache-2.0
import { useEffect, useRef, useState } from 'preact/hooks';
import { places, route } from '../route';

/// The sheets as tabs. Where they go on beyond the edge an arrow stands there, and takes one along.
export function Places() {
  const list = useRef<HTMLUListElement>(null);
  const [onward, setOnward] = useState({ left: false, right: false });
  const { place } = route.value;
  const look = () => {
    const { scrollLeft, scrollWidth, clientWidth } = list.current!;
    const now = { left: scrollLeft > 4, right: scrollLeft + clientWidth < scrollWidth - 4 };
    setOnward((was) => (was.left === now.left && was.right === now.right ? was : now));
  };
  useEffect(() => {
    const watch = new ResizeObserver(look);
    watch.observe(list.current!);
    void document.fonts?.ready.then(() => list.current && look());
    return () => watch.disconnect();
  }, []);
  useEffect(() => {
    // Clear of the arrows at both edges.
    const tab = list.current?.querySelector<HTMLElement>('[aria-current]');
    if (!tab || !list.current) return;
    const box = list.current;
    const left = tab.offsetLeft - 52;
    const right = tab.offsetLeft + tab.offsetWidth + 52;
    if (left < box.scrollLeft) box.scrollLeft = left;
    else if (right > box.scrollLeft + box.clientWidth) box.scrollLeft = right - box.clientWidth;
    look();
  }, [place]);
  const go = (way: 1 | -1) => list.current?.scrollBy({ left: way * list.current.clientWidth * 0.7 });
  // For pointers: keys and readers reach every tab as it is.
  return (
    <nav class="places" aria-label="Sheets of the plan">
      {onward.left && <button type="button" class="onward onward-left" tabIndex={-1} aria-hidden="true" onClick={() => go(-1)}>‹</button>}
      <ul ref={list} onScroll={look}>
        {places.map(([each, label], i) => (
          <li key={each}>
            <a href={`#/${each}`} aria-current={each === place ? 'page' : undefined}>
              <span class="place-number" aria-hidden="true">{i + 1}</span>{label}
            </a>
          </li>
        ))}
      </ul>
      {onward.right && <button type="button" class="onward onward-right" tabIndex={-1} aria-hidden="true" onClick={() => go(1)}>›</button>}
    </nav>
  );
}
