/**
 * Where the eye stands for the four views, and how far away, so that the basket fills the picture.
 */

/** Height of the picture's angle of view, degrees: a narrow one, as if from some way off. */
export const VIEW_ANGLE = 20;
const MARGIN = 1.07;
const rad = (degrees) => (degrees / 180) * Math.PI;
/** How far round a basket with a bow is looked at from: from the near side, the bow is seen edge-on. */
const ACROSS_BOW = rad(55);
/** A bow spans so much of the mouth from near to far, and is no wider than so much of that. */
const [SPANS, NARROW] = [0.6, 0.5];

/** @typedef {"outside" | "inside" | "above" | "under"} View */

/**
 * How a view looks: angles, and which of the points have to be in the picture.
 * @param {View} view
 * @param {import("./solid-file.js").Solid} solid
 * @param {Size} size
 */
export function viewOf(view, solid, size) {
  if (view === "above") return { around: 0, up: rad(89.5), from: size.low };
  if (view === "under") return { around: 0, up: rad(-72), from: size.low };
  // What left hands make is the mirror image, and looked at as in a mirror.
  if (view === "outside") return { around: size.edgeOn ? (solid.left ? -ACROSS_BOW : ACROSS_BOW) : 0, up: rad(24), from: size.low };
  // From so high that the near edge hides nothing of the far wall; the mouth fills the picture.
  const rise = Math.atan2(solid.height, solid.mouth / 2 + size.foot) + rad(9);
  return { around: 0, up: Math.min(rad(75), Math.max(rad(36), rise)), from: size.rim - 0.35 * solid.height, bare: true };
}

/**
 * @typedef {object} Size
 * @property {number} low mm, the lowest surface of any reed
 * @property {number} high mm, the highest
 * @property {number} rim mm, the highest of the basket itself, without handles and lid
 * @property {number} foot mm, half-width of what is low down
 * @property {boolean} edgeOn a bow spans the mouth from the near side to the far one
 */

/**
 * @param {import("./solid-file.js").Solid} solid
 * @param {boolean} working with what stands up while the basket is woven
 * @returns {Size}
 */
export function sizeOf(solid, working) {
  const { points, strands } = solid;
  let [low, high, rim] = [Infinity, -Infinity, -Infinity];
  const flat = (strand) => strand.lies; // far beyond the edge, and only until they are turned up
  for (const strand of strands) {
    if ((strand.until !== null && !working) || flat(strand)) continue;
    for (let i = strand.first; i < strand.first + strand.count; i++) {
      low = Math.min(low, points[3 * i + 2] - strand.thick / 2);
      high = Math.max(high, points[3 * i + 2] + strand.thick / 2);
      if (!strand.over) rim = Math.max(rim, points[3 * i + 2] + strand.thick / 2);
    }
  }
  let foot = 0;
  for (const strand of strands) {
    for (let i = 3 * strand.first; i < 3 * (strand.first + strand.count) && !flat(strand); i += 3) {
      if (points[i + 2] < low + 0.12 * (high - low)) foot = Math.max(foot, Math.abs(points[i + 1]));
    }
  }
  return { low, high, rim, foot, edgeOn: strands.some((strand) => strand.over && spansAway(solid, strand)) };
}

/** Whether a reed goes from the near side of the mouth to the far one, and hardly to the sides. */
function spansAway({ points, mouth }, { first, count }) {
  const [low, high] = [
    [Infinity, Infinity],
    [-Infinity, -Infinity],
  ];
  for (let i = 3 * first; i < 3 * (first + count); i += 3) {
    for (const k of [0, 1]) {
      low[k] = Math.min(low[k], points[i + k]);
      high[k] = Math.max(high[k], points[i + k]);
    }
  }
  const [aside, away] = [high[0] - low[0], high[1] - low[1]];
  return away > SPANS * mouth && aside < NARROW * away;
}

/**
 * How far the eye must stand from `at` to see all points above `from`, and how far off the middle they lie.
 * @param {import("./solid-file.js").Solid} solid
 * @param {{around: number, up: number, from: number, bare?: boolean, only?: import("./solid-file.js").Strand[]}} view
 *   `bare`: without handles and lid; `only` these reeds
 * @param {[number, number, number]} at mm
 * @param {number} aspect width over height of the picture
 * @param {boolean} working with what stands up while the basket is woven
 * @returns {{far: number, right: number, up: number}} mm; `right` and `up` from `at` to the middle of what is seen
 */
export function fitted({ points, strands }, view, at, aspect, working) {
  const { right, up, back } = axes(view.around, view.up);
  const tall = Math.tan(rad(VIEW_ANGLE) / 2) / MARGIN;
  const wide = tall * aspect;
  let [sides, heights] = [[-Infinity, -Infinity], [-Infinity, -Infinity]];
  for (const strand of view.only ?? strands) {
    if ((strand.until !== null && !working) || strand.lies || (view.bare && strand.over)) continue;
    for (let i = strand.first; i < strand.first + strand.count; i += strand.count > 30 ? 3 : 1) {
      const p = [points[3 * i] - at[0], points[3 * i + 1] - at[1], points[3 * i + 2] - at[2]];
      if (points[3 * i + 2] < view.from) continue;
      const [x, y, z] = [dot(p, right), dot(p, up), dot(p, back)];
      const r = strand.thick / 2;
      // In the picture where |x - shift| <= wide (far - z): far >= z + |x - shift| / wide.
      sides = [Math.max(sides[0], z + (x + r) / wide), Math.max(sides[1], z + (r - x) / wide)];
      heights = [Math.max(heights[0], z + (y + r) / tall), Math.max(heights[1], z + (r - y) / tall)];
    }
  }
  if (!Number.isFinite(sides[0])) return { far: 500, right: 0, up: 0 };
  const far = Math.max((sides[0] + sides[1]) / 2, (heights[0] + heights[1]) / 2);
  return { far, right: ((sides[0] - sides[1]) / 2) * wide, up: ((heights[0] - heights[1]) / 2) * tall };
}

/** The eye's directions, z up: it stands at the near side, -y, and goes round by `around` and up by `up`. */
export function axes(around, up) {
  const [sa, ca, su, cu] = [Math.sin(around), Math.cos(around), Math.sin(up), Math.cos(up)];
  return { right: [ca, sa, 0], up: [-sa * su, ca * su, cu], back: [sa * cu, -ca * cu, su] };
}

const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
