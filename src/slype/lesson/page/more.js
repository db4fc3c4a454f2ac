/** All steps to read, and what can be chosen: hand, hatching, theme, letters, voice. */

import { h } from "../../page/h.js";
import { figure } from "./figures.js";
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
    h("h2", {}, "To read"),
    h("details.step", { data: { key: "list" } }, h("summary", {}, CUT), listTold(order)),
    order.chapters.map((each, i) => [
      each.chapter !== order.chapters[i - 1]?.chapter && h("h3", { data: { key: `chapter-${i}` } }, each.chapter),
      step(lesson, each, h("button", { type: "button", data: { do: "show-step", number: each.number } }, "Show it")),
    ]),
    charts(lesson),
    h("details.step", { data: { key: "ruler" } }, h("summary", {}, told.ruler.title), rulerTold(told.ruler)),
    h("details.step", { data: { key: "words" } }, h("summary", {}, "Words of the trade"), glossary(allWords(order))),
  );
}

/** What the ruler should say after each band, and what helps where it says something else. */
const rulerTold = ({ rows, changed, remedies }) => [
  h("table", {}, h("thead", {}, h("tr", {}, ["Band done", "Up the wall", "Above the table", "Across", "One row"].map((name) => h("th", { scope: "col" }, name)))), h("tbody", {}, rows.map((cells) => h("tr", {}, cells.map((cell) => h("td", {}, cell)))))),
  changed.map((line) => h("p", {}, line)),
  remedies.map(([seen, undo]) => h("p.undo", {}, h("b", {}, seen), " ", undo)),
];

/** The chart is drawn only when it is asked for: it has some thousand squares. */
const charts = (lesson) => lesson.told.drawings?.[lesson.order.hand].chart.map(({ caption }, at) => h("button.long", { type: "button", data: { do: "enlarge", kind: "chart", at } }, caption));

/** Every word that a step explains, each once, by the alphabet. */
const allWords = (order) => [...new Map(order.chapters.flatMap((each) => each.words)).entries()].sort(([a], [b]) => a.localeCompare(b));

/** A step to open and read. */
function step(lesson, each, more) {
  return h(
    "details.step",
    { data: { key: `step-${each.number}` } },
    h("summary", {}, `${each.number}. ${each.title}`),
    each.bundles.length > 0 && h("p", {}, `From ${bundlesTold(each.bundles)}.`),
    careTold(each.care),
    stepBegun(lesson, each, true),
    h("ol", {}, each.does.map((line) => h("li", {}, line))),
    seenTold(each),
    more,
  );
}

const careTold = (care) => care.map(([what, words]) => h("p.care", {}, h("b", {}, `${what}.`), " ", words));

const seenTold = (each) => [
  each.looks.map((line) => h("p.looks", {}, line)),
  each.slips.map(([seen, undo]) => h("p.undo", {}, h("b", {}, seen), " ", undo)),
];

/** What is shown as a step begins: what lies in its bundles where that differs, its drawings and its new words. */
function stepBegun(lesson, each, drawn) {
  const { told } = lesson.order;
  const mixed = told.bundles.filter(([number, , , , , cut]) => each.bundles.includes(number) && cut.length > 1);
  return [
    mixed.map(([number, , , , , cut]) => h("p.bundle", {}, `In bundle ${number}: ${cut.join("; ")}.`)),
    drawn && each.drawn.map((at) => figure(lesson, lesson.order.hand, "steps", at)),
  ];
}

const wordsTold = (each, key) =>
  each.words.length > 0 &&
  h(
    "details.new-words",
    { data: { key: `words-${key}` } },
    h("summary", {}, `New words: ${each.words.map(([word]) => word).join(", ")}`),
    glossary(each.words),
  );

const glossary = (words) => h("dl", {}, words.map(([word, means]) => [h("dt", {}, word), h("dd", {}, means)]));

const CUT = "What to cut";

/** The list What to cut, bundle by bundle, and what else lies on the bench. */
const listTold = ({ told }) => [
  h(
    "ul.bundles",
    {},
    told.bundles.map(([number, what, count, reed, colour, cut]) =>
      h(
        "li",
        {},
        h("b.number", {}, String(number)),
        h("span", {}, h("b", {}, what), ` ${count} ${count === 1 ? "length" : "lengths"} of ${reed}, ${colour}: `, cut.length > 1 ? h("span.lots", {}, cut.map((lot) => h("span", {}, lot))) : h("b", {}, `${cut[0]}${count > 1 ? " each" : ""}`)),
      ),
    ),
  ),
  h("p", {}, h("b", {}, "Tools: "), `${told.tools.join(", ")}.`),
];

/**
 * What one card says: of its step what is due there.
 * @param {import("./main.js").Lesson} lesson @param {boolean} drawn whether its drawings are shown here too
 */
export const cardTold = (lesson, { number, does, whole, care, begins, step }, drawn = true) => [
  careTold(care),
  does.length > 0 && h("ol", {}, does.map((line) => h("li", {}, line))),
  begins && stepBegun(lesson, step, drawn),
  begins && step.lists && [h("h3", {}, CUT), listTold(lesson.order)],
  whole && seenTold(step),
  whole && step.ruled && h("details.step", { data: { key: `ruler-${number}` } }, h("summary", {}, lesson.told.ruler.title), rulerTold(lesson.told.ruler)),
  whole && step.chart && charts(lesson),
  begins && wordsTold(step, number),
];

/** What is read before a moment, or once the last is done: a few sentences stand there, more are opened to read. Of steps
 * beside the basket only the one that is `pending`. */
export function before(lesson, moment, pending) {
  const cards = lesson.order.before(moment).filter(({ step }) => (pending ? step === pending || (step.first && moment > step.last) : step.first));
  const steps = [...new Set(cards.map((card) => card.step))];
  return steps.length > 0 && h("div.before", { data: { key: "before" } }, steps.map((each) => read(lesson, cards.filter((card) => card.step === each), moment > lesson.order.moments)));
}

function read(lesson, cards, last) {
  const { after, step } = cards[0];
  const when = step.first && (last || after >= step.last) ? "Check step" : step.first && after >= step.first ? "In step" : step.first ? "First, step" : "All of step";
  return h("details.step", { data: { key: `card-${cards[0].number}` } }, h("summary", {}, `${when} ${step.number}: ${step.title}`), cards.map((card) => cardTold(lesson, card)));
}
