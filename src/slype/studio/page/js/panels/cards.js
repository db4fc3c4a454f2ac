/** What goes with the basket: its base, bye-spokes, a foot, handles, a lid, pace and prices; a card for each. */

import { swatch } from "./colours.js";
import * as f from "../fields/fields.js";
import { h } from "../../../../page/h.js";
import { say } from "../base/words.js";

export function baseCard(store) {
  const base = store.state.document.base ?? {};
  const kind = base.kind ?? "laid cross";
  const spokes = store.state.document.spokes ?? {};
  // Sticks along and across a base that is not round have no other cross.
  const round = (store.state.document.form?.outline ?? "round") === "round";
  const fit = store.tables.bases.filter((each) => round || ["laid cross", "board"].includes(each.key));
  const odd = (spokes.inserted ? spokes.base_ends : spokes.ends) % 2 === 1; // else there is nothing to say of it
  return h(
    "details.card",
    { data: { key: "base" } },
    h("summary", {}, "Base", h("span.brief", {}, f.nameOf(store.tables.bases, kind) ?? kind)),
    h(
      "div.fields",
      {},
      f.choose(store, ["base", "kind"], "begins with", fit, { usual: "laid cross", wide: true }),
      kind === "pierced cross" ? f.count(store, ["base", "through"], "sticks passed through") : null,
      kind === "interlaced" ? f.count(store, ["base", "sets"], "sticks in each set") : null,
      kind === "board"
        ? [f.length(store, ["base", "thickness"], "thickness of the board"), f.length(store, ["base", "margin"], "from holes to edge"), borderField(store, ["base", "foot"], say(store, "{border} below"), store.tables.feet)]
        : null,
      f.others(store, "base", ["base"], ["kind", "through", "sets", "thickness", "margin", "foot", ...(odd ? [] : ["odd"]), ...(spokes.inserted ? [] : ["beside"])]),
    ),
  );
}

/** A second reed beside every end. */
export function byeCard(store) {
  const bye = store.state.document.bye_spokes;
  if (!bye) return h("button.quiet.add", { type: "button", data: { do: "add-bye", key: "add-bye" } }, say(store, "Add bye-{spokes}"));
  return h(
    "details.card",
    { data: { key: "bye" }, open: true },
    h("summary", {}, say(store, "Bye-{spokes}")),
    h(
      "div.fields",
      {},
      f.reed(store, ["bye_spokes", "reed"], say(store, "{reed}"), { none: say(store, "as the {spokes}") }),
      colourOf(store, ["bye_spokes", "colour"], say(store, "bye-{spokes}")),
      f.either(store, ["bye_spokes", "from"], "pushed in", [["upsett", say(store, "in the {upsett}")], ["base", "at the base"]], "upsett"),
      f.either(store, ["bye_spokes", "to"], "then", [["border", say(store, "into the {border}")], ["below", "cut off below it"]], "border"),
      f.length(store, ["bye_spokes", "insertion"], "how deep", { placeholder: "1 in" }),
      h("button.danger", { type: "button", data: { do: "remove-bye" } }, "Remove"),
    ),
  );
}

/** The foot of a woven base; a board has its own. */
export function footCard(store) {
  const { foot, base } = store.state.document;
  if (base?.kind === "board") return null;
  if (!foot) return h("button.quiet.add", { type: "button", data: { do: "add-foot", key: "add-foot" } }, "Add a foot");
  return h(
    "details.card",
    { data: { key: "foot" }, open: true },
    h("summary", {}, "Foot"),
    h(
      "div.fields",
      {},
      borderField(store, ["foot", "border"], say(store, "{border} of the foot"), store.tables.feet),
      f.count(store, ["foot", "rows"], "rows above it", { usual: 2 }),
      f.choose(store, ["foot", "weave"], "weave", store.tables.weaves, { usual: "three-rod wale", kind: "weave" }),
      f.reed(store, ["foot", "reed"], say(store, "{reed} of its ends"), { none: say(store, "as the {spokes}") }),
      f.reed(store, ["foot", "weaver"], say(store, "{reed} of its weavers"), { none: "as the first band of the wall" }),
      colourOf(store, ["foot", "colour"], "ends of the foot"),
      f.length(store, ["foot", "insertion"], "foot pushed in", { placeholder: "1 in" }),
      h("button.danger", { type: "button", data: { do: "remove-foot" } }, "Remove"),
    ),
  );
}

/** What a handle of this kind does not have. */
const notOf = ({ kind, core, wrap }) => [
  ...(kind.endsWith("rope") ? ["strands"] : ["rods", "turn"]),
  ...(core ? [] : ["cores"]),
  ...(wrap ? [] : ["strands"]),
];

export function handleCards(store) {
  const handles = store.state.document.handle ?? [];
  return [
    handles.map((handle, i) =>
      h(
        "details.card",
        { data: { key: `handle-${i}` }, open: true },
        h("summary", {}, "Handle", h("span.brief", {}, f.nameOf(store.tables.handles, handle.kind) ?? handle.kind ?? "")),
        h(
          "div.fields",
          {},
          f.choose(store, ["handle", i, "kind"], "kind", store.tables.handles, { wide: true }),
          f.reed(store, ["handle", i, "core"], "core"),
          f.reed(store, ["handle", i, "wrap"], "wrapping"),
          f.length(store, ["handle", i, "height"], say(store, "height above the {border}")),
          f.length(store, ["handle", i, "across"], "from foot to foot"),
          f.count(store, ["handle", i, "count"], "how many", { usual: store.tables.handle_counts[handle.kind] }),
          colourOf(store, ["handle", i, "colour"], "handle"),
          f.others(store, "handle", ["handle", i], ["kind", "core", "wrap", "height", "across", "count", "colour", ...notOf(handle)]),
          h("p.hint.wide", {}, "A handle's strength is not rated."),
          h("button.danger", { type: "button", data: { do: "remove-handle", handle: i } }, "Remove"),
        ),
      ),
    ),
    h("button.quiet.add", { type: "button", data: { do: "add-handle", key: "add-handle" } }, "Add a handle"),
  ];
}

export function pricesCard(store) {
  return h(
    "details.card",
    { data: { key: "prices" } },
    h("summary", {}, "Pace and prices"),
    h(
      "div.fields",
      {},
      f.number(store, ["pace", "strokes_per_minute"], "strokes a minute", { placeholder: "8" }),
      f.number(store, ["pace", "reserve_percent"], say(store, "{reed} in reserve, %"), { placeholder: "10" }),
      f.text(store, ["prices", "currency"], "currency sign", { placeholder: "$" }),
      f.number(store, ["prices", "coil"], "price of one coil"),
      f.number(store, ["prices", "hour"], "asked for an hour"),
      f.number(store, ["prices", "overhead_percent"], "overhead, %"),
      f.others(store, "pace", ["pace"], ["strokes_per_minute", "reserve_percent"]),
    ),
  );
}

const ODD = { half: "a half stick", "cut out": "cutting one out", added: "adding one" };

/** A lid's seat and size, what stands in it and its edge; its bands are in the stack. */
export function lidCard(store) {
  const lid = store.state.document.lid;
  const round = (store.state.document.form?.outline ?? "round") === "round";
  if (!lid && !round) return null; // slype works out round lids alone
  if (!lid) return h("button.quiet.add", { type: "button", data: { do: "add-lid", key: "add-lid" } }, "Add a lid");
  return h(
    "details.card",
    { data: { key: "lid" }, open: true },
    h("summary", {}, "Lid", h("span.brief", {}, f.nameOf(store.tables.seats, lid.seat ?? "on") ?? "")),
    h(
      "div.fields",
      {},
      f.choose(store, ["lid", "seat"], "it sits", store.tables.seats, { usual: "on", wide: true }),
      lid.seat === "over" ? f.length(store, ["lid", "depth"], "depth of its side") : null,
      f.count(store, ["lid", "spokes", "ends"], "ends of the lid"),
      lid.spokes?.ends % 2 === 1 ? f.either(store, ["lid", "base", "odd"], "its odd end comes from", Object.entries(ODD), "half") : null,
      f.reed(store, ["lid", "spokes", "reed"], say(store, "{reed} of the lid's {spokes}")),
      colourOf(store, ["lid", "spokes", "colour"], say(store, "lid's {spokes}")),
      borderField(store, ["lid", "border"], say(store, "{border} of the lid"), store.tables.borders),
      f.others(store, "lid", ["lid"], ["seat", "spokes", "base", "band", "border", "depth"]),
      h("p.hint.wide", {}, "Its bands stand on top of the list, under Bands."),
      h("button.danger", { type: "button", data: { do: "remove-lid" } }, "Remove"),
    ),
  );
}

/**
 * A border: by name, with its moves to read, or moves of the maker's own, each to be changed or taken out.
 * @param {(string|number)[]} path of the whole border, or of its kind, where `own` is the path of its rows
 */
export function borderField(store, path, label, choices, own = path) {
  const named = f.valueAt(store, path);
  const rows = f.valueAt(store, own);
  const mine = Array.isArray(rows);
  const moves = mine ? rows : (store.tables.moves[named] ?? []);
  const key = path.join("-");
  const of = { lid: " of the lid", foot: " of the foot", base: " below the board" }[path[0]] ?? "";
  return [
    f.choose(store, path, label, choices, { none: "moves of my own, below", kind: own === path ? "moves" : "border", wide: true }),
    h(
      "div.field.wide.moves-of",
      { data: { key: `rows-${key}` } },
      h("span.label", {}, mine ? "moves, the first on top" : "its moves, the first on top"),
      mine
        ? rows.map((_, i) =>
            h(
              "div.rowline",
              { data: { key: `row-${i}` } },
              f.text(store, [...own, i], `move ${i + 1}${of}`),
              h("button.quiet", { type: "button", data: { do: "remove-row", path: [...own, i] }, "aria-label": `take out move ${i + 1}${of}`, disabled: rows.length < 2 }, "×"),
            ),
          )
        : h("ol.moves-told", {}, moves.map((move) => h("li", {}, move))),
      mine
        ? // Only the last row may tuck the ends down, so another goes before it.
          h("button.quiet", { type: "button", data: { do: "add-row", path: own, at: Math.max(0, rows.length - 1) } }, "Add a move")
        : moves.length
          ? h("button.quiet", { type: "button", data: { do: "own-moves", path, own, moves } }, "Change these moves")
          : null,
    ),
  ];
}

export function colourOf(store, path, label) {
  const value = f.valueAt(store, path) ?? "natural";
  return h(
    "div.field",
    { data: { key: `f-${path.join("-")}` } },
    h("span.label", {}, say(store, "{colour}")),
    swatch(store, value, { do: "colour-at", path, label }, label),
  );
}
