/**
 * The lesson comes together: first the words, so that the bench counter is there at once; then the basket in space.
 */

import { h, renew } from "../../page/h.js";
import { Awake } from "./awake.js";
import * as bench from "./bench.js";
import * as figures from "./figures.js";
import { Headset } from "./headset.js";
import { Order } from "./order.js";
import * as more from "./more.js";
import { Places } from "./places.js";
import { scrolled } from "./scrolled.js";
import * as seats from "./seats.js";
import * as slip from "./slip.js";
import { bytesOf, solidOf, textOf } from "./unpack.js";
import { Voice } from "./voice.js";
import { Watch } from "./watch.js";

const at = (id) => document.getElementById(id);
const FORM = 4;
const TABS = [
  ["watch", "Watch"],
  ["count", "Count"],
  ["slip", "Slip?"],
  ["more", "More"],
];

/** What fills the page in place of the basket. */
const OTHERS = { count: bench.drawn, slip: slip.drawn, more: more.drawn };

/** Everything a part of the page may want to know of the others. */
export class Lesson {
  constructor(told) {
    this.told = told;
    this.places = new Places(told.id, told.hand, told.moments);
    this.order = new Order(told, this.places.chosen.hand);
    this.voice = new Voice();
    this.awake = new Awake(() => this.draw());
    this.headset = new Headset(() => bench.onward(this), () => bench.DOES.undo(this));
    this.watch = new Watch(this);
    this.tab = "count" === sessionTab() ? "count" : "watch";
    /** which drawing fills the screen, if any */
    this.enlarged = null;
  }

  get chosen() {
    return this.places.chosen;
  }

  /** Chooses, keeps it and shows it. */
  choose(more) {
    this.places.choose(more);
    if (more.hand) {
      this.order = new Order(this.told, more.hand);
      this.watch.mirror();
    }
    this.dress();
    this.draw();
  }

  /** Theme and size of the letters. */
  dress() {
    const root = document.documentElement;
    const dark = matchMedia("(prefers-color-scheme: dark)").matches;
    root.dataset.theme = this.chosen.theme || (dark ? "dark" : "light");
    root.dataset.letters = this.chosen.large ? "large" : "plain";
    this.watch.dress();
  }

  turnTo(tab) {
    this.tab = tab;
    try {
      sessionStorage.setItem("slype-lesson-tab", tab);
    } catch {
      // a browser that keeps nothing
    }
    this.watch.stop();
    this.draw();
    at("other").scrollTo(0, 0);
    if (tab === "watch") this.watch.show(); // it may have gone on while it was not seen
    if (tab === "count") at("done")?.focus({ preventScroll: true });
  }

  /** A drawing as large as the screen, or with null none. */
  enlarge(which) {
    const { enlarged } = this;
    this.enlarged = which;
    this.draw();
    const back = enlarged && document.querySelector(`[data-do=enlarge][data-kind=${enlarged.kind}][data-at="${enlarged.at}"]`);
    const sheet = which?.kind === "chart" && document.querySelector("#large .sheet");
    // The first rows and the numbers stand at its foot.
    if (sheet) sheet.querySelector("img").decode().finally(() => sheet.scrollTo(0, sheet.scrollHeight));
    (which ? document.querySelector("#large [data-do=shrink]") : back)?.focus({ preventScroll: true });
  }

  /** The part of the work that is shown, which stands above everything where there is little room. */
  chapter() {
    const { watch, order, places } = this;
    if (this.tab === "count") {
      const { basket } = places;
      return (order.pending(basket) ?? (basket.done < order.moments ? order.chapter(basket.done + 1) : { chapter: "" })).chapter;
    }
    const { place, card } = watch.now;
    return this.tab !== "watch" || (!place && !card) ? "" : (card ? order.card(card).step : order.chapter(place)).chapter;
  }

  draw() {
    this.awake.want(this.tab === "count");
    seats.tell(this);
    const room = at("room");
    document.body.dataset.tab = this.tab;
    this.headed();
    renew(
      at("tabs"),
      TABS.map(([key, name]) => h("button", { type: "button", "aria-pressed": key === this.tab ? "true" : "false", data: { do: "tab", tab: key } }, name)),
    );
    this.watch.root.hidden = this.tab !== "watch";
    if (this.tab === "watch") this.watch.draw();
    const other = room.querySelector("#other");
    other.hidden = this.tab === "watch";
    renew(other, OTHERS[this.tab]?.(this));
    at("large").hidden = !this.enlarged;
    renew(at("large"), figures.large(this));
    scrolled();
  }

  headed() {
    renew(at("head"), h("h1", {}, this.told.title), this.chapter() && h("p.chapter", {}, this.chapter()));
  }
}

function sessionTab() {
  try {
    return sessionStorage.getItem("slype-lesson-tab");
  } catch {
    return null;
  }
}

/** What buttons do, by their data-do. */
const DOES = {
  tab: (lesson, { tab }) => lesson.turnTo(tab),
  ...bench.DOES,
  ...figures.DOES,
  ...more.DOES,
  ...seats.DOES,
  ...slip.DOES,
};

function listen(lesson) {
  document.addEventListener("click", (event) => {
    const button = event.target.closest?.("[data-do]");
    if (!button) return;
    const does = DOES[button.dataset.do] ?? lesson.watch.does[button.dataset.do];
    does?.(lesson, button.dataset, event);
  });
  document.addEventListener("change", (event) => {
    const field = event.target.closest?.("[data-set]");
    if (field) (DOES[field.dataset.set] ?? lesson.watch.does[field.dataset.set])?.(lesson, { ...field.dataset, value: field.type === "checkbox" ? field.checked : field.value }, event);
  });
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    if (lesson.enlarged) return event.key === "Escape" ? lesson.enlarge(null) : undefined;
    if (lesson.tab === "count") bench.key(lesson, event);
    else if (lesson.tab === "watch") lesson.watch.key(event);
  });
  addEventListener("storage", (event) => {
    if (event.key !== lesson.places.key) return;
    lesson.places.recall();
    lesson.draw();
  });
  addEventListener("resize", () => (lesson.tab === "slip" ? lesson.draw() : scrolled())); // as many spokes as there is room for
  document.addEventListener("scroll", scrolled, { capture: true, passive: true });
  document.addEventListener("toggle", scrolled, { capture: true });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => lesson.dress());
}

async function begin() {
  const told = JSON.parse(await textOf("words"));
  if (told.form !== FORM) throw new Error("another form");
  const lesson = new Lesson(told);
  globalThis.slypeLesson = lesson; // for whoever looks into it by hand, and for tests
  const room = at("room");
  room.replaceChildren(lesson.watch.root, h("section", { id: "other", hidden: true }), h("section", { id: "large", hidden: true, role: "dialog", "aria-modal": "true", "aria-label": "a drawing, larger" }));
  lesson.dress();
  listen(lesson);
  lesson.draw();
  document.documentElement.dataset.ready = "yes";
  if (document.readyState === "loading") await new Promise((done) => addEventListener("DOMContentLoaded", done, { once: true }));
  await new Promise((done) => requestAnimationFrame(() => setTimeout(done))); // the words are on the screen first
  told.drawings = JSON.parse(await textOf("drawings"));
  lesson.draw();
  await lesson.watch.open({ basket: await bytesOf("basket"), light: () => textOf("light"), scene: () => textOf("scene"), solidOf });
}

begin().catch((trouble) => {
  console.info(String(trouble));
  at("room").replaceChildren(
    h("p.waiting", { role: "alert" }, "This browser cannot unpack the lesson. Open the file in a newer one: Chrome or Edge from 2022, Firefox from 2023, Safari from 2023."),
  );
});
