/** The effects wall: small true pictures of what other counts, orders and starts would do to one band. */

import { ask } from "../base/api.js";
import { show } from "./dialogs.js";
import { h } from "../base/h.js";
import { nameOf } from "../base/band-lists.js";
import { say } from "../base/words.js";

/** @param {import("../base/store.js").Store} store @returns {Promise<object|null>} the chosen option */
export async function wall(store, band, of = "") {
  const options = await ask("POST", `baskets/${store.id}/ask`, { question: "effects wall", band, of });
  const now = options.find((option) => option.current)?.ends ?? options[0]?.ends ?? 0;
  const fit = options.filter((option) => option.holds && !option.spoils);
  const first = nameOf(of, band).replace(/^b/, "B");
  const not = options.filter((option) => !option.holds || option.spoils);
  return show(
    `${first}: every effect within reach`,
    (finish) => [
      h("p.hint", {}, say(store, "What these {colours} do on this count of ends and on those beside it, in other orders, from other spaces. Choose one and the design is changed; undo brings it back.")),
      groups(fit, now).map(([ends, each]) => [
        h("h3", {}, `${ends} ends`, ends === now ? h("span.hint", {}, " as now") : null),
        h("ul.effects", {}, each.map((option) => h("li", {}, tile(store, option, finish)))),
      ]),
      not.length
        ? h(
            "details",
            {},
            h("summary", {}, `${not.length} more that this basket cannot take`),
            h("ul", {}, not.map((option) => h("li.hint", {}, `${option.ends} ends, ${option.colours.join(", ")}: ${option.spoils || option.why}`))),
          )
        : null,
    ],
    { kind: "effectswall" },
  );
}

function tile(store, option, finish) {
  const [, seen, ...rest] = option.words.match(/^([^:,]+)(?:[:,] )?(.*)$/); // what one sees, and then how it comes about
  const button = h(
    "button.effect",
    { type: "button", "aria-pressed": option.current ? "true" : "false", title: option.why },
    h("img", { src: `data:image/svg+xml;charset=utf-8,${encodeURIComponent(option.picture)}`, alt: "", width: 132, height: 88 }),
    h("b", {}, seen),
    h("span.words", {}, rest.join("")),
    h("span.hint", {}, `${option.colours.join(", ")}; from space ${option.start}`),
  );
  button.addEventListener("click", () => finish(option));
  return button;
}

/** Options by count of ends: the count as now first, then the nearest. */
function groups(options, now) {
  const out = new Map();
  for (const option of options) out.set(option.ends, [...(out.get(option.ends) ?? []), option]);
  return [...out].sort(([a], [b]) => Math.abs(a - now) - Math.abs(b - now) || a - b);
}
