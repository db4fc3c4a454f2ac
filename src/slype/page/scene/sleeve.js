/**
 * The rings of all reeds on the graphics card: tables of them, and triangles that join every ring to the next. What is
 * a corner, the look reckons from its number (reed-look.js). The triangles are always the same, so a changed basket is
 * only new numbers in the tables.
 */

import {
  BufferAttribute, BufferGeometry, DataTexture, FloatType, NearestFilter, RGBAFormat, UnsignedByteType,
} from "../vendor/three/three.module.js";
import { RING, ROW, Rings } from "./tube.js";

/** Corners kept free for every ring, whether it has as many or not: a corner's number then tells its ring. */
export const CORNERS = 8;
const CELLS = RING / 4;
/** Corners of a ring: more where there are few points, for with smooth normals six already look round. */
const SIDES = { fine: 8, plain: 6, manyPoints: 12000 };

/** A ring of two corners: the reed is a ribbon that faces the eye, and its look lights it as if it were round. */
export const FLAT = 2;

export class Sleeve {
  constructor() {
    this.rings = new Rings();
    this.geometries = new Map();
  }

  /** @param {import("./solid-file.js").Solid} solid @param {Int8Array} openness (4) of every point */
  show(solid, openness) {
    this.sides = solid.when.length > SIDES.manyPoints ? SIDES.plain : SIDES.fine;
    const { cells } = this.rings;
    this.rings.show(solid);
    if (this.rings.cells !== cells) this.#fit();
    this.places.needsUpdate = true;
    this.light(openness);
  }

  /** @param {Int8Array} openness (4) of every point of the solid shown last */
  light(openness) {
    this.rings.light(openness, this.open.image.data);
    this.open.needsUpdate = true;
  }

  /**
   * Triangles that join so many of the first rings.
   * @param {number} rings
   * @param {number} sides corners to a ring, at most CORNERS
   */
  geometry(rings, sides) {
    if (!this.geometries.has(sides)) this.geometries.set(sides, joined(this.rings.from.length, sides));
    const geometry = this.geometries.get(sides);
    geometry.setDrawRange(0, Math.max(0, rings - 1) * facesOf(sides) * 6);
    return geometry;
  }

  /** Tables as large as there is room for rings. */
  #fit() {
    this.dispose();
    const rows = this.rings.from.length / ROW;
    this.places = table(CELLS * ROW, rows, this.rings.cells, FloatType);
    this.open = table(ROW, rows, new Uint8Array(4 * ROW * rows), UnsignedByteType);
  }

  dispose() {
    this.places?.dispose();
    this.open?.dispose();
    for (const geometry of this.geometries.values()) geometry.dispose();
    this.geometries.clear();
  }
}

function table(wide, high, cells, type) {
  const texture = new DataTexture(cells, wide, high, RGBAFormat, type);
  texture.minFilter = texture.magFilter = NearestFilter;
  return texture;
}

const facesOf = (sides) => (sides === FLAT ? 1 : sides);

/** Triangles between each of so many rings and the next, corners numbered by rings of CORNERS. */
function joined(rings, sides) {
  const faces = facesOf(sides);
  const index = new Uint32Array((rings - 1) * faces * 6);
  for (let ring = 0, at = 0; ring + 1 < rings; ring++) {
    const low = CORNERS * ring;
    for (let k = 0; k < faces; k++) {
      const next = low + ((k + 1) % sides);
      index[at++] = low + k;
      index[at++] = next;
      index[at++] = next + CORNERS;
      index[at++] = low + k;
      index[at++] = next + CORNERS;
      index[at++] = low + k + CORNERS;
    }
  }
  return new BufferGeometry().setIndex(new BufferAttribute(index, 1));
}
