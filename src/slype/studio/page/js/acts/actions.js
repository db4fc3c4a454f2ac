/** What buttons do, by the name in their `data-do`; and the keys of the page. */

import { ask, askShown, file, handOver } from "../base/api.js";
import { bandActions, first, kin, moveBand, moveByKey, nowAt, openBand, setHowFar } from "./band-actions.js";
import * as colours from "../panels/colours.js";
import * as dialogs from "../panels/dialogs.js";
import { listenToBands } from "../fields/drags.js";
import * as f from "../fields/fields.js";
import { setTheme, themeNow } from "../panels/head.js";
import * as player from "../panels/player.js";
import { turnFace } from "../panels/shape.js";
import { choose } from "../panels/handouts.js";
import { showInRoom } from "../panels/sharing.js";
import { nameOf, pathOf, toldOf } from "../base/band-lists.js";
import { turnTo } from "../panels/lists.js";
import { say } from "../base/words.js";

/** @typedef {{store: import("../base/store.js").Store, basket: import("../panels/basket.js").Basket, redraw: () => void, tab: (to: string) => void}} Page */

const num = (value) => Number(value);

/** @type {Object<string, (page: Page, data: DOMStringMap, button: HTMLElement) => any>} */
export const ACTIONS = {
  undo: ({ store }) => store.undo(),
  redo: ({ store }) => store.redo(),
  step: ({ store }, data) => f.step(store, data.path, num(data.by), num(data.usual), data.label),
  theme: ({ basket, redraw }) => {
    setTheme(themeNow() === "dark" ? "light" : "dark");
    basket.theme(themeNow());
    redraw();
  },
  keys: ({ store }) => dialogs.keys(store),
  keep: ({ store }, data) => store.settle(data.keep),

  // Files
  bench: (page) => openBench(page),
  "save-as": async (page) => {
    const { store } = page;
    const { folders } = await ask("GET", "hello");
    const suggested = store.state.place || `${store.state.title.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "") || "basket"}.toml`;
    const name = await dialogs.saveAs(suggested, folders[0]);
    if (name) await store.save(name);
  },
  class: async ({ store }) => {
    try {
      const { state } = await askShown("POST", "open", { class_of: store.id }, "");
      location.assign(`/class#basket=${state.id}`);
    } catch (trouble) {
      store.say("trouble", { text: trouble.trouble ? `${trouble.message} ${trouble.trouble.remedy}` : String(trouble) });
    }
  },
  "file-out": async ({ store }) => {
    const { text, name } = await ask("GET", `baskets/${store.id}/text`);
    handOver({ blob: new Blob([text], { type: "application/toml" }), name: name.endsWith(".toml") ? name : `${name}.toml` });
  },
  "file-text": async ({ store }) => {
    let { text, name } = await ask("GET", `baskets/${store.id}/text`);
    const first = text;
    let fault = "";
    for (;;) {
      const to = await dialogs.fileText(text, name, fault);
      if (to === null || to === first) return;
      if (await store.text(to)) return;
      text = to; // refused: what was typed stays
      fault = store.refusal;
    }
  },
  share: ({ store }) => showInRoom(store),
  paper: async ({ store, basket }, data, button) => {
    const words = button.textContent;
    button.disabled = true;
    button.textContent = "Making it …";
    try {
      const query = data.query || (["png", "svg"].includes(data.paper) && basket.view !== "unrolled" ? `view=${basket.view}` : "");
      handOver(await file(`baskets/${store.id}/paper/${data.paper}?${query}`));
    } catch (trouble) {
      store.say("trouble", { text: trouble.message });
    } finally {
      button.disabled = false;
      button.textContent = words;
    }
  },

  // Views
  view: ({ basket }, data) => basket.turnTo(data.view),
  hatch: ({ basket }) => basket.hatch(),
  face: ({ redraw }, data) => {
    turnFace(num(data.face));
    redraw();
  },
  pane: ({ redraw }, data) => {
    turnTo(data.pane);
    redraw();
    document.getElementById(`pane-${data.pane}`)?.focus();
  },
  handout: ({ redraw }, data) => {
    choose(data.key, data.to);
    redraw();
  },
  tab: ({ tab }, data, button) => {
    tab(data.tab);
    if (button.getAttribute("role") === "tab") document.getElementById(`part-${data.tab}`)?.focus();
  },
  play: ({ basket, store }) => player.toggle(basket, store),
  "play-by": ({ basket, store }, data) => player.by(basket, store, num(data.by)),
  "play-run": ({ basket, store }) => player.run(basket, store),

  ...bandActions,

  // Colours
  "colour-at": async ({ store }, data) => {
    const path = JSON.parse(data.path);
    const chosen = await colours.chooseColour(store, f.valueAt(store, path) ?? "natural", data.label);
    if (!chosen) return;
    const first = chosen.hex ? [{ set: ["colours", chosen.name], to: chosen.hex }] : [];
    await store.change([...first, { set: path, to: chosen.name }], say(store, `{colour} of the ${data.label}`));
  },
  "new-colour": async ({ store }) => {
    const chosen = await colours.chooseColour(store, "", say(store, "A {colour} for this basket"));
    if (chosen?.hex) await store.change([{ set: ["colours", chosen.name], to: chosen.hex }], say(store, `the {colour} ${chosen.name}`));
  },
  "forget-colour": ({ store }, data) => store.change([{ remove: ["colours", data.name] }], `${data.name} taken out`),

  // Shape, border, handles
  "add-point": ({ store }) => {
    const wall = store.state.document.form.wall;
    const points = store.state.look?.form.points;
    if (!points) return;
    const [a, b] = points.slice(-2);
    const round = (store.state.document.form.outline ?? "round") === "round";
    const half = (x, y) => ({ mm: (x + y) / 2 });
    const sides = (round ? [0] : [0, 1]).map((k) => half(a.across_mm[k], b.across_mm[k]));
    return store.change([{ insert: ["form", "wall"], at: wall.length - 1, value: [half(a.height_mm, b.height_mm), ...sides] }], "a point of the wall");
  },
  "remove-point": ({ store }, data) => store.change([{ remove: ["form", "wall", num(data.point)] }], "a point of the wall taken out"),
  // By the name of a kind it is the program that writes the moves out; a border in one value has them from its table.
  "own-moves": ({ store }, data) => {
    const [path, own] = [JSON.parse(data.path), JSON.parse(data.own)];
    const to = data.path === data.own ? JSON.parse(data.moves) : null;
    return store.change([{ set: to ? own : path, to }], say(store, "the moves of the {border}"));
  },
  "add-row": ({ store }, data) => store.change([{ insert: JSON.parse(data.path), at: num(data.at), value: first(store, "border row") }], say(store, "a move of the {border}")),
  "remove-row": ({ store }, data) => store.change([{ remove: JSON.parse(data.path) }], say(store, "a move of the {border} taken out")),
  "add-handle": ({ store }) => store.change([{ insert: ["handle"], at: (store.state.document.handle ?? []).length, value: first(store, "handle") }], "a handle"),
  "remove-handle": ({ store }, data) => store.change([{ remove: ["handle", num(data.handle)] }], "a handle taken off"),

  "add-bye": ({ store }) => store.change([{ set: ["bye_spokes"], to: first(store, "bye-spokes") }], say(store, "bye-{spokes}")),
  "remove-bye": ({ store }) => store.change([{ remove: ["bye_spokes"] }], say(store, "the bye-{spokes} taken out")),
  "add-foot": ({ store }) => store.change([{ set: ["foot"], to: first(store, "foot") }], "a foot"),
  "remove-foot": ({ store }) => store.change([{ remove: ["foot"] }], "the foot taken off"),
  "add-lid": ({ store }) => store.change([{ set: ["lid"], to: first(store, "lid") }], "a lid"),
  "remove-lid": ({ store }) => store.change([{ remove: ["lid"] }], "the lid taken off"),

  remedy: ({ store }, data) => {
    const found = store.state.look.watch[num(data.finding)];
    return store.change(found.changes, `remedy: ${found.rule}`);
  },
};

export async function openBench(page) {
  const { store } = page;
  const chosen = await dialogs.bench(store.id);
  if (!chosen) return;
  try {
    if (chosen.away) {
      if (!chosen.path && !(await dialogs.sure("Put away", `${chosen.name} is in no file. Putting it away throws it away.`, "Throw it away"))) return openBench(page);
      await ask("DELETE", `baskets/${chosen.away}`);
      if (chosen.away === store.id) {
        store.state = null;
        await store.open({ new: true });
      }
      return openBench(page);
    }
    await store.open(chosen);
  } catch (trouble) {
    store.say("trouble", { text: trouble.message });
    if (!trouble.offline) return openBench(page);
  }
}

/** @param {Page} page */
export function listen(page) {
  document.addEventListener("click", (event) => {
    for (const open of document.querySelectorAll("details.manner[open]")) if (!open.contains(event.target)) open.open = false;
    const button = event.target.closest?.("[data-do]");
    if (!button || button.disabled) return;
    press(page, button);
  });
  document.addEventListener("change", (event) => {
    const field = event.target;
    const data = field.dataset ?? {};
    if (data.far !== undefined) setHowFar(page, field);
    else if (data.blocks !== undefined) {
      const { of } = data;
      const i = num(data.blocks);
      const usual = first(page.store, "blocks");
      const to = { ...usual, shift: toldOf(page.store, of, i)?.swap || usual.shift };
      page.store.change([{ set: [...pathOf(of, i), "blocks"], to: field.checked ? to : null }], `checks of ${nameOf(of, i)}`);
    } else if (data.rename !== undefined && field.value.trim() && field.value !== data.rename) {
      f.committed(field, page.store.change([{ rename: ["colours", data.rename], to: field.value.trim() }], `${data.rename} renamed`));
    } else if (data.part !== undefined) {
      player.part(page.basket, page.store, num(field.value));
    } else if (data.turns !== undefined) {
      player.turnWithWork(page.basket, page.store, field.checked);
    }
  });
  document.addEventListener("input", (event) => {
    if (event.target.dataset?.moment) player.go(page.basket, page.store, num(event.target.value));
  });
  document.addEventListener("toggle", (event) => event.target.matches?.("details[data-key]") && event.target.setAttribute("data-own-open", ""), true);
  document.addEventListener("keydown", (event) => onKey(page, event));
  listenToBands(document, { kin: (a, b, of) => kin(page.store, a, b, of), move: (from, to, of) => moveBand(page, nowAt(from, of), nowAt(to, of), of) });
  listenToTabs();
}

/** What is taken out is gone only when the program says so: a second press until then would take out its neighbour. */
const takingOut = new Set();

async function press(page, button) {
  const name = button.dataset.do;
  if (!name.startsWith("remove-")) return ACTIONS[name]?.(page, button.dataset, button);
  if (takingOut.has(name)) return undefined;
  takingOut.add(name);
  try {
    return await ACTIONS[name]?.(page, button.dataset, button);
  } finally {
    takingOut.delete(name);
  }
}

function closeFold(fold) {
  fold.open = false;
  fold.querySelector("summary")?.focus();
}

const VIEW_KEYS = { 1: "outside", 2: "inside", 3: "above", 4: "under", 5: "unrolled" };

function onKey(page, event) {
  const { store, basket } = page;
  if (document.querySelector("dialog[open]")) return;
  if (event.key === "Escape") for (const open of document.querySelectorAll("details.manner[open]")) closeFold(open);
  if (event.altKey && (event.key === "ArrowUp" || event.key === "ArrowDown")) return moveByKey(page, event);
  const command = event.ctrlKey || event.metaKey;
  const typing = event.target.matches?.("input[type=text], input[type=number], textarea");
  const key = event.key.toLowerCase();
  if (command && key === "s") {
    event.preventDefault();
    return store.state?.path ? store.save() : ACTIONS["save-as"](page);
  }
  if (command && key === "o") {
    event.preventDefault();
    return openBench(page);
  }
  if (command && (key === "z" || key === "y") && !typing) {
    event.preventDefault();
    return key === "y" || event.shiftKey ? store.redo() : store.undo();
  }
  const slides = event.target.matches?.("input[type=range]") && ![",", ".", "p"].includes(key);
  if (command || event.altKey || typing || slides || event.target.matches?.("select, input[type=radio]")) return;
  if (VIEW_KEYS[key]) basket.turnTo(VIEW_KEYS[key]);
  else if (key === "h") basket.hatch();
  else if (key === "p") player.toggle(basket, store);
  else if (key === ",") player.by(basket, store, -1);
  else if (key === ".") player.by(basket, store, 1);
  else if (key === "?") dialogs.keys(store);
  else if (key === "[" || key === "]") {
    const most = (store.state?.document.band ?? []).length - 1;
    const now = store.band ?? (key === "]" ? -1 : most + 1);
    openBand(page, Math.max(0, Math.min(most, now + (key === "]" ? 1 : -1))));
  } else return;
  event.preventDefault();
}

/** Arrow keys between tabs, as a tab list should have. */
function listenToTabs() {
  document.addEventListener("keydown", (event) => {
    if (event.target.getAttribute?.("role") !== "tab") return;
    const all = [...event.target.parentElement.querySelectorAll('[role="tab"]')];
    const way = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (way) all[(all.indexOf(event.target) + way + all.length) % all.length].click();
  });
}
