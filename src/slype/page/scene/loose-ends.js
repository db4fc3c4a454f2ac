/**
 * Loose tails: what hangs from every reed that waits while the basket is woven. The program tells each line, in the
 * frame of the place it hangs from, and when it hangs (order/loose_ends.py); here it is laid at the front of its reed and made
 * round. There are few of them at a time, so they are made anew with every moment.
 */

import { BufferAttribute, BufferGeometry, DoubleSide, GLSL3, Mesh, ShaderMaterial } from "../vendor/three/three.module.js";
import { ON_SCREEN } from "./reed-look.js";
import { amounts } from "./strand-table.js";

const SIDES = 8;
/** The run of a reed is read off its last so many thicknesses. */
const BACK = 1.2;

const VERTEX = /* glsl */ `
in vec3 aNormal;
in vec4 aColour;  // amounts, and is its stroke the one in hand
out vec3 vPlace;
out vec3 vNormal;
flat out vec4 vColour;

void main() {
  vPlace = position;
  vNormal = aNormal;
  vColour = aColour;
  gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.0);
}`;

/** Open to sky and lamp all round, else as reed-look.js lights a reed. */
const FRAGMENT = /* glsl */ `
precision highp float;
in vec3 vPlace;
in vec3 vNormal;
flat in vec4 vColour;
uniform vec3 uKey;
uniform vec3 uSky;
uniform vec3 uGlow;
uniform bool uHatched;
out vec4 outColour;

${ON_SCREEN}

void main() {
  vec3 n = normalize(vNormal), toEye = normalize(cameraPosition - vPlace);
  float edge = 1.0 - abs(dot(n, toEye));
  float key = max(0.0, (dot(n, uKey) + 0.22) / 1.22);
  float body = 0.74 * (0.25 + 0.75 * (0.5 + 0.5 * dot(n, uSky))) + 0.74 * key;
  body *= 1.0 - 0.30 * pow(edge, 6.0);
  vec3 light = (uHatched ? vec3(mix(0.9, 0.1, smoothstep(0.75, 0.95, edge))) : vColour.rgb) * body;
  if (vColour.w > 0.5) light = mix(light, 0.35 * light + uGlow, 0.55 + 0.35 * edge);
  outColour = vec4(onScreen(light), 1.0);
}`;

export class Tails {
  /** @param {import("../vendor/three/three.module.js").ShaderMaterial["uniforms"]} uniforms of the reeds' looks */
  constructor({ uKey, uSky, uGlow, uHatched }) {
    const look = new ShaderMaterial({
      glslVersion: GLSL3, vertexShader: VERTEX, fragmentShader: FRAGMENT, side: DoubleSide, uniforms: { uKey, uSky, uGlow, uHatched },
    });
    this.mesh = new Mesh(new BufferGeometry(), look);
    this.mesh.frustumCulled = false;
    this.mesh.visible = false;
  }

  /**
   * @param {import("./solid-file.js").Solid | undefined} solid
   * @param {number | null} moment null for the finished basket, from which nothing hangs
   * @returns {Hung[]} what hangs now
   */
  show(solid, moment) {
    const hung = solid && moment !== null ? hanging(solid, moment) : [];
    this.mesh.visible = hung.length > 0;
    if (hung.length) {
      this.mesh.geometry.dispose();
      this.mesh.geometry = round(hung, solid.palette);
    }
    return hung;
  }

  dispose() {
    this.mesh.geometry.dispose();
    this.mesh.material.dispose();
  }
}

/**
 * @typedef {object} Hung
 * @property {import("./solid-file.js").Strand} strand the reed it is the end of
 * @property {number[][]} points x, y, z, mm
 * @property {boolean} inHand its reed was moved last
 */

/** @param {import("./solid-file.js").Solid} solid @param {number} moment @returns {Hung[]} */
export function hanging(solid, moment) {
  const out = [];
  for (const strand of solid.strands) {
    const line = solid.tails[strand.hangs?.findLast(([from]) => from <= moment)?.[1]];
    const front = line ? frontOf(solid, strand, moment) : -1;
    if (front <= strand.first) continue;
    const laidAt = solid.when[samePoint(solid.points, front) ? front - 1 : front];
    out.push({ strand, points: laid(solid, strand, front, line), inHand: laidAt > Math.ceil(moment) - 1 });
  }
  return out;
}

/** The last of a reed's points that is laid; before its first when none is. */
function frontOf({ when }, strand, moment) {
  let [low, high] = [strand.first, strand.first + strand.count];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (when[middle] <= moment) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}

/** A point at which a reed waits is there twice, the second time for when it goes on. */
function samePoint(points, i) {
  return [0, 1, 2].every((axis) => points[3 * i + axis] === points[3 * i - 3 + axis]);
}

/** A line laid at the front of a reed: on with its run round the basket, outward from the basket's axis, and down. */
function laid({ points }, strand, front, line) {
  const [x, y, z] = points.subarray(3 * front, 3 * front + 3);
  const far = Math.hypot(x, y) || 1;
  const out = [x / far, y / far];
  let run = 0;
  for (let i = front - 1; i >= strand.first && Math.abs(run) < BACK * strand.thick; i--) {
    run = (y - points[3 * i + 1]) * out[0] - (x - points[3 * i]) * out[1];
  }
  const way = Math.sign(run) || 1;
  return line.map(([along, off, down]) => [x + out[0] * off - out[1] * way * along, y + out[1] * off + out[0] * way * along, z - down]);
}

/** Tubes round the lines, with a flat end each. */
function round(hung, palette) {
  const rings = hung.reduce((sum, { points }) => sum + points.length + 1, 0);
  const [place, normal] = [new Float32Array(3 * SIDES * rings), new Float32Array(3 * SIDES * rings)];
  const colour = new Float32Array(4 * SIDES * rings);
  const index = [];
  let corner = 0;
  for (const { strand, points, inHand } of hung) {
    const own = [...amounts(palette[strand.colour] ?? "#dcc39a"), inHand ? 1 : 0];
    let across = [0, 0, 1];
    for (let i = 0; i <= points.length; i++) {
      const at = Math.min(i, points.length - 1);
      const along = unit(minus(points[Math.min(at + 1, points.length - 1)], points[Math.max(0, at - 1)]));
      across = unit(minus(across, along.map((v) => v * dot(across, along))));
      const third = cross(along, across);
      for (let k = 0; k < SIDES; k++, corner++) {
        const [c, s] = [Math.cos((2 * Math.PI * k) / SIDES), Math.sin((2 * Math.PI * k) / SIDES)];
        const away = across.map((v, axis) => v * c + third[axis] * s);
        place.set(points[at].map((v, axis) => v + (i < points.length ? (away[axis] * strand.thick) / 2 : 0)), 3 * corner);
        normal.set(i < points.length ? away : along, 3 * corner);
        colour.set(own, 4 * corner);
        if (i === 0) continue;
        const [next, before] = [k + 1 === SIDES ? corner + 1 - SIDES : corner + 1, corner - SIDES];
        index.push(before, next - SIDES, next, before, next, corner);
      }
    }
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(place, 3));
  geometry.setAttribute("aNormal", new BufferAttribute(normal, 3));
  geometry.setAttribute("aColour", new BufferAttribute(colour, 4));
  geometry.setIndex(index);
  return geometry;
}

const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const minus = (a, b) => a.map((v, i) => v - b[i]);
const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const unit = (a) => {
  const long = Math.hypot(...a) || 1;
  return a.map((v) => v / long);
};
