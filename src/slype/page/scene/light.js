/**
 * When a basket gets its light. How open its reeds lie (openness.js) takes longer than all the rest of a picture, so it is
 * reckoned beside the page and comes a moment later. Until then every reed keeps the light it had in the last picture.
 */

import { LEAN, opennessOf } from "./openness.js";

/**
 * A point no picture has shown yet: mean openness, and how far it leans away from the basket's middle line. The means of
 * our examples, rounded.
 */
const UNSEEN = { mean: 0.34, outward: 0.04 };

export class Light {
  /**
   * @param {(openness: Int8Array) => void} arrived called with (4) of every point of the solid asked for last
   * @param {() => Worker} makeWorker starts openness-worker.js; where it cannot, light is reckoned here
   */
  constructor(arrived, makeWorker) {
    this.arrived = arrived;
    this.number = 0;
    /** Openness that has arrived, by its solid: what is taken up again is lit at once. */
    this.found = new WeakMap();
    /** @type {{solid: import("./solid-file.js").Solid, openness: Int8Array} | null} the last that arrived, or stood in */
    this.known = null;
    this.busy = false;
    try {
      this.worker = makeWorker();
      this.worker.onmessage = ({ data }) => this.answered(data);
      this.worker.onerror = () => this.alone();
    } catch {
      this.worker = null; // a browser without such workers
    }
  }

  /**
   * Asks for a solid's openness.
   * @param {import("./solid-file.js").Solid} solid
   * @returns {Int8Array} (4) of every point, to be shown until it arrives
   */
  ask(solid) {
    this.number++;
    this.wanted = solid;
    const found = this.found.get(solid);
    const openness = found ?? (this.known ? carried(solid, this.known) : unseen(solid));
    this.known = { solid, openness };
    // Before the worker has answered it is asked nothing more, and then for the latest only.
    if (!this.busy) this.send();
    return openness;
  }

  send() {
    const { number, wanted } = this;
    this.busy = true;
    const strands = wanted.strands.map(({ first, count, thick, until }) => ({ first, count, thick, until }));
    const { turnedBack, across } = wanted;
    if (this.worker) this.worker.postMessage({ number, solid: { points: wanted.points.slice(), strands, turnedBack, across } });
    else this.later = setTimeout(() => this.answered({ number, openness: opennessOf(wanted) }));
  }

  answered({ number, openness }) {
    this.busy = false;
    if (number !== this.number) return this.send();
    this.known = { solid: this.wanted, openness };
    this.found.set(this.wanted, openness);
    return this.arrived(openness);
  }

  /** Without a worker it is reckoned here, after the picture. */
  alone() {
    this.worker.terminate();
    this.worker = null;
    if (this.busy) this.send();
  }

  dispose() {
    this.worker?.terminate();
    clearTimeout(this.later);
    this.number = -1;
  }
}

/** Openness of a first basket: open to the outside alone. */
function unseen({ points, strands, when }) {
  const out = new Int8Array(4 * when.length);
  for (const strand of strands) outward(out, points, strand);
  return out;
}

function outward(out, points, { first, count }) {
  const lean = (127 * UNSEEN.outward) / LEAN;
  for (let i = first; i < first + count; i++) {
    const [x, y] = [points[3 * i], points[3 * i + 1]];
    const off = Math.hypot(x, y) || 1;
    out[4 * i] = (lean * x) / off;
    out[4 * i + 1] = (lean * y) / off;
    out[4 * i + 3] = 127 * UNSEEN.mean;
  }
}

/** What is the same reed in two pictures. */
const nameOf = ({ name, role, band, weaver, reed, end }) => `${name}/${role}/${band}/${weaver}/${reed}/${end}`;
/** What is much like it. */
const kindOf = ({ role, band }) => `${role}/${band}`;

/** The openness of a solid's reeds as they, or others like them, had it in the last picture. */
function carried(solid, { solid: old, openness }) {
  const out = new Int8Array(4 * solid.when.length);
  const found = new Map();
  for (const strand of old.strands) {
    for (const key of [nameOf(strand), kindOf(strand), strand.role]) if (!found.has(key)) found.set(key, strand);
  }
  for (const strand of solid.strands) {
    const was = found.get(nameOf(strand)) ?? found.get(kindOf(strand)) ?? found.get(strand.role);
    if (!was) outward(out, solid.points, strand);
    else if (was.count === strand.count) {
      out.set(openness.subarray(4 * was.first, 4 * (was.first + was.count)), 4 * strand.first);
    } else resampled(out, solid.points, strand, openness, old.points, was);
    if (was && strand.apart && Boolean(solid.turnedBack) !== Boolean(old.turnedBack)) turnedOver(out, strand);
  }
  return out;
}

/** Half a turn about the x axis. */
function turnedOver(out, { first, count }) {
  for (let i = 4 * first; i < 4 * (first + count); i += 4) [out[i + 1], out[i + 2]] = [-out[i + 1], -out[i + 2]];
}

/**
 * By mm from the beginning or by shares of the whole length, whichever finds the reed nearer to where it lay: a weaver
 * with two rows more lies below them as it did, and one of a wider basket is longer everywhere.
 */
function resampled(out, points, strand, openness, oldPoints, was) {
  const [at, from] = [lengths(points, strand), lengths(oldPoints, was)];
  const share = (from.at(-1) || 1) / (at.at(-1) || 1);
  const off = (rate) => moved(points, strand, oldPoints, was, at, from, rate);
  const rate = Math.abs(share - 1) > 1e-3 && off(1) < off(share) ? 1 : share;
  for (let i = 0, k = 0; i < strand.count; i++) {
    const here = rate * at[i];
    while (k + 2 < was.count && from[k + 1] < here) k++;
    const next = Math.min(k + 1, was.count - 1);
    const part = next > k ? Math.min(1, Math.max(0, (here - from[k]) / (from[next] - from[k] || 1))) : 0;
    const [one, other] = [4 * (was.first + k), 4 * (was.first + next)];
    for (let m = 0; m < 4; m++) {
      out[4 * (strand.first + i) + m] = openness[one + m] + part * (openness[other + m] - openness[one + m]);
    }
  }
}

/** How far a reed's points lie from those of the old one that are as far along, mm in all. */
function moved(points, strand, oldPoints, was, at, from, rate) {
  let sum = 0;
  for (let i = 0, k = 0; i < strand.count; i++) {
    while (k + 1 < was.count && from[k] < rate * at[i]) k++;
    const [here, there] = [3 * (strand.first + i), 3 * (was.first + k)];
    for (let axis = 0; axis < 3; axis++) sum += Math.abs(points[here + axis] - oldPoints[there + axis]);
  }
  return sum;
}

/** How far along its reed each point lies, mm. */
function lengths(points, { first, count }) {
  const out = new Float32Array(count);
  for (let i = 1; i < count; i++) {
    const at = 3 * (first + i);
    const [x, y, z] = [points[at] - points[at - 3], points[at + 1] - points[at - 2], points[at + 2] - points[at - 1]];
    out[i] = out[i - 1] + Math.sqrt(x * x + y * y + z * z);
  }
  return out;
}
