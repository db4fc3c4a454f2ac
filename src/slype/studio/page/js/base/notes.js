/**
 * A line that is always there, below the room: what a change has moved beside, or why it was refused. It lies over
 * nothing; of a long one what does not fit rises above its line for a while, and lets every press through.
 */

import { h, renew } from "../../../../page/h.js";

const GONE_MS = { "": 20_000, bad: 30_000 };
/** Before so long a press has nothing to do with what was read. */
const READ_MS = 1_200;

let fading = null;
let since = 0;

/** @param {string} text "" for none @param {"" | "bad"} kind */
export function news(text, kind = "") {
  const box = document.getElementById("news");
  renew(box, text ? h(`p.said${kind ? `.${kind}` : ""}`, {}, text) : null);
  clearTimeout(fading);
  since = performance.now();
  fading = setTimeout(() => renew(box), GONE_MS[kind]);
}

/** Where a note is longer than its line the next press puts it away, and does what it does besides. */
document.addEventListener(
  "pointerdown",
  () => {
    const said = document.querySelector("#news .said");
    if (said && said.offsetHeight > said.parentElement.offsetHeight && performance.now() - since > READ_MS) news("");
  },
  { capture: true },
);
