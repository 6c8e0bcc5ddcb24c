// SPDX-License-Identifier: Apache-2.0
//
// The drawing's colours, read from the page's style so that light and dark are told once, there.

/// How light each kind of member is beside plain timber: 1 is the timber's own tone.
const shade: Record<string, number> = {
  post: 0.86, rail: 0.97, frame: 0.93, beam: 0.95, fascia: 1, rafter: 1.04, purlin: 1.04, batten: 1.08, brace: 0.9,
  ledger: 0.92, cap: 1.08, board: 1.05,
};

export function shadeOf(member: string): number {
  return shade[member] ?? 1;
}

export interface Tones {
  paper: string;
  ink: string;
  soft: string;
  timber: string;
  panel: string;
  cut: string;
  accent: string;
  ground: string;
}

export function tones(host: HTMLElement): Tones {
  const style = getComputedStyle(host);
  const read = (name: string) => style.getPropertyValue(name).trim() || '#888888';
  return {
    paper: read('--paper'), ink: read('--ink'), soft: read('--ink-soft'), timber: read('--timber'), panel: read('--panel'), cut: read('--cut'),
    accent: read('--accent'), ground: read('--ground'),
  };
}
