/**
 * The table under the basket: a soft shadow, poured out of the reeds' own points, so that feet, ovals and half-woven
 * bases throw their own. On a dark page the table is a pool of light with the shadow in it.
 */

import {
  DataTexture, GLSL3, LinearFilter, Mesh, PlaneGeometry, RedFormat, ShaderMaterial, UnsignedByteType,
} from "../vendor/three/three.module.js";
import { isThere } from "./solid-file.js";

const CELLS = 112;
/** How wide the table is, in widths of the basket. */
const WIDE = 2.2;
/** Shadow near what touches the table, and far below what stands over it: reach in cells, weight, mm per width. */
const NEAR = { reach: 1, weight: 0.46, high: 0.04 };
const FAR = { reach: 6, weight: 0.26, high: 0.5 };

const VERTEX = /* glsl */ `
out vec2 vAt;
void main() {
  vAt = uv;
  gl_Position = projectionMatrix * viewMatrix * modelMatrix * vec4(position, 1.0);
}`;

const FRAGMENT = /* glsl */ `
precision highp float;
in vec2 vAt;
uniform sampler2D uShadow;
uniform float uPool;
out vec4 outColour;
void main() {
  float shade = texture(uShadow, vAt).r;
  float far = length(vAt - 0.5) * 2.0;
  float pool = uPool * (1.0 - smoothstep(0.15, 1.0, far));
  float light = pool * (1.0 - shade);
  float dark = shade * (1.0 - smoothstep(0.8, 1.0, far)) * (1.0 - 0.25 * uPool);
  // A grain finer than a step of the screen's tones, against bands in a slow change.
  float grain = fract(sin(dot(gl_FragCoord.xy, vec2(12.9898, 78.233))) * 43758.5453) / 255.0;
  dark += dark > 0.0 ? grain : 0.0;
  light += light > 0.0 ? grain : 0.0;
  float cover = light + dark * (1.0 - light);
  outColour = vec4(vec3(light) * vec3(1.0, 0.95, 0.86), cover);
}`;

export class Ground {
  constructor() {
    this.cells = new Uint8Array(CELLS * CELLS);
    this.texture = new DataTexture(this.cells, CELLS, CELLS, RedFormat, UnsignedByteType);
    this.texture.minFilter = this.texture.magFilter = LinearFilter;
    this.look = new ShaderMaterial({
      glslVersion: GLSL3, vertexShader: VERTEX, fragmentShader: FRAGMENT,
      transparent: true, premultipliedAlpha: true, depthWrite: false,
      uniforms: { uShadow: { value: this.texture }, uPool: { value: 0 } },
    });
    this.mesh = new Mesh(new PlaneGeometry(1, 1), this.look);
    this.mesh.renderOrder = -1;
  }

  /** @param {import("./solid-file.js").Solid} solid @param {number} low mm, the table's height */
  show(solid, low) {
    this.solid = solid;
    this.side = WIDE * Math.max(solid.across, 1);
    this.low = low;
    this.mesh.scale.set(this.side, this.side, 1);
    this.mesh.position.set(0, 0, low - 0.2);
    this.upTo(null);
  }

  /** @param {number | null} moment only what is laid by then throws a shadow */
  upTo(moment) {
    const { solid } = this;
    const near = new Float32Array(CELLS * CELLS);
    const far = new Float32Array(CELLS * CELLS);
    const cell = this.side / CELLS;
    for (const strand of solid.strands) {
      if (!isThere(strand, moment) || strand.lies) continue;
      for (let i = strand.first; i < strand.first + strand.count; i++) {
        if (moment !== null && solid.when[i] > moment) continue;
        const next = i + 1 < strand.first + strand.count ? i + 1 : i;
        const [x, y, z] = [solid.points[3 * i], solid.points[3 * i + 1], solid.points[3 * i + 2]];
        const long = Math.hypot(solid.points[3 * next] - x, solid.points[3 * next + 1] - y);
        const share = (strand.thick * Math.max(long, strand.thick / 2)) / (cell * cell);
        const at = this.at(x, y, cell);
        const high = (z - this.low) / solid.across;
        near[at] += share * Math.exp(-high / NEAR.high);
        far[at] += share * Math.exp(-high / FAR.high);
      }
    }
    if (solid.board) this.under(solid.board, near, far, cell);
    for (const [layer, { reach }] of [[near, NEAR], [far, FAR]]) {
      for (let i = 0; i < layer.length; i++) layer[i] = Math.min(layer[i], 1.2);
      for (let pass = 0; pass < 3; pass++) blur(layer, reach);
    }
    for (let i = 0; i < this.cells.length; i++) {
      const dark = NEAR.weight * Math.min(near[i], 1) + FAR.weight * Math.min(far[i], 1) * (1 - 0.5 * Math.min(near[i], 1));
      this.cells[i] = 255 * Math.min(0.8, dark);
    }
    this.texture.needsUpdate = true;
  }

  /** What the board keeps the light from: all cells below it. */
  under({ edge, thick }, near, far, cell) {
    const high = (-thick - this.low) / this.solid.across;
    for (let row = 0; row < CELLS; row++) {
      for (let column = 0; column < CELLS; column++) {
        if (!inside(edge, (column + 0.5 - CELLS / 2) * cell, (row + 0.5 - CELLS / 2) * cell)) continue;
        near[row * CELLS + column] += Math.exp(-high / NEAR.high);
        far[row * CELLS + column] += Math.exp(-high / FAR.high);
      }
    }
  }

  at(x, y, cell) {
    const a = Math.min(CELLS - 1, Math.max(0, Math.floor(x / cell + CELLS / 2)));
    const b = Math.min(CELLS - 1, Math.max(0, Math.floor(y / cell + CELLS / 2)));
    return b * CELLS + a;
  }

  /** @param {"light" | "dark"} name */
  theme(name) {
    this.look.uniforms.uPool.value = name === "dark" ? 0.16 : 0;
  }

  dispose() {
    this.texture.dispose();
    this.look.dispose();
    this.mesh.geometry.dispose();
  }
}

/** Is a point within an outline that bulges everywhere? */
function inside(edge, x, y) {
  let way = 0;
  for (let i = 0; i < edge.length; i += 4) {
    const [[ax, ay], [bx, by]] = [edge[i], edge[(i + 4) % edge.length]];
    const turn = Math.sign((bx - ax) * (y - ay) - (by - ay) * (x - ax));
    if (turn && way && turn !== way) return false;
    way ||= turn;
  }
  return true;
}

/** A running mean over 2 reach + 1 cells, across and then down. */
function blur(layer, reach) {
  const line = new Float32Array(CELLS);
  const many = 2 * reach + 1;
  for (const [step, stride] of [[1, CELLS], [CELLS, 1]]) {
    for (let row = 0; row < CELLS; row++) {
      const start = row * stride;
      let sum = 0;
      for (let k = 0; k < reach; k++) sum += layer[start + k * step];
      for (let k = 0; k < CELLS; k++) {
        if (k + reach < CELLS) sum += layer[start + (k + reach) * step];
        if (k - reach - 1 >= 0) sum -= layer[start + (k - reach - 1) * step];
        line[k] = sum / many;
      }
      for (let k = 0; k < CELLS; k++) layer[start + k * step] = line[k];
    }
  }
}
