/**
 * A seat that tells the teacher how far it is: only where the lesson is shown in a room, the teacher asks for it, and the
 * student allows it. It sends its number and hundredths done, and nothing else.
 */

import { h } from "../../page/h.js";

const MOST = 40;
const PAUSE_MS = 3000; // so many taps are told at once
let waiting;
let last = "";

/** Is there a teacher to tell? */
const asked = (lesson) => lesson.told.seats && location.protocol.startsWith("http");

async function send(words) {
  try {
    await fetch("/seat", { method: "POST", body: words });
  } catch {
    // the lesson is no longer shown; the place is kept all the same
  }
}

/** Tells a change, a little later. */
export function tell(lesson) {
  const { seat } = lesson.chosen;
  if (!asked(lesson) || !seat) return;
  const { places } = lesson;
  const words = JSON.stringify({ seat, done: Math.floor((100 * places.basket.done) / lesson.order.moments) });
  if (words === last) return;
  clearTimeout(waiting);
  waiting = setTimeout(() => {
    last = words;
    send(words);
  }, PAUSE_MS);
}

export const DOES = {
  seat: (lesson, { value }) => {
    const before = lesson.chosen.seat;
    if (before) send(JSON.stringify({ seat: before, done: null }));
    last = "";
    lesson.choose({ seat: Number(value) });
    tell(lesson);
  },
};

export function drawn(lesson) {
  if (!asked(lesson)) return null;
  const { seat } = lesson.chosen;
  return h(
    "label",
    {},
    h("span", {}, "Let the teacher see how far I am (a number, no name)"),
    h("select", { data: { set: "seat" }, value: String(seat ?? 0) }, h("option", { value: 0, selected: !seat }, "no"), Array.from({ length: MOST }, (_, i) => h("option", { value: i + 1, selected: seat === i + 1 }, `yes, I sit at seat ${i + 1}`))),
  );
}
