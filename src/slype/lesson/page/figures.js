/** The handout's drawings, where the basket in the round does not show it; touched they fill the screen. */

import { h } from "../../page/h.js";

/** @param {"steps" | "chart"} kind @param {number} at @param {boolean} plain only the drawing itself */
export function figure(lesson, hand, kind, at) {
  const found = lesson.told.drawings?.[hand][kind][at];
  if (!found) return null;
  return h(
    "figure.drawn",
    { data: { key: `${kind}-${at}` } },
    h("button", { type: "button", data: { do: "enlarge", kind, at }, "aria-label": `Larger: ${found.caption}` }, h("img", { src: address(found), alt: found.alt })),
    h("figcaption", {}, found.caption),
  );
}

const address = (found) => (found.address ??= `data:image/svg+xml;charset=utf-8,${encodeURIComponent(found.svg)}`);

/** A drawing as large as the screen. */
export function large(lesson) {
  if (!lesson.enlarged) return null;
  const { kind, at } = lesson.enlarged;
  const found = lesson.told.drawings[lesson.order.hand][kind][at];
  return [h(`div.sheet.${kind}`, { tabindex: "0", role: "group", "aria-label": found.caption }, h("img", { src: address(found), alt: found.alt })), h("p", {}, `${found.caption}${found.key ? "." : ""}`, found.key && h("span.key", {}, ` ${found.key}`)), h("button", { type: "button", data: { do: "shrink" } }, "Close")];
}

export const DOES = {
  enlarge: (lesson, { kind, at }) => {
    lesson.enlarge({ kind, at: Number(at) });
  },
  shrink: (lesson) => lesson.enlarge(null),
};
