/** What is done to bands, of the basket or of its lid: adding, copying, moving, taking out, colours, effects. */

import * as colours from "../panels/colours.js";
import * as dialogs from "../panels/dialogs.js";
import * as effects from "../panels/effects.js";
import { bandsOf, nameOf, openOf, partOf, pathOf, setOpen, toldOf } from "../base/band-lists.js";
import { say } from "../base/words.js";

/** @typedef {import("./actions.js").Page} Page */

const num = (value) => Number(value);
const ofData = (data) => [data.of ?? "", num(data.band)];

/** What a thing is like when it is first added: the program's word, see `design/starters.py`. */
export const first = (store, name) => store.tables.firsts[name].value;

/** @type {Object<string, (page: Page, data: DOMStringMap, button: HTMLElement) => any>} */
export const bandActions = {
  "open-band": (page, data) => {
    const [of, i] = ofData(data);
    return openBand(page, openOf(page.store, of) === i && !data.stay ? null : i, of);
  },
  "add-band": async (page, data) => {
    const { store } = page;
    const { of, where } = data;
    const at = num(data.at);
    const bands = bandsOf(store, of);
    const alike = (band) => partOf(band, of) === where;
    const like = bands.findLast((band, i) => i < at && alike(band)) ?? bands.find(alike);
    const value = { ...first(store, of && where === "base" ? "lid band" : `${where} band`), ...(like?.reed ? { reed: like.reed } : {}) };
    if (await store.change([{ insert: pathOf(of), at, value }], `a band in the ${of || (where === "side" ? "wall" : "base")}`)) openBand(page, at, of);
  },
  "copy-band": async (page, data) => {
    const [of, i] = ofData(data);
    if (await page.store.change(copies(page.store, of, i, 1), `copy of ${nameOf(of, i)}`)) openBand(page, i + 1, of);
  },
  "repeat-band": async ({ store }, data) => {
    const [of, i] = ofData(data);
    const bands = bandsOf(store, of);
    const back = i > 0 && partOf(bands[i - 1], of) === partOf(bands[i], of);
    const times = await dialogs.number(`Repeat ${nameOf(of, i)}`, back ? "How many times more (this band alone)" : "How many times more", 1, 1, 20);
    if (times) await store.change(copies(store, of, i, times), `${nameOf(of, i)} repeated`);
  },
  "move-band": (page, data) => {
    const [of, i] = ofData(data);
    return moveBand(page, nowAt(i, of), nowAt(i, of) + num(data.by), of);
  },
  "remove-band": async (page, data) => {
    const [of, i] = ofData(data);
    const open = openOf(page.store, of);
    setOpen(page.store, of, null);
    if (await page.store.change([{ remove: pathOf(of, i) }], `${nameOf(of, i)} removed`)) return;
    setOpen(page.store, of, open); // refused: it stays, and open
    page.redraw();
  },
  effects: async (page, data, button) => {
    const { store } = page;
    const [of, i] = ofData(data);
    button.disabled = true; // a large basket's effects take a moment
    button.textContent = "Working them out …";
    try {
      const option = await effects.wall(store, i, of, () => page.redraw());
      if (option && !option.current) await store.change(option.changes, `effect of ${nameOf(of, i)}`);
    } catch (trouble) {
      store.say("trouble", { text: trouble.message });
    } finally {
      page.redraw();
    }
  },
  "weaver-colour": ({ store }, data, button) => weaverColour(store, ...ofData(data), num(data.weaver), data.reed === undefined ? null : num(data.reed), button.textContent),
};

async function weaverColour(store, of, band, weaver, reed, now) {
  const chosen = await colours.chooseColour(store, now.trim(), say(store, `{Colour} of weaver ${weaver + 1}, ${nameOf(of, band)}`), "all weavers of this band");
  if (chosen) await store.change(colours.colourChanges(store, of, band, weaver, reed, chosen), say(store, `{colour} in ${nameOf(of, band)}`));
}

/** A strand was clicked: a weaver's colour is chosen, anything else opens what it belongs to. */
export async function picked(page, { strand }) {
  if (strand.role !== "weaver" || strand.band === null) return;
  if (page.store.band !== strand.band) openBand(page, strand.band);
  const told = toldOf(page.store, "", strand.band);
  // The click that follows a touch must not fall on what opens under the finger.
  await new Promise((done) => setTimeout(done, 180));
  const alike = told?.colours[strand.weaver]?.every((each) => each === told.colours[strand.weaver][0]) ?? true;
  return weaverColour(page.store, "", strand.band, strand.weaver, alike ? null : strand.reed, strand.colour);
}

const cardOf = (band, of) => document.querySelector(`li.band[data-band="${band}"][data-of="${of}"]`);

export function openBand(page, band, of = "") {
  setOpen(page.store, of, band);
  if (!of) page.basket.markBand();
  if (band !== null) page.tab("bands");
  else page.redraw();
  if (band !== null) cardOf(band, of)?.scrollIntoView({ block: "nearest", behavior: "instant" });
}

/**
 * The changes that copy a band so many times above itself. Only one band can fill what is left: one that goes to the top
 * or the edge shares its rows out, and the last copy fills.
 */
function copies(store, of, i, times) {
  const path = pathOf(of, i);
  const until = bandsOf(store, of)[i].until;
  const copy = Array.from({ length: times }, () => ({ copy: path, to: i + 1 }));
  if (until === undefined) return copy;
  const rows = Math.max(1, Math.floor((toldOf(store, of, i)?.rows ?? 2) / (times + 1)));
  return [{ set: [...path, "rows"], to: rows }, ...copy, { set: [...pathOf(of, i + times), "until"], to: until }];
}

/** How far a band goes is said another way now. Where another band fills up to the top, it keeps the rows it has. */
export function setHowFar(page, field) {
  const { of, where, far, rows, height, reach } = field.dataset;
  const { store } = page;
  const { base } = page.store.state.document.form;
  const until = reach || (where === "side" ? first(page.store, "height") : of ? "edge" : Array.isArray(base) ? base[1] : base);
  const to = { rows: num(rows), height: height || first(page.store, "height"), until, top: "top" }[field.value];
  const fills = bandsOf(store, of).findIndex((band, i) => i !== num(far) && partOf(band, of) === "side" && band.until === "top");
  const given = field.value === "top" && fills >= 0 ? [{ set: [...pathOf(of, fills), "rows"], to: toldOf(store, of, fills)?.rows ?? first(store, "rows") }] : [];
  return store.change([...given, { set: [...pathOf(of, num(far)), field.value === "top" ? "until" : field.value], to }], `how far ${nameOf(of, num(far))} goes`);
}

/** Moves of bands that were sent and are not answered yet: what is on show has the order from before them. */
const moving = { "": [], lid: [] };

/** Where the band at place `i` is after a move. */
const after = (i, [from, to]) => (i === from ? to : i > from && i <= to ? i - 1 : i < from && i >= to ? i + 1 : i);

/** Where the band on show at place `i` is after the moves under way. */
export const nowAt = (i, of) => moving[of].reduce(after, i);

/** Do two bands belong to the same part of the basket? */
export function kin(store, a, b, of) {
  const bands = bandsOf(store, of);
  return a in bands && b in bands && partOf(bands[a], of) === partOf(bands[b], of);
}

/** @param {Page} page @param {number} from the band's place, after the moves under way @param {number} to @param {string} of */
export async function moveBand(page, from, to, of) {
  const { store } = page;
  if (from === to || !kin(store, from, to, of)) return;
  const held = document.activeElement?.closest?.("li.band") ? document.activeElement : null;
  const move = [from, to];
  const open = openOf(store, of);
  moving[of].push(move);
  if (open !== null) setOpen(store, of, after(open, move));
  const taken = await store.change([{ move: pathOf(of), from, to }], `${nameOf(of, from)} moved`);
  moving[of].splice(moving[of].indexOf(move), 1);
  if (!taken) setOpen(store, of, open);
  page.redraw(); // now, and not when the picture leaves time for it: the focus is to go on
  if (taken && held) focusAgain(held, to, of);
}

/** The button that was pressed is now another band's: go on from the same button of the band that moved. */
function focusAgain(held, band, of) {
  const card = cardOf(band, of);
  const { by } = held.dataset;
  (card?.querySelector(by ? `[data-do=move-band][data-by="${by}"]` : ".bandname") ?? card?.querySelector(".bandname"))?.focus();
}

/** Alt and an arrow move the band whose card has the focus. */
export function moveByKey(page, event) {
  const card = event.target.closest?.("li.band[data-band]");
  if (!card || event.target.matches("input, select, textarea")) return undefined;
  event.preventDefault();
  const { of } = card.dataset;
  const at = nowAt(num(card.dataset.band), of);
  return moveBand(page, at, at + (event.key === "ArrowUp" ? 1 : -1), of);
}
