/** What a class says of itself, table by table in plain fields, each beside what it changes; and the way to a field. */

import { h } from "../../../../page/h.js";
import * as f from "../fields/fields.js";
import { say } from "../base/words.js";
import { everyColour } from "../panels/colours.js";

export const choice = (key, name = key, help = "") => ({ key, name, help, group: "" });
const wide = { wide: true };
const keyOf = (path) => JSON.stringify(path);

/** Which part of the page holds a table: a pane, or the students' side. */
const PLACES = { shelf: "shopping", pack: "shopping", dye: "dyeing", prices: "money", pace: "day", days: "day", cutting: "cutting", labels: "print" };
export const placeOf = (path) => (path[0] === "class" && ["paper", "names", "bind"].includes(path[1]) ? "print" : path[0] === "class" && ["shelf", "prices"].includes(path[1]) ? PLACES[path[1]] : (PLACES[path[0]] ?? "roster"));

/** A fault of a whole row or table, where no field of its own shows it. */
export function faultAt(store, path) {
  const said = store.faults.get(keyOf(path));
  return said ? h("p.fault", { role: "alert" }, said) : null;
}

/** Cards that were opened by hand, so that they are so again when their pane comes back. */
const unfolded = new Set();
export const remember = (key, open) => (open ? unfolded.add(key) : unfolded.delete(key));

/** A folded card of fields. */
export function card(store, path, title, brief, ...inside) {
  const fault = [...store.faults.keys()].some((key) => key.startsWith(keyOf(path).slice(0, -1)));
  return h("details.card", { open: fault || unfolded.has(`asked-${path.join("-")}`), data: { key: `asked-${path.join("-")}`, at: path } }, h("summary", {}, title, brief ? h("span.brief", {}, ` ${brief}`) : null), faultAt(store, path), ...inside);
}

/** Entries of a list, each with its fields, one to take out and one to add. */
function entries(store, path, { one, add, first, fields, fixed = false }) {
  const found = f.valueAt(store, path);
  const list = Array.isArray(found) ? found : [];
  return [
    list.map((each, i) =>
      h(
        "fieldset.entry",
        { data: { key: `entry-${path.join("-")}-${i}`, at: [...path, i] }, tabindex: "-1" },
        h("legend.seen-by-ear", {}, `${one} ${i + 1}`),
        h("div.classfacts", {}, fields([...path, i], each)),
        faultAt(store, [...path, i]),
        fixed ? null : h("button.quiet", { type: "button", data: { do: "remove-entry", path: [...path, i], label: `${one} taken out` }, "aria-label": `take out ${one} ${i + 1}` }, "Take out"),
      ),
    ),
    fixed ? null : h("button", { type: "button", data: { do: "add-entry", path, at: list.length, value: first, label: one } }, add),
  ];
}

/** A list that lies beside the class is changed there, or taken into it. */
export function beside(store, key, what) {
  const file = store.state.document.class?.[key];
  return file ? h("div.beside", {}, h("p", {}, `${file} lies beside the class. ${what}`), h("button", { type: "button", data: { do: "inline" } }, "Take it into the class")) : null;
}

const colourChoices = (store) => [choice("natural"), ...everyColour(store).filter((each) => each.name !== "natural").map((each) => choice(each.name, each.name, each.help))];

export function breaks(store) {
  return h(
    "section.within",
    { data: { key: "breaks", at: ["class", "breaks"] }, tabindex: "-1" },
    h("h3", {}, "Breaks"),
    faultAt(store, ["class", "breaks"]),
    entries(store, ["class", "breaks"], { one: "break", add: "Add a break", first: ["12:30", "13:15"], fields: (at) => [f.text(store, [...at, 0], "from"), f.text(store, [...at, 1], "to")] }),
  );
}

export function sizes(store) {
  const found = Object.entries(store.state.document.sizes ?? {});
  return h(
    "section.within",
    { data: { key: "sizes", at: ["sizes"] }, tabindex: "-1" },
    h("h3", {}, "Sizes by name"),
    found.map(([name], i) =>
      h(
        "fieldset.entry",
        { data: { key: `size-${i}` } },
        h("legend.seen-by-ear", {}, `size ${name}`),
        h("div.classfacts", {}, h("div.field", {}, h("label", { for: `size-name-${i}` }, "called"), h("input", { id: `size-name-${i}`, type: "text", value: name, autocomplete: "off", data: { "size-name": name } })), f.text(store, ["sizes", name], "share of the design, %")),
        h("button.quiet", { type: "button", data: { do: "remove-size", name }, "aria-label": `take out the size ${name}` }, "Take out"),
      ),
    ),
    h("button", { type: "button", data: { do: "add-size" } }, "Add a size"),
  );
}

/** @type {Object<string, (store: import("../base/store.js").Store) => any>} */
const ASKED = {
  cutting: (store) =>
    card(
      store,
      ["cutting"],
      "How to cut",
      "",
      h(
        "div.classfacts",
        {},
        f.choose(store, ["cutting", "aim"], "the plan shall", [choice("shelf", "empty the shelf first"), choice("reed", "use the least reed"), choice("cost", "pay the least")], { usual: "shelf" }),
        f.length(store, ["cutting", "least"], "no joined piece shorter than", { placeholder: "12 in" }),
        f.length(store, ["cutting", "useful"], "ends kept from", { placeholder: "shortest piece" }),
        f.number(store, ["cutting", "seconds"], "looked for, seconds", { placeholder: "10" }),
        f.flag(store, ["cutting", "join_more"], "join weavers that one strand is enough for"),
        f.choose(store, ["cutting", "longer"], say(store, "{spokes} cut to the longer figure"), [choice("true", "always"), choice("false", "never")], { none: "for first baskets", kind: "mixed" }),
      ),
    ),
  shopping: (store) => [
    card(
      store,
      ["shelf"],
      "Reed on the shelf",
      "",
      beside(store, "shelf", "What stands there is counted with what stands here."),
      entries(store, ["shelf"], {
        one: "shelf row",
        add: "Add reed on the shelf",
        first: { reed: "round 3", colour: "natural", length: "10 ft", count: 0 },
        fields: (at, each) => [
          f.reed(store, [...at, "reed"], "reed"),
          f.choose(store, [...at, "colour"], say(store, "{colour}"), colourChoices(store), { usual: "natural" }),
          Array.isArray(each.strands)
            ? h("div.wide", { data: { key: "strands" } }, entries(store, [...at, "strands"], { one: "length", add: "Add a length", first: ["10 ft", 1], fields: (row) => [f.length(store, [...row, 0], "length of a strand"), f.count(store, [...row, 1], "strands")] }))
            : [
                f.length(store, [...at, "length"], "length, or the longest"),
                f.length(store, [...at, "shortest"], "the shortest, where they differ"),
                each.coils === undefined && each.mass === undefined ? f.count(store, [...at, "count"], "strands") : null,
                each.count === undefined && each.mass === undefined ? f.number(store, [...at, "coils"], "or coils") : null,
                each.count === undefined && each.coils === undefined ? f.text(store, [...at, "mass"], "or weight", { placeholder: "12 oz" }) : null,
              ],
        ],
      }),
    ),
    card(
      store,
      ["pack"],
      "How reed is sold",
      "",
      beside(store, "prices", "What stands here goes first."),
      entries(store, ["pack"], {
        one: "pack",
        add: "Add a pack",
        first: { reed: "round 3", mass: "1 lb", strand: "10 ft" },
        fields: (at) => [f.reed(store, [...at, "reed"], "reed"), f.text(store, [...at, "mass"], "weight of a pack", { placeholder: "1 lb" }), f.number(store, [...at, "price"], "price of a pack"), f.length(store, [...at, "strand"], "its longest strand", { placeholder: "10 ft" }), f.length(store, [...at, "shortest"], "its shortest, where they differ")],
      }),
      h("div.classfacts", {}, f.number(store, ["cutting", "chance_percent"], "sure to be enough, of 100 cases", { placeholder: "95" })),
    ),
  ],
  dyeing: (store) => {
    const woven = store.state.kit?.woven ?? [];
    const named = (store.state.document.dye ?? []).map((each) => each.colour);
    return card(
      store,
      ["dye"],
      "Dyes",
      "a swatch of your own counts before any recipe",
      entries(store, ["dye"], {
        one: "dye",
        add: "Add a dye",
        first: { colour: woven.find((each) => !named.includes(each)) ?? "rust", kind: "reactive" },
        fields: (at) => [
          f.choose(store, [...at, "colour"], say(store, "{colour}"), colourChoices(store)),
          f.choose(store, [...at, "kind"], "kind of dye", store.state.kit?.dyes ?? [], { none: "not said" }),
          f.choose(store, [...at, "shade"], "shade", [choice("light"), choice("medium"), choice("dark")], { usual: "medium" }),
          f.number(store, [...at, "litres"], say(store, "the pot takes, {litres}"), { placeholder: "8" }),
          f.text(store, [...at, "swatch_dye"], "swatch: dye", { placeholder: "3 g" }),
          f.text(store, [...at, "swatch_reed"], "swatch: dry reed", { placeholder: "100 g" }),
          f.reed(store, [...at, "swatch_of"], "swatch: size of reed", { none: "not said" }),
          f.text(store, [...at, "packet"], "dye in a packet", { placeholder: "32 g" }),
        ],
      }),
      h("div.classfacts", {}, f.flag(store, ["cutting", "dye_cut"], "cut first, dye and dry the pieces")),
    );
  },
  day: (store) => [
    card(
      store,
      ["pace"],
      "Pace",
      "time a class with your own watch",
      h("div.classfacts", {}, PACE.map(([key, label, usual]) => f.number(store, ["pace", key], label, { placeholder: usual }))),
    ),
    card(store, ["days"], "Days before", "", h("div.classfacts", {}, DAYS.map(([key, label, usual]) => f.count(store, ["days", key], label, { usual })))),
  ],
  money: (store) => card(store, ["prices"], "Prices", "what is not said is left out, and named", beside(store, "prices", "What stands here goes first."), h("div.classfacts", {}, f.text(store, ["prices", "currency"], "money", { placeholder: "$" }), PRICES.map(([key, label]) => f.number(store, ["prices", key], say(store, label))))),
  print: (store) => [
    h("div.classfacts", { data: { key: "paper" } }, f.choose(store, ["class", "paper"], "paper", [choice("a4", "A4"), choice("letter", "Letter")], { usual: "a4" }), f.flag(store, ["class", "names"], "print the students' names", true), f.flag(store, ["class", "bind"], "bind every kit's sheet into the folder")),
    card(
      store,
      ["labels"],
      "Your sheets of labels",
      "left empty, labels are cut from plain paper",
      h("div.classfacts", {}, f.length(store, ["labels", "width"], "width of one", { placeholder: "99 mm" }), f.length(store, ["labels", "height"], "height of one", { placeholder: "57 mm" }), f.count(store, ["labels", "columns"], "side by side", { usual: 1 }), f.count(store, ["labels", "rows"], "below each other", { usual: 1 }), f.length(store, ["labels", "left"], "paper's left edge to the first"), f.length(store, ["labels", "top"], "paper's top edge to the first"), f.length(store, ["labels", "across"], "left edge to the next left edge"), f.length(store, ["labels", "down"], "top edge to the next top edge")),
    ),
  ],
};

const PACE = [
  ["strokes_per_minute", "strokes a minute", ""],
  ["border_seconds", "one move of the border, seconds", ""],
  ["join_seconds", "setting in one reed, seconds", ""],
  ["pack_seconds", "pressing down one row, seconds", ""],
  ["spread_percent", "students differ by, %", ""],
  ["asks_every", "a student asks once in, minutes", "30"],
  ["answer_minutes", "an answer takes, minutes", "2"],
];
const DAYS = [
  ["order", "from ordering to having it", 14],
  ["dye", "dyeing", 1],
  ["dry", "drying before it is cut", 2],
  ["cut", "cutting", 1],
  ["bundle", "bundling", 1],
];
const PRICES = [
  ["teaching_hour", "an hour of teaching"],
  ["preparing_hour", "an hour of preparing"],
  ["helper_hour", "an hour of a helper"],
  ["hour", "an hour at the bench"],
  ["room", "the room"],
  ["travel", "travel"],
  ["dye", "dye, for each {colour}"],
  ["extras", "extras, for each seat"],
  ["overhead_percent", "overhead, %"],
  ["fee", "the fee you ask"],
  ["rounding", "rounded up to"],
];

/** The fields that a pane begins with. */
export const asked = (store, pane) => (store.tables ? (ASKED[pane]?.(store) ?? null) : null);

/** Brings a field of the class into sight and into hand: its own, or the row, or the card that it would stand in. */
export function goTo(path) {
  for (let n = path.length; n > 0; n -= 1) {
    const part = path.slice(0, n);
    const found = document.getElementById(`f-${part.join("-")}`) ?? document.querySelector(`[data-at='${JSON.stringify(part)}']`);
    if (!found) continue;
    for (let at = found; at; at = at.parentElement)
      if (at.tagName === "DETAILS") {
        at.open = true;
        at.setAttribute("data-own-open", "");
      }
    found.scrollIntoView({ block: "center" });
    (found.tagName === "DETAILS" ? found.querySelector("summary") : found).focus({ preventScroll: true });
    return true;
  }
  return false;
}
