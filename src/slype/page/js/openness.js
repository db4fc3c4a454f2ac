/**
 * How open the world is round every point of every reed: what makes over and under, gaps and hollows readable.
 *
 * The basket is poured into a grid of small cells; from every point rays look which cells are full. What they see is
 * kept as a mean and a leaning (the first two orders of spherical harmonics), so one small vector answers for every
 * side of the reed and every place of the light, and turning the basket costs nothing.
 */

const MOST_CELLS = 1_500_000;
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
 * @param {import("./solid-file.js").Solid} solid
 * @returns {Int8Array} (4) for every point: leaning x, y, z of 127 / LEAN, and mean of 127
 */
export function opennessOf(solid) {
  const fine = poured(solid);
  const coarse = coarser(fine);
  const rays = spread(RAYS);
  const count = solid.when.length;
  const seen = new Float32Array(4 * count);
  for (const strand of solid.strands) {
    look(seen, solid.points, strand, fine, coarse, rays);
  }
  return evened(seen, solid);
}

/** Cells with the share of each that reeds fill. */
function poured({ points, strands, when }) {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < points.length; i++) {
    const axis = i % 3;
    if (points[i] < low[axis]) low[axis] = points[i];
    if (points[i] > high[axis]) high[axis] = points[i];
  }
  const thinnest = strands.reduce((least, strand) => Math.min(least, strand.thick), Infinity);
  const room = low.map((least, axis) => high[axis] - least + 4 * thinnest);
  const cell = when.length ? Math.max(thinnest, Math.cbrt((room[0] * room[1] * room[2]) / MOST_CELLS)) : 1;
  const size = room.map((length) => Math.max(COARSE, Math.ceil(length / cell / COARSE + 1) * COARSE));
  const grid = { cell, size, low: low.map((least) => least - 2 * thinnest), full: null };
  grid.full = new Float32Array(size[0] * size[1] * size[2]);
  for (const strand of strands) pour(grid, points, strand);
  return grid;
}

function pour({ cell, size, low, full }, points, strand) {
  const area = (Math.PI / 4) * strand.thick * strand.thick;
  for (let i = strand.first; i < strand.first + strand.count - 1; i++) {
    const [x, y, z] = [points[3 * i], points[3 * i + 1], points[3 * i + 2]];
    const dx = points[3 * i + 3] - x;
    const dy = points[3 * i + 4] - y;
    const dz = points[3 * i + 5] - z;
    const long = Math.hypot(dx, dy, dz);
    const many = Math.max(1, Math.ceil((1.5 * long) / cell));
    const share = (area * long) / many / (cell * cell * cell);
    for (let k = 0; k < many; k++) {
      const f = (k + 0.5) / many;
      const a = ((x + f * dx - low[0]) / cell) | 0;
      const b = ((y + f * dy - low[1]) / cell) | 0;
      const c = ((z + f * dz - low[2]) / cell) | 0;
      full[(c * size[1] + b) * size[0] + a] += share;
    }
  }
}

/** The same in wide cells: how much of a ray through one of them is stopped. */
function coarser({ cell, size, low, full }) {
  const wide = size.map((cells) => cells / COARSE);
  const out = new Float32Array(wide[0] * wide[1] * wide[2]);
  let at = 0;
  for (let c = 0; c < size[2]; c++) {
    for (let b = 0; b < size[1]; b++) {
      const row = (((c / COARSE) | 0) * wide[1] + ((b / COARSE) | 0)) * wide[0];
      for (let a = 0; a < size[0]; a++) {
        const here = full[at];
        if (here > 1) full[at] = 1;
        if (here > 0) out[row + ((a / COARSE) | 0)] += full[at];
        at++;
      }
    }
  }
  // A wall one cell thick, seen through a cell four wide, is a quarter of its volume.
  for (let i = 0; i < out.length; i++) out[i] = Math.min(1, (FAR_BLOCKS * out[i]) / (COARSE * COARSE));
  return { cell: cell * COARSE, size: wide, low, full: out };
}

/** Directions spread evenly over the sphere. */
function spread(many) {
  return Array.from({ length: many }, (_, k) => {
    const z = 1 - (2 * k + 1) / many;
    const r = Math.sqrt(1 - z * z);
    return [r * Math.cos(k * 2.399963), r * Math.sin(k * 2.399963), z];
  });
}

function look(seen, points, strand, fine, coarse, rays) {
  const near = NEAR.map((far) => far * Math.max(strand.thick, 0.9 * fine.cell));
  const wide = FAR.map((far) => far * Math.max(strand.thick, 0.9 * fine.cell));
  for (let i = strand.first; i < strand.first + strand.count; i++) {
    const [x, y, z] = [points[3 * i], points[3 * i + 1], points[3 * i + 2]];
    for (const [dx, dy, dz] of rays) {
      let open = 1;
      for (let k = 0; k < near.length; k++) {
        open *= 1 - NEAR_BLOCKS * filled(fine, x + near[k] * dx, y + near[k] * dy, z + near[k] * dz);
      }
      for (let k = 0; k < wide.length && open > 0.05; k++) {
        open *= 1 - filled(coarse, x + wide[k] * dx, y + wide[k] * dy, z + wide[k] * dz);
      }
      seen[4 * i] += dx * open;
      seen[4 * i + 1] += dy * open;
      seen[4 * i + 2] += dz * open;
      seen[4 * i + 3] += open;
    }
  }
}

function filled({ cell, size, low, full }, x, y, z) {
  const a = Math.floor((x - low[0]) / cell);
  const b = Math.floor((y - low[1]) / cell);
  const c = Math.floor((z - low[2]) / cell);
  if (a < 0 || b < 0 || c < 0 || a >= size[0] || b >= size[1] || c >= size[2]) return 0;
  return full[(c * size[1] + b) * size[0] + a];
}

/** Evened out along every reed, for the cells' edges must not show. */
function evened(seen, { strands, when }) {
  const out = new Int8Array(4 * when.length);
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
