/** The effects wall: small true pictures of what other counts, orders and starts would do to one band. */

import { ask } from "./api.js";
import { show } from "./dialogs.js";
import { h } from "./h.js";
import { say } from "./words.js";

/** @param {import("./store.js").Store} store @returns {Promise<object|null>} the chosen option */
export async function wall(store, band) {
  const waiting = ask("POST", `baskets/${store.id}/ask`, { question: "effects wall", band });
  const options = await waiting;
  return show(
    `Band ${band + 1}: every effect within reach`,
    (finish) => [
      h("p.hint", {}, say(store, "What these {colours} would do on other counts of ends, in another order, from another space. Choose one and the design is changed; undo brings it back.")),
      groups(options).map(([ends, each]) => [
        h("h3", {}, `${ends} ends`, each.some((option) => option.current) ? h("span.hint", {}, " as now") : null),
        h(
          "ul.effects",
          {},
          each.map((option) => {
            const button = h(
              "button.effect",
              { type: "button", "aria-pressed": option.current ? "true" : "false", disabled: !option.holds, title: option.spoils ?? option.why },
              h("img", { src: `data:image/svg+xml;charset=utf-8,${encodeURIComponent(option.picture)}`, alt: "", width: 132, height: 88 }),
              h("span.words", {}, option.words),
              h("span.hint", {}, [option.colours.join(", "), option.start ? `from space ${option.start}` : "", option.spoils ?? ""].filter(Boolean).join("; ")),
            );
            button.addEventListener("click", () => finish(option));
            return h("li", {}, button);
          }),
        ),
      ]),
    ],
    { kind: "effectswall" },
  );
}

function groups(options) {
  const out = new Map();
  for (const option of options) out.set(option.ends, [...(out.get(option.ends) ?? []), option]);
  return [...out];
}
