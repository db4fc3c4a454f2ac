// The page that studio/test_scene.py opens: a canvas as large as the window, and what tests ask of it.
import { Scene, parse } from "./scene/scene.js";

const PACED = location.search === "?paced";

/** Dots are painted only where a test looks at them: without a graphics card that takes most of the time, and a basket is
 * drawn anew for its light, its view and its moment. With ?paced always, as the studio paints. */
let painting = PACED;
for (const draws of ["drawArrays", "drawElements", "drawArraysInstanced", "drawElementsInstanced", "blitFramebuffer"]) {
  const own = WebGL2RenderingContext.prototype[draws];
  WebGL2RenderingContext.prototype[draws] = function (...words) {
    if (painting) own.apply(this, words);
  };
}

/** The first scene's canvas and what draws on it go on to the next scenes: to compile its looks takes longer than most
 * tests do. */
const canvas = (window.canvas = document.createElement("canvas"));
canvas.tabIndex = 0;
canvas.addEventListener("drawn", (event) => window.drawn.push(event.detail));
document.body.prepend(canvas);
let renderer;

/** A scene as in a page just opened. */
window.begin = () => {
  if (window.scene) {
    for (const program of renderer.info.programs) program.usedTimes++; // kept when the scene lets go of its looks
    window.scene.renderer = { dispose() {} };
    window.scene.dispose();
  }
  for (const name of Object.keys(canvas.dataset)) delete canvas.dataset[name];
  canvas.blur();
  window.lit = untilLit;
  window.picked = [];
  window.drawn = [];
  try {
    // In full, however long it takes; with ?paced as the studio draws.
    const lightWorker = () => new Worker("/scene/openness-worker.js", { type: "module" });
    window.scene = new Scene(canvas, { onPick: (hit) => window.picked.push(hit), reducedMotion: true, paced: PACED, lightWorker });
  } catch (trouble) {
    window.trouble = trouble.name;
    return;
  }
  renderer ??= window.scene.renderer;
  renderer.resetState();
  window.scene.renderer = renderer;
};

window.load = async (name) => {
  const answer = await fetch(name);
  window.scene.show(parse(await answer.arrayBuffer()));
};

/** Until the basket's own light is in the picture. */
async function untilLit() {
  while (window.canvas.dataset.lit !== "yes") await new Promise((rested) => setTimeout(rested, 10));
}

/** All dots as they are on the screen, from the upper left, red, green, blue and cover, in base 64. */
window.dots = async () => {
  await window.lit();
  while (window.scene.pace.moving) await new Promise((rested) => setTimeout(rested, 20));
  painting = true;
  window.scene.drawNow();
  painting = PACED;
  const gl = window.canvas.getContext("webgl2");
  const [wide, high] = [window.canvas.width, window.canvas.height];
  const found = new Uint8Array(4 * wide * high);
  gl.readPixels(0, 0, wide, high, gl.RGBA, gl.UNSIGNED_BYTE, found);
  const parts = [];
  for (let row = high - 1; row >= 0; row--) {
    parts.push(String.fromCharCode(...found.subarray(4 * wide * row, 4 * wide * (row + 1))));
  }
  return { wide, high, dots: btoa(parts.join("")) };
};
window.begin();
window.ready = true;
