/**
 * A small table on the graphics card with two cells for every reed: colour and thickness; when it vanishes, how it is
 * marked, its hatching, its seed. So a new colour or a mark is a few bytes, and no new geometry.
 */

import { DataTexture, FloatType, NearestFilter, RGBAFormat } from "../vendor/three/three.module.js";
import { ALL, HATCH_MARKS, HATCH_ROWS } from "./reed-look.js";

const ROW = 256;
/** How much reeds of one coil differ in lightness and in warmth. */
const LIGHTER = 0.1;
const WARMER = 0.03;
/** Added to the seed of a reed that never glows. */
export const NO_GLOW = 2;

export class StrandTable {
  constructor() {
    this.texture = null;
    this.fit(1);
  }

  /** @param {import("./solid-file.js").Solid} solid */
  show(solid) {
    this.solid = solid;
    this.fit(solid.strands.length);
    const names = Object.keys(solid.hatches ?? {});
    const reeds = throughTheMiddle(solid);
    const { strands } = solid;
    solid.strands.forEach((strand, i) => {
      const at = this.place(i);
      const own = strand.same ?? i;
      const seed = chance(strands[reeds.get(own) ?? own].name);
      this.cells[at + 3] = strand.thick;
      this.cells[at + 4] = strand.until ?? 2 * ALL;
      this.cells[at + 5] = 0;
      this.cells[at + 6] = Math.max(0, names.indexOf(strand.colour));
      this.cells[at + 7] = seed + (strand.held ? NO_GLOW : 0);
    });
    this.recolour(solid.palette);
  }

  /** @param {Record<string, string>} palette "#rrggbb" by name */
  recolour(palette) {
    this.solid.strands.forEach((strand, i) => {
      const at = this.place(i);
      const seed = this.cells[at + 7] % NO_GLOW;
      const lighter = 1 + LIGHTER * (2 * seed - 1) * 1.7;
      const warmer = WARMER * (2 * ((seed * 97) % 1) - 1) * 1.7;
      const [red, green, blue] = amounts(palette[strand.colour] ?? "#dcc39a");
      this.cells[at] = red * lighter * (1 + warmer);
      this.cells[at + 1] = green * lighter;
      this.cells[at + 2] = blue * lighter * (1 - 1.4 * warmer);
    });
    this.texture.needsUpdate = true;
  }

  /** @param {((strand: import("./solid-file.js").Strand, index: number) => boolean) | null} predicate */
  mark(predicate) {
    this.solid.strands.forEach((strand, i) => {
      this.cells[this.place(i) + 5] = predicate ? (predicate(strand, i) ? 1 : -1) : 0;
    });
    this.texture.needsUpdate = true;
  }

  place(strand) {
    return 8 * strand;
  }

  fit(many) {
    const rows = Math.max(1, Math.ceil(many / ROW));
    if (this.texture && this.texture.image.height >= rows) return;
    this.texture?.dispose();
    this.cells = new Float32Array(8 * ROW * rows);
    this.texture = new DataTexture(this.cells, 2 * ROW, rows, RGBAFormat, FloatType);
    this.texture.minFilter = this.texture.magFilter = NearestFilter;
  }
}

/**
 * Writes a solid's hatchings into the look's table.
 * @param {import("../vendor/three/three.module.js").ShaderMaterial["uniforms"]} uniforms
 * @param {Record<string, import("./solid-file.js").Hatch> | null} hatches
 */
export function setHatches({ uMarks, uInks }, hatches) {
  Object.values(hatches ?? {}).slice(0, HATCH_ROWS).forEach((hatch, row) => {
    for (let k = 0; k < HATCH_MARKS; k++) {
      const [width, dashes, round, ink] = hatch.marks[k] ?? [0, null, false, "#000000"];
      const [on, off] = dashes ?? [0, 0];
      uMarks.value[row * HATCH_MARKS + k].set(width, on, off, round ? 1 : 0);
      uInks.value[row * HATCH_MARKS + k].set(amounts(ink)[1], amounts(hatch.paper)[1], k < hatch.marks.length ? 1 : 0, 0);
    }
  });
}

/** Amounts of light of "#rrggbb" (IEC 61966-2-1). */
export function amounts(hex) {
  return [1, 3, 5].map((at) => {
    const value = parseInt(hex.slice(at, at + 2), 16) / 255;
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
  });
}

/** Both ends of a stick that runs through the middle of the base are one reed: number by number, the first's. */
function throughTheMiddle({ strands, points }) {
  const found = new Map();
  const begun = [...strands.keys()].filter((i) => strands[i].count > 1 && ["spoke", "stick"].includes(strands[i].role));
  begun.forEach((first, k) => {
    const one = strands[first];
    for (const second of begun.slice(k + 1)) {
      const other = strands[second];
      const off = [0, 1, 2].map((axis) => points[3 * one.first + axis] - points[3 * other.first + axis]);
      if (Math.hypot(...off) < one.thick / 4 && !found.has(second)) found.set(second, first);
    }
  });
  return found;
}

/** A number from 0 to 1 that is always the same for a name (FNV-1a, then mixed). */
function chance(name) {
  let hash = 0x811c9dc5;
  for (let i = 0; i < name.length; i++) hash = Math.imul(hash ^ name.charCodeAt(i), 0x01000193);
  hash = Math.imul(hash ^ (hash >>> 15), 0x2c1b3c6d);
  hash = Math.imul(hash ^ (hash >>> 12), 0x297a2d39);
  return ((hash ^ (hash >>> 15)) >>> 0) / 4294967296;
}
