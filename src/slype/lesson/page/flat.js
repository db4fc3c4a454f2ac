/**
 * The basket drawn flat, for a browser that draws nothing in the round: the same middle lines as thick strokes, the
 * farthest first.
 */

import { inHand } from "../../page/scene/apart.js";

const rad = (degrees) => (degrees / 180) * Math.PI;
const PAPER = { light: "#efe7d6", dark: "#211d18" };

export class Flat {
  /** @param {HTMLCanvasElement} canvas @param {object} solid */
  constructor(canvas, solid) {
    this.canvas = canvas;
    this.all = solid;
    this.of = "";
    this.last = null;
    this.fit = null;
    new ResizeObserver(() => this.draw()).observe(canvas);
  }

  get solid() {
    return inHand(this.all, this.of);
  }

  /** @param {number} place moments done @param {string} of what is in hand @param {number} around degrees @param {number} up degrees */
  show(place, of, around, up) {
    this.of = of;
    this.last = [place, around, up];
    this.draw();
  }

  draw() {
    const { canvas, last } = this;
    const solid = this.solid;
    if (!last || !canvas.clientWidth) return;
    const [place, around, up] = last;
    const ratio = Math.min(2, devicePixelRatio || 1);
    canvas.width = canvas.clientWidth * ratio;
    canvas.height = canvas.clientHeight * ratio;
    const pen = canvas.getContext("2d");
    pen.fillStyle = PAPER[document.documentElement.dataset.theme] ?? PAPER.light;
    pen.fillRect(0, 0, canvas.width, canvas.height);
    const pieces = this.pieces(place, rad(around), rad(up));
    if (!pieces.length) return;
    const fit = (this.fit = fitted(pieces, canvas.width, canvas.height));
    for (const { ax, ay, bx, by, thick, colour, inHand } of pieces) {
      const [x, y, u, v] = [fit.x + fit.scale * ax, fit.y - fit.scale * ay, fit.x + fit.scale * bx, fit.y - fit.scale * by];
      const wide = Math.max(1.5, thick * fit.scale);
      // The edge ends square and the body round, a little over the next step's edge: a reed shows no seams.
      for (const [width, cap, ink] of [
        [wide, "butt", inHand ? "#7a2b00" : "#4a3c2c"],
        [wide * 0.72, "round", inHand ? "#ff9d2e" : solid.palette[colour] ?? "#dcc39a"],
      ]) {
        pen.strokeStyle = ink;
        pen.lineCap = cap;
        pen.lineWidth = width;
        pen.beginPath();
        pen.moveTo(x, y);
        pen.lineTo(u, v);
        pen.stroke();
      }
    }
  }

  /** Where points of the basket's space are on the canvas, as in the scene in the round; null while nothing is drawn. */
  onScreen() {
    const { fit, last, canvas } = this;
    if (!fit || !last) return null;
    const turned = turnedBy(rad(last[1]), rad(last[2]));
    const ratio = canvas.clientWidth / canvas.width;
    return (at) => {
      const [x, y, near] = turned(at);
      return [(fit.x + fit.scale * x) * ratio, (fit.y - fit.scale * y) * ratio, -near];
    };
  }

  /** Every step of every reed that is laid, as it is seen, the farthest first. */
  pieces(place, around, up) {
    const { points, when, strands } = this.solid;
    const out = [];
    const turned = turnedBy(around, up);
    const seen = (i) => turned([points[3 * i], points[3 * i + 1], points[3 * i + 2]]);
    for (const strand of strands) {
      if (strand.until !== null && place > strand.until) continue;
      let before = null;
      for (let i = strand.first; i < strand.first + strand.count; i++) {
        if (when[i] > place) break;
        const here = seen(i);
        if (before) out.push({ ax: before[0], ay: before[1], bx: here[0], by: here[1], far: before[2] + here[2], thick: strand.thick, colour: strand.colour, inHand: !strand.held && when[i] > Math.ceil(place) - 1 });
        before = here;
      }
    }
    return out.sort((a, b) => a.far - b.far);
  }
}

/** Right, up and towards the eye, mm, of a point as it is looked at. */
function turnedBy(around, up) {
  const [sa, ca, su, cu] = [Math.sin(around), Math.cos(around), Math.sin(up), Math.cos(up)];
  return ([x, y, z]) => {
    const near = sa * x - ca * y;
    return [ca * x + sa * y, -near * su + z * cu, near * cu + z * su];
  };
}

function fitted(pieces, wide, high) {
  let [left, right, low, top] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const { ax, ay, bx, by } of pieces) {
    [left, right] = [Math.min(left, ax, bx), Math.max(right, ax, bx)];
    [low, top] = [Math.min(low, ay, by), Math.max(top, ay, by)];
  }
  const scale = 0.86 * Math.min(wide / (right - left || 1), high / (top - low || 1));
  return { scale, x: wide / 2 - (scale * (left + right)) / 2, y: high / 2 + (scale * (low + top)) / 2 };
}
