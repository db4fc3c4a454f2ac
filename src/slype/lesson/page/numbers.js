/**
 * Numbers of spokes and spaces, set on the picture where the basket stands: they turn with it. Where they belong is told
 * (lesson/numbered.py); here the places are put on the screen, those first that the sentence names, and no number covers
 * another.
 */

import { h, renew } from "../../page/h.js";

/** Dots that a number takes, by its kind and how many digits it has. */
const WIDE = { spoke: [24, 28, 34], space: [20, 26, 32] };
const HIGH = { spoke: 24, space: 20 };
const APART = 2;
/** So near the picture's edge, dots, a named number outside it is drawn in. */
const EDGE = 40;
/** In a picture so low, dots, there is no room for a key as well. */
const LOW = 220;
/** Dots of the key, at the lower left corner. */
const KEY = { wide: 330, high: 34 };
/** Of a ring seen from the side, the share nearest to the eye that is numbered. */
const NEAR = 0.42;
/** The same of those that the sentence names: the foot of a handle stands at the very edge of what is seen. */
const NAMED_NEAR = 0.7;
/** Spaces this many on either side of the one in hand are numbered as well. */
const BESIDE = 2;
/** A number that would cover another stands so many of its own heights further along its spoke, with a line back to it;
 * one that the sentence names may stand furthest. */
const FURTHER = { named: 3, other: 0 };

/**
 * @typedef {object} Mark
 * @property {"spoke" | "space"} kind
 * @property {number} number from 1
 * @property {number[]} at x, y, z, mm
 * @property {number[]} on the place where it will stand when its part of the work is done: its way along the spoke
 * @property {boolean} named in the sentence
 * @property {boolean} goal of the move: where a tip is pushed down
 */

/**
 * @param {object} told see lesson/content.py @param {{part: number, moment: number, rows?: number, next?: number}} shown
 *   `moment` 0 where none is in hand; `rows` the moment up to which the work has grown meanwhile; `next` the one with which
 *   it goes on in this part, 0 where it does not
 * @param {boolean} mirrored for the left hand
 * @returns {{whole: boolean, next: boolean, across: boolean, marks: Mark[]}} every number of a ring, those named first;
 *   `next` where the space in which the work goes on is named, `across` where the work is on the far side
 */
export function marksOf(told, { part, moment, rows = 0, next = 0 }, mirrored) {
  const ring = told.rings[part];
  if (!ring) return { whole: false, marks: [] };
  const grown = moment || rows;
  const share = grown && told.part[grown - 1] === part ? shareOf(told, grown) : 0;
  const side = mirrored ? -1 : 1;
  const goal = moment ? told.goals[moment - 1] : -1;
  const named = { spoke: moment ? [...told.passed[moment - 1], goal] : [], space: moment ? spacesOf(told, moment) : [spacesOf(told, next)[0] ?? 0] };
  const marks = [];
  for (const [kind, [low, high]] of [["spoke", ring.spokes], ["space", ring.spaces]]) {
    low.forEach(([x, y, z], i) => {
      const [u, v, w] = high[i];
      const at = [side * (x + share * (u - x)), y + share * (v - y), z + share * (w - z)];
      marks.push({ kind, number: i + 1, at, on: [side * u, v, w], named: named[kind].includes(i), goal: kind === "spoke" && i === goal });
    });
  }
  const held = moment || next;
  return { whole: ring.whole, next: !moment && spacesOf(told, next).length > 0, across: told.across.some(([first, last]) => held >= first && held <= last), marks };
}

/** How far a band has grown when a moment is done. */
function shareOf(told, moment) {
  const i = moment - 1;
  const part = told.parts[told.part[i]];
  if (told.row[i] < 0) return 0;
  let rows = 0;
  for (let at = part.first - 1; at < part.last; at++) rows = Math.max(rows, told.row[at] + 1);
  return Math.min(1, (told.row[i] + (told.act[i] === told.acts.indexOf("set in") ? 0 : 1)) / rows);
}

/** The space a weaver comes from, and the one it comes out at. */
function spacesOf(told, moment) {
  const i = moment - 1;
  if (i < 0) return [];
  const [space, spaces] = [told.space[i], told.spaces[i]];
  const act = told.acts[told.act[i]];
  if (space < 0 || !["stroke", "set in", "end"].includes(act)) return [];
  return act === "stroke" ? [space, (space + told.over[i] + told.under[i]) % spaces] : [space];
}

/**
 * Which numbers are shown, and where on the screen.
 * @param {{whole: boolean, across?: boolean, marks: Mark[]}} ring
 * @param {(at: number[]) => [number, number, number]} put dots right, dots down, mm from the eye
 * @param {number} wide @param {number} high dots of the picture
 * @returns {(Mark & {x: number, y: number, off: number, turn: number})[]} `off` dots from its place, `turn` radians the
 *   way back to it is turned from straight down
 */
export function placed({ whole, across = false, marks }, put, wide, high) {
  if (!marks.length) return [];
  const seen = marks.map((mark) => {
    const [x, y, far] = put(mark.at);
    return { ...mark, x, y, far };
  });
  const [near, beyond] = [Math.min(...seen.map((each) => each.far)), Math.max(...seen.map((each) => each.far))];
  const named = seen.filter((each) => each.named);
  const own = named.filter((each) => each.kind === "space").map((each) => each.number);
  const count = seen.filter((each) => each.kind === "space").length;
  const middle = (axis) => (named.length ? named.reduce((sum, each) => sum + each[axis], 0) / named.length : axis === "x" ? wide / 2 : 0);
  const [mx, my] = [middle("x"), middle("y")];
  const rank = (each) => (each.named ? (each.kind === "spoke" ? 0 : 1) : 2);
  const closer = (a, b) => rank(a) - rank(b) || Math.hypot(a.x - mx, a.y - my) - Math.hypot(b.x - mx, b.y - my);
  const centre = ["x", "y"].map((axis) => seen.reduce((sum, each) => sum + each[axis], 0) / seen.length);
  const out = [];
  for (const mark of seen.sort(closer)) {
    const share = mark.named ? NAMED_NEAR : NEAR;
    if (!whole && (across ? beyond - mark.far : mark.far - near) > share * (beyond - near)) continue;
    if (mark.kind === "space" && mark.number !== 1 && !own.some((each) => round(each, mark.number, count) <= BESIDE)) continue;
    const [w, t] = [wideOf(mark), HIGH[mark.kind]];
    const free = ({ x, y }) =>
      x >= w / 2 && x <= wide - w / 2 && y >= t / 2 && y <= high - t / 2 && (high <= LOW || x > KEY.wide || y < high - KEY.high) &&
      !out.some((each) => Math.abs(each.x - x) < (wideOf(each) + w) / 2 + APART && Math.abs(each.y - y) < (HIGH[each.kind] + t) / 2 + APART);
    const [u, v] = wayOf(mark, put, whole && centre);
    if (mark.named) [mark.x, mark.y] = [drawnIn(mark.x, w / 2, wide - w / 2), drawnIn(mark.y, t / 2, high - t / 2)];
    for (let step = 0; step <= FURTHER[mark.named ? "named" : "other"]; step++) {
      const off = step * (t + APART);
      const here = { ...mark, x: mark.x + off * u, y: mark.y + off * v, off, turn: Math.atan2(u, -v) };
      if (!free(here)) continue;
      out.push(here);
      break;
    }
  }
  return out;
}

/** What lies just outside the picture is drawn in to its edge. */
const drawnIn = (at, least, most) => (at > least - EDGE && at < most + EDGE ? Math.min(most, Math.max(least, at)) : at);

/** The way on the screen along which a number may be moved, of length 1: as its spoke runs, or away from the middle. */
function wayOf(mark, put, centre) {
  const [x, y] = put(mark.on);
  let [u, v] = centre ? [mark.x - centre[0], mark.y - centre[1]] : [x - mark.x, y - mark.y];
  const long = Math.hypot(u, v);
  if (long < 2) [u, v] = [0, -1];
  return long < 2 ? [u, v] : [u / long, v / long];
}

const wideOf = ({ kind, number }) => WIDE[kind][String(number).length - 1] ?? 40;
const round = (a, b, count) => Math.min(Math.abs(a - b), count - Math.abs(a - b));

export class Numbers {
  constructor() {
    this.root = h("div.numbers", { "aria-hidden": "true" });
    this.ring = { whole: false, marks: [] };
  }

  /** @param {object} words what the kinds of number are called @param {boolean} moved whether a move is shown */
  show(ring, words, moved) {
    this.ring = ring;
    this.moved = moved;
    this.words = words;
  }

  /** Sets them anew: the basket has moved. @param {((at: number[]) => [number, number, number]) | null} put */
  place(put) {
    const { clientWidth, clientHeight } = this.root;
    const found = put ? placed(this.ring, put, clientWidth, clientHeight) : [];
    const style = ({ x, y, off, turn }) => ({ left: `${Math.round(x)}px`, top: `${Math.round(y)}px`, "--off": `${Math.round(off)}px`, "--turn": `${turn}rad` });
    renew(
      this.root,
      found.map((each) => h(`b.${each.kind}${each.named ? ".named" : ""}${each.goal ? ".goal" : ""}`, { style: style(each), data: { key: `${each.kind} ${each.number}` } }, String(each.number))),
      found.length > 0 && clientHeight > LOW && h("p.key", { data: { key: "key" } }, h("b.spoke", {}, "1"), this.words.spoke, found.some((each) => each.kind === "space") && [h("b.space", {}, "1"), this.words.space],
        found.some((each) => each.named && each.kind === "spoke") && [h("b.spoke.named", {}, "1"), this.words.named],
        found.some((each) => each.goal || (each.named && each.kind === "space" && (this.moved || this.ring.next))) && [h("b.space.named", {}, "1"), this.moved ? "from, to" : "next"]),
    );
  }
}
