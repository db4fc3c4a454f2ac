/** The line on top of a class: the way back to the bench, what it is called, whether it is safe, undo and redo. */

import { h, renew } from "../../../../page/h.js";
import { safe, themeNow, undoing } from "../panels/head.js";

/** @param {HTMLElement} root @param {import("../base/store.js").Store} store */
export function draw(root, store) {
  const state = store.state;
  if (!state) return renew(root, h("span.mark", {}, "slype"));
  const design = state.kit?.designs[0];
  renew(
    root,
    h("a.button.bench", { href: "/", title: "back to the baskets" }, h("span.mark", {}, "slype"), h("span", {}, "Bench")),
    h(
      "h1.title",
      {},
      h("label.seen-by-ear", { for: "f-class-title" }, "title of the class"),
      h("input", { id: "f-class-title", type: "text", value: state.document.class.title ?? "", placeholder: "Untitled class", maxlength: 120, autocomplete: "off", data: { path: ["class", "title"], kind: "text", label: "title" } }),
    ),
    safe(store),
    undoing(state),
    h(
      "details.manner",
      { data: { key: "manner" } },
      h("summary", {}, "More"),
      h(
        "div.sheetlet",
        {},
        design ? h("button", { type: "button", data: { do: "basket", design } }, "To the basket") : null,
        h("a.button", { href: `/book#basket=${store.id}` }, "To your book"),
        h("button", { type: "button", data: { do: "save-as" } }, "Save under another name …"),
        h("button", { type: "button", data: { do: "file-text" } }, "Read and edit as text …"),
        h("button.quiet", { type: "button", data: { do: "theme" } }, themeNow() === "dark" ? "Light page" : "Dark page"),
      ),
    ),
  );
}
