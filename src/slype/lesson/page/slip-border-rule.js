/**
 * Slips of the border: the twin of borders/slips.py, for a page that has no Python. Words and theory are told there; a
 * test holds the two together, border by border.
 *
 * @typedef {{end: number, count: number, side: string}} Move
 * @typedef {{kind: string, move: number}} Slip
 * @typedef {[number, string]} Lies spokes past its own foot, and the side
 */

export const KINDS = ["one more", "one fewer", "wrong side", "passed by"];
const MOVES_BACK = 12;
const STANDS = [0, ""];

/** @param {Move[]} moves @param {number} done @param {Slip | null} slip @returns {Map<number, Lies>} */
export function lying(moves, done, slip = null) {
  const out = new Map();
  moves.slice(0, done).forEach(({ end, count, side }, number) => {
    const [past, was] = out.get(end) ?? STANDS;
    let [on, to] = [count, side];
    if (slip?.move === number) {
      if (slip.kind === "passed by") [on, to] = [0, was];
      if (slip.kind === "one more") on++;
      if (slip.kind === "one fewer") on--;
      if (slip.kind === "wrong side") to = to === "in" ? "out" : "in";
    }
    out.set(end, [past + on, to]);
  });
  return out;
}

/** @param {Move[]} moves @returns {Slip[]} */
export function possible(moves, done) {
  const out = [];
  for (let move = Math.max(0, done - MOVES_BACK); move < done; move++) {
    if (moves[move].end < 0) continue; // an extra reed of a plait
    for (const kind of KINDS) if (kind !== "one fewer" || moves[move].count > 1) out.push({ kind, move });
  }
  return out;
}

/** @param {Map<number, Lies>} seen @returns {{slip: Slip | null, off: number}[]} the likeliest first; null is right work */
export function likeliest(moves, done, seen) {
  const kind = ({ slip }) => (slip ? KINDS.indexOf(slip.kind) : -1);
  const back = ({ slip }) => (slip ? done - slip.move : 0);
  return [null, ...possible(moves, done)]
    .map((slip) => {
      const lies = lying(moves, done, slip);
      return { slip, off: [...seen].filter(([end, told]) => `${lies.get(end) ?? STANDS}` !== `${told}`).length };
    })
    .sort((a, b) => a.off - b.off || kind(a) - kind(b) || back(a) - back(b));
}
