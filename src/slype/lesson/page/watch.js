/**
 * Watching the basket woven: play, slow, step, repeat, jump. It has a place of its own, so that looking ahead does not
 * lose the place that is counted at the bench.
 */

import { h, renew } from "../../page/h.js";
import { Flat } from "./flat.js";
import { before } from "./more.js";

const MOVE_MS = 600; // a stroke at full pace
const SLOW = 3; // times as long
const STILL_MS = 700; // before a repeated stroke begins anew

export class Watch {
  constructor(lesson) {
    this.lesson = lesson;
    this.canvas = h("canvas", { tabindex: "0", role: "img", "aria-label": "The basket as far as it is woven. Arrow keys turn it." });
    this.plain = h("canvas", { hidden: true, role: "img", "aria-label": "The basket as far as it is woven." });
    this.note = h("p.note", { role: "status" }, "Drawing …");
    this.panel = h("div.panel", {});
    this.root = h("section", { id: "watch", "aria-label": "Watch it woven" }, h("div.stage", {}, this.canvas, this.plain, this.note), this.panel);
    this.scene = null;
    this.follower = null;
    this.running = false;
    this.slow = false;
    this.repeats = false;
    this.picking = false;
    this.part = 1;
  }

  get at() {
    return this.lesson.chosen.watch;
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
      this.follower = new Follower(reducedMotion);
      this.dress();
      this.scene.until = this.at; // as far as it is woven, from the first picture on
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
    this.flat.solid = this.solid;
    this.follower?.release();
    this.scene?.show(this.solid);
    this.show();
  }

  dress() {
    this.scene?.theme(document.documentElement.dataset.theme);
    this.scene?.hatch(Boolean(this.lesson.chosen.hatched));
    this.flat?.draw();
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
    const place = Math.max(0, this.at - 1 + this.part);
    const seen = this.lesson.order.seen();
    if (this.scene) {
      this.scene.moment(place);
      if (this.at) this.follower.to(this.scene, seen, this.at);
    } else this.flat?.show(place, seen.around[this.at - 1] ?? 0, seen.up[this.at - 1] ?? 20);
  }

  // Playing -------------------------------------------------------------------------------------------------------

  go(place) {
    this.lesson.places.choose({ watch: Math.max(0, Math.min(this.lesson.order.moments, place)) });
    if (this.lesson.tab === "watch") this.draw();
    this.show();
    if (this.lesson.chosen.says && this.at) this.lesson.voice.say(this.lesson.order.sentence(this.at));
  }

  run() {
    if (this.running) return this.stop();
    this.running = true;
    if (!this.repeats && this.at >= this.lesson.order.moments) this.lesson.places.choose({ watch: 0 });
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
    const long = MOVE_MS * (this.slow || this.repeats ? SLOW : 1);
    const part = (now - this.begun) / long;
    if (this.repeats) {
      if (part > 1 + STILL_MS / long) this.begun = now;
      this.part = Math.min(1, Math.max(0.01, part));
      this.showNow();
    } else if (part >= 1) {
      this.begun = now;
      if (this.at >= this.lesson.order.moments) return this.stop();
      this.go(this.at + 1);
    }
    this.waiting = requestAnimationFrame((next) => this.step(next));
  }

  does = {
    play: () => this.run(),
    by: (lesson, { by }) => this.halted(() => this.go(this.at + Number(by))),
    slow: () => {
      this.slow = !this.slow;
      this.draw();
    },
    repeat: () => {
      const on = !this.repeats;
      this.stop();
      if (!on) return;
      this.repeats = true;
      this.run();
    },
    say: (lesson) => this.at && lesson.voice.say(lesson.order.sentence(this.at)),
    pick: () => {
      this.picking = !this.picking;
      this.draw();
    },
    to: (lesson, { value }) => this.halted(() => this.go(Number(value))),
    here: (lesson) => this.halted(() => this.go(Math.min(lesson.order.moments, lesson.places.basket.done + 1))),
    mine: (lesson) => {
      lesson.places.go(this.at);
      lesson.turnTo("count");
    },
  };

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
      " ": () => !inField && this.run(),
    }[event.key];
    if (!does || turning || (inField && event.target.matches("select, input"))) return;
    if (event.key === " " && inField) return;
    event.preventDefault();
    does();
  }

  // The panel -----------------------------------------------------------------------------------------------------

  draw() {
    const { order } = this.lesson;
    const chapter = order.chapter(this.at);
    const button = (name, does, label, more = {}) => h("button", { type: "button", "aria-label": label, data: { do: does, ...more.data }, "aria-pressed": more.pressed }, name);
    renew(
      this.panel,
      h("p.where", {}, h("span", {}, chapter.chapter), h("b", {}, `${chapter.number}. ${chapter.title}`), h("span.count", {}, this.at ? whereTold(order, this.at) : "nothing laid yet")),
      h("p.words", { "aria-live": this.running ? "off" : "polite" }, this.at ? order.sentence(this.at) : "Everything lies ready. Press play, or go on stroke by stroke."),
      this.at > 0 && before(this.lesson, this.at),
      this.picking && this.jump(),
      h(
        "div.keys",
        { role: "group", "aria-label": "strokes", data: { key: "keys" } }, // the same element whatever comes and goes above
        button("‹", "by", "one stroke back", { data: { by: -1 } }),
        button(this.running && !this.repeats ? "❚❚" : "▶", "play", this.running ? "stop" : "play"),
        button("›", "by", "one stroke on", { data: { by: 1 } }),
        button("Again", "repeat", "repeat this stroke", { pressed: String(this.repeats) }),
        button("Slow", "slow", "slowly", { pressed: String(this.slow) }),
        this.lesson.voice.can && button("Say it", "say", "say it aloud"),
        button("Go to …", "pick", "go to a step, a row or a spoke", { pressed: String(this.picking) }),
      ),
      h("div.progress", { "aria-hidden": "true", data: { key: "progress" } }, h("i", { style: { width: `${(100 * this.at) / order.moments}%` } })),
    );
  }

  /** Choosing where to go: step, row, round, and the spoke within it. */
  jump() {
    const { order } = this.lesson;
    const part = order.part(this.at);
    const within = (starts) => starts.filter((first) => first >= part.first && first <= part.last);
    const list = (name, options, now) =>
      options.length > 1 &&
      h(
        "label",
        {},
        h("span", {}, name),
        h("select", { data: { set: "to" }, value: String(now) }, grouped(options, now)),
      );
    const last = (options) => options.findLast(([place]) => place <= Math.max(1, this.at))?.[0] ?? options[0]?.[0];
    const steps = order.chapters.filter((each) => each.first).map((each) => [each.first, `${each.number}. ${each.title}`, each.chapter]);
    const rows = within(order.starts.row).map((first, i) => [first, rowName(order, first, i)]);
    const rounds = within(order.starts.round).map((first, i) => [first, `${i + 1}`]);
    const row = [last(rows), order.onward(last(rows) ?? 0, "row")];
    const spokes = [];
    for (let moment = row[0]; moment && moment <= row[1]; moment++) {
      const place = spokeOf(order, moment);
      if (place) spokes.push([moment, place]);
    }
    return h(
      "div.jump",
      { data: { key: "jump" } },
      list("Step", steps, last(steps)),
      list("Row", rows, last(rows)),
      rounds.length > rows.length && list("Once round", rounds, last(rounds)),
      list("Place round", spokes, last(spokes) ?? spokes[0]?.[0]),
      h("div.keys", {}, h("button", { type: "button", data: { do: "here" } }, "To my place"), this.at > 0 && h("button", { type: "button", data: { do: "mine" } }, "I am here: count on")),
    );
  }
}

/** Options, those of one chapter together. */
function grouped(options, now) {
  const option = ([place, words]) => h("option", { value: place, selected: place === now }, words);
  if (options[0]?.length < 3) return options.map(option);
  const chapters = [...new Set(options.map(([, , chapter]) => chapter))];
  return chapters.map((chapter) => h("optgroup", { label: chapter }, options.filter((each) => each[2] === chapter).map(option)));
}

function rowName(order, first, i) {
  const { row } = order.count(first);
  return row ? `${row}` : `${i + 1}`;
}

/** `space 4`, `spoke 4`: where round the basket a moment begins. */
function spokeOf(order, moment) {
  const [space, end] = [order.told.space[moment - 1], order.told.end[moment - 1]];
  if (order.act(moment) === "stroke") return `from space ${space + 1}`;
  return end >= 0 ? `${order.told.terms.spoke} ${end + 1}` : "";
}

/** `row 3 of 12, stroke 7 of 28`. */
export function whereTold(order, moment) {
  const { row, rows, nth, of, name } = order.count(moment);
  return row ? `row ${row} of ${rows}, ${name} ${nth} of ${of}` : `${name} ${nth} of ${of}`;
}
