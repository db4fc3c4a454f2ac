/**
 * How open the world is round every point of every reed: what makes over and under, gaps and hollows readable.
 *
 * The basket is poured into a grid of small cells; from every point rays look which cells are full. What they see is
 * kept as a mean and a leaning (the first two orders of spherical harmonics), so one small vector answers for every
 * side of the reed and every place of the light, and turning the basket costs nothing.
 */

import { isThere } from "./solid-file.js";

const MOST_CELLS = 1_200_000;
const RAYS = 16;
/** Where rays look, in thicknesses from the reed's middle; the far ones in cells four times as wide. */
const NEAR = [1.05, 1.9, 3.0];
const FAR = [5, 9, 16, 28];
const COARSE = 4;
const NEAR_BLOCKS = 0.85;
const FAR_BLOCKS = 1.5;
/** The leaning is at most this large: what int8 can hold. */
export const LEAN = 1.5;

/**
 * @param {Pick<import("./solid-file.js").Solid, "points" | "strands" | "turnedBack" | "across">} solid
 * @returns {Int8Array} (4) for every point: leaning x, y, z of 127 / LEAN, and mean of 127
 */
export function opennessOf(solid) {
  const fine = emptyGrid(solid);
  const sums = new Uint32Array(fine.full.length / COARSE ** 3);
  for (const strand of solid.strands) if (isThere(strand, null)) pour(fine, sums, solid.points, strand);
  const coarse = coarser(fine, sums);
  const seen = new Float32Array((4 * solid.points.length) / 3);
  for (const strand of solid.strands) look(seen, solid.points, strand, fine, coarse);
  return evened(seen, solid);
}

/**
 * @typedef {object} Grid cells of `cell` mm from the corner `low`, `size` of them along x, y and z
 * @property {number} cell
 * @property {number[]} size
 * @property {number[]} low
 * @property {Uint8Array} full 255 where a cell stops all light
 */

/** A grid with so much room round the basket that no ray leaves it. */
function emptyGrid({ points, strands, turnedBack, across }) {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0, axis = 0; i < points.length; i++, axis = axis === 2 ? 0 : axis + 1) {
    if (points[i] < low[axis]) low[axis] = points[i];
    if (points[i] > high[axis]) high[axis] = points[i];
  }
  const thick = strands.map((strand) => strand.thick);
  const [thinnest, thickest] = [Math.min(...thick), Math.max(...thick)];
  const room = low.map((least, axis) => high[axis] - least);
  // A flat lid alone has the cells that it has with a basket below it: finer ones would let less light through.
  const deep = turnedBack ? Math.max(room[2], across) : room[2];
  const cell = Math.max(thinnest, Math.cbrt((room[0] * room[1] * deep) / MOST_CELLS));
  const reach = NEAR.at(-1) * Math.max(thickest, cell) + 2 * cell;
  const size = room.map((length) => Math.ceil((length + 2 * reach) / cell / COARSE) * COARSE);
  return { cell, size, low: low.map((least) => least - reach), full: new Uint8Array(size[0] * size[1] * size[2]) };
}

/** Pours a reed into the grid, and the same into sums over wide cells of it. */
function pour({ cell, size, low, full }, sums, points, strand) {
  const area = (Math.PI / 4) * strand.thick * strand.thick;
  const [row, layer] = [size[0], size[0] * size[1]];
  const [wideRow, wideLayer] = [row / COARSE, layer / COARSE ** 2];
  for (let i = 3 * strand.first; i < 3 * (strand.first + strand.count - 1); i += 3) {
    const x = (points[i] - low[0]) / cell;
    const y = (points[i + 1] - low[1]) / cell;
    const z = (points[i + 2] - low[2]) / cell;
    const dx = (points[i + 3] - points[i]) / cell;
    const dy = (points[i + 4] - points[i + 1]) / cell;
    const dz = (points[i + 5] - points[i + 2]) / cell;
    const long = Math.sqrt(dx * dx + dy * dy + dz * dz);
    const many = Math.ceil(1.5 * long) || 1;
    const share = (255 * area * long) / many / (cell * cell);
    for (let k = 0; k < many; k++) {
      const f = (k + 0.5) / many;
      const [a, b, c] = [(x + f * dx) | 0, (y + f * dy) | 0, (z + f * dz) | 0];
      const at = c * layer + b * row + a;
      const before = full[at];
      full[at] = Math.min(255, before + share);
      sums[(c >> 2) * wideLayer + (b >> 2) * wideRow + (a >> 2)] += full[at] - before;
    }
  }
}

/** The same in wide cells: how much of a ray through one of them is stopped. */
function coarser({ cell, size, low }, sums) {
  // A wall one cell thick, seen through a cell four wide, is a quarter of its volume.
  const full = Uint8Array.from(sums, (sum) => Math.min(255, (FAR_BLOCKS * sum) / (COARSE * COARSE)));
  return { cell: cell * COARSE, size: size.map((cells) => cells / COARSE), low, full };
}

/** Directions spread evenly over the sphere. */
const SPREAD = Array.from({ length: RAYS }, (_, k) => {
  const z = 1 - (2 * k + 1) / RAYS;
  const r = Math.sqrt(1 - z * z);
  return [r * Math.cos(k * 2.399963), r * Math.sin(k * 2.399963), z];
});

function look(seen, points, strand, fine, coarse) {
  const reach = Math.max(strand.thick, 0.9 * fine.cell);
  const near = NEAR.map((far) => (far * reach) / fine.cell);
  const wide = FAR.map((far) => (far * reach) / coarse.cell);
  const [near0, near1, near2] = near;
  const { full, size, cell, low } = fine;
  const [row, layer] = [size[0], size[0] * size[1]];
  const last = strand.first + strand.count - 1;
  for (let i = strand.first; i <= last; i += i + 2 > last && i < last ? 1 : 2) {
    const x = points[3 * i] - low[0];
    const y = points[3 * i + 1] - low[1];
    const z = points[3 * i + 2] - low[2];
    const [a, b, c] = [x / cell, y / cell, z / cell];
    const stops = (dx, dy, dz, far) =>
      full[((c + far * dz) | 0) * layer + ((b + far * dy) | 0) * row + ((a + far * dx) | 0)] / 255;
    let [sx, sy, sz, mean] = [0, 0, 0, 0];
    for (let k = 0; k < RAYS; k++) {
      const [dx, dy, dz] = SPREAD[k];
      let open = 1 - NEAR_BLOCKS * stops(dx, dy, dz, near0);
      open *= 1 - NEAR_BLOCKS * stops(dx, dy, dz, near1);
      open *= 1 - NEAR_BLOCKS * stops(dx, dy, dz, near2);
      if (open > 0.05) open *= farOff(coarse, x, y, z, dx, dy, dz, wide);
      sx += dx * open;
      sy += dy * open;
      sz += dz * open;
      mean += open;
    }
    seen[4 * i] = sx;
    seen[4 * i + 1] = sy;
    seen[4 * i + 2] = sz;
    seen[4 * i + 3] = mean;
  }
  // Every second point looked for itself; those between see what their neighbours see.
  for (let i = strand.first + 1; i < last; i += 2) {
    for (let axis = 0; axis < 4; axis++) seen[4 * i + axis] = (seen[4 * i - 4 + axis] + seen[4 * i + 4 + axis]) / 2;
  }
}

function farOff({ cell, size, full }, x, y, z, dx, dy, dz, wide) {
  const a = x / cell;
  const b = y / cell;
  const c = z / cell;
  const row = size[0];
  const rows = size[1];
  const layers = size[2];
  let open = 1;
  for (let k = 0; k < wide.length; k++) {
    const i = a + wide[k] * dx;
    const j = b + wide[k] * dy;
    const l = c + wide[k] * dz;
    if (i < 0 || j < 0 || l < 0 || i >= row || j >= rows || l >= layers) break; // out of the basket
    open *= 1 - full[((l | 0) * rows + (j | 0)) * row + (i | 0)] / 255;
  }
  return open;
}

/** Evened out along every reed, for the cells' edges must not show. */
function evened(seen, { strands }) {
  const out = new Int8Array(seen.length);
  for (const strand of strands) {
    const last = strand.first + strand.count - 1;
    for (let i = strand.first; i <= last; i++) {
      const before = Math.max(i - 1, strand.first);
      const after = Math.min(i + 1, last);
      for (let k = 0; k < 4; k++) {
        const mean = (seen[4 * before + k] + 2 * seen[4 * i + k] + seen[4 * after + k]) / 4 / RAYS;
        out[4 * i + k] = k < 3 ? Math.max(-127, Math.min(127, (3 * mean * 127) / LEAN)) : mean * 127;
      }
    }
  }
  return out;
}
