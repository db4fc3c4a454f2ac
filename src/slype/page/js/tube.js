/**
 * Round reeds from their middle lines: rings of corners carried along without twist, and flat cut ends.
 */

/** Corners of a ring: more where there are few points, for with smooth normals six already look round. */
const SIDES = { fine: 8, plain: 6, manyPoints: 14000 };

/**
 * @typedef {object} Skin everything per corner, all reeds one after the other
 * @property {Float32Array} position (3)
 * @property {Int8Array} normal (4) of 127, the last 127 on a cut end
 * @property {Int8Array} along (4) the reed's direction, of 127
 * @property {Float32Array} run (2) mm along the reed, and the moment at which it is laid
 * @property {Uint16Array} strand (1) which reed
 * @property {Uint32Array} point (1) which point of the solid
 * @property {Uint32Array} index three to a triangle
 */

/**
 * @param {import("./solid-file.js").Solid} solid
 * @returns {Skin}
 */
export function skinOf(solid) {
  const sides = solid.when.length > SIDES.manyPoints ? SIDES.plain : SIDES.fine;
  const strands = solid.strands.filter((strand) => strand.count > 1);
  const corners = strands.reduce((sum, strand) => sum + (strand.count + 2) * sides, 0);
  const triangles = strands.reduce((sum, strand) => sum + (strand.count - 1) * sides * 2 + (sides - 2) * 2, 0);
  const skin = {
    position: new Float32Array(3 * corners),
    normal: new Int8Array(4 * corners),
    along: new Int8Array(4 * corners),
    run: new Float32Array(2 * corners),
    strand: new Uint16Array(corners),
    point: new Uint32Array(corners),
    index: new Uint32Array(3 * triangles),
  };
  const at = { corner: 0, index: 0 };
  const ring = ringOf(sides);
  solid.strands.forEach((strand, number) => {
    if (strand.count > 1) addReed(skin, at, solid, strand, number, ring);
  });
  return skin;
}

/** Sines and cosines of a ring, and how much wider its corners stand so that it covers as much as the circle. */
function ringOf(sides) {
  const turns = Array.from({ length: sides }, (_, k) => (2 * Math.PI * k) / sides);
  const area = (sides / 2) * Math.sin((2 * Math.PI) / sides);
  return { sides, cos: turns.map(Math.cos), sin: turns.map(Math.sin), wider: Math.sqrt(Math.PI / area) };
}

function addReed(skin, at, solid, strand, number, ring) {
  const { points, when } = solid;
  const { sides } = ring;
  const start = at.corner;
  const last = strand.first + strand.count - 1;
  const frame = { t: [0, 0, 0], a: [0, 0, 0], b: [0, 0, 0] };
  let run = 0;
  for (let i = strand.first; i <= last; i++) {
    direction(points, Math.max(i - 1, strand.first), i, Math.min(i + 1, last), frame.t);
    if (i === strand.first) firstSide(frame);
    else run += gap(points, i - 1, i);
    carry(frame);
    if (i === strand.first) addRing(skin, at, points, when, i, strand, number, ring, frame, run, -1);
    addRing(skin, at, points, when, i, strand, number, ring, frame, run, 0);
    if (i === last) addRing(skin, at, points, when, i, strand, number, ring, frame, run, 1);
  }
  const { index } = skin;
  for (let k = 1; k + 1 < sides; k++) {
    index[at.index++] = start;
    index[at.index++] = start + k + 1;
    index[at.index++] = start + k;
  }
  for (let i = 0; i + 1 < strand.count; i++) {
    const low = start + (i + 1) * sides;
    for (let k = 0; k < sides; k++) {
      const next = k + 1 === sides ? 0 : k + 1;
      index[at.index++] = low + k;
      index[at.index++] = low + next;
      index[at.index++] = low + next + sides;
      index[at.index++] = low + k;
      index[at.index++] = low + next + sides;
      index[at.index++] = low + k + sides;
    }
  }
  const end = start + (strand.count + 1) * sides;
  for (let k = 1; k + 1 < sides; k++) {
    index[at.index++] = end;
    index[at.index++] = end + k;
    index[at.index++] = end + k + 1;
  }
}

/** One ring of corners; `cut` is -1 for the cut end at the start, 1 for the one at the end, 0 for the bark. */
function addRing(skin, at, points, when, i, strand, number, ring, frame, run, cut) {
  const { t, a, b } = frame;
  const radius = (strand.thick / 2) * ring.wider;
  for (let k = 0; k < ring.sides; k++) {
    const c = at.corner++;
    const nx = a[0] * ring.cos[k] + b[0] * ring.sin[k];
    const ny = a[1] * ring.cos[k] + b[1] * ring.sin[k];
    const nz = a[2] * ring.cos[k] + b[2] * ring.sin[k];
    skin.position[3 * c] = points[3 * i] + radius * nx;
    skin.position[3 * c + 1] = points[3 * i + 1] + radius * ny;
    skin.position[3 * c + 2] = points[3 * i + 2] + radius * nz;
    skin.normal[4 * c] = 127 * (cut ? cut * t[0] : nx);
    skin.normal[4 * c + 1] = 127 * (cut ? cut * t[1] : ny);
    skin.normal[4 * c + 2] = 127 * (cut ? cut * t[2] : nz);
    skin.normal[4 * c + 3] = cut ? 127 : 0;
    skin.along[4 * c] = 127 * t[0];
    skin.along[4 * c + 1] = 127 * t[1];
    skin.along[4 * c + 2] = 127 * t[2];
    skin.run[2 * c] = run;
    skin.run[2 * c + 1] = when[i];
    skin.strand[c] = number;
    skin.point[c] = i;
  }
}

/** Unit direction from point i0 over i1 to i2: the mean of both steps' directions. */
function direction(p, i0, i1, i2, out) {
  let x = 0;
  let y = 0;
  let z = 0;
  for (const [i, j] of [[i0, i1], [i1, i2]]) {
    const dx = p[3 * j] - p[3 * i];
    const dy = p[3 * j + 1] - p[3 * i + 1];
    const dz = p[3 * j + 2] - p[3 * i + 2];
    const long = Math.hypot(dx, dy, dz) || 1;
    x += dx / long;
    y += dy / long;
    z += dz / long;
  }
  const long = Math.hypot(x, y, z) || 1;
  out[0] = x / long;
  out[1] = y / long;
  out[2] = z / long;
}

function gap(p, i, j) {
  return Math.hypot(p[3 * j] - p[3 * i], p[3 * j + 1] - p[3 * i + 1], p[3 * j + 2] - p[3 * i + 2]);
}

/** Any direction will do to begin with: the axis that lies most across the reed. */
function firstSide({ t, a }) {
  const [x, y, z] = t.map(Math.abs);
  a[0] = x <= y && x <= z ? 1 : 0;
  a[1] = y < x && y <= z ? 1 : 0;
  a[2] = z < x && z < y ? 1 : 0;
}

/** Turns the side `a` with the reed's direction `t`, and sets `b` across both. */
function carry({ t, a, b }) {
  const lean = a[0] * t[0] + a[1] * t[1] + a[2] * t[2];
  const x = a[0] - lean * t[0];
  const y = a[1] - lean * t[1];
  const z = a[2] - lean * t[2];
  const long = Math.hypot(x, y, z) || 1;
  a[0] = x / long;
  a[1] = y / long;
  a[2] = z / long;
  b[0] = t[1] * a[2] - t[2] * a[1];
  b[1] = t[2] * a[0] - t[0] * a[2];
  b[2] = t[0] * a[1] - t[1] * a[0];
}
