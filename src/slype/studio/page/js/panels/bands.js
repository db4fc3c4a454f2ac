/**
 * The stack of bands, of the basket or of its lid: a card for each, the last worked on top, and its fields when it is
 * open.
 */

import { hexOf, swatch } from "./colours.js";
import * as f from "../fields/fields.js";
import { h } from "../../../../page/h.js";
import { bandsOf, coloursOf, nameOf, openOf, partOf, pathOf, toEdge, toldOf } from "../base/band-lists.js";
import { say } from "../base/words.js";

const PARTS = {
  side: { title: "Wall", add: "Add a band on top" },
  base: { title: "Base", add: "Add a band at the edge" },
};

/** The bands of one part: the wall, the base. */
export function bandList(store, where) {
  const all = bandsOf(store, "");
  const bands = all.map((band, index) => ({ band, index })).filter(({ band }) => partOf(band, "") === where);
  const last = bands.length ? bands[bands.length - 1].index : all.filter((band) => band.where === "base").length - 1;
  if (where === "base" && !bands.length && store.state.document.base?.kind === "board") return null;
  return [
    h(
      "div.between",
      { data: { key: `between-${where}` } },
      h("h3", {}, PARTS[where].title),
      h("button.quiet.add", { type: "button", data: { do: "add-band", of: "", where, at: last + 1 } }, PARTS[where].add),
    ),
    list(store, "", where, bands),
  ];
}

/** The bands of the lid, woven as a base; one that goes over the border has a side as well. */
export function lidBands(store) {
  const all = bandsOf(store, "lid");
  if (!all.length) return null;
  const edge = all.findIndex((band) => toEdge(band, "lid"));
  const parts = ["side", "base"].map((where) => [where, all.map((band, index) => ({ band, index })).filter(({ band }) => partOf(band, "lid") === where)]);
  return parts.map(([where, bands]) =>
    bands.length
      ? [
          h(
            "div.between",
            { data: { key: `between-lid-${where}` } },
            h("h3", {}, where === "side" ? "Side of the lid" : "Lid"),
            // Nothing comes after the band that goes to the edge.
            h("button.quiet.add", { type: "button", data: { do: "add-band", of: "lid", where, at: where === "base" && edge >= 0 ? edge : bands[bands.length - 1].index + 1 } }, where === "side" ? "Add a band to its side" : "Add a band to the lid"),
          ),
          list(store, "lid", where, bands),
        ]
      : null,
  );
}

function list(store, of, where, bands) {
  return h(
    "ol.bands",
    { data: { key: `bands-${of}${where}`, where, of }, "aria-label": `Bands of the ${of ? `${of}, ` : ""}${where}, the last worked on top`, reversed: true },
    bands
      .slice()
      .reverse()
      .map(({ band, index }) => bandCard(store, of, band, index)),
  );
}

function bandCard(store, of, band, index) {
  const told = toldOf(store, of, index);
  const open = openOf(store, of) === index;
  const weave = f.nameOf(store.tables.weaves, band.weave) ?? "free weave";
  const about = (found) => (of ? found.where.startsWith(`${of}, band ${index + 1} `) : found.band === index);
  const findings = (store.state.look?.watch ?? []).filter((found) => about(found) && found.weight !== "note");
  return h(
    open ? "li.band.open" : "li.band",
    { data: { key: `band-${index}`, band: index, of } },
    h(
      "div.bandhead",
      {},
      h("span.grip", { data: { grip: index, of }, "aria-hidden": "true", title: "drag to another place (or Alt and an arrow key)" }, "⋮⋮"),
      h(
        "button.bandname",
        { type: "button", data: { do: "open-band", band: index, of }, "aria-expanded": open ? "true" : "false", "aria-keyshortcuts": "Alt+ArrowUp Alt+ArrowDown" },
        strip(store, of, index),
        h("span.words", {}, h("b", {}, `${index + 1} ${weave}`), h("span.brief", {}, brief(band, told))),
        findings.length ? h("span.flagged", { title: findings.map((found) => found.message).join(" ") }, findings.some((found) => found.weight === "stop") ? "✕" : "!") : null,
      ),
    ),
    open ? bandFields(store, of, band, index, told) : null,
  );
}

/** The band's colours as they lie on the outside, a few spokes wide: what the program sent, or plain dots. */
function strip(store, of, index) {
  const colours = coloursOf(store, of, index).flat();
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

function bandFields(store, of, band, index, told) {
  const at = (key) => [...pathOf(of, index), key];
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
    told?.why ? h("p.hint.wide", { data: { key: "why" } }, `${told.why}.`) : null,
    h(
      "div.field.wide",
      { data: { key: "colours" } },
      h("span.label", {}, say(store, "{colours} of the weavers, from the first set in")),
      h("div.swatches", { role: "group", "aria-label": "weavers" }, weaverSwatches(store, of, band, index)),
    ),
    f.reed(store, at("reed"), say(store, "{reed}")),
    howFar(store, of, band, index),
    f.count(store, at("start"), "first weaver in space", { usual: 1 }),
    f.count(store, at("groups"), "ends worked as one", { usual: 1 }),
    band.groups > 1 ? f.either(store, at("odd"), "ends left over", [["with", "with the first groups"], ["alone", "a group of their own"]], "with") : null,
    f.count(store, at("add"), "ends added before it", { usual: 0 }),
    f.count(store, at("strands"), say(store, "{reeds} worked as one"), { usual: 1 }),
    f.length(store, at("length"), "length of one weaver", { placeholder: "10 ft" }),
    blocksOf(store, of, band, index, told),
    f.others(store, "band", pathOf(of, index), ["where", "weave", "reed", "colours", "rows", "height", "until", "start", "groups", "odd", "add", ...(band.add && store.state.document.form?.outline === "oval" ? [] : ["add_at"]), "strands", "length", "blocks", ...(free ? ["weavers", "over", "under"] : ["weavers", "turns"])]),
    h(
      "div.moves.wide",
      { role: "group", "aria-label": nameOf(of, index) },
      h("button", { type: "button", data: { do: "effects", band: index, of } }, "Try effects …"),
      h("button", { type: "button", data: { do: "move-band", band: index, of, by: 1 } }, "Move up"),
      h("button", { type: "button", data: { do: "move-band", band: index, of, by: -1 } }, "Move down"),
      h("button", { type: "button", data: { do: "copy-band", band: index, of } }, "Copy above"),
      h("button", { type: "button", data: { do: "repeat-band", band: index, of } }, "Repeat …"),
      h("button.danger", { type: "button", data: { do: "remove-band", band: index, of } }, "Remove"),
    ),
  );
}

function weaverSwatches(store, of, band, index) {
  const colours = coloursOf(store, of, index);
  const most = 24; // a weaver in every space: the file's own list is shown
  const weavers = colours.slice(0, colours.length > most ? [band.colours ?? "natural"].flat().length : most);
  return weavers.flatMap((reeds, weaver) => {
    const alike = reeds.every((colour) => colour === reeds[0]);
    if (alike) return [swatch(store, reeds[0], { do: "weaver-colour", band: index, of, weaver }, `weaver ${weaver + 1}`)];
    return reeds.map((colour, reed) => swatch(store, colour, { do: "weaver-colour", band: index, of, weaver, reed }, `weaver ${weaver + 1}, reed ${reed + 1}`));
  });
}

/** Exactly one of rows, height and until says how far a band goes; the last of a lid may leave it out. */
function howFar(store, of, band, index) {
  const where = partOf(band, of);
  const now = "rows" in band ? "rows" : "height" in band ? "height" : where === "side" && band.until === "top" ? "top" : "until";
  const told = toldOf(store, of, index);
  const far = where === "side" ? "to a height of the wall" : of === "lid" ? "to the edge" : "to a width";
  const choices = [
    ["rows", "rows"],
    ["height", "height"],
    ...(where === "side" ? [["top", "to the top"]] : []),
    ["until", far],
  ];
  const at = (key) => [...pathOf(of, index), key];
  const last = !bandsOf(store, of).some((other, i) => i > index && partOf(other, of) === where);
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
          h("input", { type: "radio", name: `far-${of}${index}`, value: key, checked: key === now, data: { far: index, of, rows: told?.rows ?? store.tables.firsts.rows.value, height: told?.height ?? "", reach: last && where === "base" ? "" : (told?.reach ?? ""), where } }),
          h("span", {}, name),
        ),
      ),
    ),
    now === "rows" ? f.count(store, at("rows"), "rows") : null,
    now === "height" ? f.length(store, at("height"), "height") : null,
    now === "until" && !toEdge(band, of) ? f.length(store, at("until"), where === "base" ? "until this width" : "until this height of the wall") : null,
  );
}

function blocksOf(store, of, band, index, told) {
  const on = band.blocks !== undefined;
  return h(
    "fieldset.wide.blocks",
    { data: { key: "blocks" } },
    h("legend", {}, "checks"),
    h(
      "div.field.flag",
      {},
      h("input", { type: "checkbox", id: `blocks-${of}${index}`, checked: on, data: { blocks: index, of } }),
      h("label", { for: `blocks-${of}${index}` }, say(store, "swap {colours} every few rows")),
    ),
    !on && told && !told.swap
      ? h("p.hint.wide", {}, say(store, told.effect.includes("all over") ? "They need weavers of two {colours} at least." : "They need {colours} in upright lines: see what Try effects offers."))
      : null,
    on
      ? [
          f.count(store, [...pathOf(of, index), "blocks", "rows"], "rows in a check"),
          f.count(store, [...pathOf(of, index), "blocks", "shift"], "spaces moved on", { usual: 1 }),
        ]
      : null,
  );
}
