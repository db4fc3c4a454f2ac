/**
 * Where each basket on the bench is, kept through reload, a closed tab and a full store.
 *
 * What is kept has always the same length, so that a store that has become full since can still take it; and the place in
 * hand stands in the page's address as well, for a browser that keeps nothing. Whichever is newer counts.
 */

const LONG = 4000; // letters
const PAST = 40; // steps that can be undone
export const MOST = 12; // baskets

/** @typedef {{name: string, done: number, past: number[], read: number}} Basket `read`: the last step beside the basket
 * that is done (order.js) */

export class Places {
  /** @param {string} lesson its id @param {string} hand the one it begins with @param {number} moments */
  constructor(lesson, hand, moments) {
    this.key = `slype-lesson-${lesson}`;
    this.lesson = lesson;
    this.moments = moments;
    /** "": kept; else why it is not */
    this.trouble = "";
    /** the places that the page's address tells */
    this.inAddress = "";
    this.begin(hand);
    this.recall();
  }

  begin(hand) {
    this.stamp = 0;
    /** @type {Basket[]} */
    this.baskets = [{ name: "Basket 1", done: 0, past: [], read: 0 }];
    this.now = 0;
    this.chosen = { hand, unit: "stroke", watch: 0, card: 0, theme: "", hatched: false, numbers: true, large: false, says: false, awakeRead: "" };
  }

  get basket() {
    return this.baskets[this.now];
  }

  /** Goes to a place, which can be undone. */
  go(done) {
    const { basket } = this;
    const to = Math.max(0, Math.min(this.moments, done));
    if (to === basket.done) return;
    basket.past = [...basket.past, basket.done].slice(-PAST);
    basket.done = to;
    this.keep();
  }

  /** A step beside the basket is done. */
  did(step) {
    this.basket.read = step;
    this.keep();
  }

  /** @param {number[]} beside steps beside the basket that are due where it is: the last of them is taken back first */
  undo(beside = []) {
    const { basket } = this;
    const last = beside.findLast((step) => step <= basket.read);
    if (last) return this.did(last - 1);
    if (!basket.past.length) return;
    basket.done = basket.past.pop();
    this.keep();
  }

  another() {
    if (this.baskets.length >= MOST) return;
    this.baskets.push({ name: `Basket ${this.baskets.length + 1}`, done: 0, past: [], read: 0 });
    this.now = this.baskets.length - 1;
    this.keep();
  }

  turnTo(number) {
    this.now = Math.max(0, Math.min(this.baskets.length - 1, number));
    this.keep();
  }

  choose(more) {
    Object.assign(this.chosen, more);
    this.keep();
  }

  keep() {
    this.stamp = Math.max(Date.now(), this.stamp + 1);
    const short = this.baskets.map(({ name, done, past, read }) => [name, done, past.slice(-Math.floor(PAST / this.baskets.length)), read]);
    const words = JSON.stringify({ stamp: this.stamp, now: this.now, chosen: this.chosen, baskets: short });
    try {
      localStorage.setItem(this.key, words.padEnd(LONG));
      this.trouble = "";
    } catch {
      this.trouble = "This browser keeps nothing for the lesson. Your place stands in the address of this page: leave the page open, or keep that address.";
    }
    const places = this.baskets.map((each) => each.done).join("-");
    if (places + this.now === this.inAddress) return; // a browser is slow to change it: while a basket plays, nothing there is new
    this.inAddress = places + this.now;
    try {
      history.replaceState(null, "", `#${this.lesson}.${this.stamp.toString(36)}.${this.now}.${places}`);
    } catch {
      // a browser that lets no file change its address
    }
  }

  recall() {
    let kept = null;
    try {
      kept = JSON.parse(localStorage.getItem(this.key) ?? "null");
    } catch {
      // nothing, or nothing that can be read
    }
    if (kept) this.take(kept);
    const [lesson, stamp, now, places] = location.hash.slice(1).split(".");
    const at = parseInt(stamp, 36);
    if (lesson !== this.lesson || !(at > this.stamp) || !places) return;
    const done = places.split("-").map(Number);
    if (done.some((each) => !Number.isInteger(each))) return;
    this.take({ stamp: at, now: Number(now), chosen: {}, baskets: done.map((each, i) => [this.baskets[i]?.name ?? `Basket ${i + 1}`, each, this.baskets[i]?.past ?? [], this.baskets[i]?.read ?? 0]) });
  }

  /** Takes what was kept, as far as it makes sense. */
  take({ stamp, now, chosen, baskets }) {
    if (!Array.isArray(baskets) || !baskets.length || !(stamp > this.stamp)) return;
    const within = (each) => Math.max(0, Math.min(this.moments, Math.round(Number(each)) || 0));
    this.stamp = stamp;
    this.baskets = baskets.slice(0, MOST).map(([name, done, past, read]) => ({ read: Math.max(0, Math.round(Number(read)) || 0), name: String(name).slice(0, 40), done: within(done), past: Array.isArray(past) ? past.map(within) : [] }));
    this.now = Math.max(0, Math.min(this.baskets.length - 1, Number(now) || 0));
    Object.assign(this.chosen, chosen);
  }
}
