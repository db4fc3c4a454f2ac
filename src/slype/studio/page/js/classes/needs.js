/** What the class needs, pane by pane as the program worded it: cutting, shopping, the day, money, what to watch, print. */

import { h, renew } from "../../../../page/h.js";

let pane = "cutting";

export const turnTo = (to) => (pane = to);

/** @param {HTMLElement} root @param {import("../base/store.js").Store} store */
export function draw(root, store) {
  const kit = store.state?.kit;
  if (!kit) return renew(root, h("p.hint", {}, "Nothing can be reckoned until the class can be read."));
  const grave = kit.watch.filter((each) => each.weight !== "note").length;
  const panes = [...kit.panes.map((each) => [each.key, each.title]), ["watch", "Watch out"], ["print", "Print"]];
  if (!panes.some(([key]) => key === pane)) pane = panes[0][0];
  const shown = kit.panes.find((each) => each.key === pane);
  renew(
    root,
    h("h2.seen-by-ear", {}, "What the class needs"),
    h(
      "div.panes",
      { role: "tablist", "aria-label": "What the class needs" },
      panes.map(([key, name]) =>
        h(
          "button",
          { type: "button", role: "tab", id: `pane-${key}`, "aria-selected": key === pane ? "true" : "false", "aria-controls": "pane", tabindex: key === pane ? "0" : "-1", data: { do: "pane", pane: key } },
          name,
          key === "watch" && grave ? h("span.flagged", { "aria-label": `${grave} to look at` }, grave) : null,
        ),
      ),
    ),
    h("div", { id: "pane", role: "tabpanel", "aria-labelledby": `pane-${pane}`, tabindex: "0" }, shown ? told(shown) : pane === "watch" ? watch(kit) : print(store)),
  );
}

/** @param {import("../base/contract.js").PaneTold} shown */
function told(shown) {
  return [shown.slides.length ? h("div.slides", { data: { key: "slides" } }, shown.slides.map(slide), h("p", { id: "what-if", "aria-live": "polite", data: { keep: "" } }), h("button", { type: "button", data: { do: "ask-fee" } }, "Ask this fee")) : null, shown.blocks.map(block)];
}

/** @param {import("../base/contract.js").BlockTold} each */
function block(each, i) {
  const key = `${pane}-${i}`;
  if (each.kind === "heading") return h("h3", { data: { key } }, each.text);
  if (each.kind === "lines") return each.lines.map((line) => h("p", {}, line));
  if (each.kind === "quiet") return h("details.whence", { data: { key } }, h("summary", {}, "Where this comes from"), each.lines.map((line) => h("p.hint", {}, line)));
  if (each.kind === "picture") return h("figure.drawn", { data: { key } }, h("img", { src: `data:image/svg+xml;charset=utf-8,${encodeURIComponent(each.svg)}`, alt: each.text }));
  const cells = (row, tag) => row.map((cell, k) => h(each.right.includes(k) ? `${tag}.value` : tag, tag === "th" ? { scope: "col" } : {}, cell));
  return h("div.scrolls", { data: { key }, tabindex: "0", role: "group", "aria-label": each.head.join(", ") || "facts" }, h("table.told", {}, each.head.length ? h("thead", {}, h("tr", {}, cells(each.head, "th"))) : null, h("tbody", {}, each.rows.map((row) => h("tr", {}, cells(row, "td"))))));
}

/** A slider that tries another figure; what would follow is asked of the program. */
function slide({ key, label, value, low, high, step }) {
  const id = `slide-${key}`;
  return h(
    "div.field",
    { data: { key: id } },
    h("label", { for: id }, label, " ", h("output", { id: `${id}-now`, for: id, data: { keep: "" } }, value)),
    h("input", { id, type: "range", min: low, max: high, step, value, data: { slide: key, keep: "" } }),
  );
}

function watch(kit) {
  if (!kit.watch.length) return h("p.fine", {}, "Nothing to watch out for.");
  return h(
    "ul.findings",
    {},
    kit.watch.map((each, i) =>
      h("li", { class: `finding ${each.weight}`, data: { key: `watch-${i}` } }, h("p", {}, h("b.grave", {}, each.grave), each.where ? [" ", h("span.where", {}, each.where)] : null, ": ", each.message), each.remedy ? h("p.remedy", {}, each.remedy) : null),
    ),
  );
}

function print(store) {
  const button = (kind, words) => h("button", { type: "button", data: { do: "paper", paper: kind } }, words);
  return h(
    "section.list",
    {},
    h("h3", {}, "The folder"),
    h("p.hint", {}, `One PDF to print, on ${(store.state.document.class.paper ?? "a4") === "a4" ? "A4" : "Letter"}: kits, labels, cutting, shopping.`),
    h("div.moves", {}, button("folder", "The folder (PDF)")),
    h("p.hint", {}, "With tables, calendar and a sheet for each hand: slype class, in a terminal."),
    h("h3", {}, "The class file"),
    h("div.moves", {}, h("button", { type: "button", data: { do: "file-text" } }, "Read and edit as text …")),
  );
}
