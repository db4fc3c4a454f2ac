/**
 * Finding a slip of the border: for each of the spokes moved last the student says past which spoke its tip lies, and on
 * which side; the lesson names the likeliest slips, and how far to take back.
 */

import { h } from "../../page/h.js";
import { likeliest, lying } from "./slip-border-rule.js";
import { whereTold } from "./order.js";

const SHOWN = 6;
const AROUND = 2;
const ANSWERS = 3;
/** Where a tip lies, by what its row did with it; `faces` what the work's two faces are called. */
const sides = ([out, within]) => [["out", out], ["in", within], ["down", "tucked down"], ["on", "held, on its way"], ["", "standing"]];

/** What the student looks at; begun anew with another place. */
let look = null;

/** The border worked last at a place, and the moves done of it; null where the last move is of something else. */
function worked({ order, places }) {
  const { told } = order;
  const last = places.basket.done;
  if (!last || order.act(last) !== "border") return null;
  const moves = [];
  let first = last;
  while (first > 1 && told.part[first - 2] === told.part[last - 1]) first--;
  for (let moment = first; moment <= order.moments && told.part[moment - 1] === told.part[last - 1]; moment++) {
    const i = moment - 1;
    moves.push({ end: told.end[i], count: told.over[i] + told.under[i], side: told.rests[i] || "on" });
  }
  return { moves, first, done: last - first + 1, ends: told.spaces[last - 1], faces: order.part(last).faces, key: `${told.id} ${first} ${last}` };
}

function begin(lesson) {
  const border = worked(lesson);
  if (!border) return (look = null);
  if (look?.key === border.key) return look;
  const right = lying(border.moves, border.done);
  const recent = border.moves.slice(0, border.done).map((each) => each.end).reverse().filter((end) => end >= 0);
  return (look = { ...border, right, shown: [...new Set(recent)].slice(0, SHOWN), said: new Map() });
}

const saidOf = (end) => look.said.get(end) ?? look.right.get(end);

export const DOES = {
  "slip-tip": (lesson, { end, what, value }) => {
    const [past, side] = saidOf(Number(end));
    const to = what === "past" ? [Number(value), Number(value) && !side ? "out" : Number(value) ? side : ""] : [value ? past || 1 : 0, value];
    if (`${to}` === `${look.right.get(Number(end))}`) look.said.delete(Number(end));
    else look.said.set(Number(end), to);
    lesson.draw();
  },
};

/** The finder, where the place is in a border; else null. */
export function drawn(lesson) {
  if (!begin(lesson)) return null;
  const { order } = lesson;
  const { told } = order;
  const last = look.first + look.done - 1;
  const one = told.terms.spoke;
  return h(
    "div.slip",
    {},
    h("div.told", {}, h("h2", {}, "Something looks wrong?"), h("p", {}, `${order.chapter(last).chapter}, ${whereTold(order, last)} done. So the tips of the ${told.terms.spokes} you moved last should lie. Change every one that lies elsewhere.`)),
    h("div.tips", { data: { key: "tips" } }, look.shown.map((end) => tip(one, end))),
    h("div.answers", { role: "status", data: { key: "answers" } }, look.said.size ? answers(lesson, one) : h("p.hint", {}, "Nothing is marked yet.")),
  );
}

function tip(one, end) {
  const [past, side] = saidOf(end);
  const [right] = look.right.get(end);
  const number = (many) => (((end + many) % look.ends) + look.ends) % look.ends + 1;
  const near = Array.from({ length: 2 * AROUND + 1 }, (_, i) => right - AROUND + i).filter((each) => each > 0);
  const far = [...new Set([0, ...near, past])].sort((a, b) => a - b);
  const pick = (what, words, options, now) =>
    h("label", {}, h("span", {}, words), h("select", { data: { set: "slip-tip", end, what }, value: String(now) }, options.map(([value, said]) => h("option", { value, selected: value === now }, said))));
  return h(
    `fieldset.tip${look.said.has(end) ? ".other" : ""}`,
    { data: { key: `tip-${end}` } },
    h("legend", {}, `${one[0].toUpperCase()}${one.slice(1)} ${end + 1}`),
    pick("past", "its tip lies past", far.map((many) => [many, many ? `${one} ${number(many)}` : "none: it stands"]), past),
    pick("side", "it lies", sides(look.faces), side),
  );
}

const TOLD = {
  "one more": (one) => `went past one ${one} too many`,
  "one fewer": (one) => `went past one ${one} too few`,
  "wrong side": () => "was left on the wrong side",
  "passed by": () => "was passed by: this move was not made",
};

function answers(lesson, one) {
  const { order } = lesson;
  const seen = new Map(look.shown.map((end) => [end, saidOf(end)]));
  const found = likeliest(look.moves, look.done, seen).filter((each) => each.slip);
  return [
    h("h3", {}, found[0]?.off ? "Nothing fits wholly; the nearest are" : "Likeliest"),
    h(
      "ol",
      {},
      found.slice(0, ANSWERS).map(({ slip, off }) => {
        const moment = look.first + slip.move;
        const back = look.done - slip.move;
        return h(
          "li",
          {},
          h("b", {}, `${one[0].toUpperCase()}${one.slice(1)} ${look.moves[slip.move].end + 1} ${TOLD[slip.kind](one)}.`),
          h("p", {}, `Take back ${back} move${back === 1 ? "" : "s"}, to before ${whereTold(order, moment)}.`),
          off > 0 && h("p.hint", {}, `${off} ${off === 1 ? "tip does" : "tips do"} not fit.`),
          h("button", { type: "button", data: { do: "slip-show", moment } }, "Show how it goes"),
        );
      }),
    ),
  ];
}
