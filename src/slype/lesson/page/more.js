/** All steps to read, and what can be chosen: hand, hatching, theme, letters, voice. */

import { h } from "../../page/h.js";
import { bundlesTold } from "./order.js";
import * as seats from "./seats.js";

export const DOES = {
  hand: (lesson, { value }) => lesson.choose({ hand: value }),
  theme: (lesson, { value }) => lesson.choose({ theme: value }),
  hatched: (lesson, { value }) => lesson.choose({ hatched: value }),
  large: (lesson, { value }) => lesson.choose({ large: value }),
  says: (lesson, { value }) => lesson.choose({ says: value }),
  numbers: (lesson, { value }) => lesson.choose({ numbers: value }),
  "show-step": (lesson, { number }) => {
    lesson.turnTo("watch");
    lesson.watch.toStep(Number(number));
  },
};

export function drawn(lesson) {
  const { chosen, order, told } = lesson;
  const pick = (name, set, options) =>
    h("label", {}, h("span", {}, name), h("select", { data: { set }, value: chosen[set] }, options.map(([value, words]) => h("option", { value, selected: value === chosen[set] }, words))));
  const tick = (words, set) => h("label.tick", {}, h("input", { type: "checkbox", checked: chosen[set], data: { set } }), words);
  return h(
    "div.more",
    {},
    h("h2", {}, "Choose"),
    pick("Working hand", "hand", [["right", "right"], ["left", "left"]]),
    pick("Screen", "theme", [["", "as the device"], ["light", "light"], ["dark", "dark"]]),
    told.hatches && tick(`Hatching in place of ${told.terms.colours}`, "hatched"),
    tick(`Numbers of ${told.terms.spokes} and spaces in the picture`, "numbers"),
    tick("Large letters", "large"),
    lesson.voice.can && tick("Say every stroke aloud", "says"),
    seats.drawn(lesson),
    location.protocol.startsWith("http") && h("a.button", { href: "/", download: `${told.title}.html` }, "Keep this lesson on this device"),
    h("h2", {}, "All steps"),
    order.chapters.map((each, i) => [
      each.chapter !== order.chapters[i - 1]?.chapter && h("h3", { data: { key: `chapter-${i}` } }, each.chapter),
      step(each, h("button", { type: "button", data: { do: "show-step", number: each.number } }, "Show it")),
    ]),
  );
}

/** A step to open and read. */
function step(each, more) {
  return h(
    "details.step",
    { data: { key: `step-${each.number}` } },
    h("summary", {}, `${each.number}. ${each.title}`),
    each.bundles.length > 0 && h("p", {}, `From ${bundlesTold(each.bundles)}.`),
    stepTold(each),
    more,
  );
}

/** What a step says: cautions, what to do, what it should look like, the usual mistakes. */
const stepTold = (each) => [careTold(each), h("ol", {}, each.does.map((line) => h("li", {}, line))), seenTold(each)];

const careTold = (each) => each.care.map(([what, words]) => h("p.care", {}, h("b", {}, `${what}.`), " ", words));

const seenTold = (each) => [
  each.looks.map((line) => h("p.looks", {}, line)),
  each.slips.map(([seen, undo]) => h("p.undo", {}, h("b", {}, seen), " ", undo)),
];

/** What one card says: of its step what is due there. */
export const cardTold = ({ after, does, whole, step }) => [
  after <= Math.max(0, step.first - 1) && careTold(step),
  does.length > 0 && h("ol", {}, does.map((line) => h("li", {}, line))),
  whole && seenTold(step),
];

/** What is done before a moment, or once the last is done: a few sentences stand there, more are opened to read. */
export function before(lesson, moment) {
  const cards = lesson.order.before(moment);
  return cards.length > 0 && h("div.before", { data: { key: "before" } }, cards.map((card) => read(card, moment > lesson.order.moments)));
}

function read(card, last) {
  const { number, title, first } = card.step;
  const when = last || (first && card.after >= first) ? "Then" : "First";
  return h("details.step", { data: { key: `card-${card.number}` } }, h("summary", {}, `${when}: ${number}. ${title}`), cardTold(card));
}
