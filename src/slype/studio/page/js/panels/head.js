/** The line on top: which basket this is, whether it is safe on disk, undo and redo, hand and units. */

import * as f from "../fields/fields.js";
import { h, renew } from "../../../../page/h.js";
import { say } from "../base/words.js";

const THEME = "slype-theme";

export function themeNow() {
  return localStorage.getItem(THEME) ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light");
}

export function setTheme(theme) {
  localStorage.setItem(THEME, theme);
  document.documentElement.dataset.theme = theme;
}

/** @param {HTMLElement} root @param {import("../base/store.js").Store} store */
export function draw(root, store) {
  const state = store.state;
  if (!state) return renew(root, h("span.mark", {}, "slype"));
  const basket = state.document.basket ?? {};
  renew(
    root,
    h("button.bench", { type: "button", data: { do: "bench" }, title: "Open, begin or change to another basket" }, h("span.mark", {}, "slype"), h("span", {}, "Bench")),
    h("h1.title", {}, h("label.seen-by-ear", { for: "f-basket-title" }, "title of the basket"), h("input", { id: "f-basket-title", type: "text", value: basket.title ?? "", placeholder: "Untitled basket", maxlength: 120, autocomplete: "off", data: { path: ["basket", "title"], kind: "text", label: "title" } })),
    safe(store),
    undoing(state),
    h(
      "details.manner",
      { data: { key: "manner" } },
      h("summary", {}, "Hand and units"),
      h(
        "div.sheetlet",
        {},
        f.either(store, ["basket", "hand"], "working hand", [["right", "right"], ["left", "left"]], "right"),
        f.either(store, ["basket", "units"], "units", [["in", "inches"], ["cm", say(store, "{centimetres}")]], "in"),
        f.either(store, ["basket", "wording"], "wording", [["us", "American: spoke, reed"], ["uk", "British: stake, cane"]], "us"),
        h("button.quiet", { type: "button", data: { do: "theme" } }, themeNow() === "dark" ? "Light page" : "Dark page"),
        h("button.quiet", { type: "button", data: { do: "keys" } }, "Keys …"),
      ),
    ),
  );
}

/** Whether what is on show is safe on disk, in a few words. @param {import("../base/store.js").Store} store */
export function safe(store) {
  const state = store.state;
  if (store.line === "away") return h("span.safe.bad", { role: "status" }, "The program has stopped. Start it again as you did before. Nothing is lost.");
  if (store.line === "stale") return h("span.safe.bad", { role: "status" }, "The program was started anew. Open the address it printed in this browser; this page then goes on too.");
  if (state.conflict)
    return h(
      "span.safe.bad",
      { role: "status" },
      state.conflict.message,
      " ",
      h("button", { type: "button", data: { do: "keep", keep: "mine" } }, "Keep mine"),
      state.conflict.readable ? h("button", { type: "button", data: { do: "keep", keep: "disk" } }, "Take the file's") : null,
    );
  if (!state.path) return h("span.safe", { role: "status" }, h("span.long", {}, "Not in a file yet. "), h("button", { type: "button", data: { do: "save-as" } }, "Save …"));
  return h("span.safe", { role: "status", title: state.path }, state.saved ? `Saved in ${state.place}` : `Saving in ${state.place} …`);
}

/** Undo and redo, each with what it would take back. @param {import("../base/contract.js").State} state */
export function undoing(state) {
  return h(
    "div.moves",
    { role: "group", "aria-label": "undo and redo" },
    h("button", { type: "button", data: { do: "undo" }, disabled: !state.undo, title: state.undo ? `Undo: ${state.undo} (Ctrl+Z)` : "Nothing to undo" }, "Undo"),
    h("button", { type: "button", data: { do: "redo" }, disabled: !state.redo, title: state.redo ? `Do again: ${state.redo} (Ctrl+Shift+Z)` : "Nothing to do again" }, "Redo"),
  );
}
