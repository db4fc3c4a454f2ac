/**
 * The basket itself: in space where the browser can, else as a vector picture; outside, inside, from above and below,
 * or with the wall unrolled. First as stacked rows, at once; then with its reeds at rest. It says which is shown.
 */

import { bytes, file } from "../base/api.js";
import { h, renew } from "../../../../page/h.js";
import * as player from "./player.js";
import { say } from "../base/words.js";

export const VIEWS = [
  ["outside", "Outside"],
  ["inside", "Inside"],
  ["above", "Above"],
  ["under", "Under"],
  ["unrolled", "Unrolled"],
];

const MARKED_MS = 1600;

export class Basket {
  view = "outside";
  hatched = false;
  scene = null;
  noScene = "";
  shown = { text: "", form: "" };
  #asked = 0;
  #url = null;

  /** @param {HTMLElement} root @param {import("../base/store.js").Store} store @param {(pick: object) => void} onPick */
  constructor(root, store, onPick) {
    this.root = root;
    this.store = store;
    this.canvas = h("canvas", { tabindex: "0", "aria-label": "The basket in space. Arrow keys turn it.", role: "img" });
    this.flat = h("div.flat", { hidden: true, tabindex: "0", role: "group", "aria-label": "picture, to scroll" });
    this.image = h("img", { alt: "" });
    this.flat.append(this.image, h("p.drawing", { role: "status" }, "Drawing …"));
    this.chip = h("p.which", { role: "status" });
    this.stage = h("div.stage", {}, this.canvas, this.flat, this.chip);
    this.bar = h("div.viewbar", {});
    this.player = h("div.player", {});
    root.append(h("h2.seen-by-ear", {}, "The basket"), this.stage, this.bar, this.player);
    this.onPick = onPick;
  }

  async begin() {
    try {
      const { Scene, parse } = await import("../../../../page/scene/scene.js");
      this.parse = parse;
      this.scene = new Scene(this.canvas, {
        onPick: this.onPick,
        onTurn: (pose) => this.canvas.dispatchEvent(new CustomEvent("turned", { detail: pose })),
        reducedMotion: matchMedia("(prefers-reduced-motion: reduce)").matches,
        lightWorker: () => new Worker(new URL("../../../../page/scene/openness-worker.js", import.meta.url), { type: "module" }),
      });
      this.scene.theme(document.documentElement.dataset.theme);
    } catch (trouble) {
      this.noScene = "This browser cannot draw in space (no WebGL 2), so the picture is drawn in lines.";
      console.info(String(trouble?.message ?? trouble));
      this.canvas.hidden = true;
    }
  }

  /** Whether a drawing by the program is shown: not while what draws in space is still on its way. */
  get flatNow() {
    return this.view === "unrolled" || this.noScene !== "";
  }

  /** The document or its reeds have changed: fetch what is missing. */
  async follow() {
    const state = this.store.state;
    if (!state) return;
    const asked = ++this.#asked;
    const fresh = () => asked === this.#asked && this.store.id === state.id;
    this.draw();
    if (!state.look) return; // cannot be woven: the last picture stays
    const wanted = state.look.relaxed ? "relaxed" : "stacked";
    try {
      if (this.scene && (this.shown.revision !== state.revision || this.shown.form !== wanted || this.shown.id !== state.id)) {
        const raw = this.store.solid ?? (await bytes(`baskets/${state.id}/solid?form=${wanted}`));
        if (!fresh()) return;
        this.store.solid = null;
        this.solid = this.parse(raw);
        this.shown = { revision: state.revision, form: wanted, id: state.id };
        this.store.have = `${state.id}.${state.revision}.${wanted}`;
        const [shown, edited] = [this.shown, this.store.editedAt];
        this.scene.show(this.solid, () => this.#isSeen(shown, edited));
        player.follow(this, this.store);
      }
      if (this.flatNow) await this.#drawFlat(state, fresh);
    } catch (trouble) {
      if (!trouble.offline && !trouble.stale && fresh()) this.store.say("trouble", { text: trouble.message });
    }
    if (fresh()) this.draw();
  }

  /** Says that a basket has come into the picture, and how many ms after the change it came from. */
  #isSeen(shown, edited) {
    const now = performance.now();
    this.canvas.dispatchEvent(new CustomEvent("shown", { detail: { ...shown, since: now - (edited ?? now) } }));
  }

  async #drawFlat(state, fresh) {
    const solid = this.view !== "unrolled";
    const wanted = `${state.id} ${state.revision} ${this.view} ${this.hatched} ${solid && state.look.relaxed}`;
    if (this.flatShown === wanted) return;
    this.flat.classList.add("waiting");
    const query = `view=${this.view}${solid ? "" : "&dots=1"}${solid && state.look.relaxed ? "&relaxed=1" : ""}${solid && this.hatched ? "&hatched=1" : ""}`;
    const { blob } = await file(`baskets/${state.id}/picture?${query}`);
    if (!fresh()) return;
    if (this.#url) URL.revokeObjectURL(this.#url);
    this.#url = URL.createObjectURL(blob);
    this.image.src = this.#url;
    await this.image.decode().catch(() => {});
    this.flat.classList.remove("waiting");
    this.image.alt = `${state.title}, ${VIEWS.find(([key]) => key === this.view)[1].toLowerCase()}`;
    this.flatShown = wanted;
  }

  turnTo(view) {
    this.view = view;
    this.draw(); // the canvas must have its size back before the view is fitted to it
    if (this.scene && view !== "unrolled") requestAnimationFrame(() => requestAnimationFrame(() => this.view === view && this.scene.view(view)));
    this.follow();
  }

  hatch(on = !this.hatched) {
    this.hatched = on;
    this.scene?.hatch(on);
    this.follow();
  }

  theme(theme) {
    this.scene?.theme(theme);
  }

  /** The open band stands out; the others step back. */
  markBand() {
    const band = this.store.band;
    this.scene?.mark(band === null ? null : (strand) => strand.band === band);
    clearTimeout(this.marking);
    // Only for a moment: colours are judged beside each other.
    this.marking = setTimeout(() => this.scene?.mark(null), MARKED_MS);
  }

  draw() {
    const state = this.store.state;
    this.canvas.hidden = this.flatNow;
    this.flat.classList.toggle("long", this.view === "unrolled");
    this.flat.hidden = !this.flatNow;
    renew(this.chip, this.which(state));
    document.body.classList.toggle("playing", player.playing());
    this.stage.classList.toggle("old", Boolean(state && !state.look));
    renew(
      this.bar,
      h(
        "div.views",
        { role: "group", "aria-label": "seen from" },
        VIEWS.map(([key, name]) => h("button", { type: "button", "aria-pressed": key === this.view ? "true" : "false", data: { do: "view", view: key } }, name)),
      ),
      h("button", { type: "button", "aria-pressed": this.hatched ? "true" : "false", data: { do: "hatch" }, title: say(this.store, "Patterns instead of {colour}: for prints without {colour} and for {colour}-blind eyes") }, "Hatching"),
      h("button", { type: "button", "aria-pressed": player.playing() ? "true" : "false", data: { do: "play" } }, "Watch it woven"),
    );
  }

  which(state) {
    if (!state) return "";
    if (!state.look) return this.shown.id === state.id ? "Cannot be woven now; this is how it was" : "Cannot be woven yet";
    const note = this.noScene ? `${this.noScene} ` : "";
    if (this.view === "unrolled") return `${note}Quick picture`;
    if (state.look.relaxed) return `${note}Settled${state.look.unsettled ? `, ${state.look.unsettled}` : ""}`;
    const share = this.store.resting;
    return `${note}Quick picture${share === null ? "" : share < 1 ? `, settling ${Math.floor(share * 100)} %` : ", settled in a moment"}`;
  }
}
