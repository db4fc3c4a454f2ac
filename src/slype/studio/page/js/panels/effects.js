/** Effects to try: true pictures of what other counts, orders, starts and checks would do to one band. */

import { ask } from "../base/api.js";
import { bandsOf, nameOf } from "../base/band-lists.js";
import { h } from "../../../../page/h.js";
import { say } from "../base/words.js";
import { chooseColour, hexOf, swatch } from "./colours.js";
import { show } from "./dialogs.js";

/**
 * A band of one colour is shown with a second one, which may be changed.
 * @param {import("../base/store.js").Store} store @param {() => void} known called once they are to be seen
 * @returns {Promise<object|null>} the chosen option
 */
export async function wall(store, band, of = "", known = () => {}) {
  let second = null;
  for (;;) {
    const every = await ask("POST", `baskets/${store.id}/ask`, { question: "effects wall", band, of, second });
    known();
    const chosen = await choose(store, band, of, every);
    if (!chosen?.other) return chosen;
    const to = await chooseColour(store, chosen.other, say(store, `A second {colour} for ${nameOf(of, band)}`));
    if (to?.hex && !(await store.change([{ set: ["colours", to.name], to: to.hex }], say(store, `the {colour} ${to.name}`)))) return null;
    second = to?.name ?? chosen.other;
  }
}

function choose(store, band, of, every) {
  const options = every.filter((option) => !option.checks);
  const checks = every.filter((option) => option.checks);
  const now = options[0]?.now ?? 0;
  const fit = options.filter((option) => option.holds && !option.spoils);
  const first = nameOf(of, band).replace(/^b/, "B");
  const own = [bandsOf(store, of)[band].colours ?? "natural"].flat();
  const plain = new Set(own).size < 2;
  const second = every.find((option) => option.second)?.second;
  return show(
    `${first}: effects to try`,
    (finish) => [
      second ? withSecond(store, own[0], second, finish) : h("p.hint", {}, say(store, "What the {colours} of this band do, in other orders and on other counts of ends. Press one and the design is changed; Undo brings it back.")),
      plain && !second ? h("p.nothing", {}, say(store, "It has one weaver, so one {colour}, and there is nothing to choose from. Give it a weave of two weavers or more first, like pairing or chasing.")) : null,
      ...groups(fit, now).map(([ends, each], i) => [
        section(store, `${ends} ends${ends === now ? ", as now" : ""}`, "", each, finish),
        i === 0 && checks.length
          ? section(store, `Checks${checks[0].ends === now ? "" : `, on ${checks[0].ends} ends`}`, say(store, "Every few rows the weavers are ended and set in further on, where the {colours} change places."), checks, finish)
          : null,
      ]),
      refused(store, options.filter((option) => !option.holds || option.spoils)),
    ],
    { kind: "effectswall" },
  );
}

/** What is shown of a band that has one colour so far. */
function withSecond(store, own, second, finish) {
  const other = swatch(store, second, {}, say(store, "second {colour}"));
  other.addEventListener("click", () => finish({ other: second }));
  return h(
    "div.second",
    {},
    h("p.hint", {}, say(store, `All its weavers are ${own} so far. This is what they would do with a second {colour}: press one, and its {colours} are set with it; Undo brings it back.`)),
    h("div.field", {}, h("span.label", {}, say(store, "second {colour}, to change")), other),
  );
}

const section = (store, title, words, options, finish) => [
  h("h3", {}, title),
  words ? h("p.hint", {}, words) : null,
  h("ul.effects", {}, options.map((option) => h("li", {}, tile(store, option, options, finish)))),
];

function tile(store, option, beside, finish) {
  const [, seen, how] = option.words.match(/^([^:,]+)(?:[:,] )?(.*)$/); // what one sees, and then how it comes about
  const block = how.match(/^(.*): blocks (.*)$/);
  const same = beside.filter((other) => String(other.colours) === String(option.colours) && other.start !== option.start);
  const button = h(
    "button.effect",
    { type: "button", "aria-pressed": option.current ? "true" : "false" },
    h("img", { src: `data:image/svg+xml;charset=utf-8,${encodeURIComponent(option.picture)}`, alt: "", width: 240, height: 180 }),
    h("b", {}, block ? `checks ${block[2]}` : seen, option.current ? " (as now)" : ""),
    h("span.order", { "aria-label": option.colours.join(", ") }, option.colours.slice(0, 12).map((name) => h("span.dot", { title: name, style: { background: hexOf(store, name) } }))),
    h("span.words", {}, [block ? `${seen}, ${block[1]}` : how, option.checks || option.effect === "plain" ? "" : option.why].filter(Boolean).join("; ")),
    same.length ? h("span.words", {}, `first weaver in space ${option.start}`) : null,
  );
  button.addEventListener("click", () => finish(option));
  return button;
}

/** What cannot be had, each reason once. */
function refused(store, options) {
  const by = new Map();
  for (const option of options) {
    const why = option.spoils || `With ${option.ends} ends: ${option.why}.`;
    by.set(why, [...(by.get(why) ?? []), option]);
  }
  if (!by.size) return null;
  return h(
    "details",
    {},
    h("summary", {}, `Not with this basket: ${[...new Set(options.map((option) => option.ends))].join(", ")} ends`),
    h("ul", {}, [...by.keys()].map((why) => h("li.hint", {}, why))),
  );
}

/** Options by count of ends: the count as now first, then the nearest. */
function groups(options, now) {
  const out = new Map();
  for (const option of options) out.set(option.ends, [...(out.get(option.ends) ?? []), option]);
  return [...out].sort(([a], [b]) => Math.abs(a - now) - Math.abs(b - now) || a - b);
}
