/**
 * What is in hand: the basket, or what is woven by itself and put to it at last, a lid. That comes with the basket as it
 * is fitted, turned over at its seat; here it is laid back as it is woven, alone, a basket like any other. With the basket
 * it is there from the moment in which it is fitted.
 */

/** @typedef {import("./solid-file.js").Solid} Solid */

/** A point of a reed that is laid at once, in a moment: so far in it, of moments. */
const BEGUN = 0.01;
/** By the solid, what is in hand of it. @type {WeakMap<Solid, Map<string, Solid>>} */
const known = new WeakMap();

/**
 * @param {Solid} solid as the file has it
 * @param {string} of what a part of the work belongs to
 * @returns {string} what of the basket is in hand then: "" the basket itself, also for its foot, which is woven at it
 */
export const nameInHand = (solid, of) => (of in (solid.apart ?? {}) ? of : "");

/**
 * @param {Solid} solid as the file has it
 * @param {string} of what a part of the work belongs to ("lid"), "" for the basket itself
 * @returns {Solid} always the same for the same; the basket where nothing is woven apart under that name
 */
export function inHand(solid, of) {
  const names = Object.keys(solid.apart ?? {});
  if (!names.length) return solid;
  if (!known.has(solid)) known.set(solid, new Map());
  const found = known.get(solid);
  const name = nameInHand(solid, of);
  if (!found.has(name)) found.set(name, name ? alone(solid, name) : whole(solid));
  return found.get(name);
}

/** The basket: what is woven apart comes to it all at once, and nothing of what passes there. */
function whole(solid) {
  const when = solid.when.slice();
  for (const { apart, first, count } of solid.strands) {
    if (apart) when.fill(solid.apart[apart.of].fitted + BEGUN, first, first + count);
  }
  // They stand last: no number of a strand changes.
  return { ...solid, when, strands: solid.strands.filter(({ apart, until }) => !apart || until === null) };
}

/** What is woven apart, by itself: half a turn about the x axis, and at the middle. */
function alone(solid, name) {
  const { at, fitted } = solid.apart[name];
  const mine = [...solid.strands.keys()].filter((i) => solid.strands[i].apart?.of === name);
  const many = mine.reduce((sum, i) => sum + solid.strands[i].count, 0);
  const [points, when] = [new Float32Array(3 * many), new Float32Array(many)];
  const [low, high] = [
    [0, 0],
    [0, 0],
  ];
  let next = 0;
  const strands = mine.map((i) => {
    const strand = solid.strands[i];
    const first = next / 3;
    when.set(solid.when.subarray(strand.first, strand.first + strand.count), first);
    for (let k = 3 * strand.first; k < 3 * (strand.first + strand.count); k += 3, next += 3) {
      points[next] = solid.points[k] - at[0];
      points[next + 1] = at[1] - solid.points[k + 1];
      points[next + 2] = at[2] - solid.points[k + 2];
      if (strand.until !== null) continue;
      for (let axis = 0; axis < 2; axis++) {
        low[axis] = Math.min(low[axis], points[next + axis]);
        high[axis] = Math.max(high[axis], points[next + axis]);
      }
    }
    const { same, ...own } = strand;
    return { ...own, ...(same === undefined ? {} : { same: mine.indexOf(same) }), first, over: false };
  });
  const worked = [Math.floor(when.reduce((least, each) => Math.min(least, each), fitted)), fitted];
  return { ...solid, turnedBack: true, worked, points, when, strands, board: null, across: Math.max(high[0] - low[0], high[1] - low[1]) };
}
