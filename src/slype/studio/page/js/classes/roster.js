/** The class in a few fields, and its students as a table: name, hand, colours, size, skill, what goes in each kit. */

import { h, renew } from "../../../../page/h.js";
import * as f from "../fields/fields.js";
import { say } from "../base/words.js";
import { hexOf } from "../panels/colours.js";
import { beside, breaks, choice, faultAt, sizes } from "./asked.js";

const SKILLS = ["first basket", "some", "experienced"];
const PREPARED = ["nothing", "base", "base and upsett"];

/** @param {HTMLElement} root @param {import("../base/store.js").Store} store */
export function draw(root, store) {
  const kit = store.state?.kit;
  renew(
    root,
    store.state?.trouble ? h("div.stopped", { role: "alert" }, h("b", {}, "This class cannot be worked. "), `${store.state.trouble.where ? `${store.state.trouble.where}: ` : ""}${store.state.trouble.message} ${store.state.trouble.remedy}`) : null,
    facts(store),
    kit ? students(store, kit) : null,
  );
}

function facts(store) {
  const near = store.state?.kit?.near ?? [];
  const now = store.state.document.class.design ?? "";
  return h(
    "details.card",
    { open: true, data: { key: "facts", at: ["class"] } },
    h("summary", {}, "The class"),
    h(
      "div.classfacts",
      {},
      f.day(store, ["class", "day"], "day"),
      hours(store),
      f.text(store, ["class", "place"], "place"),
      f.count(store, ["class", "helpers"], "helpers", { usual: 0 }),
      f.count(store, ["class", "spare"], "spare kits", { usual: 0 }),
      f.choose(store, ["class", "prepared"], "woven before the class", PREPARED.map((each) => choice(each)), { usual: "nothing" }),
      f.choose(store, ["class", "skill"], "skill, where no row says", SKILLS.map((each) => choice(each)), { usual: "first basket" }),
      near.length > 1 ? f.choose(store, ["class", "design"], "basket", [...new Set([now, ...near])].filter((each) => each !== `${now}.toml`).map((each) => choice(each, each.replace(/\.toml$/, "")))) : null,
    ),
    faultAt(store, ["class", "hours"]),
    h("div.pairs", { data: { key: "pairs" } }, breaks(store), sizes(store)),
  );
}

/** Start and end: two fields of one list in the file. */
function hours(store) {
  const [starts, ends] = store.state.document.class.hours ?? ["9:30", "16:30"];
  const field = (which, value, label) =>
    h("div.field", {}, h("label", { for: `hours-${which}` }, label), h("input", { id: `hours-${which}`, type: "text", value, autocomplete: "off", data: { hours: which, at: which === "0" ? ["class", "hours"] : null } }));
  return [field("0", starts, "starts at"), field("1", ends, "ends at")];
}

/** @param {import("../base/contract.js").ClassTold} kit */
function students(store, kit) {
  const seats = kit.seats.filter((each) => !each.spare);
  const lies = kit.beside.roster;
  const written = seats.every((each) => each.row !== null) && !lies;
  return [
    beside(store, "roster", "Students are changed there, or taken into the class first."),
    faultAt(store, ["class", "roster"]),
    h(
      "div.between",
      { data: { key: "between" } },
      h("h2", {}, `${seats.length} student${seats.length === 1 ? "" : "s"}`),
      h(
        "div.moves",
        {},
        written ? h("button", { type: "button", data: { do: "add-student" } }, "Add a student") : null,
        !written && !lies ? h("button.first", { type: "button", data: { do: "list-students" } }, "Name them one by one") : null,
        h("button", { type: "button", data: { do: "paste-students" } }, "Paste from a spreadsheet …"),
      ),
    ),
    h(
      "table.students",
      { data: { key: "students" } },
      h("thead", {}, h("tr", {}, ["Seat", "Name", "Hand", say(store, "{Colours}"), "Size", "Skill", ""].map((each) => h("th", { scope: "col" }, each)))),
      h("tbody", {}, kit.seats.map((seat) => row(store, seat))),
    ),
    seats.length ? kits(kit) : null,
  ];
}

/** @param {import("../base/contract.js").SeatTold} seat */
function row(store, seat) {
  const name = seat.name || `Seat ${seat.number}`;
  const at = seat.row === null ? null : ["student", seat.row];
  const cell = (kind, ...inside) => h(`td.${kind}`, {}, ...inside);
  return h(
    "tr",
    { class: `${seat.spare ? "spare" : ""} ${seat.works ? "" : "broken"}`, tabindex: "-1", data: { key: `seat-${seat.number}`, at } },
    h("td.seat", {}, seat.number),
    cell("name", at ? f.text(store, [...at, "name"], `name at seat ${seat.number}`) : h("span.nameless", {}, seat.spare ? "kept back" : seat.name || ""), seat.faults.map((said) => h("p.fault", { role: "alert" }, said))),
    cell("hand", at ? f.either(store, [...at, "hand"], `hand of ${name}`, [["right", "right"], ["left", "left"]], seat.hand) : seat.hand),
    cell("colours", h("div.worn", {}, seat.colours.map((each) => worn(store, seat, each, name)))),
    cell("size", at ? size(store, at, name) : seat.size),
    cell("skill", at ? f.choose(store, [...at, "skill"], `skill of ${name}`, SKILLS.map((each) => choice(each)), { usual: seat.skill }) : seat.skill),
    cell("gone", at ? more(store, seat, at, name) : null),
  );
}

/** A size by its name, where sizes have names, or a share of one's own. */
function size(store, at, name) {
  const names = Object.keys(store.state.document.sizes ?? {});
  const now = f.valueAt(store, [...at, "size"]) ?? "";
  if (!names.length) return f.text(store, [...at, "size"], `size of ${name}'s basket`, { placeholder: "as drawn" });
  const own = now && !names.includes(now);
  const select = f.choose(store, [...at, "size"], `size of ${name}'s basket`, [...names.map((each) => choice(each)), choice(own ? now : "100 %", "another …")], { none: "as drawn" });
  if (!own) return select;
  select.querySelector("select").id += "-which";
  return [select, f.text(store, [...at, "size"], `share of the design for ${name}`)];
}

/** What few students need: a basket of their own, words and units of their own, the way out. */
function more(store, seat, at, name) {
  const near = store.state.kit.near;
  return h(
    "details.more",
    { data: { key: `more-${seat.number}` } },
    h("summary", { "aria-label": `more of ${name}` }, "More"),
    h(
      "div.fields",
      {},
      near.length > 1 ? f.choose(store, [...at, "design"], `basket of ${name}`, near.map((each) => choice(each, each.replace(/\.toml$/, ""))), { none: "the class's" }) : null,
      f.choose(store, [...at, "wording"], `words for ${name}`, [choice("us", "American"), choice("uk", "British")], { usual: seat.wording }),
      f.choose(store, [...at, "units"], `units for ${name}`, [choice("in", "inches"), choice("cm", "centimeters")], { usual: seat.units }),
      h("button.quiet", { type: "button", data: { do: "remove-student", row: seat.row }, "aria-label": `take ${name} out` }, "Take out"),
    ),
  );
}

function worn(store, seat, { of, worn: colour, hex }, name) {
  const label = `${name}: worn for ${of}`;
  const said = colour === of ? colour : `${colour} for ${of}`; // two of one colour are told apart by what they stand for
  const dot = h("span.dot", { style: { background: hex || hexOf(store, colour) } });
  if (seat.row === null) return h("span.swatch", { title: label }, dot, " ", h("span.name", {}, said));
  return h("button.swatch", { type: "button", data: { do: "wear", row: seat.row, of, worn: colour, label }, "aria-label": `${label}: ${colour}`, title: `${label}: ${colour}` }, dot, h("span.name", {}, said));
}

/** What goes in the kits: each opens to its bundles, each bundle to what its length is made of. */
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
        h("ol.bundles", {}, seat.bundles.map((each) => bundle(each, seat.number))),
      ),
    ),
  );
}

/** @param {import("../base/contract.js").BundleTold} each */
function bundle({ number, what, goes, parts }, seat) {
  const head = [h("b", {}, number), " ", h("span.what", {}, what), h("span.goes", {}, goes)];
  if (!parts.length) return h("li", { data: { key: `bundle-${seat}-${number}` } }, h("div.line", {}, head));
  return h(
    "li",
    { data: { key: `bundle-${seat}-${number}` } },
    h("details", { data: { key: `parts-${seat}-${number}` } }, h("summary.line", {}, head), h("table.parts", {}, h("tbody", {}, parts.map((part) => h("tr", {}, h("th", { scope: "row" }, part.name), h("td.value", {}, part.value), h("td", {}, part.why, " ", h("span.source", {}, `(${part.source})`))))))),
  );
}
