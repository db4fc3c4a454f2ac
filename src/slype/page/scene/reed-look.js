/**
 * How reeds look: matte wet fibre under a soft sky and one key light that stays with the eye, so that turning the
 * basket is turning it under a lamp. The light's amounts are those of draw/light.py, which paints our pictures.
 */

import { DoubleSide, GLSL3, ShaderMaterial, Vector2, Vector3, Vector4 } from "../vendor/three/three.module.js";
import { LEAN } from "./openness.js";
import { CORNERS, FLAT } from "./sleeve.js";
import { KINDS, RING, ROW } from "./tube.js";

/** Rows of the table of hatchings, and marks to each. */
export const HATCH_ROWS = 12;
export const HATCH_MARKS = 2;
/** A moment later than all. */
export const ALL = 1e9;

/** Amounts of light as the screen wants them (sRGB), the brightest drawn in softly. Every look of the stage ends so. */
export const ON_SCREEN = /* glsl */ `
const float KNEE = 0.80;
vec3 onScreen(vec3 light) {
  vec3 over = max(light - KNEE, 0.0) / (1.0 - KNEE);
  light = mix(light, KNEE + (1.0 - KNEE) * (1.0 - exp(-over)) / (1.0 - exp(-1.0)), step(KNEE, light));
  light = clamp(light, 0.0, 1.0);
  return mix(light * 12.92, 1.055 * pow(max(light, 1e-5), vec3(1.0 / 2.4)) - 0.055, step(0.0031308, light));
}
`;

const VERTEX = /* glsl */ `
uniform highp sampler2D uPlaces;   // of every ring, see tube.js
uniform lowp sampler2D uOpen;
uniform highp sampler2D uStrands;
uniform float uSides;
uniform float uWider;
uniform vec2 uCut;  // how long a slanting face is, in thicknesses, and how high the knife stands over the middle
out vec3 vPlace;
out vec3 vNormal;
out vec3 vAlong;
out vec4 vOpen;
out vec2 vRun;
out float vCut;
flat out vec4 vColour;  // amounts, and thickness
flat out vec4 vState;   // until, mark, row of its hatching, seed (2 more where it never glows)

void main() {
  int ring = gl_VertexID / ${CORNERS}, corner = gl_VertexID % ${CORNERS};
  ivec2 cell = ivec2(ring % ${ROW}, ring / ${ROW});
  ivec2 first = ivec2(cell.x * ${RING / 4}, cell.y);
  vec4 place = texelFetch(uPlaces, first, 0);
  vec4 along = texelFetch(uPlaces, first + ivec2(1, 0), 0);
  vec4 side = texelFetch(uPlaces, first + ivec2(2, 0), 0);
  int code = int(side.w + 0.5);
  int strand = code >> 3, kind = code & 7;
  ivec2 at = ivec2((strand & 255) * 2, strand >> 8);
  vColour = texelFetch(uStrands, at, 0);
  vState = texelFetch(uStrands, at + ivec2(1, 0), 0);
#ifdef FLAT
  // To the reed's left and right as the eye sees it, so that the ribbon faces the eye.
  vec3 across = cross(along.xyz, cameraPosition - place.xyz);
  vec3 away = (corner == 0 ? 1.0 : -1.0) * across / max(length(across), 1e-6);
#else
  float turn = float(corner) * (6.283185307 / uSides);
  vec3 away = cos(turn) * side.xyz + sin(turn) * cross(along.xyz, side.xyz);
#endif
  bool middle = kind == ${KINDS.startMiddle} || kind == ${KINDS.endMiddle};
  // The face of a cut looks to the knife, as space/cuts.py has it.
  vec3 run = kind == ${KINDS.endEdge} || kind == ${KINDS.endMiddle} || kind == ${KINDS.endBark} ? along.xyz : -along.xyz;
  vec3 knife = vec3(0.0, 0.0, uCut.y) - place.xyz;
  knife -= dot(knife, run) * run;
  knife /= max(length(knife), 1e-6);
  if (kind == ${KINDS.bark} || middle) away *= middle ? 0.0 : 1.0;
  else away -= uCut.x * dot(away, knife) * run;
  vPlace = place.xyz + 0.5 * uWider * vColour.w * away;
  bool bark = kind == ${KINDS.bark} || kind > ${KINDS.endMiddle};
#ifdef FLAT
  vNormal = away - dot(away, run) * run;
#else
  vNormal = bark ? away - dot(away, run) * run : normalize(run + uCut.x * knife);
#endif
  vCut = bark ? 0.0 : 1.0;
  vAlong = along.xyz;
  vec4 open = texelFetch(uOpen, cell, 0) * (255.0 / 127.0) - 128.0 / 127.0;
  vOpen = vec4(open.xyz * ${LEAN.toFixed(2)}, open.w);
  vRun = vec2(place.w, along.w);
  gl_Position = projectionMatrix * viewMatrix * vec4(vPlace, 1.0);
}`;

const FRAGMENT = /* glsl */ `
precision highp float;
in vec3 vPlace;
in vec3 vNormal;
in vec3 vAlong;
in vec4 vOpen;
in vec2 vRun;
in float vCut;
flat in vec4 vColour;
flat in vec4 vState;
uniform vec3 uKey;
uniform vec3 uSky;
uniform float uMoment;
uniform float uGlowFrom;
uniform float uWoven;
uniform vec3 uGlow;
uniform vec3 uPaper;
uniform bool uHatched;
uniform vec4 uMarks[${HATCH_ROWS * HATCH_MARKS}];  // width, length of a dash, gap, round
uniform vec4 uInks[${HATCH_ROWS * HATCH_MARKS}];   // amount of light of the ink, of the paper, is there a mark
out vec4 outColour;

const float SKY = 0.74, KEY = 0.74, SHEEN = 0.08, GLINT = 0.07, BOUNCE = 0.85, WRAP = 0.22;

float chance(vec2 p) {
  vec3 q = fract(p.xyx * vec3(0.1031, 0.1030, 0.0973));
  q += dot(q, q.yzx + 33.33);
  return fract((q.x + q.y) * q.z);
}

float drift(vec2 p) {
  vec2 cell = floor(p), f = fract(p);
  f = f * f * (3.0 - 2.0 * f);
  return mix(mix(chance(cell), chance(cell + vec2(1, 0)), f.x),
             mix(chance(cell + vec2(0, 1)), chance(cell + vec2(1, 1)), f.x), f.y);
}

// Fibres run along a reed, and its tone changes a little from hand to hand.
float fibres(vec3 n, vec3 t) {
  vec3 up = abs(t.z) > 0.8 ? vec3(1, 0, 0) : vec3(0, 0, 1);
  vec3 side = normalize(cross(t, up));
  float turn = atan(dot(n, cross(side, t)), dot(n, side));
  float seed = fract(vState.w) * 61.0;
  float fine = drift(vec2(turn * 5.0 + seed, vRun.x * 0.03)) - 0.5;
  float slow = drift(vec2(seed, vRun.x * 0.012)) - 0.5;
  return 1.0 + 0.16 * fine + 0.14 * slow;
}

${ON_SCREEN}

// A colour's hatching laid over the body: across is -1 to 1 as it is seen, along in widths of the body.
float hatching(float across, float along) {
  int row = int(vState.z + 0.5) * ${HATCH_MARKS};
  float grey = uInks[row].y;
  for (int k = 0; k < ${HATCH_MARKS}; k++) {
    vec4 mark = uMarks[row + k];
    if (uInks[row + k].z < 0.5) continue;
    float soft = fwidth(across) + 1e-4;
    float ink = 1.0 - smoothstep(mark.x - soft, mark.x + soft, abs(across));
    float period = mark.y + mark.z;
    if (period > 0.0) {
      float at = mod(along, period);
      float fine = fwidth(along) + 1e-4;
      if (mark.w > 0.5) {
        float off = length(vec2(across / 2.0, at < period / 2.0 ? at : at - period));
        ink = 1.0 - smoothstep(mark.x / 2.0 - fine, mark.x / 2.0 + fine, off);
      } else {
        float dash = smoothstep(-fine / 2.0, fine / 2.0, at) * (1.0 - smoothstep(mark.y - fine / 2.0, mark.y + fine / 2.0, at));
        // Too fine for the screen's dots: an even tone, rather than a moving pattern.
        ink *= mix(dash, mark.y / period, clamp(fine / period * 2.0 - 0.6, 0.0, 1.0));
      }
    }
    grey = mix(grey, uInks[row + k].x, ink);
  }
  return grey;
}

void main() {
#ifdef PART
  if (vRun.y > uMoment || vState.x < uMoment) discard;
#endif
  vec3 t = normalize(vAlong);
  vec3 toEye = normalize(cameraPosition - vPlace);
#ifdef FLAT
  // As far across the ribbon as the normal's length says: a round reed's normal there.
  vec3 front = normalize(toEye - t * dot(t, toEye));
  vec3 n = vNormal + front * sqrt(max(0.0, 1.0 - dot(vNormal, vNormal)));
  bool bark = true;
#else
  vec3 n = normalize(vNormal);
  bool bark = vCut < 0.02;
#endif
#if defined(PART) && !defined(FLAT)
  if (!gl_FrontFacing) { n = t * sign(dot(t, toEye) + 1e-6); bark = false; }
#endif
  vec3 sideways = cross(t, toEye);
  float across = dot(n, sideways) / max(length(sideways), 1e-3);

  float mean = vOpen.w;
  float sky = clamp(mean + 0.67 * dot(vOpen.xyz, n), 0.0, 1.0);
  sky = smoothstep(0.0, 0.80, sky);
  float lit = clamp((mean + dot(vOpen.xyz, uKey)) * 1.5 - 0.10, 0.0, 1.0);
  lit = lit * lit * (3.0 - 2.0 * lit);

#ifdef PART
  // What will shut in this place is not laid yet.
  sky = mix(1.0, sky, uWoven);
  lit = mix(1.0, lit, uWoven);
#endif
  float toKey = max(0.0, (dot(n, uKey) + WRAP) / (1.0 + WRAP));
  float toSky = 0.5 + 0.5 * dot(n, uSky);
  // What is seen in a gap gets its light through that gap: its sides stay dark (draw/light.py).
  float facing = max(0.0, dot(n, toEye));
  float rounded = mix(0.12 + 0.98 * facing * facing, 0.25 + 0.75 * toSky, sky);
  float body = SKY * rounded * mix(0.16, 1.0, sky) + KEY * toKey * lit * (0.35 + 0.65 * sky);

  if (uHatched) {
    float grey = bark ? hatching(across, vRun.x / vColour.w) : uInks[int(vState.z + 0.5) * ${HATCH_MARKS}].y;
    float edge = fwidth(across);
    grey *= 1.0 - 0.85 * smoothstep(0.86 - edge, 0.93, abs(across)) * float(bark);
    vec3 drawn = vec3(grey * mix(0.55, 1.0, smoothstep(0.0, 0.6, body)));
    if (vState.y < -0.5) drawn = mix(drawn, uPaper, 0.6);
    outColour = vec4(onScreen(drawn), 1.0);
    return;
  }

  vec3 own = vColour.rgb;
#ifndef FLAT
  if (bark) own *= fibres(n, t);
  else own = mix(own, vec3(0.72, 0.56, 0.36), 0.45);  // the pith takes up less dye
#endif
  vec3 bounced = own * (1.0 - BOUNCE * (1.0 - sky) * (1.0 - min(own, 1.0)));
  vec3 middle = normalize(uKey + toEye);
  float face = max(0.0, dot(n, middle)), slant = dot(t, middle);
  float shine = SHEEN * pow(max(0.0, 1.0 - slant * slant), 4.0) * pow(face, 5.0) + GLINT * pow(face, 36.0);
  if (!bark) shine = 0.0;
  // Where a reed turns away from the eye it lies close to what is behind it.
  body *= 1.0 - 0.30 * pow(abs(across), 6.0) * float(bark);
  vec3 light = bounced * body + shine * (0.25 * sky + 0.75 * lit * sky) * toKey;

  if (vState.y < -0.5) light = mix(mix(light, vec3(dot(light, vec3(0.3, 0.5, 0.2))), 0.15), uPaper, 0.28);
  if (vState.y > 0.5) light = light * 1.12 + uGlow * 0.10 * pow(abs(across), 2.0);
#ifdef PART
  if (vRun.y > uGlowFrom && vState.w < 1.5) light = mix(light, 0.35 * light + uGlow, 0.55 + 0.35 * abs(across));
#endif
  outColour = vec4(onScreen(light), 1.0);
}`;

/** Where the key light stands, to the right, up and towards the eye: across the basket, or so that it shines into it. */
const ACROSS = new Vector3(-0.5, 0.62, 0.6).normalize();
const INTO = new Vector3(-0.26, 0.34, 0.9).normalize();
const SKY_FROM = new Vector3(0.0, 0.72, 0.694);

/**
 * Looks that share all settings: for the whole basket, and for a part of it as it is woven; and either for flat ribbons,
 * without fibres and cut ends, which are drawn in a fifth of the time. A look that may leave dots out costs more, for the
 * graphics card cannot tell beforehand what will hide what.
 * @param {import("../vendor/three/three.module.js").Texture} strands see strand-table.js
 * @returns {{whole: ShaderMaterial, part: ShaderMaterial, wholeFlat: ShaderMaterial, partFlat: ShaderMaterial, uniforms: ShaderMaterial["uniforms"]}}
 */
export function reedLooks(strands) {
  const uniforms = uniformsOf(strands);
  const look = (more) =>
    new ShaderMaterial({ glslVersion: GLSL3, vertexShader: VERTEX, fragmentShader: FRAGMENT, uniforms, ...more });
  // The reed in hand is open at its front, and there its inside is seen.
  return {
    whole: look({}),
    part: look({ defines: { PART: "" }, side: DoubleSide }),
    wholeFlat: look({ defines: { FLAT: "" }, side: DoubleSide }),
    partFlat: look({ defines: { FLAT: "", PART: "" }, side: DoubleSide }),
    uniforms,
  };
}

function uniformsOf(strands) {
  const empty = () => Array.from({ length: HATCH_ROWS * HATCH_MARKS }, () => new Vector4());
  return {
    uStrands: { value: strands },
    uPlaces: { value: null },
    uOpen: { value: null },
    uSides: { value: 6 },
    uWider: { value: 1 },
    uCut: { value: new Vector2() },
    uKey: { value: new Vector3() },
    uSky: { value: new Vector3() },
    uMoment: { value: ALL },
    uGlowFrom: { value: 2 * ALL },
    uWoven: { value: 1 },
    uGlow: { value: new Vector3(0.95, 0.52, 0.08) },
    uPaper: { value: new Vector3(0.9, 0.88, 0.84) },
    uHatched: { value: false },
    uMarks: { value: empty() },
    uInks: { value: empty() },
  };
}

/**
 * Sets the lamps where they belong for this eye.
 * @param {ShaderMaterial["uniforms"]} uniforms
 * @param {import("../vendor/three/three.module.js").Camera} camera
 * @param {number} into 0 for a look at the basket's side, 1 for a look down into it
 */
export function lamps({ uKey, uSky }, camera, into) {
  uKey.value.lerpVectors(ACROSS, INTO, into).normalize().transformDirection(camera.matrixWorld);
  uSky.value.copy(SKY_FROM).transformDirection(camera.matrixWorld);
}

/**
 * Sets the tables of rings, and how many corners are put round each.
 * @param {ShaderMaterial["uniforms"]} uniforms
 * @param {import("./sleeve.js").Sleeve} sleeve
 * @param {number} sides
 */
export function rounded({ uPlaces, uOpen, uSides, uWider }, sleeve, sides) {
  uPlaces.value = sleeve.places;
  uOpen.value = sleeve.open;
  uSides.value = sides;
  // Corners stand so far out that the ring covers as much as the circle.
  uWider.value = sides === FLAT ? 1 : Math.sqrt(Math.PI / ((sides / 2) * Math.sin((2 * Math.PI) / sides)));
}

/**
 * Sets how far the basket is woven, and what glows: the stroke in hand.
 * @param {ShaderMaterial["uniforms"]} uniforms
 * @param {number} moment
 * @param {[number, number]} worked from when to when it is woven
 */
export function upTo({ uMoment, uGlowFrom, uWoven }, moment, [from, to]) {
  uMoment.value = moment;
  uWoven.value = 0.4 + 0.6 * Math.min(1, Math.max(0, moment - from) / Math.max(to - from, 1));
  uGlowFrom.value = Math.ceil(moment) - 1;
}
