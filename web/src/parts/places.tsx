// SPDX-License-Identifier: Apache-2.0
import { useEffect, useRef, useState } from 'preact/hooks';
import { places, route } from '../route';

/// The sheets as tabs. Where they have no room beside one another, arrows at both ends take one along. An arrow that has
/// come to its end stays where it is, dimmed: one that left would hand the next press to the tab beneath it.
export function Places() {
  const strip = useRef<HTMLElement>(null);
  const list = useRef<HTMLUListElement>(null);
  const [onward, setOnward] = useState({ more: false, left: false, right: false });
  const { place } = route.value;
  const look = () => {
    const { scrollLeft, scrollWidth, clientWidth } = list.current!;
    const now = { more: scrollWidth > strip.current!.clientWidth + 1, left: scrollLeft > 4, right: scrollLeft + clientWidth < scrollWidth - 4 };
    setOnward((was) => (was.more === now.more && was.left === now.left && was.right === now.right ? was : now));
  };
  useEffect(() => {
    const watch = new ResizeObserver(look);
    watch.observe(list.current!);
    void document.fonts?.ready.then(() => list.current && look());
    return () => watch.disconnect();
  }, []);
  useEffect(() => {
    const tab = list.current?.querySelector<HTMLElement>('[aria-current]');
    if (!tab || !list.current) return;
    const box = list.current;
    const left = tab.offsetLeft - 24;  // with a little of its neighbours
    const right = left + tab.offsetWidth + 48;
    if (left < box.scrollLeft) box.scrollLeft = left;
    else if (right > box.scrollLeft + box.clientWidth) box.scrollLeft = right - box.clientWidth;
    look();
  }, [place, onward.more]);
  const go = (way: 1 | -1) => list.current?.scrollBy({ left: way * list.current.clientWidth * 0.7 });
  // For pointers: keys and readers reach every tab as it is.
  return (
    <nav class="places" aria-label="Sheets of the plan" ref={strip}>
      {onward.more && <button type="button" class="onward onward-left" tabIndex={-1} aria-hidden="true" disabled={!onward.left} onClick={() => go(-1)}>‹</button>}
      <ul ref={list} onScroll={look}>
        {places.map(([each, label], i) => (
          <li key={each}>
            <a href={`#/${each}`} aria-current={each === place ? 'page' : undefined}>
              <span class="place-number" aria-hidden="true">{i + 1}</span>{label}
            </a>
          </li>
        ))}
      </ul>
      {onward.more && <button type="button" class="onward onward-right" tabIndex={-1} aria-hidden="true" disabled={!onward.right} onClick={() => go(1)}>›</button>}
    </nav>
  );
}
