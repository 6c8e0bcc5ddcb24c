// SPDX-License-Identifier: Apache-2.0
//
// Whether pictures come as fast as a hand moves. Where they do not, without a graphics card, those in motion are drawn more
// plainly; at rest every picture is drawn whole.

const slow = 30;     // ms from one picture to the next: fewer than 33 a second
const quick = 18;    // drawn plainly and as fast as this, it may be drawn whole again
const apart = 200;   // ms: what lies further apart is no motion
const steady = 5;    // pictures that are looked back on

export class Pace {
  hasty = false;
  private last = -Infinity;
  private usual = 0;
  private count = 0;

  /// Told of each picture when it is drawn (ms).
  picture(now: number): void {
    const since = now - this.last;
    this.last = now;
    if (since > apart) {
      this.count = 0;
      return;
    }
    this.count += 1;
    this.usual = this.count === 1 ? since : this.usual + (since - this.usual) / steady;
    if (this.count < steady) return;
    if (this.usual > slow) this.hasty = true;
    else if (this.usual < quick) this.hasty = false;
  }
}
