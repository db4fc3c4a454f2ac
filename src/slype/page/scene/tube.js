/**
 * Round reeds from their middle lines. Here only the rings are found, a few numbers each: where a ring lies, which way the
 * reed runs there, and a side that is carried along without twist. The graphics card puts the corners round them.
 *
 * All reeds together are one long sleeve: every ring is joined to the next. A reed begins and ends with a ring of no
 * width, the middle of its cut end, so what joins one reed to the next is a thread without width, and nothing is seen.
 */

/** Numbers to a ring: place and mm along the reed; direction and moment; side, and what it is. */
export const RING = 12;
/** Rings are kept in whole rows of a table of so many. */
export const ROW = 512;
/**
 * What a ring is: it is kept as 8 times the reed's number and one of these. A cut lies aslant: its edge, and the last of
 * the bark before it.
 */
export const KINDS = { bark: 0, startMiddle: 1, startEdge: 2, endEdge: 3, endMiddle: 4, startBark: 5, endBark: 6 };
/** A reed that turns further than this (the cosine of it) from point to point gets a ring in between. */
const BENDS = Math.cos(0.2);
/** Rings that a reed has more than points: edge and middle of both its cut ends. */
const CUTS = 4;
/** A reed that is cut at both ends, and goes on as another at neither. */
const UNCUT = [false, false];
/** Room is taken with so much to spare, as a share, so that a basket that grows by a row finds it there. */
const SPARE = 0.25;

/** The rings of a solid. Room once taken is used again for the next solid. */
export class Rings {
  /** How many there are. */
  many = 0;
  /** How many belong to the basket without what hides its inside. */
  bare = 0;
  /** How many belong to the finished basket; what vanishes comes after it. */
  stays = 0;
  /** @type {Float32Array} RING numbers to each; what comes after `many` means nothing */
  cells = new Float32Array(0);
  /** @type {Uint32Array} of each, twice the number of its point; one more where it lies between that and the next */
  from = new Uint32Array(0);
  #along = new Float32Array(0);

  /** @param {import("./solid-file.js").Solid} solid */
  show(solid) {
    if (this.#along.length < solid.points.length) this.#along = new Float32Array(roomy(solid.points.length));
    directions(solid, this.#along);
    const most = 2 * solid.when.length + CUTS * solid.strands.length;
    if (this.from.length < most) this.#widen(solid);
    const pen = new Pen(this.cells, this.from, solid, this.#along);
    // What hides the inside comes after the basket, and after that what vanishes while it is woven.
    const turnOf = (strand) => (strand.until !== null ? 2 : strand.over ? 1 : 0);
    for (const turn of [0, 1, 2]) {
      solid.strands.forEach((strand, number) => {
        if (strand.count > 1 && turnOf(strand) === turn) pen.reed(strand, number);
      });
      if (turn === 0) this.bare = pen.ring;
      if (turn === 1) this.stays = pen.ring;
    }
    this.many = pen.ring;
  }

  #widen(solid) {
    // Most reeds run straight for the most part: count before taking twice the points.
    const needed = ringsOf(solid, this.#along);
    if (this.from.length >= needed) return;
    const room = Math.ceil(roomy(needed) / ROW) * ROW;
    this.cells = new Float32Array(RING * room);
    this.from = new Uint32Array(room);
  }

  /**
   * Writes the openness of every ring.
   * @param {Int8Array} openness (4) of every point, see openness.js
   * @param {Uint8Array} cells (4) of every ring, 128 more than the openness
   */
  light(openness, cells) {
    const { from, many } = this;
    for (let ring = 0; ring < many; ring++) {
      const point = 4 * (from[ring] >> 1);
      const other = from[ring] & 1 ? point + 4 : point;
      for (let k = 0; k < 4; k++) cells[4 * ring + k] = 128 + (openness[point + k] + openness[other + k]) / 2;
    }
  }
}

const roomy = (size) => Math.ceil(size * (1 + SPARE));

/**
 * Unit direction (3) of its reed at every point: the mean of the steps before and after it. A point that is there twice,
 * for two times, has the same direction both times.
 */
function directions({ points, strands }, out) {
  for (const strand of strands) {
    const last = strand.first + strand.count - 1;
    let [bx, by, bz] = [0, 0, 0];
    for (let i = strand.first; i <= last; i++) {
      const at = 3 * i;
      if (i > strand.first && same(points, i - 1, i)) {
        for (let k = 0; k < 3; k++) out[at + k] = out[at - 3 + k];
        continue;
      }
      let x = bx;
      let y = by;
      let z = bz;
      const next = i + 1 < last && same(points, i, i + 1) ? i + 2 : i + 1;
      if (next <= last) {
        const to = 3 * next;
        bx = points[to] - points[at];
        by = points[to + 1] - points[at + 1];
        bz = points[to + 2] - points[at + 2];
        const long = Math.sqrt(bx * bx + by * by + bz * bz) || 1;
        x += bx /= long;
        y += by /= long;
        z += bz /= long;
      }
      const long = Math.sqrt(x * x + y * y + z * z) || 1;
      out[at] = x / long;
      out[at + 1] = y / long;
      out[at + 2] = z / long;
    }
  }
}

function same(p, i, j) {
  return p[3 * i] === p[3 * j] && p[3 * i + 1] === p[3 * j + 1] && p[3 * i + 2] === p[3 * j + 2];
}

/** Does the reed turn so far from a point to the next that a ring has to come between? */
function bendsAfter(t, i) {
  const at = 3 * i;
  return t[at] * t[at + 3] + t[at + 1] * t[at + 4] + t[at + 2] * t[at + 5] < BENDS;
}

/** How many rings all reeds need. */
function ringsOf({ strands }, along) {
  let rings = 0;
  for (const strand of strands) {
    if (strand.count < 2) continue;
    rings += strand.count + CUTS;
    for (let i = strand.first; i < strand.first + strand.count - 1; i++) if (bendsAfter(along, i)) rings++;
  }
  return rings;
}

/** Writes rings one after the other. Plain numbers throughout: this runs for every ring of every change. */
class Pen {
  constructor(cells, from, { points, when }, along) {
    Object.assign(this, { cells, from, points, when, along });
    this.ring = 0;
    this.code = 0;
    this.run = 0;
    [this.ax, this.ay, this.az] = [1, 0, 0];
  }

  reed(strand, number) {
    const { points: p, along: t, when } = this;
    const last = strand.first + strand.count - 1;
    this.code = 8 * number;
    this.run = 0;
    this.anySide(3 * strand.first);
    let [x, y, z] = [0, 0, 0]; // where the last ring is
    for (let i = strand.first; i <= last; i++) {
      const at = 3 * i;
      if (i > strand.first) this.run += Math.sqrt((p[at] - x) ** 2 + (p[at + 1] - y) ** 2 + (p[at + 2] - z) ** 2);
      x = p[at];
      y = p[at + 1];
      z = p[at + 2];
      const put = (kind) => this.put(x, y, z, t[at], t[at + 1], t[at + 2], when[i], 2 * i, kind);
      const [before, after] = strand.whole ?? UNCUT;
      let bark = KINDS.bark;
      if (i === strand.first) {
        put(KINDS.startMiddle);
        if (!before) {
          put(KINDS.startEdge);
          bark = KINDS.startBark;
        }
      } else if (i === last && !after) bark = KINDS.endBark;
      put(bark);
      if (i === last) {
        if (!after) put(KINDS.endEdge);
        put(KINDS.endMiddle);
      } else if (bendsAfter(t, i)) {
        this.between(i);
        const ring = RING * (this.ring - 1);
        x = this.cells[ring];
        y = this.cells[ring + 1];
        z = this.cells[ring + 2];
      }
    }
  }

  /** A ring half-way on to the next point, along the cubic that has both points' directions (Hermite's). */
  between(i) {
    const { points: p, along: t, when } = this;
    const [at, to] = [3 * i, 3 * i + 3];
    const sx = p[to] - p[at];
    const sy = p[to + 1] - p[at + 1];
    const sz = p[to + 2] - p[at + 2];
    const long = Math.sqrt(sx * sx + sy * sy + sz * sz);
    const [out, by] = [long / 8, 1.5 / (long || 1)];
    const tx = by * sx - (t[at] + t[to]) / 4;
    const ty = by * sy - (t[at + 1] + t[to + 1]) / 4;
    const tz = by * sz - (t[at + 2] + t[to + 2]) / 4;
    const size = Math.sqrt(tx * tx + ty * ty + tz * tz) || 1;
    this.run += long / 2;
    this.put(
      p[at] + sx / 2 + out * (t[at] - t[to]),
      p[at + 1] + sy / 2 + out * (t[at + 1] - t[to + 1]),
      p[at + 2] + sz / 2 + out * (t[at + 2] - t[to + 2]),
      tx / size, ty / size, tz / size, (when[i] + when[i + 1]) / 2, 2 * i + 1, KINDS.bark,
    );
  }

  /** Any side will do to begin with: the axis that lies most across the reed. */
  anySide(at) {
    const [x, y, z] = [Math.abs(this.along[at]), Math.abs(this.along[at + 1]), Math.abs(this.along[at + 2])];
    this.ax = x <= y && x <= z ? 1 : 0;
    this.ay = y < x && y <= z ? 1 : 0;
    this.az = z < x && z < y ? 1 : 0;
  }

  put(x, y, z, tx, ty, tz, when, from, kind) {
    // The last ring's side, as far as it lies across the reed here.
    const lean = this.ax * tx + this.ay * ty + this.az * tz;
    const ax = this.ax - lean * tx;
    const ay = this.ay - lean * ty;
    const az = this.az - lean * tz;
    const long = Math.sqrt(ax * ax + ay * ay + az * az) || 1;
    this.ax = ax / long;
    this.ay = ay / long;
    this.az = az / long;
    const { cells } = this;
    const at = RING * this.ring;
    cells[at] = x;
    cells[at + 1] = y;
    cells[at + 2] = z;
    cells[at + 3] = this.run;
    cells[at + 4] = tx;
    cells[at + 5] = ty;
    cells[at + 6] = tz;
    cells[at + 7] = when;
    cells[at + 8] = this.ax;
    cells[at + 9] = this.ay;
    cells[at + 10] = this.az;
    cells[at + 11] = this.code + kind;
    this.from[this.ring++] = from;
  }
}
