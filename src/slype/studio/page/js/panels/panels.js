/**
 * The basket as it is made, one card for each part: a lid on top, the edge, then the bands of the wall from the last to
 * the first, the base below them, and what stands. The order on the page is the order in the basket.
 */

import { bandList, lidBands } from "./bands.js";
import { baseCard, borderField, byeCard, colourOf, footCard, handleCards, lidCard, pricesCard } from "./cards.js";
import { palettePanel } from "./colours.js";
import * as f from "../fields/fields.js";
import { h, renew } from "../../../../page/h.js";
import { stopped } from "./lists.js";
import { shapePanel } from "./shape.js";
import { say } from "../base/words.js";

const PANES = [
  ["shape", "Shape"],
  ["bands", "Bands"],
];
let pane = "bands";

export const turnTo = (to) => (pane = to);

/** @param {HTMLElement} root @param {import("../base/store.js").Store} store */
export function draw(root, store) {
  if (!store.state || !store.tables) return;
  renew(
    root,
    h("h2.seen-by-ear", {}, "Shape and bands"),
    stopped(store, "in-hand"), // on a phone the lists are not in sight
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
        : [h("div.wall", {}, lidBands(store), borderCard(store), bandList(store, "side"), bandList(store, "base")), palettePanel(store)],
    ),
  );
}

// What stands ---------------------------------------------------------------------------------------------------

function spokesPanel(store) {
  const spokes = store.state.document.spokes ?? {};
  const board = store.state.document.base?.kind === "board"; // it has holes, and no sticks to push beside
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
      f.count(store, ["spokes", "per_end"], say(store, "{reeds} in each end"), { usual: 1 }),
      board && !spokes.inserted ? null : f.flag(store, ["spokes", "inserted"], "pushed in beside base sticks"),
      spokes.inserted
        ? [
            f.count(store, ["spokes", "base_ends"], "ends round the base"),
            f.reed(store, ["spokes", "base_reed"], "base sticks"),
          ]
        : null,
      spokes.inserted || (store.state.document.band ?? []).some((band) => band.add)
        ? f.length(store, ["spokes", "insertion"], "pushed in", { placeholder: "1 in" })
        : null,
      (store.state.document.form?.outline ?? "round") === "round" || (board && !spokes.long_sticks)
        ? null
        : f.count(store, ["spokes", "long_sticks"], "sticks along the base", { usual: store.state.look?.form.long_sticks ?? undefined }),
      f.others(store, "spokes", ["spokes"], ["ends", "reed", "colour", "per_end", "inserted", "base_ends", "base_reed", "insertion", "long_sticks"]),
    ),
  );
}

// The edge ---------------------------------------------------------------------------------------------------------

function borderCard(store) {
  const border = store.state.document.border ?? {};
  const told = store.state.look?.border;
  return h(
    "details.card.edge",
    { data: { key: "border" }, open: true },
    h("summary", {}, say(store, "{Border}"), h("span.brief", {}, border.kind ? (f.nameOf(store.tables.borders, border.kind) ?? border.kind) : (border.rows ?? []).join(", "))),
    h(
      "div.fields",
      {},
      borderField(store, ["border", "kind"], "kind", store.tables.borders, ["border", "rows"]),
      told ? h("p.hint.wide", {}, `${told.name} ${told.value}; ${told.note}`) : null,
    ),
  );
}
