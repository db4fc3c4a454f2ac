// The page that bench_solid.py opens: how long reeds take to build, and the picture to be drawn.
import { Scene, parse } from "./js/solid.js";
import { opennessOf } from "./js/openness.js";
import { Rings } from "./js/tube.js";

const scene = new Scene(document.querySelector("canvas"), { reducedMotion: true });
const rings = new Rings();
const pixel = new Uint8Array(4);

/** Milliseconds until the picture is there: one dot of it is read back, which waits for all. */
function frame() {
  const begun = performance.now();
  scene.turntable.turn(0.05, 0);
  scene.drawNow();
  const gl = scene.renderer.getContext();
  gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, pixel);
  return performance.now() - begun;
}

function median(work, again) {
  const times = Array.from({ length: again }, work).sort((a, b) => a - b);
  return times[again >> 1];
}

function timed(work) {
  const begun = performance.now();
  work();
  return performance.now() - begun;
}

window.measure = async (name, again) => {
  const bytes = await (await fetch(name)).arrayBuffer();
  const solid = parse(bytes);
  scene.show(solid);
  frame();
  const turning = median(frame, again);
  scene.mesh.visible = false;
  const empty = median(frame, again);
  scene.mesh.visible = true;
  return {
    triangles: scene.renderer.info.render.triangles,
    turning,
    empty,
    openness: median(() => timed(() => opennessOf(solid)), again),
    skin: median(() => timed(() => rings.show(solid)), again),
    show: median(() => timed(() => scene.show(solid)), again),
    pick: median(() => timed(() => scene.strandUnder(300, 200)), again),
  };
};
window.ready = true;
