/**
 * The wooden board of a base: a slab under the wall. Its holes are filled by the spokes that stand in them, so the outline
 * is all it needs. It lies in the same light as the reeds; towards the wall, where less sky is seen, it is darker inside.
 */

import { BufferAttribute, BufferGeometry, DoubleSide, GLSL3, Mesh, ShaderMaterial } from "../vendor/three/three.module.js";

const WOOD = [0.827, 0.682, 0.486]; // #d3ae7c, plywood: the colour of the board in every picture
const WITHIN = 0.34; // how much darker it is at the foot of the wall, inside, than outside

const VERTEX = /* glsl */ `
in vec3 aNormal;
in float aOut;     // 0 in the middle, 1 at the wall, more outside
out vec3 vNormal;
out vec3 vAt;
out float vOut;
void main() {
  vNormal = aNormal;
  vAt = position;
  vOut = aOut;
  gl_Position = projectionMatrix * viewMatrix * modelMatrix * vec4(position, 1.0);
}`;

const FRAGMENT = /* glsl */ `
precision highp float;
in vec3 vNormal;
in vec3 vAt;
in float vOut;
uniform vec3 uKey;
uniform vec3 uSky;
uniform vec3 uWood;
uniform bool uHatched;
out vec4 outColour;

float noise(float at) { return fract(sin(at * 91.7) * 43758.5453); }
float grain(float at) {
  float i = floor(at);
  float f = smoothstep(0.0, 1.0, at - i);
  return mix(noise(i), noise(i + 1.0), f);
}

void main() {
  vec3 n = normalize(vNormal);
  float key = max(0.0, dot(n, uKey));
  float sky = 0.5 + 0.5 * dot(n, uSky);
  float within = n.z > 0.5 && vOut < 1.0 ? 1.0 - ${WITHIN.toFixed(2)} * (0.4 + 0.6 * smoothstep(0.55, 1.0, vOut)) : 1.0;
  // Years of growth run along the board, a little wavy; the edge shows its plies.
  float across = abs(n.z) > 0.5 ? vAt.y + 1.5 * sin(vAt.x * 0.02) : vAt.z * 3.0;
  float wood = 0.93 + 0.07 * grain(across * 0.55) + 0.05 * (grain(across * 2.3) - 0.5);
  vec3 colour = uWood * wood * (0.52 + 0.34 * key + 0.26 * sky) * within;
  if (uHatched) colour = vec3(0.86 + 0.14 * key);
  outColour = vec4(min(colour, vec3(1.0)), 1.0);
}`;

export class Board {
  /** @param {ShaderMaterial["uniforms"]} uniforms the reeds', for the lamps */
  constructor({ uKey, uSky, uHatched }) {
    this.look = new ShaderMaterial({
      glslVersion: GLSL3, vertexShader: VERTEX, fragmentShader: FRAGMENT, side: DoubleSide,
      uniforms: { uKey, uSky, uHatched, uWood: { value: WOOD } },
    });
    this.mesh = new Mesh(new BufferGeometry(), this.look);
    this.mesh.frustumCulled = false;
    this.mesh.visible = false;
  }

  /** @param {import("./solid-file.js").Solid} solid */
  show({ board }) {
    this.mesh.visible = Boolean(board);
    if (!board) return;
    const { at, normal, out } = slab(board);
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(new Float32Array(at), 3));
    geometry.setAttribute("aNormal", new BufferAttribute(new Float32Array(normal), 3));
    geometry.setAttribute("aOut", new BufferAttribute(new Float32Array(out), 1));
    this.mesh.geometry.dispose();
    this.mesh.geometry = geometry;
  }

  dispose() {
    this.mesh.geometry.dispose();
    this.look.dispose();
  }
}

/** Corners of all triangles: upper face and lower as fans, in rings so that the shade within the wall can be seen. */
function slab({ edge, thick, wall }) {
  const at = [];
  const normal = [];
  const out = [];
  const put = (points, n, outs) => points.forEach((point, k) => { at.push(...point); normal.push(...n); out.push(outs[k]); });
  const rings = [0, 0.5 * wall, 0.8 * wall, wall, 1];
  edge.forEach(([x, y], i) => {
    const [nextX, nextY] = edge[(i + 1) % edge.length];
    for (let k = 1; k < rings.length; k++) {
      const [a, b] = [rings[k - 1], rings[k]];
      for (const [z, n] of [[0, [0, 0, 1]], [-thick, [0, 0, -1]]]) {
        const corners = [[a * x, a * y, z], [b * x, b * y, z], [b * nextX, b * nextY, z], [a * nextX, a * nextY, z]];
        const outs = [a, b, b, a].map((share) => share / wall);
        put([corners[0], corners[1], corners[2]], n, [outs[0], outs[1], outs[2]]);
        put([corners[0], corners[2], corners[3]], n, [outs[0], outs[2], outs[3]]);
      }
    }
    const [dx, dy] = [nextX - x, nextY - y];
    const size = Math.hypot(dx, dy) || 1;
    const away = dy * x - dx * y > 0 ? [dy / size, -dx / size, 0] : [-dy / size, dx / size, 0];
    const side = [[x, y, 0], [nextX, nextY, 0], [nextX, nextY, -thick], [x, y, -thick]];
    put([side[0], side[1], side[2]], away, [2, 2, 2]);
    put([side[0], side[2], side[3]], away, [2, 2, 2]);
  });
  return { at, normal, out };
}
