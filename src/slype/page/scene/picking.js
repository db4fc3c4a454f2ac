/**
 * Which reed lies under a finger: the middle lines are put on the screen, and the nearest to the eye that is as thick as
 * it is far from the finger is meant. A basket has some tens of thousands of points: that is quick enough without a
 * tree.
 */

import { isThere } from "./solid-file.js";

/**
 * @param {import("./solid-file.js").Solid} solid
 * @param {{elements: number[]}} matrix from mm to the screen, -1 to 1 (projection times view)
 * @param {number} wide dots across the canvas
 * @param {number} high dots down it
 * @param {number} x dots of the finger
 * @param {number} y
 * @param {number} scale how many dots one mm is at one mm from the eye
 * @param {number | null} moment only what is laid by then
 * @returns {number} number of the strand, -1 for none
 */
export function strandAt(solid, matrix, wide, high, x, y, scale, moment) {
  const m = matrix.elements;
  const { points, when } = solid;
  let found = -1;
  let nearest = Infinity;
  const put = (i) => {
    const [px, py, pz] = [points[3 * i], points[3 * i + 1], points[3 * i + 2]];
    const w = m[3] * px + m[7] * py + m[11] * pz + m[15];
    return [
      ((m[0] * px + m[4] * py + m[8] * pz + m[12]) / w + 1) * 0.5 * wide,
      (1 - (m[1] * px + m[5] * py + m[9] * pz + m[13]) / w) * 0.5 * high,
      w,
    ];
  };
  solid.strands.forEach((strand, number) => {
    if (strand.count < 2 || !isThere(strand, moment)) return;
    let before = put(strand.first);
    for (let i = strand.first + 1; i < strand.first + strand.count; i++) {
      const here = put(i);
      const shown = moment === null || when[i] <= moment;
      if (shown && here[2] > 0 && before[2] > 0) {
        const dx = here[0] - before[0];
        const dy = here[1] - before[1];
        const along = dx * dx + dy * dy;
        const f = along > 0 ? Math.max(0, Math.min(1, ((x - before[0]) * dx + (y - before[1]) * dy) / along)) : 0;
        const off = Math.hypot(before[0] + f * dx - x, before[1] + f * dy - y);
        const away = before[2] + f * (here[2] - before[2]);
        const radius = ((strand.thick / 2) * scale) / away;
        if (off <= radius) {
          // A round reed bulges towards the eye where it is hit in the middle.
          const depth = away - (strand.thick / 2) * Math.sqrt(1 - (off / radius) ** 2);
          if (depth < nearest) {
            nearest = depth;
            found = number;
          }
        }
      }
      before = here;
    }
  });
  return found;
}
