// The page that studio/test_scene.py opens: a canvas as large as the window, and what tests ask of it.
import { Scene, parse } from "./scene/scene.js";

/** A canvas and a scene as in a page just opened: to load the page takes longer than most tests do. */
window.begin = () => {
  window.scene?.dispose();
  window.canvas?.remove();
  const canvas = (window.canvas = document.createElement("canvas"));
  canvas.tabIndex = 0;
  document.body.prepend(canvas);
  window.lit = untilLit;
  window.picked = [];
  window.drawn = [];
  canvas.addEventListener("drawn", (event) => window.drawn.push(event.detail));
  try {
    // In full, however long it takes; with ?paced as the studio draws.
    const paced = location.search === "?paced";
    const lightWorker = () => new Worker("/scene/openness-worker.js", { type: "module" });
    window.scene = new Scene(canvas, { onPick: (hit) => window.picked.push(hit), reducedMotion: true, paced, lightWorker });
  } catch (trouble) {
    window.trouble = trouble.name;
  }
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
  window.scene.drawNow();
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
