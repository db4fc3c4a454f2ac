/** Which handout to print: for whom, which hand, which paper. What is chosen stays chosen while the page is open. */

import { h } from "../../../../page/h.js";
import { say } from "../base/words.js";

/** [what it is called in the question, on the button, what it says] of each handout; "" is the pattern sheet. */
const READERS = [
  ["student", "a student", "Numbered short steps, each with a drawing of this very basket, and what it should look like."],
  ["teacher", "the teacher", "The same steps with ranges, times, what to watch for and answers to “why”."],
  ["card", "an experienced weaver", "One page: what to cut, what to weave, how the {border} goes."],
  ["showing", "who shows it", "A script for showing it to a class: what to say, hold up and lay ready, a page a part."],
  ["", "the pattern sheet", "Pictures, cut list and every step, close together."],
  ["board", "the board's holes", "A template at full size, to lay on the board and drill through."],
];

/** @type {{reader: string, hand: string, paper: string, large: string, grey: string}} */
const chosen = { reader: "student", hand: "", paper: "a4", large: "", grey: "" };

/** @param {string} key @param {string} to */
export const choose = (key, to) => void (chosen[key] = to);

/** @param {import("../base/store.js").Store} store */
export function handouts(store) {
  const basket = store.state.document.basket ?? {};
  const hasBoard = store.state.document.base?.kind === "board";
  const readers = READERS.filter(([key]) => key !== "board" || hasBoard);
  const now = readers.find(([key]) => key === chosen.reader) ?? readers[0];
  const hand = chosen.hand || basket.hand || "right";
  const drawn = now[0] !== "" && now[0] !== "board";
  const query = new URLSearchParams({ reader: now[0], hand, paper: chosen.paper, ...(drawn ? { large: chosen.large, grey: chosen.grey } : {}) });
  return h(
    "section.list.handouts",
    {},
    h("h3", {}, "The handout"),
    among("for", "reader", now[0], readers.map(([key, name]) => [key, name])),
    h("p.hint", {}, say(store, now[2])),
    now[0] === "board" ? null : among("hand", "hand", hand, [["right", "right-handed"], ["left", "left-handed"]]),
    among("paper", "paper", chosen.paper, [["a4", "A4"], ["letter", "Letter"]]),
    drawn ? among("type", "large", chosen.large, [["", "usual"], ["1", "large"]]) : null,
    drawn ? among("drawings", "grey", chosen.grey, [["", say(store, "in {colour}")], ["1", say(store, "in {grey}")]]) : null,
    h("div.moves", {}, h("button.first", { type: "button", data: { do: "paper", paper: "sheet", query: String(query) } }, "Make the PDF")),
  );
}

/** One question and its answers, of which one holds. */
function among(question, key, now, answers) {
  return h(
    "div.among",
    { role: "group", "aria-label": question },
    h("span.asked", {}, question),
    h("div.moves", {}, answers.map(([to, name]) => h("button", { type: "button", "aria-pressed": to === now ? "true" : "false", data: { do: "handout", key, to } }, name))),
  );
}
