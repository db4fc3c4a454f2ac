/**
 * What lies under the hand stays there: lists are drawn anew when the reeds have settled, when another window changes the
 * basket, and after each change, and none of that may move a button away from a pointer that is about to press it.
 *
 * 1. While a finger or button is down nothing is drawn; it is drawn once it is up and its click has done its work.
 * 2. What the pointer lies on is in the same place after drawing: what scrolls is scrolled by as much as it moved, and where
 *    there is nothing left to scroll, room is lent at its edge until the pointer goes.
 */

const TOUCH_MS = 2000; // a finger leaves no pointer behind; so long it counts as still about
const LONGEST_MS = 700; // who presses longer than this holds on to something, and wants to see what it does

const hand = { x: -1, y: -1, down: 0, last: 0, kind: "mouse" };
let waiting = null;

/** Draws now, or once the hand has let go. @param {() => void} draw */
export function whenFree(draw) {
  if (!hand.down || performance.now() - hand.down > LONGEST_MS) return draw();
  waiting = draw;
  return undefined;
}

/** Draws so that what the pointer lies on in one of `scrollers` stays where it is. @param {HTMLElement[]} scrollers */
export function steadily(scrollers, draw) {
  const scroller = scrollers.find((each) => holds(each));
  const anchor = scroller && anchorAt(scroller);
  const top = anchor?.getBoundingClientRect().top;
  draw();
  if (!anchor?.isConnected) return;
  const off = () => anchor.getBoundingClientRect().top - top;
  if (Math.abs(off()) < 1 || anchor.getClientRects().length === 0) return;
  scroller.scrollTop += off();
  const rest = off();
  if (rest < -0.5) lend(scroller, "padding-top", -rest);
  else if (rest > 0.5) {
    lend(scroller, "padding-bottom", rest);
    scroller.scrollTop += rest;
  }
}

function holds(scroller) {
  if (hand.x < 0 || (hand.kind !== "mouse" && performance.now() - hand.last > TOUCH_MS)) return false;
  const box = scroller.getBoundingClientRect();
  return hand.x >= box.left && hand.x < box.right && hand.y >= box.top && hand.y < box.bottom;
}

function anchorAt(scroller) {
  const under = document.elementFromPoint(hand.x, hand.y);
  if (!under || under === scroller || !scroller.contains(under)) return null;
  // A point of a drawing moves with the hand; the drawing itself does not.
  return under.closest("button, input, select, summary, label, svg") ?? under;
}

function lend(scroller, side, dots) {
  const has = parseFloat(getComputedStyle(scroller).getPropertyValue(side)) || 0;
  scroller.style.setProperty(side, `${has + dots}px`);
  lent.add(scroller);
}

const lent = new Set();

function giveBack() {
  for (const scroller of lent) {
    if (holds(scroller)) continue;
    scroller.style.removeProperty("padding-top");
    scroller.style.removeProperty("padding-bottom");
    lent.delete(scroller);
  }
}

function moved(event) {
  Object.assign(hand, { x: event.clientX, y: event.clientY, last: performance.now(), kind: event.pointerType });
  if (lent.size) giveBack();
}

function released() {
  hand.down = 0;
  // After the click, which the page is told of next.
  setTimeout(() => {
    const draw = waiting;
    waiting = null;
    if (!hand.down) draw?.();
    else waiting = draw;
  });
}

addEventListener("pointermove", moved, { passive: true, capture: true });
addEventListener("pointerdown", (event) => { moved(event); hand.down = performance.now(); }, { passive: true, capture: true });
addEventListener("pointerup", released, { passive: true, capture: true });
addEventListener("pointercancel", released, { passive: true, capture: true });
document.addEventListener("pointerleave", () => (hand.x = -1));
