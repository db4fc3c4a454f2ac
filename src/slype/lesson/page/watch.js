/**
 * Watching the basket woven: play, slow, step, repeat, jump. It has a place of its own, so that looking ahead does not
 * lose the place that is counted at the bench; and shows what is done beside the basket where its turn comes.
 */

import { h, renew } from "../../page/h.js";
import { figure } from "./figures.js";
import { Flat } from "./flat.js";
import { jump } from "./goto.js";
import { cardTold } from "./more.js";
import { Numbers, marksOf } from "./numbers.js";
import { whereTold } from "./order.js";
import { scrolled } from "./scrolled.js";

const MOVE_MS = 600; // a stroke at full pace
const SLOW = 3; // times as long
const STILL_MS = 700; // before a repeated stroke begins anew
const READ_MS = 4000; // a step beside the basket is shown so long while it plays

export class Watch {
  constructor(lesson) {
    this.lesson = lesson;
    this.canvas = h("canvas", { tabindex: "0", role: "img", "aria-label": "The basket as far as it is woven. Arrow keys turn it." });
    this.plain = h("canvas", { hidden: true, role: "img", "aria-label": "The basket as far as it is woven." });
    this.note = h("p.note", { role: "status" }, "Drawing …");
    this.numbers = new Numbers();
    this.drawn = h("div.drawings", { hidden: true });
    this.panel = h("div.panel", {});
    this.root = h("section", { id: "watch", "aria-label": "Watch it woven" }, h("div.stage", {}, this.canvas, this.plain, this.numbers.root, this.drawn, this.note), this.panel);
    this.scene = null;
    this.follower = null;
    this.running = false;
    this.slow = false;
    this.repeats = false;
    this.picking = false;
    this.part = 1;
    new ResizeObserver(() => this.show(this.part)).observe(this.canvas); // it fits what is worked on anew
  }

  /** How many moves are done, and which card is shown (0: none): see `Order.by`. */
  get now() {
    const { watch, card } = this.lesson.chosen;
    return { place: watch, card: this.lesson.order.card(card)?.after === watch ? card : 0 };
  }

  get at() {
    return this.now.place;
  }

  // The basket ----------------------------------------------------------------------------------------------------

  /** @param {object} packed what main.js has unpacked, or how to */
  async open(packed) {
    this.packed = packed;
    const mirrored = this.lesson.chosen.hand === "left";
    this.solid = packed.solidOf(packed.basket, mirrored);
    this.flat = new Flat(this.plain, this.solid);
    try {
      const light = URL.createObjectURL(new Blob([await packed.light()], { type: "text/javascript" }));
      const script = document.createElement("script");
      script.textContent = await packed.scene();
      document.head.append(script);
      const { Scene, Follower } = globalThis.slypeScene;
      const reducedMotion = matchMedia("(prefers-reduced-motion: reduce)").matches;
      this.scene = new Scene(this.canvas, { reducedMotion, lightWorker: () => new Worker(light) });
      this.canvas.addEventListener("drawn", () => this.number());
      this.follower = new Follower(reducedMotion);
      this.dress();
      [this.scene.until, this.scene.of] = [this.place(), this.of]; // as far as it is woven, from the first picture on
      this.scene.show(this.solid, () => (this.note.hidden = true));
    } catch (trouble) {
      console.info(String(trouble?.message ?? trouble));
      this.canvas.hidden = true;
      this.plain.hidden = false;
      renew(this.note, "drawn flat: this browser cannot draw in the round");
    }
    this.showNow();
    document.documentElement.dataset.drawn = "yes";
  }

  /** The other hand's basket. */
  mirror() {
    if (!this.packed) return;
    this.solid = this.packed.solidOf(this.packed.basket, this.lesson.chosen.hand === "left");
    this.flat.all = this.solid;
    this.follower?.release();
    this.scene?.show(this.solid);
    this.show();
  }

  dress() {
    this.scene?.theme(document.documentElement.dataset.theme);
    this.scene?.hatch(Boolean(this.lesson.chosen.hatched));
    this.flat?.draw();
    this.number();
  }

  /** The moment as which the work is held and looked at: a card read before a step's moves is seen as they are, one read
   * after them as the last of them; 0 where nothing is begun. */
  get held() {
    const { place, card } = this.now;
    const read = this.lesson.order.card(card);
    if (!card || (read.step.first && place >= read.step.first)) return place;
    const { first } = read.step;
    return first || (place && place < this.lesson.order.moments) ? Math.max(1, Math.min(this.lesson.order.moments, first || place + 1)) : place;
  }

  /** How far the basket is drawn, in moments; null for the finished one, before the first move and after the last. */
  place() {
    const { place, card } = this.now;
    if ((!place && !this.held) || (card && place >= this.lesson.order.moments)) return null;
    return card ? place : Math.max(0, place - 1 + this.part);
  }

  /** What is in hand: "" the basket, or what is woven by itself (see page/scene/apart.js). */
  get of() {
    const { told } = this.lesson;
    return this.held ? told.parts[told.part[this.held - 1]].of : "";
  }

  /** Shows the basket at a place, before the screen is next drawn; between two places while a stroke is under way. */
  show(part = 1) {
    this.part = part;
    this.showing ??= requestAnimationFrame(() => this.showNow());
  }

  showNow() {
    cancelAnimationFrame(this.showing);
    this.showing = undefined;
    if (!this.solid || this.root.hidden) return;
    const place = this.place();
    const seen = this.lesson.order.seen();
    this.mark();
    if (this.scene) {
      this.scene.moment(place, this.of);
      // Space 1 is found before the first row: then the ends that are counted are looked at, not where that row will be.
      const { card } = this.now;
      if (this.held) this.follower.to(this.scene, seen, this.held, card ? seen.parts[this.lesson.order.card(card).step.part] : undefined);
      else {
        this.follower.release();
        this.scene.view("outside");
      }
    } else {
      this.flat?.show(place ?? this.lesson.order.moments, place === null ? "" : this.of, seen.around[this.held - 1] ?? 0, seen.up[this.held - 1] ?? 20);
      this.number();
    }
  }

  /** Which numbers stand at the basket now. */
  mark() {
    const { order, chosen, told } = this.lesson;
    const { place, card } = this.now;
    const part = card ? order.card(card).step.part : place ? told.part[place - 1] : -1;
    const none = part < 0 || !chosen.numbers || (card && !place); // nothing lies there yet
    const next = card && told.part[place] === part ? place + 1 : 0; // a card points at the space in which the work goes on
    const shown = { part, moment: card ? 0 : place, rows: card ? place : 0, next };
    this.numbers.show(none ? { whole: false, marks: [] } : marksOf(told, shown, chosen.hand === "left"), none ? null : order.words(part), !card && place > 0);
  }

  number() {
    this.mark();
    this.numbers.place(this.scene ? this.scene.onScreen() : this.flat?.onScreen() ?? null);
  }

  // Playing -------------------------------------------------------------------------------------------------------

  go(place, card = 0) {
    this.lesson.places.choose({ watch: Math.max(0, Math.min(this.lesson.order.moments, place)), card });
    if (this.lesson.tab === "watch") this.draw();
    this.panel.querySelector(".words")?.scrollTo(0, 0); // each is read from its beginning
    this.show();
    if (this.lesson.chosen.says && (this.at || card)) this.lesson.voice.say(this.words());
  }

  by(on) {
    const next = this.lesson.order.by(this.now, on);
    this.go(next.place, next.card);
  }

  run() {
    if (this.running) return this.stop();
    this.running = true;
    const { order } = this.lesson;
    if (!this.repeats && this.at >= order.moments) this.lesson.places.choose({ watch: 0, card: 0 });
    if (!this.repeats && !this.at && !this.now.card) {
      const first = order.begins(order.chapters.find((each) => each.first).number); // where there is something to watch
      this.go(first.place, first.card);
    }
    this.begun = performance.now();
    if (this.repeats && !this.at) this.go(1);
    this.waiting = requestAnimationFrame((now) => this.step(now));
    this.draw();
  }

  stop() {
    cancelAnimationFrame(this.waiting);
    if (!this.running) return;
    this.running = false;
    this.repeats = false;
    this.show();
    this.draw();
  }

  /** One picture of a running play. */
  step(now) {
    if (!this.running) return;
    const long = (this.now.card ? READ_MS : MOVE_MS) * (this.slow || this.repeats ? SLOW : 1);
    const part = (now - this.begun) / long;
    if (this.repeats) {
      if (part > 1 + STILL_MS / long) this.begun = now;
      this.part = Math.min(1, Math.max(0.01, part));
      this.showNow();
    } else if (part >= 1) {
      this.begun = now;
      const before = this.now;
      this.by(1);
      if (before.place === this.at && before.card === this.now.card) return this.stop();
    }
    this.waiting = requestAnimationFrame((next) => this.step(next));
  }

  does = {
    play: () => this.run(),
    by: (lesson, { by }) => this.halted(() => this.by(Number(by))),
    slow: () => {
      this.slow = !this.slow;
      this.draw();
    },
    repeat: () => {
      const on = !this.repeats;
      this.stop();
      if (!on) return;
      if (this.now.card) this.go(this.at);
      this.repeats = true;
      this.run();
    },
    say: (lesson) => lesson.voice.say(this.words()),
    pick: () => {
      this.stop();
      this.picking = !this.picking;
      this.draw();
      this.panel.querySelector(this.picking ? "select" : "[data-do=pick]")?.focus({ preventScroll: true });
    },
    to: (lesson, { value }) => this.halted(() => (String(value).startsWith("step") ? this.toStep(Number(value.slice(5))) : this.go(Number(value)))),
    here: (lesson) => {
      this.picking = false;
      this.halted(() => this.go(Math.min(lesson.order.moments, lesson.places.basket.done + 1)));
    },
    mine: (lesson) => {
      this.picking = false;
      const { card } = this.now;
      lesson.places.go(this.at);
      // Of the steps beside the basket those are done that come before what is shown, and that one itself.
      lesson.places.did(card ? lesson.order.card(card).step.number : lesson.order.chapter(this.at).number);
      lesson.turnTo("count");
    },
  };

  /** To a step of the handout: what is done before its first move, or that. */
  toStep(number) {
    const { place, card } = this.lesson.order.begins(number);
    if (card && !this.lesson.order.card(card).step.first) this.picking = false; // its words stand where the choice stood
    return this.go(place, card);
  }

  halted(then) {
    this.stop();
    then();
  }

  key(event) {
    const inField = event.target.closest?.("button, select, input, summary, a");
    const turning = event.target === this.canvas && event.key.startsWith("Arrow");
    const does = {
      ArrowRight: () => this.does.by(null, { by: 1 }),
      ArrowLeft: () => this.does.by(null, { by: -1 }),
      PageDown: () => this.does.by(null, { by: 1 }),
      PageUp: () => this.does.by(null, { by: -1 }),
      Escape: () => this.picking && this.does.pick(),
      " ": () => !inField && this.run(),
    }[event.key];
    if (!does || turning || (inField && event.target.matches("select, input") && event.key !== "Escape")) return;
    if (event.key === " " && inField) return;
    event.preventDefault();
    does();
  }

  // The panel -----------------------------------------------------------------------------------------------------

  /** What is said of where one is, for the device's voice. */
  words() {
    const { order } = this.lesson;
    const { place, card } = this.now;
    if (card) return [order.card(card).step.title, ...order.card(card).care.flat(), ...order.card(card).does].join(" ");
    return place ? order.sentence(place) : OPENING;
  }

  draw() {
    const { order, told, voice } = this.lesson;
    const { place, card } = this.now;
    const chapter = card ? order.card(card).step : order.chapter(place);
    const opening = !place && !card;
    this.panel.classList.toggle("picking", this.picking);
    // What is read away from the work has more of the screen than the picture.
    this.panel.classList.toggle("reading", Boolean(card) && (order.card(card).step.part < 0 || order.card(card).care.length > 0));
    const part = card ? chapter.part : place ? told.part[place - 1] : -1;
    const cross = told.parts[part]?.part === "cross" && place > 0 && `Drawn opened out, so that each end has its number: your ${order.words(part).spoke}s lie straight.`;
    const shown = card && order.card(card).begins && told.drawings ? order.card(card).step.drawn : [];
    this.drawn.hidden = !shown.length;
    this.drawn.toggleAttribute("data-many", shown.length > 1);
    renew(this.drawn, shown.map((at) => figure(this.lesson, order.hand, "steps", at)));
    const button = (name, does, label, more = {}) => h("button", { type: "button", "aria-label": label, data: { do: does, ...more.data }, disabled: more.disabled, "aria-pressed": more.pressed }, name);
    renew(
      this.panel,
      opening
        ? h("p.where", {}, h("b", {}, told.title), h("span.count", {}, `${order.chapters.length} steps`))
        : h("p.where", {}, h("span.chapter", {}, chapter.chapter), h("b", {}, `${chapter.number}. ${chapter.title}`), h("span.count", {}, card ? whenTold(order.card(card)) : whereTold(order, place))),
      this.picking
        ? jump(this.lesson, this.now)
        : h("div.words", { tabindex: "0", role: "region", "aria-label": "what to do", "aria-live": this.running ? "off" : "polite", data: { key: "words" } }, card ? cardTold(this.lesson, order.card(card), false) : h("p", {}, this.words()), cross && h("p.hint.beside", {}, cross)),
      !this.picking &&
        h(
          "div.keys",
          { role: "group", "aria-label": "strokes", data: { key: "keys" } }, // the same element whatever comes and goes above
          button("‹", "by", "back", { data: { by: -1 } }),
          button(this.running && !this.repeats ? "❚❚" : "▶", "play", this.running ? "stop" : "play"),
          button("›", "by", "on", { data: { by: 1 } }),
          button("Again", "repeat", "repeat this stroke", { pressed: String(this.repeats), disabled: Boolean(card) || !place }),
          button("Slow", "slow", "slowly", { pressed: String(this.slow) }),
          voice.can && button("Say it", "say", "say it aloud"),
          button("Go to …", "pick", `go to a step, a row or a ${told.terms.spoke}`),
        ),
      h("div.progress", { "aria-hidden": "true", data: { key: "progress" } }, h("i", { style: { width: `${(100 * place) / order.moments}%` } })),
    );
    this.lesson.headed();
    scrolled();
  }
}

/** When a card is read: before the step's moves, between or after them. */
function whenTold({ after, care, step }) {
  if (care.length) return "take care";
  if (!step.first) return "beside the basket";
  return after < step.first ? "before you begin" : after < step.last ? "meanwhile" : "then";
}

const OPENING = "This is the basket you will weave. Press › to make it: first what to cut, then one thing at a time. Or ▶ to watch it woven: what glows is what moves.";
