/** The few words of the page that are spelt or named by the design's wording; all others come worded from the program. */

const TERMS = {
  us: { colour: "color", Colour: "Color", colours: "colors", Colours: "Colors", Spokes: "Spokes", spokes: "spokes", Border: "Rim", border: "rim", reed: "reed", centimetres: "centimeters" },
  uk: { colour: "colour", Colour: "Colour", colours: "colours", Colours: "Colours", Spokes: "Stakes", spokes: "stakes", Border: "Border", border: "border", reed: "cane", centimetres: "centimetres" },
};

/** A sentence with {colour}, {Spokes} and so on in the wording of the basket on show. @param {import("./store.js").Store} store */
export function say(store, text) {
  const terms = TERMS[store.state?.document.basket?.wording === "uk" ? "uk" : "us"];
  return text.replace(/\{(\w+)\}/g, (all, word) => terms[word] ?? all);
}
