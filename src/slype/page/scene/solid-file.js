/**
 * The basket as the server sends it: the middle line of every reed. The format is told in draw/solid.py.
 *
 * @typedef {object} Strand
 * @property {string} name "band 3, weaver 2, rust"
 * @property {string} role "weaver", "spoke", "stick", "border", …
 * @property {number | null} band from 0
 * @property {number | null} weaver from 0
 * @property {number} reed which of the reeds worked as one, from 0
 * @property {string} colour a name of the palette
 * @property {number} first number of its first point
 * @property {number} count of its points
 * @property {number} thick mm
 * @property {number | null} end the spoke or end that it is, from 0
 * @property {boolean} over it hides the inside: handles, a lid
 * @property {[number, string][]} [hangs] of a weaver or a border end: from which moment on which of `tails` hangs from
 *   its front, "" for none
 * @property {number} [same] number of the strand that is the same reed and comes before it: a border end's spoke
 * @property {boolean} [held] it is held out of the way: it does not glow with the move that it makes room for
 * @property {boolean} [lies] it lies flat beyond the edge of the base until it is turned up: no picture is fitted to it
 * @property {[boolean, boolean]} [whole] whether it goes on as another at its start and at its end, and is not cut there
 * @property {number | null} until the moment at which it vanishes: it belongs to the work, not to the finished basket
 * @property {{of: string, band: number | null}} [apart] what it is of that is woven by itself, and the band of that, from 0
 *
 * @typedef {object} Hatch
 * @property {string} words for a key
 * @property {string} paper "#rrggbb"
 * @property {[number, [number, number] | null, boolean, string][]} marks (width, dashes, round, ink), widths of a body
 *
 * @typedef {object} Solid
 * @property {number} revision
 * @property {string} form "stacked" or "relaxed"
 * @property {number} moments how many there are, 0 where none were asked for
 * @property {Strand[]} strands
 * @property {Record<string, string>} palette
 * @property {Record<string, Hatch> | null} hatches
 * @property {Record<string, [number, number, number][]>} tails lines: mm on with the reed's run, outward, and down
 * @property {{edge: [number, number][], thick: number, wall: number} | null} board its outline from above, mm, its
 *   thickness below height 0, and how far out the wall stands, as a share of the outline
 * @property {Record<string, {at: [number, number, number], fitted: number}>} apart what is woven by itself, by its name: how
 *   it was moved, mm, once it was turned over (half a turn about the x axis), and the moment, from 0, in which it is fitted
 * @property {{slant: number, knife: number}} cut how much further the long side of a cut reaches than the short one, in
 *   thicknesses, and how high above the middle the knife comes from, mm: the face looks there
 * @property {boolean} left made by left hands: the mirror image
 * @property {number} mouth mm
 * @property {number} height mm
 * @property {number} across mm
 * @property {Float32Array} points x, y, z of every point, mm
 * @property {Float32Array} when the moment at which each is laid
 * @property {boolean} [turnedBack] what is woven apart, as it is woven: see apart.js
 * @property {[number, number]} [worked] of that, from when to when it is woven
 */

const MAGIC = "SLY1";

/**
 * Is a reed there at a moment, or with null in the finished basket? Its points may still have to be laid.
 * @param {Strand} strand
 * @param {number | null} moment
 */
export function isThere(strand, moment) {
  return strand.until === null || (moment !== null && moment <= strand.until);
}

/**
 * @param {ArrayBuffer} bytes
 * @returns {Solid}
 */
export function parse(bytes) {
  const words = new TextDecoder();
  if (bytes.byteLength < 8 || words.decode(new Uint8Array(bytes, 0, 4)) !== MAGIC) {
    throw new TypeError("These bytes are not a basket: they do not begin with SLY1.");
  }
  const size = new DataView(bytes).getUint32(4, true);
  const header = JSON.parse(words.decode(new Uint8Array(bytes, 8, size)));
  const count = header.points;
  return {
    ...header,
    points: new Float32Array(bytes, 8 + size, 3 * count),
    when: new Float32Array(bytes, 8 + size + 12 * count, count),
  };
}
