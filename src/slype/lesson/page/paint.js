/**
 * Colours as small patches: as they are, or where hatching is chosen as patterns that can be told apart without colour.
 * With a letter beside them they can be told apart in any light.
 */

/** Patterns in the order of the palette: stripes this way and that, checks, dots of a line; dark on light. */
const PATTERNS = [
  "none",
  "repeating-linear-gradient(45deg, #000 0 3px, #0000 3px 9px)",
  "repeating-linear-gradient(-45deg, #000 0 3px, #0000 3px 9px)",
  "repeating-linear-gradient(0deg, #000 0 3px, #0000 3px 9px)",
  "repeating-linear-gradient(90deg, #000 0 3px, #0000 3px 9px)",
  "repeating-linear-gradient(45deg, #000 0 5px, #0000 5px 8px)",
  "repeating-linear-gradient(45deg, #000 0 2px, #0000 2px 8px), repeating-linear-gradient(-45deg, #000 0 2px, #0000 2px 8px)",
  "linear-gradient(#000, #000)",
];

/** @param {import("./main.js").Lesson} lesson @param {string[]} names colours of the strands of one weaver @returns {object} style */
export function paint(lesson, names) {
  const { told, chosen } = lesson;
  if (chosen.hatched) {
    const at = Object.keys(told.palette).indexOf(names[0]);
    return { background: `${PATTERNS[at % PATTERNS.length]} #fff` };
  }
  const shades = names.map((name) => told.palette[name]);
  if (shades.length === 1) return { background: shades[0] };
  const share = (i) => `${(100 * i) / shades.length}%`;
  return { background: `linear-gradient(${shades.map((each, i) => `${each} ${share(i)} ${share(i + 1)}`).join(", ")})` };
}

export const letters = (told, names) => names.map((name) => (told.letters[name] ?? name[0]).toUpperCase()).join("");
