/** A sign that a text goes on below the edge of its box. */

const BOXES = ".panel > .words, .before, #other, .bench, #large .sheet";
const SPARE = 6; // dots that nobody misses

/** Marks every box whose end is not seen. */
export function scrolled() {
  for (const box of document.querySelectorAll(BOXES)) {
    box.toggleAttribute("data-below", box.scrollHeight - box.clientHeight - box.scrollTop > SPARE);
  }
}
