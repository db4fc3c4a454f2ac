/** What you need, what to watch out for, and what to take away: lists as the program worded them. */

import { h, renew } from "../../../../page/h.js";
import { sentence } from "../base/store.js";
import { handouts } from "./handouts.js";

const PANES = [
  ["need", "What you need"],
  ["watch", "Watch out"],
  ["paper", "Print and save"],
];

let pane = "need";

export const turnTo = (to) => (pane = to);

/** How many remarks there are that are more than notes. */
export function flag(store) {
  const grave = (store.state?.look?.watch ?? []).filter((found) => found.weight !== "note").length;
  return grave ? h("span.flagged", { "aria-label": `${grave} to watch out for` }, grave) : null;
}

/** @param {HTMLElement} root @param {import("../base/store.js").Store} store */
export function draw(root, store) {
  const look = store.state?.look;
  if (!store.state) return;
  renew(
    root,
    h("h2.seen-by-ear", {}, "What the basket asks for"),
    look ? sizes(look) : null,
    stopped(store),
    h(
      "div.panes",
      { role: "tablist", "aria-label": "Lists" },
      PANES.map(([key, name]) =>
        h(
          "button",
          {
            type: "button",
            role: "tab",
            id: `pane-${key}`,
            "aria-selected": key === pane ? "true" : "false",
            "aria-controls": "pane",
            tabindex: key === pane ? "0" : "-1",
            data: { do: "pane", pane: key },
          },
          name,
          key === "watch" ? flag(store) : null,
        ),
      ),
    ),
    h("div", { id: "pane", role: "tabpanel", "aria-labelledby": `pane-${pane}`, tabindex: "0" }, pane === "need" ? needs(look) : pane === "watch" ? watch(store, look) : takeAway(store, look)),
  );
}

/** Why the basket cannot be woven, and the way back. */
export function stopped(store, kind = "") {
  const trouble = store.state.trouble;
  if (!trouble) return null;
  return h(
    kind ? `div.stopped.${kind}` : "div.stopped",
    { role: kind ? null : "alert", data: { key: "stopped" } },
    h("p", {}, h("b", {}, store.state.look ? "This cannot be drawn. " : "This cannot be woven. "), sentence(trouble)),
    store.state.undo ? h("button", { type: "button", data: { do: "undo" }, title: store.state.undo }, kind ? "Undo" : `Undo: ${store.state.undo}`) : null,
  );
}

function sizes(look) {
  return h(
    "dl.sizes",
    {},
    look.size.map((each) => h("div", {}, h("dt", {}, each.name), h("dd", {}, each.value))),
  );
}

function needs(look) {
  if (!look) return h("p.hint", {}, "Nothing can be reckoned until it can be woven.");
  return [
    look.needs.map((list) =>
      h(
        "section.list",
        { data: { key: `need-${list.key}` } },
        h("h3", {}, list.title),
        h("ul", {}, list.numbers.map((each, i) => numberLine(each, `${list.key}-${i}`))),
        list.note ? h("p.hint", {}, list.note) : null,
      ),
    ),
    h("p.hint", {}, look.whence),
  ];
}

/** A figure with what it opens into. @param {import("../base/contract.js").Number} each @param {string} key */
export function numberLine(each, key) {
  const head = [h("span.what", {}, each.name), h("span.value", {}, each.value)];
  const note = each.note ? h("span.note", {}, each.note) : null;
  if (!each.parts.length) return h("li.number", { data: { key } }, h("div.line", {}, head), note);
  return h(
    "li.number",
    { data: { key } },
    h(
      "details",
      {},
      h("summary.line", {}, head),
      h(
        "table.parts",
        {},
        h("tbody", {}, each.parts.map((part) => h("tr", {}, h("th", { scope: "row" }, part.name), h("td.value", {}, part.value), h("td", {}, part.why, " ", h("span.source", {}, `(${part.source})`))))),
      ),
    ),
    note,
  );
}

function watch(store, look) {
  if (!look) return h("p.hint", {}, "See above.");
  if (!look.watch.length) return h("p.fine", {}, "Nothing to watch out for.");
  return [
    h("p.hint", {}, look.relaxed ? "Worked out from the quick picture, and what only the settled basket can tell." : "From the quick picture; once the basket has settled there may be more."),
    h(
      "ul.findings",
      {},
      look.watch.map((found, i) =>
        h(
          "li",
          { class: `finding ${found.weight}`, data: { key: `${found.rule}-${found.where}` } },
          h("p", {}, h("b.grave", {}, found.grave), " ", h("span.where", {}, found.where), ": ", found.message),
          h("p.remedy", {}, found.remedy),
          h(
            "div.moves",
            {},
            found.changes.length ? h("button", { type: "button", data: { do: "remedy", finding: i } }, "Do this") : null,
            found.band !== null ? h("button.quiet", { type: "button", data: { do: "open-band", band: found.band } }, "Show the band") : null,
          ),
          h("details", {}, h("summary", {}, "Why"), h("p", {}, found.why, " ", h("span.source", {}, `(${found.source})`))),
        ),
      ),
    ),
  ];
}

function takeAway(store, look) {
  const button = (kind, words, query = "") => h("button", { type: "button", data: { do: "paper", paper: kind, query } }, words);
  return [
    handouts(store),
    h(
      "section.list",
      {},
      h("h3", {}, "The lesson"),
      h("p.hint", {}, "Plays the weaving stroke by stroke on a phone, for either hand, and counts along at the bench. One file; it needs no network."),
      h("div.moves", {}, button("lesson", "Lesson for phones (one file)"), h("button", { type: "button", data: { do: "share" } }, "Show it in the room …")),
    ),
    h(
      "section.list",
      {},
      h("h3", {}, "A class"),
      h("p.hint", {}, "Students, kits, cutting and a folder to print for everyone who weaves this basket."),
      h("div.moves", {}, h("button", { type: "button", data: { do: "class" } }, "Plan a class of this basket")),
    ),
    h(
      "section.list",
      {},
      h("h3", {}, "Your book"),
      h("p.hint", {}, "Enter this basket once it is made; what lies on your shelf; what your own hands do, and what it changes here."),
      h("div.moves", {}, h("a.button", { href: `/book#basket=${store.id}` }, "To the book")),
    ),
    h(
      "section.list",
      {},
      h("h3", {}, "Pictures and the 3D model"),
      h(
        "div.moves",
        {},
        button("png", "Picture for a screen (PNG)"),
        button("svg", "Picture in lines (SVG)"),
        button("svg", "Wall unrolled (SVG)", "view=unrolled"),
        button("chart", "Chart in squares (SVG)"),
        button("glb", "3D model (GLB)"),
      ),
    ),
    h(
      "section.list",
      {},
      h("h3", {}, "The design file"),
      h("p.hint", {}, "A small text file. It is the basket: keep it, send it, open it anywhere."),
      h("div.moves", {}, h("button", { type: "button", data: { do: "file-out" } }, "Download a copy"), h("button", { type: "button", data: { do: "file-text" } }, "Read and edit as text …"), h("button", { type: "button", data: { do: "save-as" } }, "Save under another name …")),
    ),
    look?.cautions.length ? h("section.list.cautions", {}, h("h3", {}, "Cautions"), h("dl", {}, look.cautions.map((each) => [h("dt", {}, each.title), h("dd", {}, each.text)]))) : null,
  ];
}
