/** Choosing where to go: a step, a row, once round, and the place within it. It stands in the panel's place meanwhile. */

import { h } from "../../page/h.js";

/** What the button says that moves the place counted at the bench to what is shown: that is done. */
export const MINE = "Count on from here";

/** @param {import("./main.js").Lesson} lesson @param {{place: number, card: number}} now */
export function jump(lesson, now) {
  const { order } = lesson;
  const shown = order.card(now.card)?.step;
  const at = Math.max(1, shown?.first || now.place);
  const part = order.part(at);
  const within = (starts) => starts.filter((first) => first >= part.first && first <= part.last);
  const last = (options) => options.findLast(([place]) => place <= at)?.[0] ?? options[0]?.[0];
  const steps = order.chapters.map((each) => [`step ${each.number}`, `${each.number}. ${each.title}`, each.chapter]);
  const step = shown ? shown.number : now.place ? order.chapter(now.place).number : 0;
  const rows = within(order.starts.row).map((first, i) => [first, `${order.count(first).row || i + 1}`]);
  const rounds = within(order.starts.round).map((first, i) => [first, `${i + 1}`]);
  const row = [last(rows), order.onward(last(rows) ?? 0, "row")];
  const places = [];
  for (let moment = row[0]; moment && moment <= row[1]; moment++) {
    const place = placeOf(order, moment);
    if (place) places.push([moment, place]);
  }
  const moves = shown ? shown.first > 0 : now.place > 0;
  return h(
    "div.jump",
    { data: { key: "jump" } },
    list("Step", step ? steps : [["step 0", "before the first step", ""], ...steps], `step ${step}`),
    moves && list("Row", rows, last(rows)),
    moves && rounds.length > rows.length + 1 && list("Once round", rounds, last(rounds)),
    moves && list("Place round", places, last(places) ?? places[0]?.[0]),
    h(
      "div.keys",
      {},
      now.place > 0 && h("button.long", { type: "button", data: { do: "mine" } }, MINE),
      h("button", { type: "button", data: { do: "here" } }, "To my place"),
      h("button.close", { type: "button", data: { do: "pick" } }, "Close"),
    ),
  );
}

function list(name, options, now) {
  if (options.length < 2) return null;
  return h("label", {}, h("span", {}, name), h("select", { data: { set: "to" }, value: String(now) }, grouped(options, now)));
}

/** Options, those of one chapter together. */
function grouped(options, now) {
  const option = ([place, words]) => h("option", { value: place, selected: place === now }, words);
  if (options[0].length < 3) return options.map(option);
  const chapters = [...new Set(options.map(([, , chapter]) => chapter))];
  const of = (chapter) => options.filter((each) => each[2] === chapter).map(option);
  return chapters.map((chapter) => (chapter ? h("optgroup", { label: chapter }, of(chapter)) : of(chapter)));
}

/** `space 4`, `spoke 4`: where round the basket a moment begins. */
function placeOf(order, moment) {
  const [space, end] = [order.told.space[moment - 1], order.told.end[moment - 1]];
  if (order.act(moment) === "stroke") return `${order.words(order.told.part[moment - 1]).space} ${space + 1}`;
  if (end < 0) return "";
  return `${order.act(moment) === "stick" ? order.told.terms.stick : order.told.terms.spoke} ${end + 1}`;
}
