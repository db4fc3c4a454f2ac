/**
 * Finding the slip: the student taps what lies in front of each spoke, or picks the small picture that looks like it; the
 * lesson names the likeliest slips, and how far to unweave.
 */

import { h } from "../../page/h.js";
import * as border from "./slip-border.js";
import { letters, paint } from "./paint.js";
import { BARE, allTraced, deep, likeliest, strokesMade } from "./slip-rule.js";
import { MINE } from "./goto.js";
import { whereTold } from "./order.js";

/** What a row is called that is so many below the topmost (from 0). */
const rowTold = (down) => ["top", "2nd", "3rd"][down] ?? `${down + 1}th`;
const CELL = 60; // dots; these and the next as in lesson.css
const GAP = 4;
const SIDES = 28;
const ROWS = 42; // for the numbers of the rows
const MOST_ROOM = 860;
const ACROSS = "(orientation: landscape) and (max-height: 600px)"; // a phone held across: table and words side by side
const BESIDE = 0.58;
const MOST_WIDE = 10;
const PICTURES = 12;
const ANSWERS = 3;

/** What the student looks at; begun anew with another place. */
let look = null;

/** The band and block woven last at a place, and the strokes done in it; null where nothing is woven yet. */
function woven({ order, places }) {
  const { told } = order;
  let last = places.basket.done - 1;
  while (last >= 0 && ["set in", "end", "add", "bye"].includes(order.act(last + 1))) last--;
  if (last < 0 || order.act(last + 1) !== "stroke") return null;
  const band = told.bands[told.part[last]];
  const [part, block] = [told.part[last], told.block[last]];
  const strokes = [];
  for (let i = 0; i <= last; i++) if (told.part[i] === part && told.block[i] === block && order.act(i + 1) === "stroke") strokes.push(i + 1);
  return { ...band, start: band.starts[block][1], strokes, key: `${told.id} ${part} ${block} ${strokes.length} ${order.hand}` };
}

/** Spokes beside each other: as many as there is room for at the size of a wet finger. */
function wideOf() {
  const all = document.getElementById("other").clientWidth;
  const room = (matchMedia(ACROSS).matches ? BESIDE * all : Math.min(all, MOST_ROOM)) - SIDES - ROWS;
  return Math.max(3, Math.min(MOST_WIDE, Math.floor((room + GAP) / (CELL + GAP))));
}

function begin(lesson) {
  const band = woven(lesson);
  if (!band) return (look = null);
  const wide = Math.min(wideOf(), band.ends);
  if (look?.key === band.key && look.wide === wide) return look;
  const count = band.strokes.length;
  const traced = allTraced(band, count);
  const front = strokesMade(band, count, null).at(-1).at;
  look = { key: band.key, band, count, wide, traced, right: traced[0].piles, deep: deep(band), first: mod(front - wide + 2, band.ends), cells: new Map(), picked: "", pictures: true };
  return look;
}

const mod = (a, b) => ((a % b) + b) % b;
const spokesOf = ({ first, wide, band }) => Array.from({ length: wide }, (_, i) => mod(first + i, band.ends));
const cellOf = (piles, spoke, down) => piles[spoke][down] ?? [BARE, 0];

/** What the student says lies there: as it should be until it is said otherwise. */
const saidOf = (spoke, down) => look.cells.get(`${spoke}.${down}`) ?? cellOf(look.right, spoke, down);

export const DOES = {
  ...border.DOES,
  "slip-on": (lesson, { by }) => {
    look.first = mod(look.first + Number(by), look.band.ends);
    look.picked = "";
    lesson.draw();
  },
  "slip-cell": (lesson, { at }) => {
    look.picked = look.picked === at ? "" : at;
    lesson.draw();
    document.querySelector(".chooser")?.scrollIntoView({ block: "nearest" });
    document.querySelector(".chooser button")?.focus({ preventScroll: true });
  },
  "slip-put": (lesson, { colour, over }) => {
    const at = look.picked;
    const [spoke, down] = at.split(".").map(Number);
    const was = saidOf(spoke, down);
    const to = colour !== undefined ? [Number(colour), Number(colour) === BARE ? 0 : was[1] || 1] : [was[0], Number(over)];
    if (`${to}` === `${cellOf(look.right, spoke, down)}`) look.cells.delete(at);
    else look.cells.set(at, to);
    lesson.draw();
    document.querySelector(`[data-at="${at}"]`)?.focus({ preventScroll: true });
  },
  "slip-clear": (lesson) => {
    look.cells.clear();
    look.picked = "";
    lesson.draw();
  },
  "slip-pictures": (lesson) => {
    look.pictures = !look.pictures;
    lesson.draw();
  },
  "slip-like": (lesson, { number }) => {
    const { piles } = look.traced[Number(number)];
    look.cells.clear();
    for (const spoke of spokesOf(look)) for (let down = 0; down < look.deep; down++) look.cells.set(`${spoke}.${down}`, cellOf(piles, spoke, down));
    look.pictures = false;
    lesson.draw();
  },
  "slip-unwoven": (lesson, { moment }) => {
    lesson.places.go(Number(moment) - 1);
    lesson.turnTo("count");
  },
  "slip-show": (lesson, { moment }) => {
    lesson.turnTo("watch");
    lesson.watch.go(Number(moment));
  },
};

/** What is seen in the window: colours, and where a bar's length was said that too. */
function seen() {
  const out = [];
  for (const spoke of spokesOf(look)) {
    for (let down = 0; down < look.deep; down++) {
      const said = look.cells.get(`${spoke}.${down}`);
      out.push([spoke, down, said ?? cellOf(look.right, spoke, down)[0]]);
    }
  }
  return out;
}

const changed = () => spokesOf(look).some((spoke) => Array.from({ length: look.deep }, (_, down) => `${saidOf(spoke, down)}` !== `${cellOf(look.right, spoke, down)}`).includes(true));

export function drawn(lesson) {
  const { order } = lesson;
  if (!begin(lesson)) {
    return border.drawn(lesson) ?? elsewhere(lesson);
  }
  const { told } = order;
  const last = look.band.strokes.at(-1);
  const noun = order.words(told.part[last - 1]).spoke;
  const where = look.band.where === "side" ? "the topmost row stands above" : "the outermost row stands above";
  return h(
    "div.slip",
    {},
    h(
      "div.told",
      {},
      h("h2", {}, "Something looks wrong?"),
      h("p", {}, `${order.chapter(last).chapter}, ${whereTold(order, last)} done. So your last rows should look; ${where}. In each place: the ${told.terms.colour}'s letter, and how many ${noun}s the bar goes over. Touch every place that looks different.`),
    ),
    look.pictures && [h("p.hint", {}, "Does it look like one of these? Then touch it. Else touch the places below."), pictures(lesson)],
    grid(lesson, noun),
    look.picked && chooser(lesson, noun),
    h(
      "div.keys",
      { data: { key: "keys" } },
      h("button", { type: "button", data: { do: "slip-on", by: order.hand === "left" ? 1 : -1 }, "aria-label": `${noun}s further to the left` }, "‹ further"),
      h("button", { type: "button", data: { do: "slip-on", by: order.hand === "left" ? -1 : 1 }, "aria-label": `${noun}s further to the right` }, "further ›"),
      h("button", { type: "button", data: { do: "slip-pictures" }, "aria-pressed": String(look.pictures) }, "Pick a picture"),
      h("button", { type: "button", data: { do: "slip-clear" }, disabled: !look.cells.size }, "As it should be"),
    ),
    h("div.answers", { role: "status", data: { key: "answers" } }, changed() ? answers(lesson) : h("p.hint", {}, "Nothing is marked yet.")),
  );
}

const capital = (word) => word[0].toUpperCase() + word.slice(1);

/** Before the first row, and in work that is no weaving: what the step itself says goes wrong there. */
function elsewhere(lesson) {
  const { order, places } = lesson;
  const step = order.pending(places.basket) ?? order.chapter(Math.min(order.moments, places.basket.done + 1));
  return h(
    "div.slip",
    {},
    h("h2", {}, "Something looks wrong?"),
    h("p", {}, `Slips are looked for in woven rows and in the border. Your place is at ${step.number}. ${step.title}${step.slips.length ? ": this is what goes wrong there most." : "."}`),
    step.slips.map(([seen, undo]) => h("p.undo", {}, h("b", {}, seen), " ", undo)),
    h("p.hint", {}, `Not found here: slips of a handle, and of laying and turning up. Is this not your place? Under Watch press Go to …, choose it, then press “${MINE}”.`),
  );
}

/** In the order they are seen from outside: a left hand works towards the left. */
function columns(lesson) {
  const spokes = spokesOf(look);
  return lesson.order.hand === "left" ? spokes.reverse() : spokes;
}

function grid(lesson, noun) {
  const { told } = lesson.order;
  const spokes = columns(lesson);
  const rows = Array.from({ length: look.deep }, (_, down) => down);
  return h(
    "div.grid",
    { role: "group", "aria-label": "what lies in front", style: { "grid-template-columns": `${ROWS - GAP}px repeat(${spokes.length}, minmax(0, 1fr))` } },
    h("span"),
    spokes.map((spoke) => h("span.number", { "aria-hidden": "true" }, String(spoke + 1))),
    rows.map((down) => [
      h("span.row", { "aria-hidden": "true" }, rowTold(down)),
      spokes.map((spoke) => {
        const [colour, over] = saidOf(spoke, down);
        const other = `${saidOf(spoke, down)}` !== `${cellOf(look.right, spoke, down)}`;
        const name = nameOf(told, colour);
        return h(
          `button.cell${other ? ".other" : ""}${colour === BARE ? ".bare" : ""}`,
          {
            type: "button",
            data: { do: "slip-cell", at: `${spoke}.${down}` },
            "aria-pressed": String(look.picked === `${spoke}.${down}`),
            "aria-label": `${noun} ${spoke + 1}, ${rowTold(down)} row: ${name}${over ? `, over ${over}` : ""}${other ? ", marked" : ""}`,
          },
          colour === BARE ? h("i.upright") : h("i.bar", { style: paintOf(lesson, colour) }),
          h("span.letter", {}, colour === BARE ? "" : `${letterOf(told, colour)} ${over}`),
        );
      }),
    ]),
  );
}

function chooser(lesson, noun) {
  const { told } = lesson.order;
  const [spoke, down] = look.picked.split(".").map(Number);
  const [now, over] = saidOf(spoke, down);
  const choices = [...new Set(look.band.colours)];
  const longest = Math.max(...look.band.cycle.map(([a, b]) => a + b)) + 1;
  return h(
    "div.chooser",
    { data: { key: "chooser" }, role: "group", "aria-label": `${noun} ${spoke + 1}, ${rowTold(down)} row: what lies there` },
    h("p", {}, `${capital(noun)} ${spoke + 1}, ${rowTold(down)} row: what lies in front?`),
    h(
      "div.keys",
      {},
      choices.map((colour) => h("button", { type: "button", data: { do: "slip-put", colour }, "aria-pressed": String(colour === now) }, h("i.dot", { style: paintOf(lesson, colour) }), nameOf(told, colour))),
      h("button", { type: "button", data: { do: "slip-put", colour: BARE }, "aria-pressed": String(now === BARE) }, `nothing: the ${noun} shows`),
    ),
    now !== BARE && h("p", {}, `How many ${noun}s does it go over?`),
    now !== BARE && h("div.keys", {}, Array.from({ length: longest }, (_, i) => h("button", { type: "button", data: { do: "slip-put", over: i + 1 }, "aria-pressed": String(over === i + 1) }, String(i + 1)))),
  );
}

const nameOf = (told, colour) => (colour === BARE ? "nothing" : told.colours[colour].join(" and "));
const letterOf = (told, colour) => letters(told, told.colours[colour]);
const paintOf = (lesson, colour) => paint(lesson, lesson.told.colours[colour]);

/** Small pictures of what the nearest slips look like here, each different one once. */
function pictures(lesson) {
  const spokes = columns(lesson);
  const found = new Map();
  const near = look.traced.map((each, number) => ({ ...each, number })).filter((each) => each.slip).sort((a, b) => b.slip.stroke - a.slip.stroke);
  const sign = (piles) => spokes.map((spoke) => JSON.stringify(piles[spoke])).join();
  const right = sign(look.right);
  for (const each of near) {
    const key = sign(each.piles);
    if (key !== right && !found.has(key)) found.set(key, each);
    if (found.size === PICTURES) break;
  }
  if (!found.size) return h("p.hint", {}, "No slip of the last rows would show on this stretch.");
  return h(
    "div.pictures",
    { data: { key: "pictures" }, role: "group", "aria-label": "pictures of slips" },
    [...found.values()].map((each) => h("button", { type: "button", data: { do: "slip-like", number: each.number }, "aria-label": `like this: ${said(lesson, each.slip).what}` }, small(lesson, spokes, each.piles))),
  );
}

function small(lesson, spokes, piles) {
  return h(
    "span.small",
    { style: { "grid-template-columns": `repeat(${spokes.length}, 1fr)` } },
    Array.from({ length: look.deep }, (_, down) =>
      spokes.map((spoke) => {
        const [colour] = cellOf(piles, spoke, down);
        const other = `${cellOf(piles, spoke, down)}` !== `${cellOf(look.right, spoke, down)}`;
        return h(`i${other ? ".other" : ""}${colour === BARE ? ".bare" : ""}`, { style: colour === BARE ? {} : paintOf(lesson, colour) });
      }),
    ),
  );
}

function answers(lesson) {
  const found = likeliest(look.band, look.count, seen(), look.traced).filter((each) => each.slip);
  const best = found[0].off;
  const alike = found.filter((each) => each.off === best).length;
  return [
    h("h3", {}, best ? "Nothing fits wholly; the nearest are" : "Likeliest"),
    h(
      "ol",
      {},
      found.slice(0, ANSWERS).map(({ slip, off }) => {
        const { what, unweave, moment } = said(lesson, slip);
        return h("li", {}, h("b", {}, what), h("p", {}, unweave), off > 0 && h("p.hint", {}, `${off} place${off === 1 ? " does" : "s do"} not fit.`), h("button", { type: "button", data: { do: "slip-show", moment } }, "Show how it goes"), h("button", { type: "button", data: { do: "slip-unwoven", moment: slip.kind === "start" ? look.band.strokes[0] : moment } }, "I have unwoven: count on from there"));
      }),
    ),
    alike > ANSWERS && h("p.hint", {}, `${alike} slips would look like this here; look further round to tell them apart.`),
  ];
}

/** By so many spaces a weaver comes out further on than it should (slip-rule.js). */
const MOVED = { "over more": 1, "over less": -1, "behind more": 1, "behind less": -1 };

const KINDS_TOLD = {
  missed: (one) => `passed in front of a ${one} it should have gone behind`,
  "over more": (one) => `went in front of one ${one} too many`,
  "over less": (one) => `went in front of one ${one} too few`,
  "behind more": (one) => `went behind one ${one} too many`,
  "behind less": (one) => `went behind one ${one} too few`,
};

/** A slip in words, how far to unweave, and the moment of its stroke. */
export function said(lesson, slip) {
  const { order } = lesson;
  const { spoke: one, space } = order.words(order.told.part[look.band.strokes[0] - 1]);
  const moment = look.band.strokes[slip.stroke];
  const colour = order.colours(moment).join(" and ");
  const place = `${whereTold(order, moment)}, from ${space} ${order.told.space[moment - 1] + 1}`;
  const back = look.count - slip.stroke;
  const unweave = `Unweave ${back} stroke${back === 1 ? "" : "s"}, back to before ${place}.`;
  if (slip.kind === "start") {
    return { what: `The first weaver was set in one space too ${slip.by > 0 ? "far on" : "far back"}.`, unweave: `Unweave the band to its beginning: ${back} strokes.`, moment };
  }
  if (slip.kind === "swapped") return { what: `Two weavers changed places before the stroke from ${space} ${order.told.space[moment - 1] + 1}.`, unweave, moment };
  if (slip.kind === "wrong") return { what: `Not the ${colour} weaver from ${space} ${order.told.space[moment - 1] + 1} was taken, but one ${slip.by === 1 ? "next to it" : `${slip.by} further on`}.`, unweave, moment };
  const { told } = order;
  const i = moment - 1;
  const out = mod(told.space[i] + told.over[i] + told.under[i] + (MOVED[slip.kind] ?? 0), told.spaces[i]) + 1;
  return { what: `The ${colour} weaver from ${space} ${told.space[i] + 1} ${KINDS_TOLD[slip.kind](one)}: out at ${space} ${out}.`, unweave, moment };
}
