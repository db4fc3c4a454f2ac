/** The stroke player: a slider over all moments of the work, with a sentence for each and the moving reed aglow. */

import { ask } from "../base/api.js";
import { Follower } from "../../../../page/scene/following.js";
import { h, renew } from "../../../../page/h.js";

const TURNS = "slype-player-turns";
const MOVE_MS = 350;

let on = false;
let at = 0;
/** @type {import("../base/contract.js").MomentsTold | null} of a revision */
let said = null;
let saidOf = "";
let running = null;

let turns = localStorage.getItem(TURNS) !== "no";
const follower = new Follower(matchMedia("(prefers-reduced-motion: reduce)").matches);

export const playing = () => on;

/** The switch "turn with the work": off, the basket stays as the maker has turned it. */
export function turnWithWork(basket, store, to) {
  turns = to;
  localStorage.setItem(TURNS, to ? "yes" : "no");
  follower.release();
  if (to && basket.scene) basket.scene.turntable.handAt = -Infinity;
  show(basket, store);
}

/** @param {import("./basket.js").Basket} basket @param {import("../base/store.js").Store} store */
export async function toggle(basket, store) {
  on = !on;
  halt();
  follower.release();
  if (!on) {
    basket.scene?.moment(null);
    if (turns) basket.scene?.view(basket.scene.named);
    draw(basket, store);
    basket.draw();
    return;
  }
  await follow(basket, store);
  at = said ? said.moments : 0;
  if (basket.scene) basket.scene.turntable.handAt = -Infinity;
  show(basket, store, false); // finished it is seen as it stood
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
  }, MOVE_MS);
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

const partNow = () => said.parts.findLast((each) => at >= each.first) ?? said.parts[0];

function show(basket, store, turning = turns) {
  if (!said) return;
  basket.scene?.moment(at, partNow().of);
  // While it runs the eye is under way to the next stroke already.
  const seen = Math.min(said.moments, at + (running ? 1 : 0));
  if (turning && seen && basket.scene?.solid && !basket.flatNow) follower.to(basket.scene, said, seen);
  draw(basket, store);
}

function draw(basket) {
  if (!on || !said) return renew(basket.player);
  const words = at ? said.words[at - 1] : "Everything lies ready; nothing is laid yet.";
  const now = partNow();
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
      "div.partline",
      {},
      h(
        "label",
        {},
        h("span.seen-by-ear", {}, "part of the work"),
        h("select", { data: { part: "1" }, value: String(now?.first ?? 1) }, said.parts.map((each) => h("option", { value: each.first, selected: each === now }, each.title))),
      ),
      basket.scene && h("label.turns", {}, h("input", { type: "checkbox", checked: turns, data: { turns: "1" } }), "turn with the work"),
    ),
    h("p.words", { "aria-live": running ? "off" : "polite" }, words),
  );
  const list = basket.player.querySelector("select");
  if (list && now) list.value = String(now.first);
}
