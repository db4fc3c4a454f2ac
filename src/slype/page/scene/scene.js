/**
 * The basket in the round: drawn only when something has changed, turned under finger, mouse and keys.
 */

import {
  BufferGeometry, Mesh, PerspectiveCamera, Scene as Stage, Vector3, WebGLRenderer,
} from "../vendor/three/three.module.js";
import { inHand, nameInHand } from "./apart.js";
import { Board } from "./board.js";
import { VIEW_ANGLE, axes, fitted, sizeOf, viewOf } from "./framing.js";
import { Ground } from "./ground.js";
import { Light } from "./light.js";
import { Pace } from "./pace.js";
import { strandAt } from "./picking.js";
import { lamps, reedLooks, rounded, upTo } from "./reed-look.js";
import { FLAT, Sleeve } from "./sleeve.js";
import { Smooth } from "./smooth.js";
import { StrandTable, amounts, setHatches } from "./strand-table.js";
import { Tails } from "./loose-ends.js";
import { Turntable } from "./turntable.js";

export { parse } from "./solid-file.js";

/** Thrown where the browser cannot draw in the round; the page then shows pictures drawn by Python. */
export class NoWebGL extends Error {
  constructor() {
    super("This browser draws nothing in the round: it has no WebGL 2.");
    this.name = "NoWebGL";
  }
}

/** A basket grows or shrinks so far on the screen, as a share, before it is brought back to fill the picture. */
const GROWS = 0.12;
/** How far its middle moves up or down, as a share of the eye's distance, before the view follows. */
const RISES = 0.02;
const MOST_DOTS = 2; // screen dots per dot of the page: more cost much and show little
const PAPER = { light: "#f4f0e8", dark: "#23201c" };

/** Renderers that draw without a graphics card and do not always own up to it: Chromium's, Mesa's, Windows'. */
const BY_SOFTWARE = /swiftshader|llvmpipe|softpipe|basic render/i;

/** What the browser says it draws with, as far as it tells. */
function nameOf(gl) {
  const told = gl.getExtension("WEBGL_debug_renderer_info");
  return String(gl.getParameter(told ? told.UNMASKED_RENDERER_WEBGL : gl.RENDERER));
}

/** @typedef {import("./solid-file.js").Solid} Solid */

/**
 * On its canvas it sends "drawn" for every picture (with data-full "no" where it was drawn quickly, see pace.js), and "lit" when a basket's own light has come into it (light.js): then
 * the canvas's data-lit is "yes", until then "no".
 */
export class Scene {
  /**
   * @param {HTMLCanvasElement} canvas
   * @param {object} [say]
   * @param {(hit: {strand: import("./solid-file.js").Strand | null, index: number, x: number, y: number}) => void}
   *   [say.onPick] a reed was clicked, or with null the table
   * @param {(pose: import("./turntable.js").Pose) => void} [say.onTurn]
   * @param {boolean} [say.reducedMotion]
   * @param {boolean} [say.paced] false: every drawing in full, however long it takes
   * @param {() => Worker} say.lightWorker starts openness-worker.js, from wherever the page keeps its scripts
   */
  constructor(canvas, { onPick = () => {}, onTurn = () => {}, reducedMotion = false, paced = true, lightWorker } = {}) {
    const wanted = { alpha: true, antialias: false, powerPreference: "high-performance" };
    const swift = canvas.getContext("webgl2", { ...wanted, failIfMajorPerformanceCaveat: true });
    const context = swift ?? canvas.getContext("webgl2", wanted);
    if (!context) throw new NoWebGL();
    this.canvas = canvas;
    this.say = { onPick, onTurn };
    this.renderer = new WebGLRenderer({ canvas, context });
    this.renderer.setClearColor(0, 0);
    this.smooth = new Smooth();
    this.stage = new Stage();
    this.camera = new PerspectiveCamera(VIEW_ANGLE, 1, 1, 10000);
    this.camera.up.set(0, 0, 1);
    this.table = new StrandTable();
    this.looks = reedLooks(this.table.texture);
    this.sleeve = new Sleeve();
    this.light = new Light((openness) => this.arrived(openness), lightWorker);
    this.mesh = new Mesh(new BufferGeometry(), this.looks.whole);
    this.mesh.frustumCulled = false;
    this.ground = new Ground();
    this.board = new Board(this.looks.uniforms);
    this.tails = new Tails(this.looks.uniforms);
    this.until = null;
    this.of = "";
    this.named = "outside";
    this.paced = paced;
    this.pace = new Pace(context, !swift || BY_SOFTWARE.test(nameOf(context)), () => this.draw());
    this.turntable = new Turntable(canvas, {
      turned: () => this.turned(),
      touched: (x, y) => this.touched(x, y),
      over: (x, y) => this.over(x, y),
      reset: () => this.view(this.named),
      reducedMotion,
    });
    this.watch = new ResizeObserver(() => this.resized());
    this.watch.observe(canvas);
    canvas.addEventListener("webglcontextrestored", () => this.all && this.show(this.all));
  }

  /**
   * @param {Solid} solid
   * @param {() => void} [drawn] called when the first picture of it has been drawn; never, where another came sooner
   */
  show(solid, drawn = () => {}) {
    const first = !this.solid;
    this.all = solid;
    this.whenDrawn = drawn;
    this.take();
    if (first) {
      this.stage.add(this.mesh, this.ground.mesh, this.board.mesh, this.tails.mesh);
      this.resized();
      if (!this.far) this.reframe(true); // it is not on the screen yet: fitted for it as soon as it is
      this.draw();
    } else {
      this.grown();
      this.drawNow(); // without waiting for the screen's next turn, which is up to a sixtieth of a second off
    }
  }

  /** Takes up what is in hand of the basket. */
  take() {
    const begun = performance.now();
    this.of = nameInHand(this.all, this.of);
    const solid = (this.solid = inHand(this.all, this.of));
    this.size = sizeOf(solid, this.until !== null);
    this.table.show(solid);
    this.looks.uniforms.uStrands.value = this.table.texture;
    if (this.marked) this.table.mark(this.marked);
    setHatches(this.looks.uniforms, solid.hatches);
    this.looks.uniforms.uCut.value.set(solid.cut.slant, solid.cut.knife);
    this.sleeve.show(solid, this.light.ask(solid));
    this.lit = false;
    this.canvas.dataset.lit = "no";
    if (this.paced) this.pace.changed();
    this.ground.show(solid, this.size.low);
    this.board.show(solid);
    if (this.until !== null) this.moment(this.until, this.of);
    this.built = performance.now() - begun;
  }

  /** The light of the basket on show. */
  arrived(openness) {
    this.sleeve.light(openness);
    this.lit = true;
    if (!this.pace.quick) this.draw(); // else it comes with the full drawing that follows
  }

  /** @param {Record<string, string>} palette "#rrggbb" by name */
  recolour(palette) {
    if (!this.solid) return;
    this.solid.palette = this.all.palette = { ...this.all.palette, ...palette };
    this.table.recolour(this.solid.palette);
    this.draw();
  }

  /** @param {boolean} on hatchings in place of colours, as in prints without colour */
  hatch(on) {
    this.looks.uniforms.uHatched.value = on && Boolean(this.solid?.hatches);
    this.draw();
  }

  /**
   * @param {number | null} moment only what is laid by then, the stroke in hand aglow; null for all
   * @param {string} [of] what the stroke belongs to, see apart.js
   */
  moment(moment, of = "") {
    const turned = (moment === null) !== (this.until === null);
    this.until = moment;
    this.of = moment === null ? "" : this.all ? nameInHand(this.all, of) : of;
    if (this.all && inHand(this.all, this.of) !== this.solid) {
      this.take();
      this.reframe(true);
      if (moment !== null) return; // shown so far by that
    }
    if (moment !== null) upTo(this.looks.uniforms, moment, this.solid?.worked ?? [0, this.solid?.moments ?? 0]);
    if (this.solid) {
      this.ground.upTo(moment);
      this.canvas.dataset.tails = this.tails.show(this.solid, moment).length;
      // While it is woven its ends stand high above it.
      if (turned) this.size = sizeOf(this.solid, moment !== null);
      if (turned && this.solid.strands.some((strand) => strand.until !== null)) this.reframe(false);
    }
    this.draw();
  }

  /** The whole basket as it is finished, or as far as it is woven. */
  drawnPart() {
    const { quick } = this.pace;
    const sides = quick ? FLAT : this.sleeve.sides;
    this.mesh.material = this.looks[`${this.until === null ? "whole" : "part"}${quick ? "Flat" : ""}`];
    const { many, bare, stays } = this.sleeve.rings;
    const rings = this.until !== null ? many : this.named === "inside" ? bare : stays;
    this.mesh.geometry = this.sleeve.geometry(rings, sides);
    rounded(this.looks.uniforms, this.sleeve, sides);
  }

  /** @param {((strand: import("./solid-file.js").Strand, index: number) => boolean) | null} predicate */
  mark(predicate) {
    this.marked = predicate;
    if (this.solid) this.table.mark(predicate);
    this.draw();
  }

  /** @param {import("./framing.js").View} name */
  view(name) {
    this.named = name;
    if (!this.solid) return;
    this.turntable.go(this.poseOf(name));
  }

  /** @param {"light" | "dark"} name */
  theme(name) {
    this.ground.theme(name);
    this.looks.uniforms.uPaper.value.set(...amounts(PAPER[name] ?? PAPER.light));
    this.draw();
  }

  dispose() {
    cancelAnimationFrame(this.waiting);
    this.watch.disconnect();
    this.turntable.dispose();
    this.pace.dispose();
    this.sleeve.dispose();
    this.light.dispose();
    for (const name of ["whole", "part", "wholeFlat", "partFlat"]) this.looks[name].dispose();
    this.table.texture.dispose();
    this.ground.dispose();
    this.board.dispose();
    this.smooth.dispose();
    this.tails.dispose();
    this.renderer.dispose();
  }

  // The eye -------------------------------------------------------------------------------------------------------

  get aspect() {
    return (this.canvas.clientWidth || 1) / (this.canvas.clientHeight || 1);
  }

  /** Takes the basket's size anew, and goes back to the view by name where nobody has turned it since. */
  reframe(atOnce) {
    this.middle = [0, 0, (this.size.low + this.size.high) / 2];
    ({ far: this.far, up: this.raised } = this.fitted(viewOf("outside", this.solid, this.size)));
    if (this.turntable.byHand) this.turned();
    else if (atOnce) this.turntable.set(this.poseOf(this.named));
    else this.turntable.go(this.poseOf(this.named));
  }

  grown() {
    const { far, up } = this.fitted(viewOf("outside", this.solid, this.size));
    // A handle may fit the width and still stand out above.
    if (Math.abs(far / this.far - 1) > GROWS || Math.abs(up - this.raised) > RISES * far) this.reframe(false);
  }

  fitted(view) {
    return fitted(this.solid, view, this.middle, this.aspect, this.until !== null);
  }

  poseOf(name) {
    return this.poseFor(viewOf(name, this.solid, this.size));
  }

  /** @param {{around: number, up: number, from: number, bare?: boolean}} view see framing.js */
  poseFor(view) {
    const fit = this.fitted(view);
    const high = 2 * fit.far * Math.tan((VIEW_ANGLE / 360) * Math.PI);
    return { around: view.around, up: view.up, zoom: this.far / fit.far, pan: [-fit.right / high, -fit.up / high] };
  }

  turned() {
    if (this.paced) this.pace.moved();
    this.draw();
    this.say.onTurn(this.turntable.pose);
  }

  place() {
    const { pose } = this.turntable;
    const { right, up, back } = axes(pose.around, pose.up);
    const far = this.far / pose.zoom;
    const high = 2 * far * Math.tan((VIEW_ANGLE / 360) * Math.PI);
    const at = this.middle.map((v, i) => v - (pose.pan[0] * right[i] + pose.pan[1] * up[i]) * high);
    this.camera.position.set(...at.map((v, i) => v + far * back[i]));
    this.camera.up.set(...up);
    this.camera.lookAt(new Vector3(...at));
    const reach = Math.hypot(this.ground.side, this.size.high - this.size.low);
    this.camera.near = Math.max(far - reach, far / 100);
    this.camera.far = far + reach;
    this.camera.aspect = this.aspect;
    this.camera.updateProjectionMatrix();
    this.camera.updateMatrixWorld();
    lamps(this.looks.uniforms, this.camera, Math.min(1, Math.max(0, (pose.up - 0.5) / 0.4)));
    // Seen from below, the table would hide the basket.
    this.ground.mesh.visible = pose.up > 0.03;
  }

  resized() {
    const { clientWidth, clientHeight } = this.canvas;
    if (!clientWidth || !clientHeight) return;
    this.fitDots();
    if (this.solid) this.reframe(true);
  }

  /** As many dots as the screen has, fewer where drawing does not keep up with the hand. */
  fitDots() {
    const { clientWidth, clientHeight } = this.canvas;
    const ratio = Math.min(MOST_DOTS, window.devicePixelRatio || 1) * this.pace.share;
    const [wide, high] = [Math.floor(clientWidth * ratio), Math.floor(clientHeight * ratio)];
    if (!wide || !high || (wide === this.canvas.width && high === this.canvas.height)) return;
    this.renderer.setPixelRatio(ratio);
    this.renderer.setSize(clientWidth, clientHeight, false);
  }

  // Drawing -------------------------------------------------------------------------------------------------------

  /** Draws before the screen is next shown. */
  draw() {
    this.waiting ??= requestAnimationFrame(() => {
      this.waiting = undefined;
      this.drawNow();
    });
  }

  drawNow() {
    if (!this.solid || !this.far) return;
    cancelAnimationFrame(this.waiting);
    this.waiting = undefined;
    const begun = performance.now();
    this.drawnPart();
    this.fitDots();
    this.place();
    const { quick } = this.pace;
    if (quick) {
      this.renderer.render(this.stage, this.camera);
      this.triangles = this.renderer.info.render.triangles;
    } else this.triangles = this.smooth.draw(this.renderer, this.stage, this.camera);
    this.pace.drawn();
    const detail = {
      revision: this.solid.revision,
      form: this.solid.form,
      of: this.of,
      pose: this.turntable.pose,
      ms: performance.now() - begun,
      built: this.built,
      quick,
      triangles: this.triangles,
    };
    this.canvas.dataset.full = quick ? "no" : "yes";
    this.canvas.dispatchEvent(new CustomEvent("drawn", { detail }));
    const { whenDrawn } = this;
    this.whenDrawn = null;
    whenDrawn?.();
    if (this.lit && !quick && this.canvas.dataset.lit !== "yes") {
      this.canvas.dataset.lit = "yes";
      this.canvas.dispatchEvent(new CustomEvent("lit", { detail }));
    }
  }

  // Picking -------------------------------------------------------------------------------------------------------

  /** From mm to the screen, -1 to 1, as it was last placed. */
  get matrix() {
    return this.camera.projectionMatrix.clone().multiply(this.camera.matrixWorldInverse);
  }

  /** Where points of the basket's space, mm, are on the canvas: dots right, dots down, mm from the eye. */
  onScreen() {
    const m = this.matrix.elements;
    const { clientWidth, clientHeight } = this.canvas;
    return ([x, y, z]) => {
      const w = m[3] * x + m[7] * y + m[11] * z + m[15];
      const along = (i) => (m[i] * x + m[i + 4] * y + m[i + 8] * z + m[i + 12]) / w;
      return [((along(0) + 1) / 2) * clientWidth, ((1 - along(1)) / 2) * clientHeight, w];
    };
  }

  strandUnder(x, y) {
    if (!this.solid || !this.far) return -1;
    this.place();
    const { clientWidth, clientHeight } = this.canvas;
    const { matrix } = this;
    const scale = clientHeight / 2 / Math.tan((VIEW_ANGLE / 360) * Math.PI);
    return strandAt(this.solid, matrix, clientWidth, clientHeight, x, y, scale, this.until);
  }

  touched(x, y) {
    const index = this.strandUnder(x, y);
    this.say.onPick({ strand: this.solid?.strands[index] ?? null, index, x, y });
  }

  over(x, y) {
    this.hovered = [x, y];
    this.hovering ??= requestAnimationFrame(() => {
      this.hovering = undefined;
      this.canvas.style.cursor = this.strandUnder(...this.hovered) < 0 ? "grab" : "pointer";
    });
  }
}
