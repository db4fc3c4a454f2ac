/**
 * Taking hold of something with mouse or finger: a mouse has it once it moved a little, a finger after it rested, where
 * the page could be meant to scroll. Escape, a second finger or the system taking the finger away leaves all as it was.
 */

const SLACK = { mouse: 3, pen: 5, touch: 8 }; // dots a hand may tremble and yet not drag
const REST_MS = 220; // a finger that rests this long does not mean to scroll
const NEAR_EDGE = 48; // dots from the edge of what scrolls, where it begins to
const SCROLL = 9; // dots a frame

/**
 * @typedef {object} Drag what is done with the thing taken hold of
 * @property {(event: PointerEvent) => void} move
 * @property {(event: PointerEvent) => void} drop
 * @property {() => void} cancel
 */

/**
 * Lets whatever fits `selector` be dragged.
 * @param {{addEventListener: Function}} root
 * @param {string} selector
 * @param {(element: HTMLElement, event: PointerEvent) => Drag | null} begin called once it is sure to be a drag, with
 *   the event of the first touch
 * @param {{rests?: boolean}} [how] `rests`: a finger has to rest on it first, as scrolling may begin there too
 */
export function draggable(root, selector, begin, { rests = false } = {}) {
  let held = null;

  const end = (kind, event) => {
    if (!held) return;
    const { drag, timer, element, id } = held;
    held = null;
    clearTimeout(timer);
    element.classList.remove("held");
    if (element.hasPointerCapture?.(id)) element.releasePointerCapture(id);
    drag?.[kind](event);
  };
  const take = () => {
    held.ready = true;
    held.element.classList.add("held");
  };
  root.addEventListener("pointerdown", (event) => {
    if (held) return end("cancel"); // a second finger means something else
    const element = event.target.closest?.(selector);
    if (!element || event.button > 0 || !event.isPrimary) return undefined;
    held = { element, first: event, id: event.pointerId, drag: null, ready: false, timer: null };
    if (rests && event.pointerType === "touch") held.timer = setTimeout(take, REST_MS);
    else {
      event.preventDefault();
      element.setPointerCapture(event.pointerId);
      element.focus?.();
      take();
    }
    return undefined;
  });
  root.addEventListener("pointermove", (event) => {
    if (!held || event.pointerId !== held.id) return;
    if (!held.drag) {
      if (Math.hypot(event.clientX - held.first.clientX, event.clientY - held.first.clientY) < (SLACK[event.pointerType] ?? 5)) return;
      if (held.ready) held.drag = begin(held.element, held.first);
      if (!held.drag) return end("cancel"); // it scrolls, or cannot be dragged
    }
    held.drag.move(event);
  });
  root.addEventListener("pointerup", (event) => held && event.pointerId === held.id && end("drop", event));
  root.addEventListener("pointercancel", (event) => held && event.pointerId === held.id && end("cancel"));
  // Once a finger has hold of something the page must not scroll under it; only this event can forbid that late.
  root.addEventListener("touchmove", (event) => held?.ready && event.cancelable && event.preventDefault(), { passive: false });
  root.addEventListener("contextmenu", (event) => held?.ready && event.preventDefault());
  root.addEventListener(
    "keydown",
    (event) => {
      if (event.key !== "Escape" || !held?.drag) return;
      event.preventDefault();
      event.stopPropagation();
      end("cancel");
    },
    { capture: true },
  );
}

/** Bands are dragged by their grip to another place among those of the same part. */
export function listenToBands(root, { kin, move }) {
  draggable(
    root,
    "[data-grip]",
    (grip) => {
      const from = Number(grip.dataset.grip);
      const { of } = grip.dataset;
      const list = grip.closest("ol.bands");
      const scroller = scrollerOf(list);
      let at = null;
      let last = null;
      let frame = 0;
      const mark = (card) => {
        if (card === at) return;
        at?.classList.remove("drop");
        card?.classList.add("drop");
        at = card;
      };
      const look = () => {
        const card = document.elementFromPoint(last.clientX, last.clientY)?.closest("li.band");
        mark(card && list.contains(card) && kin(from, Number(card.dataset.band), of) ? card : null);
      };
      const roll = () => {
        const box = scroller.getBoundingClientRect();
        const top = Math.max(0, box.top);
        const foot = Math.min(innerHeight, box.bottom);
        const way = last.clientY < top + NEAR_EDGE ? -1 : last.clientY > foot - NEAR_EDGE ? 1 : 0;
        if (way) {
          scroller.scrollTop += way * SCROLL;
          look();
        }
        at?.classList.add("drop"); // the cards may have been drawn anew under the hand, as reeds came to rest
        grip.closest("li.band")?.classList.add("moving");
        frame = requestAnimationFrame(roll);
      };
      const over = () => {
        cancelAnimationFrame(frame);
        grip.closest("li.band")?.classList.remove("moving");
        mark(null);
      };
      grip.closest("li.band").classList.add("moving");
      return {
        move: (event) => {
          last = event;
          look();
          if (!frame) frame = requestAnimationFrame(roll);
        },
        drop: () => {
          const to = at ? Number(at.dataset.band) : null;
          over();
          if (to !== null && to !== from) move(from, to, of);
        },
        cancel: over,
      };
    },
    { rests: true },
  );
}

/** What scrolls an element: the nearest that can, or the page. */
function scrollerOf(element) {
  for (let at = element.parentElement; at; at = at.parentElement) {
    if (at.scrollHeight > at.clientHeight && /auto|scroll/.test(getComputedStyle(at).overflowY)) return at;
  }
  return document.scrollingElement;
}
