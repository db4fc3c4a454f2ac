// The page that bench_solid.py opens: how long a basket takes until it can be drawn, and frames by the dozen.
import { Scene, parse } from "./scene/scene.js";
import { opennessOf } from "./scene/openness.js";
import { Rings } from "./scene/tube.js";

const canvas = document.querySelector("canvas");
const lightWorker = () => new Worker("/scene/openness-worker.js", { type: "module" });
const scene = new Scene(canvas, { reducedMotion: true, paced: false, lightWorker });
const gl = scene.renderer.getContext();
const dot = new Uint8Array(4);
const rings = new Rings();
let bytes;
// Frames are drawn when they are asked for here and at no other time, and nobody watches how long they take.
scene.draw = () => {};
scene.pace.drawn = () => {};

/** Milliseconds until the picture is there: one dot of it is read back, which waits for all. */
function frame(full) {
  scene.mesh.visible = full;
  const begun = performance.now();
  scene.turntable.turn(0.05, 0);
  scene.drawNow();
  gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, dot);
  return performance.now() - begun;
}

/** Milliseconds of `work`, sorted, after a few times to get warm. */
function times(work, again) {
  for (let i = 0; i < 3; i++) work();
  return Array.from({ length: again }, () => {
    const begun = performance.now();
    work();
    return performance.now() - begun;
  }).sort((a, b) => a - b);
}

window.show = async (name) => {
  bytes = await (await fetch(name)).arrayBuffer();
  scene.show(parse(bytes));
  scene.drawNow();
  while (!scene.lit) await new Promise((rested) => setTimeout(rested, 10));
};

/** The canvas's size in dots of the page, and how many of the basket's triangles are drawn. */
window.set = async (wide, high, triangles) => {
  canvas.style.width = `${wide}px`;
  canvas.style.height = `${high}px`;
  await new Promise((rested) => setTimeout(rested, 100));
  scene.mesh.visible = true;
  scene.drawnPart();
  if (triangles) scene.mesh.geometry.setDrawRange(0, 3 * triangles);
  scene.drawNow();
  return { ...counted(), triangles: scene.triangles - 2, sides: scene.sleeve.sides };
};

/** As many frames, full or empty, in milliseconds. */
window.frames = (full, many) => Array.from({ length: many }, () => frame(full));

/** From a basket's bytes to the call that draws it, and the parts of that, in milliseconds, sorted. */
window.built = (again) => {
  const solid = parse(bytes);
  return {
    all: times(() => {
      scene.show(parse(bytes));
      scene.drawNow();
    }, again),
    rings: times(() => rings.show(solid), again),
    openness: times(() => opennessOf(solid), again),
    pick: times(() => scene.strandUnder(300, 200), again),
  };
};

/** How many dots the basket covers, and how many are drawn for them, with what is hidden later and all in all. */
function counted() {
  const look = scene.mesh.material;
  const count = look.clone();
  Object.assign(count, { uniforms: look.uniforms, fragmentShader: "out vec4 one; void main() { one = vec4(1.0 / 255.0); }" });
  Object.assign(count, { blending: 5, blendEquation: 100, blendSrc: 201, blendDst: 201, transparent: true });
  scene.mesh.material = count;
  scene.place();
  const all = (depthTest) => {
    count.depthTest = depthTest;
    const { ground } = scene;
    scene.stage.remove(ground.mesh);
    scene.renderer.render(scene.stage, scene.camera);
    scene.stage.add(ground.mesh);
    const found = new Uint8Array(4 * canvas.width * canvas.height);
    gl.readPixels(0, 0, canvas.width, canvas.height, gl.RGBA, gl.UNSIGNED_BYTE, found);
    let [sum, covered] = [0, 0];
    for (let i = 0; i < found.length; i += 4) {
      sum += found[i];
      covered += found[i] > 0;
    }
    return [sum, covered];
  };
  const [drawn, covered] = all(true);
  const [layers] = all(false);
  scene.mesh.material = look;
  count.dispose();
  return { covered, drawn, layers, dots: canvas.width * canvas.height };
}
window.ready = true;
