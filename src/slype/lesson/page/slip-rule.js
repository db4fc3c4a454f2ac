/**
 * Slips of the hand: the twin of weave/slips.py, for a page that has no Python. Words and theory are told there; a test
 * holds the two together, case by case.
 *
 * @typedef {object} Woven
 * @property {[number, number][]} cycle over and under
 * @property {"stroke" | "round" | "back"} turns
 * @property {boolean[]} reverse
 * @property {number} ends
 * @property {number[]} colours an index for each weaver
 * @property {number} start
 *
 * @typedef {{kind: string, stroke: number, by: number}} Slip
 * @typedef {[number, number]} Cell colour and spokes the bar goes over; BARE and 0
 */

export const KINDS = ["missed", "over more", "over less", "wrong", "swapped", "behind more", "behind less", "start"];
export const BARE = -1;
const ROWS_SEEN = 2;

const reachOf = (woven) => woven.cycle.reduce((sum, [over, under]) => sum + over + under, 0);

/** @param {Woven} woven @param {number} count @param {Slip | null} slip */
export function strokesMade(woven, count, slip) {
  const { cycle, turns, ends } = woven;
  const many = woven.colours.length;
  const begin = woven.start + (slip?.kind === "start" ? slip.by : 0);
  const at = Array.from({ length: many }, (_, k) => begin + k);
  const came = Array(many).fill(-1);
  const nth = Array(many).fill(0);
  const made = [];
  let row = 0;
  while (made.length < count) {
    const number = made.length;
    const now = slip?.stroke === number ? slip : null;
    let k = 0;
    if (turns === "stroke") k = hindmost(at, came, now?.kind === "wrong" ? now.by : 0);
    else if (turns === "back") k = many - 1 - (number % many);
    else [k, row] = nextRound(at, begin, row, ends);
    if (now?.kind === "swapped") {
      const other = turns === "stroke" ? hindmost(at, came, 1) : (k + 1) % many;
      for (const list of [at, came, nth]) [list[k], list[other]] = [list[other], list[k]];
      k = other;
    }
    let [over, under] = cycle[nth[k] % cycle.length];
    if (now) [over, under] = slipped(now.kind, over, under);
    made.push({ weaver: k, at: at[k], over, under });
    came[k] = at[k];
    at[k] += over + under;
    nth[k]++;
  }
  return made;
}

function hindmost(at, came, further) {
  if (!further) {
    let best = 0;
    for (let k = 1; k < at.length; k++) if (at[k] < at[best] || (at[k] === at[best] && came[k] < came[best])) best = k;
    return best;
  }
  const order = at.map((_, k) => k).sort((a, b) => at[a] - at[b] || came[a] - came[b] || a - b);
  return order[further % order.length];
}

function nextRound(at, begin, row, ends) {
  for (; ; row++) {
    const k = at.findIndex((here, i) => here - begin - i < (row + 1) * ends);
    if (k >= 0) return [k, row];
  }
}

function slipped(kind, over, under) {
  if (kind === "missed") return [over + under, 0];
  const [a, b] = { "over more": [1, 0], "over less": [-1, 0], "behind more": [0, 1], "behind less": [0, -1] }[kind] ?? [0, 0];
  return [over + a, under + b];
}

/** @param {Woven} woven */
export function deep(woven) {
  if (woven.turns === "round") return ROWS_SEEN * woven.colours.length;
  if (woven.turns === "back") return ROWS_SEEN;
  const over = woven.cycle.reduce((sum, [each]) => sum + each, 0);
  return Math.max(1, Math.ceil((ROWS_SEEN * over * woven.colours.length) / reachOf(woven)));
}

/** @returns {Cell[][]} for every spoke what lies in front of it, the top of the work first */
export function piles(woven, made) {
  const { ends, turns, reverse, colours } = woven;
  const found = Array.from({ length: ends }, () => []);
  const size = 2 * made.length + 2;
  made.forEach((stroke, number) => {
    const row = Math.floor(Math.max(0, stroke.at - woven.start) / ends);
    const backward = reverse[row % reverse.length];
    for (let step = 0; step < stroke.over + stroke.under; step++) {
      const front = step < stroke.over;
      if (!front && turns !== "round") continue;
      const place = stroke.at + step;
      const trip = Math.floor(place / ends);
      const rank = turns === "stroke" ? trip * size + (backward ? number : -number) : number;
      found[place - trip * ends].push([rank, front ? colours[stroke.weaver] : BARE, front ? stroke.over : 0]);
    }
  });
  const many = deep(woven);
  return found.map((pile) => pile.sort((a, b) => b[0] - a[0]).slice(0, many).map(([, colour, over]) => [colour, over]));
}

/** @returns {Slip[]} */
export function possible(woven, count) {
  const { cycle, turns } = woven;
  const many = woven.colours.length;
  let aRow = Math.max(1, roundEven((woven.ends * many * cycle.length) / reachOf(woven)));
  if (turns === "back") aRow = many;
  const out = [];
  const add = (kind, stroke, by = 1) => out.push({ kind, stroke, by });
  for (let stroke = Math.max(0, count - ROWS_SEEN * aRow); stroke < count; stroke++) {
    add("missed", stroke);
    add("over more", stroke);
    add("behind more", stroke);
    if (Math.min(...cycle.map(([over]) => over)) > 1) add("over less", stroke);
    if (Math.min(...cycle.map(([, under]) => under)) > 1) add("behind less", stroke);
    if (many > 1 && turns === "stroke") for (let by = 1; by < Math.min(many, 4); by++) add("wrong", stroke, by);
    if (many > 1) add("swapped", stroke);
  }
  add("start", 0, 1);
  add("start", 0, -1);
  return out;
}

/** As Python rounds: a half to the even neighbour. */
function roundEven(value) {
  const low = Math.floor(value);
  if (value - low !== 0.5) return Math.round(value);
  return low % 2 ? low + 1 : low;
}

/**
 * @param {[number, number, number | Cell][]} seen spoke, how many bars down, colour or cell
 * @returns {{slip: Slip | null, off: number, piles: Cell[][]}[]} the likeliest first; null is right work
 */
export function likeliest(woven, count, seen, traced = allTraced(woven, count)) {
  const scored = traced.map((each) => ({ ...each, off: unlike(seen, each.piles) }));
  const kind = ({ slip }) => (slip ? KINDS.indexOf(slip.kind) : -1);
  const back = ({ slip }) => (slip ? count - slip.stroke : 0);
  return scored.sort((a, b) => a.off - b.off || kind(a) - kind(b) || back(a) - back(b) || (a.slip?.by ?? 0) - (b.slip?.by ?? 0));
}

/** Right work and every slip that may have been made, each with what it would look like. */
export function allTraced(woven, count) {
  return [null, ...possible(woven, count)].map((slip) => ({ slip, piles: piles(woven, strokesMade(woven, count, slip)) }));
}

function unlike(seen, found) {
  let off = 0;
  for (const [spoke, down, said] of seen) {
    const [colour, over] = found[spoke][down] ?? [BARE, 0];
    if (typeof said === "number" ? colour !== said : colour !== said[0] || over !== said[1]) off++;
  }
  return off;
}
