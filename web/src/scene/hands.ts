// SPDX-License-Identifier: Apache-2.0
//
// Fingers, mouse, wheel and keys on the picture. One finger turns, two pan and zoom; a tap picks.
import type { Orbit } from './orbit';

export interface Hands {
  moved: () => void;
  zoomed: (factor: number, x: number, y: number) => void;
  tapped: (x: number, y: number) => void;
  stepped: (by: 1 | -1) => void;
  let: () => void;
}

export function listen(element: HTMLElement, orbit: Orbit, hands: Hands): () => void {
  const held = new Map<number, { x: number; y: number }>();
  let travelled = 0;
  let mode: 'turn' | 'pan' = 'turn';
  const off = new AbortController();
  const on = <K extends keyof HTMLElementEventMap>(kind: K, act: (event: HTMLElementEventMap[K]) => void, passive = true) =>
    element.addEventListener(kind, act, { signal: off.signal, passive });

  on('pointerdown', (event) => {
    held.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (held.size === 1) travelled = 0;
    mode = event.button === 2 || event.shiftKey ? 'pan' : 'turn';
    element.setPointerCapture(event.pointerId);
  });
  on('pointermove', (event) => {
    const before = held.get(event.pointerId);
    if (!before) return;
    const dx = event.clientX - before.x;
    const dy = event.clientY - before.y;
    const high = element.clientHeight || 1;
    travelled += Math.abs(dx) + Math.abs(dy);
    if (held.size === 1 && mode === 'turn') orbit.turnBy(dx * 0.007, dy * 0.007);
    else if (held.size === 1) orbit.panBy(-dx / high, dy / high);
    else {
      const other = [...held].find(([id]) => id !== event.pointerId)?.[1];
      if (other) {
        const was = Math.hypot(before.x - other.x, before.y - other.y) || 1;
        const is = Math.hypot(event.clientX - other.x, event.clientY - other.y) || 1;
        hands.zoomed(was / is, (event.clientX + other.x) / 2, (event.clientY + other.y) / 2);
        orbit.panBy(-dx / 2 / high, dy / 2 / high);
      }
    }
    held.set(event.pointerId, { x: event.clientX, y: event.clientY });
    hands.moved();
  });
  const release = (event: PointerEvent) => {
    const single = held.size === 1;
    if (held.delete(event.pointerId) && single && event.type === 'pointerup' && travelled < 6)
      hands.tapped(event.clientX, event.clientY);
  };
  on('pointerup', release);
  on('pointercancel', release);
  on('contextmenu', (event) => event.preventDefault(), false);
  on('wheel', (event) => {
    event.preventDefault();
    hands.zoomed(Math.exp(Math.max(-60, Math.min(60, event.deltaY)) * 0.0022), event.clientX, event.clientY);
    hands.moved();
  }, false);
  on('keydown', (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const pan = event.shiftKey;
    const acts: Record<string, () => void> = {
      ArrowLeft: () => (pan ? orbit.panBy(-0.05, 0) : orbit.turnBy(0.12, 0)),
      ArrowRight: () => (pan ? orbit.panBy(0.05, 0) : orbit.turnBy(-0.12, 0)),
      ArrowUp: () => (pan ? orbit.panBy(0, 0.05) : orbit.turnBy(0, 0.1)),
      ArrowDown: () => (pan ? orbit.panBy(0, -0.05) : orbit.turnBy(0, -0.1)),
      '+': () => orbit.zoomBy(0.88), '=': () => orbit.zoomBy(0.88), '-': () => orbit.zoomBy(1.14),
      '.': () => hands.stepped(1), ',': () => hands.stepped(-1), Escape: () => hands.let(),
    };
    const act = acts[event.key];
    if (!act) return;
    event.preventDefault();
    act();
    hands.moved();
  }, false);
  return () => off.abort();
}
