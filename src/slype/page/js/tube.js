/**
 * Round reeds from their middle lines: rings of corners carried along without twist, and flat cut ends.
 */

/** Corners of a ring: more where there are few points, for with smooth normals six already look round. */
const SIDES = { fine: 8, plain: 6, manyPoints: 12000 };
/** A reed that turns further than this (the cosine of it) from point to point gets a ring in between. */
const BENDS = Math.cos(0.2);

/**
 * @typedef {object} Skin everything per corner, all reeds one after the other
 * @property {Float32Array} position (3)
 * @property {Int8Array} normal (4) of 127, the last 127 on a cut end
 * @property {Int8Array} along (4) the reed's direction, of 127
 * @property {Int8Array} open (4) see openness.js
 * @property {Float32Array} run (2) mm along the reed, and the moment at which it is laid
 * @property {Uint16Array} strand (1) which reed
 * @property {Uint32Array} index three to a triangle
 * @property {number} bare how much of `index` belongs to the basket without what hides its inside
 * @property {number} stays how much of `index` belongs to the finished basket; what vanishes comes after it
 */

/**
 * @param {import("./solid-file.js").Solid} solid
 * @param {Int8Array} openness (4) for every point
 * @returns {Skin}
 */
export function skinOf(solid, openness) {
  const sides = solid.when.length > SIDES.manyPoints ? SIDES.plain : SIDES.fine;
  const along = directions(solid);
  const { bent, rings } = bends(solid, along);
  const many = solid.strands.filter((strand) => strand.count > 1).length;
  const corners = (rings + 2 * many) * sides;
  const skin = {
    position: new Float32Array(3 * corners),
    normal: new Int8Array(4 * corners),
    along: new Int8Array(4 * corners),
    open: new Int8Array(4 * corners),
    run: new Float32Array(2 * corners),
    strand: new Uint16Array(corners),
    index: new Uint32Array(3 * ((rings - many) * sides * 2 + many * (sides - 2) * 2)),
    bare: 0,
    stays: 0,
  };
  const pen = new Pen(skin, sides);
  const from = { points: solid.points, when: solid.when, along, openness };
  // What hides the inside comes after the basket, and after that what vanishes while it is woven.
  const turnOf = (strand) => (strand.until !== null ? 2 : strand.over ? 1 : 0);
  for (const turn of [0, 1, 2]) {
    solid.strands.forEach((strand, number) => {
      if (strand.count > 1 && turnOf(strand) === turn) addReed(pen, from, bent, strand, number);
    });
    if (turn === 0) skin.bare = pen.at;
    if (turn === 1) skin.stays = pen.at;
  }
  return skin;
}

/**
 * Unit direction (3) of its reed at every point: the mean of the steps before and after it. A point that is there twice,
 * for two times, has the same direction both times.
 */
function directions({ points, strands }) {
  const out = new Float32Array(points.length);
  for (const strand of strands) {
    const last = strand.first + strand.count - 1;
    let [bx, by, bz] = [0, 0, 0];
    for (let i = strand.first; i <= last; i++) {
      if (i > strand.first && same(points, i - 1, i)) {
        for (let k = 0; k < 3; k++) out[3 * i + k] = out[3 * i - 3 + k];
        continue;
      }
      let [x, y, z] = [bx, by, bz];
      const next = i + 1 < last && same(points, i, i + 1) ? i + 2 : i + 1;
      if (next <= last) {
        const [at, to] = [3 * i, 3 * next];
        [bx, by, bz] = [points[to] - points[at], points[to + 1] - points[at + 1], points[to + 2] - points[at + 2]];
        const long = Math.sqrt(bx * bx + by * by + bz * bz) || 1;
        [bx, by, bz] = [bx / long, by / long, bz / long];
        [x, y, z] = [x + bx, y + by, z + bz];
      }
      const long = Math.sqrt(x * x + y * y + z * z) || 1;
      out[3 * i] = x / long;
      out[3 * i + 1] = y / long;
      out[3 * i + 2] = z / long;
    }
  }
  return out;
}

function same(p, i, j) {
  return p[3 * i] === p[3 * j] && p[3 * i + 1] === p[3 * j + 1] && p[3 * i + 2] === p[3 * j + 2];
}

/** For every point whether a ring comes between it and the next, and how many rings there are in all. */
function bends({ when, strands }, t) {
  const bent = new Uint8Array(when.length);
  let rings = 0;
  for (const strand of strands) {
    if (strand.count < 2) continue;
    rings += strand.count;
    for (let i = 3 * strand.first; i < 3 * (strand.first + strand.count - 1); i += 3) {
      if (t[i] * t[i + 3] + t[i + 1] * t[i + 4] + t[i + 2] * t[i + 5] < BENDS) {
        bent[i / 3] = 1;
        rings++;
      }
    }
  }
  return { bent, rings };
}

function addReed(pen, from, bent, strand, number) {
  const last = strand.first + strand.count - 1;
  pen.begin(strand.thick / 2, number);
  for (let i = strand.first; i <= last; i++) {
    pen.to(from, i);
    if (i === strand.first) {
      pen.anySide();
      pen.ring(-1);
    }
    pen.ring(0);
    if (bent[i]) {
      pen.between(from, i);
      pen.ring(0);
    }
  }
  pen.ring(1);
  pen.end();
}

/** Writes rings one after the other into a skin. */
class Pen {
  constructor(skin, sides) {
    this.skin = skin;
    this.sides = sides;
    const turns = Array.from({ length: sides }, (_, k) => (2 * Math.PI * k) / sides);
    this.cos = turns.map(Math.cos);
    this.sin = turns.map(Math.sin);
    // Corners stand so far out that the ring covers as much as the circle.
    this.wider = Math.sqrt(Math.PI / ((sides / 2) * Math.sin((2 * Math.PI) / sides)));
    this.corner = 0;
    this.at = 0;
    this.p = new Float64Array(3);
    this.t = new Float64Array(3);
    this.a = new Float64Array(3);
    this.open = new Float64Array(4);
  }

  begin(radius, number) {
    this.start = this.corner;
    this.radius = radius * this.wider;
    this.number = number;
    this.run = -1;
  }

  /** Goes to a point of the solid. */
  to({ points, when, along, openness }, i) {
    const { p, t } = this;
    const step = Math.hypot(points[3 * i] - p[0], points[3 * i + 1] - p[1], points[3 * i + 2] - p[2]);
    this.run = this.run < 0 ? 0 : this.run + step;
    this.when = when[i];
    for (let k = 0; k < 3; k++) {
      p[k] = points[3 * i + k];
      t[k] = along[3 * i + k];
    }
    for (let k = 0; k < 4; k++) this.open[k] = openness[4 * i + k];
  }

  /** Goes half-way on to the next point, along the cubic that has both points' directions (Hermite's). */
  between({ points, when, along, openness }, i) {
    const { p, t, open } = this;
    const [now, next] = [3 * i, 3 * i + 3];
    const long = Math.hypot(points[next] - p[0], points[next + 1] - p[1], points[next + 2] - p[2]);
    for (let k = 0; k < 3; k++) {
      const step = points[next + k] - points[now + k];
      p[k] = points[now + k] + step / 2 + (long / 8) * (along[now + k] - along[next + k]);
      t[k] = (1.5 * step) / (long || 1) - (along[now + k] + along[next + k]) / 4;
    }
    const size = Math.hypot(t[0], t[1], t[2]) || 1;
    for (let k = 0; k < 3; k++) t[k] /= size;
    for (let k = 0; k < 4; k++) open[k] = (openness[4 * i + k] + openness[4 * i + 4 + k]) / 2;
    this.run += long / 2;
    this.when = (when[i] + when[i + 1]) / 2;
  }

  /** Any direction will do to begin with: the axis that lies most across the reed. */
  anySide() {
    const [x, y, z] = this.t.map(Math.abs);
    this.a[0] = x <= y && x <= z ? 1 : 0;
    this.a[1] = y < x && y <= z ? 1 : 0;
    this.a[2] = z < x && z < y ? 1 : 0;
  }

  /** A ring of corners; `cut` is -1 for the cut end at the start, 1 for the one at the end, 0 for the bark. */
  ring(cut) {
    const { skin, p, t, a, open, radius } = this;
    const lean = a[0] * t[0] + a[1] * t[1] + a[2] * t[2];
    for (let k = 0; k < 3; k++) a[k] -= lean * t[k];
    const long = Math.sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2]) || 1;
    for (let k = 0; k < 3; k++) a[k] /= long;
    const bx = t[1] * a[2] - t[2] * a[1];
    const by = t[2] * a[0] - t[0] * a[2];
    const bz = t[0] * a[1] - t[1] * a[0];
    for (let k = 0; k < this.sides; k++) {
      const nx = a[0] * this.cos[k] + bx * this.sin[k];
      const ny = a[1] * this.cos[k] + by * this.sin[k];
      const nz = a[2] * this.cos[k] + bz * this.sin[k];
      const c = this.corner++;
      skin.position[3 * c] = p[0] + radius * nx;
      skin.position[3 * c + 1] = p[1] + radius * ny;
      skin.position[3 * c + 2] = p[2] + radius * nz;
      skin.normal[4 * c] = 127 * (cut ? cut * t[0] : nx);
      skin.normal[4 * c + 1] = 127 * (cut ? cut * t[1] : ny);
      skin.normal[4 * c + 2] = 127 * (cut ? cut * t[2] : nz);
      skin.normal[4 * c + 3] = cut ? 127 : 0;
      skin.along[4 * c] = 127 * t[0];
      skin.along[4 * c + 1] = 127 * t[1];
      skin.along[4 * c + 2] = 127 * t[2];
      for (let m = 0; m < 4; m++) skin.open[4 * c + m] = open[m];
      skin.run[2 * c] = this.run;
      skin.run[2 * c + 1] = this.when;
      skin.strand[c] = this.number;
    }
  }

  /** Joins the rings since `begin` by triangles: bark between them, flat ends outside. */
  end() {
    const { sides, start, corner } = this;
    for (let low = start + sides; low < corner - 2 * sides; low += sides) {
      for (let k = 0; k < sides; k++) {
        const next = k + 1 === sides ? 0 : k + 1;
        this.add(low + k, low + next, low + next + sides);
        this.add(low + k, low + next + sides, low + k + sides);
      }
    }
    const last = corner - sides;
    for (let k = 1; k + 1 < sides; k++) {
      this.add(start, start + k + 1, start + k);
      this.add(last, last + k, last + k + 1);
    }
  }

  add(one, two, three) {
    const { index } = this.skin;
    index[this.at++] = one;
    index[this.at++] = two;
    index[this.at++] = three;
  }
}
