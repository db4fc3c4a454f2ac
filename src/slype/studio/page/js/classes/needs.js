/** What the class needs, pane by pane as the program worded it: cutting, shopping, the day, money, what to watch, print. */

import { h, renew } from "../../../../page/h.js";
import { say } from "../base/words.js";
import { asked } from "./asked.js";

let pane = "cutting";

export const turnTo = (to) => (pane = to);

const NAMES = [["cutting", "Cutting"], ["shopping", "Shopping"], ["dyeing", "Dyeing"], ["day", "The day"], ["money", "Money"]];

/** Rows of tables that are open, by pane, table and row. */
const open = new Set();
export const toggle = (key) => open.delete(key) || open.add(key);

/** @param {HTMLElement} root @param {import("../base/store.js").Store} store */
export function draw(root, store) {
  if (!store.state) return;
  const kit = store.state.kit ?? { watch: [], panes: NAMES.map(([key, title]) => ({ key, title, slides: [], blocks: [] })) };
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
    h("div", { id: "pane", role: "tabpanel", "aria-labelledby": `pane-${pane}`, tabindex: "0" }, asked(store, pane), store.state.kit ? (shown ? told(shown) : pane === "watch" ? watch(kit) : print(store)) : h("p.hint", {}, "Nothing can be reckoned until the class can be read.")),
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
  return h("div.scrolls", { data: { key }, tabindex: "0", role: "group", "aria-label": each.head.join(", ") || "facts" }, h("table.told", {}, each.head.length ? h("thead", {}, h("tr", {}, cells(each.head, "th"))) : null, h("tbody", {}, each.rows.map((row, n) => opening(each, row, n, `${key}-${n}`, cells)))));
}

/** A row, and below it what it is made of, once it is opened. */
function opening(table, row, n, key, cells) {
  const parts = table.opens[n] ?? [];
  if (!parts.length) return h("tr", { data: { key } }, cells(row, "td"));
  const isOpen = open.has(key);
  const button = h("button.opens", { type: "button", "aria-expanded": isOpen ? "true" : "false", data: { do: "open-row", row: key } }, row[0]);
  return [
    h("tr", { data: { key } }, cells([button, ...row.slice(1)], "td")),
    isOpen ? h("tr.unfolded", { data: { key: `${key}-parts` } }, h("td", { colspan: row.length }, h("table.parts", {}, h("tbody", {}, parts.map(([name, value, why]) => h("tr", {}, h("th", { scope: "row" }, name), h("td.value", {}, value), h("td", {}, why))))))) : null,
  ];
}

/** A slider that tries another figure; what would follow is asked of the program. */
function slide({ key, label, value, low, high, step }) {
  const id = `slide-${key}`;
  return h(
    "div.field",
    { data: { key: `${id} ${value}` } }, // where a sliding hand has left it, until the class says another figure
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
      h("li", { class: `finding ${each.weight}`, data: { key: `watch-${i}` } }, h("p", {}, h("b.grave", {}, each.grave), each.where ? [" ", h("span.where", {}, each.where)] : null, ": ", each.message), each.remedy ? h("p.remedy", {}, each.remedy) : null, each.path.length ? h("div.moves", {}, each.path[0] === "class" && each.path[1] === "design" && kit.designs ? h("button", { type: "button", data: { do: "basket", design: kit.designs[0] } }, "To the basket") : h("button", { type: "button", data: { do: "go-to", path: each.path } }, "Go to it")) : null),
    ),
  );
}

/** Everything that can be taken away: all in one, the folder, numbers, and sheets and lessons for each basket. */
function print(store) {
  const papers = store.state.kit.papers;
  const button = ({ kind, query, words }) => h("button", { type: "button", data: { do: "paper", paper: kind, query, key: `${kind}-${query}` } }, words);
  const group = (name) => papers.filter((each) => each.group === name).map(button);
  const part = (title, hint, name, folded = false) => {
    const inside = [hint ? h("p.hint", {}, hint) : null, h(folded ? "div.moves.tall" : "div.moves", {}, group(name))];
    return folded ? h("details.card", { data: { key: `print-${name}` } }, h("summary", {}, title), inside) : h("section.list", { data: { key: `print-${name}` } }, h("h3", {}, title), inside);
  };
  return [
    part("The folder", "Kits, labels, cutting, shopping, the day: one PDF.", "paper"),
    part("Numbers", "The workbook reckons on where you change a yellow cell.", "numbers"),
    part("Pattern sheets", say(store, "One for every hand, size and set of {colours}."), "sheets", true),
    part("Lessons for phones", "One file each; they need no network.", "lessons", true),
    part("All of it", "Folder, numbers, every sheet and lesson, and the class file. Takes a minute or two.", "all"),
    h("section.list", { data: { key: "print-file" } }, h("h3", {}, "The class file"), h("div.moves", {}, h("button", { type: "button", data: { do: "save-as" } }, "Save under another name …"), h("button", { type: "button", data: { do: "file-text" } }, "Read and edit as text …"))),
  ];
}
