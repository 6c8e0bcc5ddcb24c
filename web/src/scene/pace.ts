// SPDX-License-Identifier: Apache-2.0
//
// Whether pictures come as fast as a hand moves. Where they do not, without a graphics card, those in motion are drawn more
// plainly; at rest every picture is drawn whole.

const slow = 30;     // ms from one picture to the next: fewer than 33 a second
const slower = 50;   // drawn plainly, and yet fewer than 20 a second
const quick = 18;    // drawn plainly and as fast as this, it may be drawn more finely again
const apart = 200;   // ms: what lies further apart is no motion
const held = 2000;   // the same where a hand holds on
const steady = 5;    // pictures that are looked back on

/// How plainly to draw: 0 whole, 1 plainly, 2 as plainly as can be read.
export type Haste = 0 | 1 | 2;

export class Pace {
  haste: Haste = 0;
  private last = -Infinity;
  private usual = 0;
  private count = 0;

  /// Told of each picture when it is drawn (ms), and whether a hand holds something in it.
  picture(now: number, inHand: boolean): void {
    const since = now - this.last;
    this.last = now;
    if (since > (inHand ? held : apart)) {
      this.count = 0;
      return;
    }
    this.count += 1;
    this.usual = this.count === 1 ? since : this.usual + (since - this.usual) / steady;
    if (this.count < steady) return;
    const before = this.haste;
    if (this.usual > slower) this.haste = Math.min(before + 1, 2) as Haste;
    else if (this.usual > slow) this.haste = Math.max(before, 1) as Haste;
    else if (this.usual < quick) this.haste = Math.max(before - 1, 0) as Haste;
    if (this.haste !== before) this.count = 0;  // what comes of it is seen first
  }
}
