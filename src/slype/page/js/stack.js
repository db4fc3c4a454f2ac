/**
 * The basket as it is made, one card for each part: the edge on top, then the bands of the wall from the last to the
 * first, the base below them, and what stands. The order on the page is the order in the basket.
 */

import { hexOf, palettePanel, swatch } from "./colours.js";
import * as f from "./fields.js";
import { h, renew } from "./h.js";
import { shapePanel } from "./shape.js";
import { say } from "./words.js";

const PANES = [
  ["shape", "Shape"],
  ["bands", "Bands"],
];
let pane = "bands";

export const turnTo = (to) => (pane = to);

/** @param {HTMLElement} root @param {import("./store.js").Store} store */
export function draw(root, store) {
  if (!store.state || !store.tables) return;
  renew(
    root,
    h("h2.seen-by-ear", {}, "Shape and bands"),
    h(
      "div.panes.parts",
      { role: "tablist", "aria-label": "Parts of the design" },
      PANES.map(([key, name]) =>
        h("button", { type: "button", role: "tab", id: `part-${key}`, "aria-selected": key === pane ? "true" : "false", "aria-controls": "part", tabindex: key === pane ? "0" : "-1", data: { do: "tab", tab: key } }, name),
      ),
    ),
    h(
      "div",
      { id: "part", role: "tabpanel", "aria-labelledby": `part-${pane}`, data: { key: `part-${pane}` } },
      pane === "shape"
        ? [shapePanel(store), spokesPanel(store), baseCard(store), byeCard(store), footCard(store), handleCards(store), lidCard(store), pricesCard(store)]
        : [h("div.wall", {}, borderCard(store), bandList(store, "side"), bandList(store, "base")), palettePanel(store)],
    ),
  );
}

// What stands ---------------------------------------------------------------------------------------------------

function spokesPanel(store) {
  const spokes = store.state.document.spokes ?? {};
  return h(
    "details.card",
    { data: { key: "spokes" }, open: true },
    h("summary", {}, say(store, "{Spokes}"), h("span.brief", {}, `${spokes.ends ?? ""} ends`)),
    h(
      "div.fields",
      {},
      f.count(store, ["spokes", "ends"], "standing ends"),
      f.reed(store, ["spokes", "reed"], say(store, "{reed}")),
      colourOf(store, ["spokes", "colour"], say(store, "{spokes}")),
      f.count(store, ["spokes", "per_end"], "reeds in each end", { usual: 1 }),
      f.flag(store, ["spokes", "inserted"], "pushed in beside base sticks"),
      spokes.inserted
        ? [
            f.count(store, ["spokes", "base_ends"], "ends round the base"),
            f.reed(store, ["spokes", "base_reed"], "base sticks"),
          ]
        : null,
      spokes.inserted || (store.state.document.band ?? []).some((band) => band.add)
        ? f.length(store, ["spokes", "insertion"], "pushed in", { placeholder: "1 in" })
        : null,
      (store.state.document.form?.outline ?? "round") === "round"
        ? null
        : f.count(store, ["spokes", "long_sticks"], "sticks along the base", { usual: store.state.look?.form.long_sticks ?? undefined }),
      f.others(store, "spokes", ["spokes"], ["ends", "reed", "colour", "per_end", "inserted", "base_ends", "base_reed", "insertion", "long_sticks"]),
    ),
  );
}

function colourOf(store, path, label) {
  const value = f.valueAt(store, path) ?? "natural";
  return h(
    "div.field",
    { data: { key: `f-${path.join("-")}` } },
    h("span.label", {}, say(store, "{colour}")),
    swatch(store, value, { do: "colour-at", path, label }, label),
  );
}

// Bands ---------------------------------------------------------------------------------------------------------

function bandList(store, where) {
  const bands = (store.state.document.band ?? []).map((band, index) => ({ band, index })).filter(({ band }) => (band.where ?? "side") === where);
  const last = bands.length ? bands[bands.length - 1].index : (store.state.document.band ?? []).filter((band) => band.where === "base").length - 1;
  const title = where === "side" ? "Wall" : "Base";
  if (where === "base" && !bands.length && store.state.document.base?.kind === "board") return null;
  return [
    h(
      "div.between",
      { data: { key: `between-${where}` } },
      h("h3", {}, title),
      h("button.quiet.add", { type: "button", data: { do: "add-band", where, at: last + 1 } }, where === "side" ? "Add a band on top" : "Add a band at the edge"),
    ),
    h(
      "ol.bands",
      { data: { key: `bands-${where}`, where }, "aria-label": `Bands of the ${where}, the last worked on top`, reversed: true },
      bands
        .slice()
        .reverse()
        .map(({ band, index }) => bandCard(store, band, index)),
    ),
  ];
}

function bandCard(store, band, index) {
  const told = store.state.look?.bands.find((each) => each.index === index);
  const open = store.band === index;
  const weave = nameOf(store.tables.weaves, band.weave) ?? "free weave";
  const findings = (store.state.look?.watch ?? []).filter((found) => found.band === index && found.weight !== "note");
  return h(
    open ? "li.band.open" : "li.band",
    { data: { key: `band-${index}`, band: index } },
    h(
      "div.bandhead",
      {},
      h("span.grip", { data: { grip: index }, "aria-hidden": "true", title: "drag to another place (or Alt and an arrow key)" }, "⋮⋮"),
      h(
        "button.bandname",
        { type: "button", data: { do: "open-band", band: index }, "aria-expanded": open ? "true" : "false", "aria-keyshortcuts": "Alt+ArrowUp Alt+ArrowDown" },
        strip(store, told, band),
        h("span.words", {}, h("b", {}, `${index + 1} ${weave}`), h("span.brief", {}, brief(band, told))),
        findings.length ? h("span.flagged", { title: findings.map((found) => found.message).join(" ") }, findings.some((found) => found.weight === "stop") ? "✕" : "!") : null,
      ),
    ),
    open ? bandFields(store, band, index, told) : null,
  );
}

/** The band's colours as they lie on the outside, a few spokes wide: what the program sent, or plain dots. */
function strip(store, told, band) {
  const colours = told ? told.colours.flat() : [band.colours ?? "natural"].flat();
  return h(
    "span.strip",
    { "aria-hidden": "true" },
    colours.slice(0, 8).map((name) => h("span.dot", { style: { background: hexOf(store, name) } })),
  );
}

function brief(band, told) {
  if (told) return `${told.rows} rows, ${told.height}, ${told.reed}`;
  return typeof band.reed === "string" ? band.reed : "";
}

const nameOf = (choices, key) => choices.find((each) => each.key === key)?.name;

function bandFields(store, band, index, told) {
  const at = (key) => ["band", index, key];
  const where = band.where ?? "side";
  const free = !band.weave;
  return h(
    "div.fields",
    { data: { key: "fields" } },
    f.choose(store, at("weave"), "weave", store.tables.weaves, { none: "free weave: say the stroke yourself", kind: "weave", wide: true }),
    free
      ? [
          f.count(store, at("weavers"), "weavers", { usual: 1 }),
          f.count(store, at("over"), "in front of", { usual: 1 }),
          f.count(store, at("under"), "behind", { usual: 1 }),
        ]
      : null,
    told ? h("p.hint.wide", { data: { key: "stroke" } }, `${told.stroke}; ${told.effect}`) : null,
    h(
      "div.field.wide",
      { data: { key: "colours" } },
      h("span.label", {}, say(store, "{colours} of the weavers, from the first set in")),
      h("div.swatches", { role: "group", "aria-label": "weavers" }, weaverSwatches(store, band, index, told)),
    ),
    f.reed(store, at("reed"), say(store, "{reed}")),
    howFar(store, band, index, where),
    f.count(store, at("start"), "first weaver in space", { usual: 1 }),
    f.count(store, at("groups"), "ends worked as one", { usual: 1 }),
    f.count(store, at("add"), "ends added before it", { usual: 0 }),
    f.count(store, at("strands"), "reeds worked as one", { usual: 1 }),
    f.length(store, at("length"), "length of one weaver", { placeholder: "10 ft" }),
    blocksOf(store, band, index),
    f.others(store, "band", ["band", index], ["where", "weave", "reed", "colours", "rows", "height", "until", "start", "groups", "add", ...(band.add && store.state.document.form?.outline === "oval" ? [] : ["add_at"]), "strands", "length", "blocks", ...(free ? ["weavers", "over", "under"] : ["weavers", "turns"])]),
    h(
      "div.moves.wide",
      { role: "group", "aria-label": `band ${index + 1}` },
      h("button", { type: "button", data: { do: "effects", band: index } }, "Effects wall"),
      h("button", { type: "button", data: { do: "move-band", band: index, by: 1 } }, "Move up"),
      h("button", { type: "button", data: { do: "move-band", band: index, by: -1 } }, "Move down"),
      h("button", { type: "button", data: { do: "copy-band", band: index } }, "Copy above"),
      h("button", { type: "button", data: { do: "repeat-band", band: index } }, "Repeat …"),
      h("button.danger", { type: "button", data: { do: "remove-band", band: index } }, "Remove"),
    ),
  );
}

function weaverSwatches(store, band, index, told) {
  if (!told) return [band.colours ?? "natural"].flat().map((name, k) => swatch(store, name, { do: "weaver-colour", band: index, weaver: k, reed: 0 }, `weaver ${k + 1}`));
  const most = 24; // a weaver in every space: the file's own list is shown
  const weavers = told.colours.slice(0, told.colours.length > most ? [band.colours ?? "natural"].flat().length : most);
  return weavers.flatMap((reeds, weaver) => {
    const alike = reeds.every((colour) => colour === reeds[0]);
    if (alike) return [swatch(store, reeds[0], { do: "weaver-colour", band: index, weaver }, `weaver ${weaver + 1}`)];
    return reeds.map((colour, reed) => swatch(store, colour, { do: "weaver-colour", band: index, weaver, reed }, `weaver ${weaver + 1}, reed ${reed + 1}`));
  });
}

/** Exactly one of rows, height and until says how far a band goes. */
function howFar(store, band, index, where) {
  const now = "rows" in band ? "rows" : "height" in band ? "height" : "until";
  const told = store.state.look?.bands.find((each) => each.index === index);
  const choices = [
    ["rows", "rows"],
    ["height", "height"],
    ["until", where === "side" ? "to the top" : "to a width"],
  ];
  return h(
    "div.field.wide.howfar",
    { data: { key: "howfar" } },
    h(
      "fieldset.either",
      {},
      h("legend", {}, "how far"),
      choices.map(([key, name]) =>
        h(
          "label",
          {},
          h("input", { type: "radio", name: `far-${index}`, value: key, checked: key === now, data: { far: index, rows: told?.rows ?? store.tables.firsts.rows.value, height: told?.height ?? "", where } }),
          h("span", {}, name),
        ),
      ),
    ),
    now === "rows" ? f.count(store, ["band", index, "rows"], "rows") : null,
    now === "height" ? f.length(store, ["band", index, "height"], "height") : null,
    now === "until" && where === "base" ? f.length(store, ["band", index, "until"], "until this width") : null,
  );
}

function blocksOf(store, band, index) {
  const on = band.blocks !== undefined;
  return h(
    "fieldset.wide.blocks",
    { data: { key: "blocks" } },
    h("legend", {}, "blocks"),
    h(
      "div.field.flag",
      {},
      h("input", { type: "checkbox", id: `blocks-${index}`, checked: on, data: { blocks: index } }),
      h("label", { for: `blocks-${index}` }, "move the weavers on every few rows"),
    ),
    on
      ? [
          f.count(store, ["band", index, "blocks", "rows"], "rows in a block"),
          f.count(store, ["band", index, "blocks", "shift"], "spaces to move on", { usual: 1 }),
        ]
      : null,
  );
}

// Border, base, handles -----------------------------------------------------------------------------------------

function borderCard(store) {
  const border = store.state.document.border ?? {};
  const told = store.state.look?.border;
  return h(
    "details.card.edge",
    { data: { key: "border" }, open: true },
    h("summary", {}, say(store, "{Border}"), h("span.brief", {}, border.kind ? (nameOf(store.tables.borders, border.kind) ?? border.kind) : (border.rows ?? []).join(", "))),
    h(
      "div.fields",
      {},
      f.choose(store, ["border", "kind"], "kind", store.tables.borders, { none: "row by row, below", kind: "border", wide: true }),
      border.kind
        ? null
        : h(
            "div.field.wide",
            { data: { key: "rows" } },
            h("span.label", {}, "rows, the first on top"),
            (border.rows ?? []).map((_, i) =>
              h(
                "div.rowline",
                { data: { key: `row-${i}` } },
                f.text(store, ["border", "rows", i], `row ${i + 1}`),
                h("button.quiet", { type: "button", data: { do: "remove-row", row: i }, "aria-label": `take out row ${i + 1}` }, "×"),
              ),
            ),
            h("button.quiet", { type: "button", data: { do: "add-row", at: Math.max(0, (border.rows ?? []).length - 1) } }, "Add a row"),
          ),
      told ? h("p.hint.wide", {}, `${told.name} ${told.value}; ${told.note}`) : null,
    ),
  );
}

function baseCard(store) {
  const base = store.state.document.base ?? {};
  const kind = base.kind ?? "laid cross";
  return h(
    "details.card",
    { data: { key: "base" } },
    h("summary", {}, "Begun with", h("span.brief", {}, nameOf(store.tables.bases, kind) ?? kind)),
    h(
      "div.fields",
      {},
      f.choose(store, ["base", "kind"], "kind", store.tables.bases, { usual: "laid cross", wide: true }),
      kind === "pierced cross" ? f.count(store, ["base", "through"], "sticks passed through") : null,
      kind === "interlaced" ? f.count(store, ["base", "sets"], "sticks in each set") : null,
      kind === "board"
        ? [f.length(store, ["base", "thickness"], "thickness of the board"), f.length(store, ["base", "margin"], "from holes to edge"), f.text(store, ["base", "foot"], "border below", { placeholder: "a name, as of the edge" })]
        : null,
      f.others(store, "base", ["base"], ["kind", "through", "sets", "thickness", "margin", "foot"]),
    ),
  );
}

/** A second reed beside every end. */
function byeCard(store) {
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
      f.either(store, ["bye_spokes", "from"], "pushed in", [["upsett", "in the upsett"], ["base", "at the base"]], "upsett"),
      f.either(store, ["bye_spokes", "to"], "then", [["border", say(store, "into the {border}")], ["below", "cut off below it"]], "border"),
      f.length(store, ["bye_spokes", "insertion"], "how deep", { placeholder: "1 in" }),
      h("button.danger", { type: "button", data: { do: "remove-bye" } }, "Remove"),
    ),
  );
}

/** The foot of a woven base; a board has its own. */
function footCard(store) {
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
      typeof foot.border === "object" ? null : f.text(store, ["foot", "border"], say(store, "{border} of the foot")),
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

function handleCards(store) {
  const handles = store.state.document.handle ?? [];
  return [
    handles.map((handle, i) =>
      h(
        "details.card",
        { data: { key: `handle-${i}` }, open: true },
        h("summary", {}, "Handle", h("span.brief", {}, nameOf(store.tables.handles, handle.kind) ?? handle.kind ?? "")),
        h(
          "div.fields",
          {},
          f.choose(store, ["handle", i, "kind"], "kind", store.tables.handles, { wide: true }),
          f.reed(store, ["handle", i, "core"], "core"),
          f.reed(store, ["handle", i, "wrap"], "wrapping"),
          f.length(store, ["handle", i, "height"], "height above the edge"),
          f.length(store, ["handle", i, "across"], "from foot to foot"),
          f.count(store, ["handle", i, "count"], "how many", { usual: 1 }),
          f.others(store, "handle", ["handle", i], ["kind", "core", "wrap", "height", "across", "count"]),
          h("p.hint.wide", {}, "A handle's strength is not rated."),
          h("button.danger", { type: "button", data: { do: "remove-handle", handle: i } }, "Remove"),
        ),
      ),
    ),
    h("button.quiet.add", { type: "button", data: { do: "add-handle", key: "add-handle" } }, "Add a handle"),
  ];
}

function pricesCard(store) {
  return h(
    "details.card",
    { data: { key: "prices" } },
    h("summary", {}, "Pace and prices"),
    h(
      "div.fields",
      {},
      f.number(store, ["pace", "strokes_per_minute"], "strokes a minute", { placeholder: "20" }),
      f.number(store, ["pace", "reserve_percent"], "reed in reserve, %", { placeholder: "10" }),
      f.text(store, ["prices", "currency"], "currency sign", { placeholder: "$" }),
      f.number(store, ["prices", "coil"], "price of one coil"),
      f.number(store, ["prices", "hour"], "asked for an hour"),
      f.number(store, ["prices", "overhead_percent"], "overhead, %"),
      f.others(store, "pace", ["pace"], ["strokes_per_minute", "reserve_percent"]),
    ),
  );
}

/** A lid's seat and size; what it is woven of stands in the file as text. */
function lidCard(store) {
  const lid = store.state.document.lid;
  if (!lid) return h("button.quiet.add", { type: "button", data: { do: "add-lid", key: "add-lid" } }, "Add a lid");
  return h(
    "details.card",
    { data: { key: "lid" }, open: true },
    h("summary", {}, "Lid", h("span.brief", {}, lid.seat ?? "")),
    h(
      "div.fields",
      {},
      f.others(store, "lid", ["lid"], ["spokes", "band", "border", "depth"]),
      lid.seat === "over" ? f.length(store, ["lid", "depth"], "depth of its side") : null,
      h("p.hint.wide", {}, "What it is woven of is changed as text: Take away, the design file."),
      h("button.danger", { type: "button", data: { do: "remove-lid" } }, "Remove"),
    ),
  );
}
