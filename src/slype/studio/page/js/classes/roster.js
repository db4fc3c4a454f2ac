/** The class in a few fields, and its students as a table: name, hand, colours, size, skill, what goes in each kit. */

import { h, renew } from "../../../../page/h.js";
import * as f from "../fields/fields.js";
import { hexOf } from "../panels/colours.js";

const SKILLS = ["first basket", "some", "experienced"];
const PREPARED = ["nothing", "base", "base and upsett"];
const choice = (key, name = key) => ({ key, name, help: "", group: "" });

/** @param {HTMLElement} root @param {import("../base/store.js").Store} store */
export function draw(root, store) {
  const kit = store.state?.kit;
  renew(
    root,
    store.state?.trouble ? h("div.stopped", { role: "alert" }, h("b", {}, "This class cannot be worked. "), `${store.state.trouble.where ? `${store.state.trouble.where}: ` : ""}${store.state.trouble.message} ${store.state.trouble.remedy}`) : null,
    facts(store),
    prices(store),
    kit ? students(store, kit) : null,
  );
}

function facts(store) {
  return h(
    "details.card",
    { open: true, data: { key: "facts" } },
    h("summary", {}, "The class"),
    h(
      "div.classfacts",
      {},
      f.text(store, ["class", "day"], "day", { placeholder: "2027-03-13" }),
      hours(store),
      f.text(store, ["class", "place"], "place"),
      f.count(store, ["class", "helpers"], "helpers", { usual: 0 }),
      f.count(store, ["class", "spare"], "spare kits", { usual: 0 }),
      f.choose(store, ["class", "prepared"], "woven before the class", PREPARED.map((each) => choice(each)), { usual: "nothing" }),
      f.choose(store, ["class", "paper"], "paper", [choice("a4", "A4"), choice("letter", "Letter")], { usual: "a4" }),
      f.flag(store, ["class", "names"], "print the students' names", true),
    ),
  );
}

const PRICES = [
  ["teaching_hour", "an hour of teaching"],
  ["preparing_hour", "an hour of preparing"],
  ["helper_hour", "an hour of a helper"],
  ["hour", "an hour at the bench"],
  ["room", "the room"],
  ["travel", "travel"],
  ["dye", "dye, for each color"],
  ["extras", "extras, for each seat"],
  ["overhead_percent", "overhead, %"],
  ["fee", "the fee you ask"],
  ["rounding", "rounded up to"],
];

function prices(store) {
  return h(
    "details.card",
    { data: { key: "prices" } },
    h("summary", {}, "Prices", h("span.brief", {}, " what is not said is left out, and named")),
    h("div.classfacts", {}, f.text(store, ["prices", "currency"], "money", { placeholder: "$" }), PRICES.map(([key, label]) => f.number(store, ["prices", key], label))),
  );
}

/** Start and end: two fields of one list in the file. */
function hours(store) {
  const [starts, ends] = store.state.document.class.hours ?? ["9:30", "16:30"];
  const field = (which, value, label) =>
    h("div.field", {}, h("label", { for: `hours-${which}` }, label), h("input", { id: `hours-${which}`, type: "text", value, autocomplete: "off", data: { hours: which } }));
  return [field("0", starts, "starts at"), field("1", ends, "ends at")];
}

/** @param {import("../base/contract.js").ClassTold} kit */
function students(store, kit) {
  const seats = kit.seats.filter((each) => !each.spare);
  const written = seats.every((each) => each.row !== null);
  return [
    kit.beside.length
      ? h("div.beside", {}, h("p", {}, `${listed(kit.beside)} lie${kit.beside.length === 1 ? "s" : ""} beside the class. What stands there is changed there, or taken into the class first.`), h("button", { type: "button", data: { do: "inline" } }, "Take it into the class"))
      : null,
    h(
      "div.between",
      {},
      h("h2", {}, `${seats.length} student${seats.length === 1 ? "" : "s"}`),
      h(
        "div.moves",
        {},
        written && !kit.beside.length ? h("button", { type: "button", data: { do: "add-student" } }, "Add a student") : null,
        !written && !kit.beside.length ? h("button.first", { type: "button", data: { do: "list-students" } }, "Name them one by one") : null,
        h("button", { type: "button", data: { do: "paste-students" } }, "Paste from a spreadsheet …"),
      ),
    ),
    h(
      "table.students",
      {},
      h("thead", {}, h("tr", {}, ["Seat", "Name", "Hand", "Colors", "Size", "Skill", ""].map((each) => h("th", { scope: "col" }, each)))),
      h("tbody", {}, kit.seats.map((seat) => row(store, seat))),
    ),
    seats.length ? kits(kit) : null,
  ];
}

const listed = (names) => (names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`);

/** @param {import("../base/contract.js").SeatTold} seat */
function row(store, seat) {
  const name = seat.name || `Seat ${seat.number}`;
  const at = seat.row === null ? null : ["student", seat.row];
  const cell = (kind, ...inside) => h(`td.${kind}`, {}, ...inside);
  return h(
    "tr",
    { class: `${seat.spare ? "spare" : ""} ${seat.works ? "" : "broken"}`, data: { key: `seat-${seat.number}` } },
    h("td.seat", {}, seat.number),
    cell("name", at ? f.text(store, [...at, "name"], `name at seat ${seat.number}`) : h("span.nameless", {}, seat.spare ? "kept back" : seat.name || "")),
    cell("hand", at ? f.either(store, [...at, "hand"], `hand of ${name}`, [["right", "right"], ["left", "left"]], seat.hand) : seat.hand),
    cell("colours", h("div.worn", {}, seat.colours.map((each) => worn(store, seat, each, name)))),
    cell("size", at ? f.text(store, [...at, "size"], `size of ${name}'s basket`, { placeholder: "as drawn" }) : seat.size),
    cell("skill", at ? f.choose(store, [...at, "skill"], `skill of ${name}`, SKILLS.map((each) => choice(each)), { usual: seat.skill }) : seat.skill),
    cell("gone", at ? h("button.quiet", { type: "button", data: { do: "remove-student", row: seat.row }, "aria-label": `take ${name} out` }, "Take out") : null),
  );
}

function worn(store, seat, { of, worn: colour, hex }, name) {
  const label = `${name}: worn for ${of}`;
  const dot = h("span.dot", { style: { background: hex || hexOf(store, colour) } });
  if (seat.row === null) return h("span.swatch", { title: label }, dot, " ", h("span.name", {}, colour));
  return h("button.swatch", { type: "button", data: { do: "wear", row: seat.row, of, worn: colour, label }, "aria-label": `${label}: ${colour}`, title: `${label}: ${colour}` }, dot, h("span.name", {}, colour));
}

/** What goes in the kits: each opens to its bundles. */
function kits(kit) {
  return h(
    "section.list",
    {},
    h("h3", {}, "The kits"),
    kit.seats.map((seat) =>
      h(
        "details.card",
        { data: { key: `kit-${seat.number}` } },
        h("summary", {}, `Seat ${seat.number}`, h("span.brief", {}, ` ${seat.spare ? "kept back" : seat.name} ${seat.works ? `${seat.bundles.length} bundles` : "cannot be woven"}`)),
        h("table.kit", {}, h("tbody", {}, seat.bundles.map(([number, what, goes]) => h("tr", {}, h("th", { scope: "row" }, number), h("td", {}, what), h("td", {}, goes))))),
      ),
    ),
  );
}
