/**
 * Where bands stand in the design: those of the basket itself, and those of its lid, which is woven as a base of its own.
 * `of` says which: "" or "lid".
 */

export const bandsOf = (store, of) => (of === "lid" ? store.state.document.lid?.band : store.state.document.band) ?? [];

/** The place of a stack in the file, or of one band in it. */
export const pathOf = (of, index) => [...(of === "lid" ? ["lid", "band"] : ["band"]), ...(index === undefined ? [] : [index])];

/** What the program tells of a band. @returns {import("./contract.js").BandTold | undefined} */
export const toldOf = (store, of, index) => (of === "lid" ? store.state.look?.lid_bands : store.state.look?.bands)?.find((each) => each.index === index);

/**
 * The colours of a band's weavers, each the list of its reeds' from the bottom up; as the file has them while the basket
 * cannot be woven, for as many weavers as it had last.
 */
export function coloursOf(store, of, index) {
  const told = toldOf(store, of, index);
  if (told) return told.colours;
  const listed = [bandsOf(store, of)[index]?.colours ?? "natural"].flat();
  if (listed.length > 1) return listed.map((name) => [name]);
  const before = (of === "lid" ? store.lookBefore?.lid_bands : store.lookBefore?.bands)?.find((each) => each.index === index);
  return Array.from({ length: before?.colours.length ?? 1 }, () => listed);
}

/** The part of the basket a band is worked on where the file does not say. */
export const partOf = (band, of) => band?.where ?? (of === "lid" ? "base" : "side");

/** "band 3", "band 1 of the lid" */
export const nameOf = (of, index) => `band ${index + 1}${of === "lid" ? " of the lid" : ""}`;

/** The base band of a lid that is woven to its edge: the last, where it does not say how far it goes. */
export const toEdge = (band, of) => of === "lid" && partOf(band, of) === "base" && (band.until === "edge" || !("rows" in band || "height" in band || "until" in band));

/** Which band is open, from 0, or null. */
export const openOf = (store, of) => (of === "lid" ? store.bandInLid : store.band);

export function setOpen(store, of, index) {
  if (of === "lid") store.bandInLid = index;
  else store.band = index;
}
