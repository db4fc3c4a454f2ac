/**
 * Watches whether drawing keeps up with a hand that turns the basket. Where it does not (an old machine, a browser that
 * draws without a graphics card) the basket is drawn in fewer dots while it moves, and in full as soon as it rests.
 */

const SLOW = 70; // ms from one drawing to the next that a hand feels
const STEPS = [1, 0.6, 0.4]; // dots across, as a share
const REST = 160; // ms without a change

export class Pace {
  /** @param {() => void} rested called when the basket has come to rest and was last drawn in fewer dots */
  constructor(rested) {
    this.rested = rested;
    this.level = 0;
    this.slow = 0;
    this.moving = false;
  }

  /** Tells that the basket has moved. */
  moved() {
    this.moving = true;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      this.moving = false;
      this.before = undefined;
      if (this.level > 0) this.rested();
    }, REST);
  }

  /** Tells that a drawing begins; two slow ones while the basket moves make the next ones coarser. */
  draws() {
    const now = performance.now();
    const took = this.before === undefined ? 0 : now - this.before;
    this.before = this.moving ? now : undefined;
    this.slow = took > SLOW ? this.slow + 1 : 0;
    if (this.slow >= 2 && this.level + 1 < STEPS.length) {
      this.level++;
      this.slow = 0;
    }
  }

  /** How many dots to draw across, as a share of all. */
  get share() {
    return this.moving ? STEPS[this.level] : 1;
  }

  dispose() {
    clearTimeout(this.timer);
  }
}
