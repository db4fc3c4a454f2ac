/** The stroke player: a slider over all moments of the work, with a sentence for each and the moving reed aglow. */

import { ask } from "./api.js";
import { h, renew } from "./h.js";

let on = false;
let at = 0;
let said = null; // {moments, parts, words} of a revision
let saidOf = "";
let running = null;

export const playing = () => on;

/** @param {import("./basket.js").Basket} basket @param {import("./store.js").Store} store */
export async function toggle(basket, store) {
  on = !on;
  halt();
  if (!on) {
    basket.scene?.moment(null);
    draw(basket, store);
    basket.draw();
    return;
  }
  await follow(basket, store);
  at = said ? said.moments : 0;
  show(basket, store);
  basket.draw();
  basket.player.querySelector("input")?.focus();
}

/** A new basket or a changed one: fetch its moments where the player is open. */
export async function follow(basket, store) {
  if (!on || !store.state?.look) return;
  const of = `${store.id} ${store.state.revision} ${store.state.look.relaxed}`;
  if (saidOf !== of) {
    const fresh = await ask("POST", `baskets/${store.id}/ask`, { question: "moments" });
    said = fresh;
    saidOf = of;
    at = Math.min(at, said.moments);
  }
  show(basket, store);
}

export function go(basket, store, to) {
  if (!on || !said) return;
  at = Math.max(0, Math.min(said.moments, to));
  show(basket, store);
}

export const by = (basket, store, steps) => go(basket, store, at + steps);

export function run(basket, store) {
  if (running) return halt(basket, store);
  if (at >= (said?.moments ?? 0)) at = 0;
  running = setInterval(() => {
    if (at >= said.moments) return halt(basket, store);
    go(basket, store, at + 1);
  }, 350);
  show(basket, store);
}

function halt(basket, store) {
  clearInterval(running);
  running = null;
  if (basket) show(basket, store);
}

export function part(basket, store, first) {
  go(basket, store, first);
}

function show(basket, store) {
  if (!said) return;
  basket.scene?.moment(at);
  draw(basket, store);
}

function draw(basket) {
  if (!on || !said) return renew(basket.player);
  const words = at ? said.words[at - 1] : "Everything lies ready; nothing is laid yet.";
  const now = said.parts.findLast((each) => at >= each.first) ?? said.parts[0];
  renew(
    basket.player,
    h(
      "div.playline",
      { role: "group", "aria-label": "strokes" },
      h("button", { type: "button", data: { do: "play-by", by: -1 }, "aria-label": "one stroke back" }, "‹"),
      h("button", { type: "button", data: { do: "play-run" }, "aria-label": running ? "stop" : "go on by itself" }, running ? "❚❚" : "▶"),
      h("button", { type: "button", data: { do: "play-by", by: 1 }, "aria-label": "one stroke on" }, "›"),
      h("input", { type: "range", min: 0, max: said.moments, value: at, id: "moment", "aria-label": "moment of the work", "aria-valuetext": words, data: { moment: "1" } }),
      h("span.count", {}, `${at} of ${said.moments}`),
    ),
    h(
      "label.partline",
      {},
      h("span.seen-by-ear", {}, "part of the work"),
      h("select", { data: { part: "1" }, value: String(now?.first ?? 1) }, said.parts.map((each) => h("option", { value: each.first, selected: each === now }, each.title))),
    ),
    h("p.words", { "aria-live": running ? "off" : "polite" }, words),
  );
  const list = basket.player.querySelector("select");
  if (list && now) list.value = String(now.first);
}
