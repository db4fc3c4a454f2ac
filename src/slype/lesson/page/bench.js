/**
 * The bench counter: one button as large as the screen, for wet hands, pedals and headsets. It says what comes next and
 * warns of what is soon to come.
 */

import { h } from "../../page/h.js";
import * as more from "./more.js";
import { UNITS, bundlesTold, whereTold } from "./order.js";
import { letters, paint } from "./paint.js";
import { MOST } from "./places.js";

const TWICE_MS = 150; // a wet finger may touch twice
const TOLD = 5; // so often it is said where to touch
const UNIT_NAMES = { stroke: "stroke", round: "once round", row: "row", step: "step" };
const THIS = { round: "round", row: "row", step: "step" };
let touched = 0;
let open = false;

export function onward(lesson) {
  const { places, order, chosen } = lesson;
  const pending = order.pending(places.basket);
  if (pending) places.did(pending.number);
  else places.go(order.onward(places.basket.done, chosen.unit));
  after(lesson);
}

function after(lesson) {
  const { places, order, chosen, voice } = lesson;
  lesson.draw();
  for (const box of document.querySelectorAll("#other, .bench, .before")) box.scrollTo(0, 0);
  document.getElementById("done")?.focus({ preventScroll: true });
  const pending = order.pending(places.basket);
  if (chosen.says && pending) voice.say([pending.title, ...pending.does].join(" "));
  else if (chosen.says && places.basket.done < order.moments) voice.say(order.sentence(places.basket.done + 1));
}

export const DOES = {
  done: (lesson, _, event) => {
    if (event.detail && event.timeStamp - touched < TWICE_MS) return;
    touched = event.timeStamp;
    onward(lesson);
  },
  undo: (lesson) => {
    lesson.places.undo(lesson.order.beside(lesson.places.basket.done));
    after(lesson);
  },
  unit: (lesson, { value }) => {
    open = false;
    lesson.choose({ unit: value });
    document.getElementById("done").focus({ preventScroll: true });
  },
  basket: (lesson, { value }) => {
    if (value === "another") lesson.places.another();
    else lesson.places.turnTo(Number(value));
    open = false;
    after(lesson);
  },
  "awake-read": (lesson) => {
    lesson.choose({ awakeRead: lesson.awake.trouble });
    document.getElementById("done").focus({ preventScroll: true });
  },
  "bench-more": (lesson) => {
    open = !open;
    lesson.draw();
  },
  headset: async (lesson) => {
    await lesson.headset.turn(!lesson.headset.on);
    after(lesson);
  },
  "show-next": (lesson) => {
    const pending = lesson.order.pending(lesson.places.basket);
    lesson.turnTo("watch");
    if (pending) lesson.watch.toStep(pending.number);
    else lesson.watch.go(Math.min(lesson.order.moments, lesson.places.basket.done + 1));
  },
};

/** Keys, pedals and headsets: on with most of them, back with a few. */
const ON = new Set([" ", "Enter", "PageDown", "ArrowRight", "ArrowDown", "MediaPlayPause", "MediaTrackNext"]);
const BACK = new Set(["PageUp", "ArrowLeft", "ArrowUp", "Backspace", "MediaTrackPrevious"]);

export function key(lesson, event) {
  if (!ON.has(event.key) && !BACK.has(event.key)) return;
  const field = event.target.closest?.("button, select, input, a");
  const own = field && field.id !== "done";
  if (own && (event.key === " " || event.key === "Enter" || field.matches("select, input"))) return;
  event.preventDefault();
  if (event.repeat) return; // a pedal held down counts once
  if (ON.has(event.key)) onward(lesson);
  else DOES.undo(lesson);
}

const KINDS = {
  colour: (order, moment) => `a new ${order.told.terms.colour}, ${order.colours(moment).join(" and ")}`,
  join: (order, moment) => `a join in ${order.colours(moment).join(" and ")}`,
  end: () => "the end of this band",
};

/** What is soon to come, in words; the nearest of each kind. */
export function warned(order, done, unit) {
  const told = new Map();
  for (const each of order.ahead(done, unit)) if (!told.has(each.kind)) told.set(each.kind, each);
  return [...told.values()].map(({ kind, moment, away }) => {
    const what = KINDS[kind](order, moment);
    return away === 0 ? `Now: ${what}.` : `In ${away + 1} moves: ${what}.`;
  });
}

export function drawn(lesson) {
  const { places, order, chosen } = lesson;
  const { done } = places.basket;
  const pending = order.pending(places.basket);
  const all = done >= order.moments && !pending;
  const next = all || pending ? null : done + 1;
  const chapter = pending ?? order.chapter(next ?? done);
  const warnings = next ? warned(order, done, chosen.unit) : [];
  const told = pending ? pending.does.join(" ") : all ? "The basket is finished." : order.sentence(next);
  const where = pending ? `${pending.number}. ${pending.title}` : all ? "Done" : whereTold(order, next);
  return h(
    "div.bench",
    {},
    h(
      "button",
      { id: "done", type: "button", data: { do: "done" }, disabled: false, "aria-describedby": "next" },
      h("span.where.chapter", {}, chapter.chapter),
      !pending && h("span.step", {}, `${chapter.number}. ${chapter.title}`),
      next === chapter.first && chapter.bundles.length > 0 && h("span.where", {}, `Take ${bundlesTold(chapter.bundles)}.`),
      !all && h("span.where", {}, "Now do:"),
      h("strong", {}, where),
      places.baskets.length > 1 && h("span.where", {}, places.basket.name),
      h("span.colours", {}, next && swatches(lesson, next)),
      h("span.next", { id: "next" }, pending ? pending.does.map((line) => h("span.line", {}, line)) : told),
      tapTold(chosen.unit, done, pending, all),
    ),
    h("p.seen-by-ear", { role: "status" }, `${where}. ${told} ${warnings.join(" ")}`),
    more.before(lesson, done + 1, pending),
    h("div.warnings", { data: { key: "warnings" } }, warnings.map((line) => h("p", {}, line))),
    !open && lesson.awake.trouble && chosen.awakeRead !== lesson.awake.trouble && h("p.hint.once", { role: "status" }, h("span", {}, lesson.awake.trouble), h("button", { type: "button", data: { do: "awake-read" } }, "OK")),
    places.trouble && h("p.trouble", { role: "alert" }, places.trouble),
    h(
      "div.keys",
      { data: { key: "keys" } },
      h("button", { type: "button", data: { do: "undo" }, disabled: !places.basket.past.length && !order.beside(done).some((step) => step <= places.basket.read) }, "Undo"),
      h("button", { type: "button", data: { do: "show-next" } }, "Show me"),
      h("button", { type: "button", data: { do: "bench-more" }, "aria-expanded": String(open) }, "Set …"),
    ),
    open && settings(lesson),
  );
}

function tapTold(unit, done, pending, all) {
  if (all || (!pending && unit === "stroke" && done >= TOLD)) return null;
  const what = pending ? "all of it is done" : "it is done";
  return h("span.tap", {}, `Touch anywhere here when ${what}${unit === "stroke" || pending ? "" : `: counts to the end of this ${THIS[unit]}`}`);
}

/** What is seldom changed: it leaves the large button its room. */
function settings(lesson) {
  const { places, order, chosen } = lesson;
  return h(
    "div.settings",
    { data: { key: "settings" } },
    h("label", {}, h("span", {}, "Count by"), h("select", { data: { set: "unit" }, value: chosen.unit }, UNITS.map((unit) => h("option", { value: unit, selected: unit === chosen.unit }, UNIT_NAMES[unit])))),
    h(
      "label",
      {},
      h("span", {}, "Basket"),
      h(
        "select",
        { data: { set: "basket" }, value: String(places.now) },
        places.baskets.map((each, i) => h("option", { value: i, selected: i === places.now }, `${each.name}: ${Math.round((100 * each.done) / order.moments)} %`)),
        places.baskets.length < MOST && h("option", { value: "another" }, "Another basket …"),
      ),
    ),
    lesson.headset.can && h("button", { type: "button", data: { do: "headset" }, "aria-pressed": String(lesson.headset.on) }, "Headset button"),
    lesson.awake.trouble && h("p.hint.wide", {}, lesson.awake.trouble),
  );
}

/** The colours of the reed that comes next. */
function swatches(lesson, moment) {
  const { order, told } = lesson;
  return order.colours(moment).map((name) => h("span.swatch", {}, h("i", { style: paint(lesson, [name]) }), `${name} (${letters(told, [name])})`));
}
