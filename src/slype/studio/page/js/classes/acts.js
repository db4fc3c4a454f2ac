/** What buttons of the room of classes do, by the name in their `data-do`; its keys; pasting; sliding. */

import { ask, askShown, file, handOver } from "../base/api.js";
import { h } from "../../../../page/h.js";
import { sentence } from "../base/store.js";
import { committed } from "../fields/fields.js";
import { setTheme, themeNow } from "../panels/head.js";
import * as colours from "../panels/colours.js";
import { fileText, saveAs, show } from "../panels/dialogs.js";
import { say } from "../base/words.js";
import { goTo, placeOf, remember } from "./asked.js";
import { toggle, turnTo } from "./needs.js";

/** @typedef {{store: import("../base/store.js").Store, redraw: () => void, tab: (to: string) => void, news: (text: string, kind?: string) => void}} Page */

const students = (store) => store.state.document.student ?? [];

/** Students that wear a size take another name for it, or none. */
const wearing = (store, size, to) => students(store).flatMap((each, i) => (each.size === size ? [{ set: ["student", i, "size"], to }] : []));

/** The seats as students of the file, one table each, in place of a mere count. */
function asStudents(store) {
  const seats = store.state.kit.seats.filter((each) => !each.spare);
  const rows = seats.map((seat, i) => ({ insert: ["student"], at: i, value: { seat: seat.number, name: "", hand: seat.hand } }));
  return [...rows, { set: ["class", "seats"], to: null }, { set: ["class", "left"], to: null }];
}

/** @type {Object<string, (page: Page, data: DOMStringMap, button: HTMLElement) => any>} */
const ACTIONS = {
  undo: ({ store }) => store.undo(),
  redo: ({ store }) => store.redo(),
  keep: ({ store }, data) => store.settle(data.keep),
  tab: ({ tab }, data) => tab(data.tab),
  pane: ({ redraw }, data) => {
    turnTo(data.pane);
    redraw();
    document.getElementById(`pane-${data.pane}`)?.focus();
  },
  theme: ({ redraw }) => {
    setTheme(themeNow() === "dark" ? "light" : "dark");
    redraw();
  },
  step: async ({ store }, data) => {
    const path = JSON.parse(data.path);
    const now = path.reduce((at, key) => at?.[key], store.state.document) ?? Number(data.usual);
    const to = Math.max(0, now + Number(data.by));
    await store.change([{ set: path, to }], data.label, { merge: `step ${data.path}` });
  },
  basket: async ({ store, news }, data) => {
    try {
      const folder = store.state.path.slice(0, -store.state.place.length);
      const { state } = await askShown("POST", "open", { path: folder + data.design }, "");
      location.assign(`/#basket=${state.id}`);
    } catch (trouble) {
      news(trouble.message, "bad");
    }
  },
  inline: ({ store }) => store.change([{ inline: true }], "lists taken into the class"),
  "list-students": async ({ store }) => {
    if (await store.change(asStudents(store), "students named one by one")) goTo(["student", 0, "name"]);
  },
  "add-student": async ({ store }) => {
    const at = students(store).length;
    if (await store.change([{ insert: ["student"], at, value: { name: "" } }], "a student")) goTo(["student", at, "name"]);
  },
  "add-entry": async ({ store }, data) => {
    const [path, at] = [JSON.parse(data.path), Number(data.at)];
    if (await store.change([{ insert: path, at, value: JSON.parse(data.value) }], `a ${data.label}`)) goTo([...path, at]);
  },
  "remove-entry": async ({ store }, data) => {
    const path = JSON.parse(data.path);
    if (await store.change([{ remove: path }], data.label)) goTo(path.slice(0, -1));
  },
  "add-size": async ({ store }) => {
    const taken = Object.keys(store.state.document.sizes ?? {});
    const name = ["small", "large", "middling", ...taken.map((_, i) => `size ${i + 1}`), "another"].find((each) => !taken.includes(each));
    if (await store.change([{ set: ["sizes", name], to: name === "large" ? "115 %" : "85 %" }], `the size ${name}`)) document.getElementById(`size-name-${taken.length}`)?.focus();
  },
  "remove-size": ({ store }, data) => store.change([{ remove: ["sizes", data.name] }, ...wearing(store, data.name, null)], `the size ${data.name} taken out`),
  "open-row": ({ redraw }, data) => {
    toggle(data.row);
    redraw();
  },
  "go-to": async ({ store, redraw, tab }, data) => {
    const path = JSON.parse(data.path);
    if (!store.tables) await store.told; // pressed while the page still opens: the field is not there yet
    const place = placeOf(path);
    if (place === "roster") tab("roster");
    else {
      turnTo(place);
      tab("told");
    }
    redraw();
    goTo(path);
  },
  "save-as": async ({ store }) => {
    const folder = store.state.path.slice(0, -store.state.place.length);
    const name = await saveAs(store.state.place.replace(/\.toml$/, "-2.toml"), folder);
    if (name) await store.save(folder + name);
  },
  "remove-student": ({ store }, data) => store.change([{ remove: ["student", Number(data.row)] }], "a student taken out"),
  wear: async ({ store }, data) => {
    const chosen = await colours.chooseColour(store, data.worn, data.label);
    if (!chosen) return;
    const first = chosen.hex ? [{ set: ["colours", chosen.name], to: chosen.hex }] : [];
    await store.change([...first, { set: ["student", Number(data.row), "colours", data.of], to: chosen.name === data.of ? null : chosen.name }], data.label);
  },
  "paste-students": (page) => paste(page),
  "ask-fee": ({ store }) => store.change([{ set: ["prices", "fee"], to: slid("fee") }], "fee of the class"),
  paper: async ({ store, news }, data, button) => {
    const words = button.textContent;
    button.disabled = true;
    button.textContent = "Making it …";
    try {
      handOver(await file(`baskets/${store.id}/paper/${data.paper}?${data.query ?? ""}`));
    } catch (trouble) {
      news(trouble.message, "bad");
    } finally {
      button.disabled = false;
      button.textContent = words;
    }
  },
  "file-text": async ({ store }) => {
    let { text, name } = await ask("GET", `baskets/${store.id}/text`);
    const first = text;
    let fault = "";
    for (;;) {
      const to = await fileText(text, name, fault);
      if (to === null || to === first) return;
      if (await store.text(to)) return;
      text = to; // refused: what was typed stays
      fault = store.refusal;
    }
  },
};

/** Rows as copied from a spreadsheet; the program reads them, whatever stands between the cells. */
async function paste({ store }, cells = "", fault = "") {
  const rows = await show("Paste from a spreadsheet", (finish) => {
    const area = h("textarea", { id: "pasted", rows: 12, spellcheck: "false", "aria-label": "rows of students", placeholder: say(store, "name\thand\t{colours}") });
    area.value = cells;
    const button = h("button.first", { type: "button" }, "Take these students");
    button.addEventListener("click", () => finish(area.value));
    return [fault ? h("p.fault", { role: "alert" }, fault) : null, h("p.hint", {}, say(store, "Copy the heading and the rows. Headings may be seat, name, hand, skill, size, design and {colours} (like rust=moss). They take the place of the students above.")), area, h("div.moves", {}, button)];
  });
  if (!rows?.trim()) return;
  try {
    const changes = await ask("POST", `baskets/${store.id}/ask`, { question: "pasted roster", cells: rows });
    await store.change(changes, "students pasted");
  } catch (trouble) {
    await paste({ store }, rows, trouble.trouble ? sentence(trouble.trouble) : String(trouble));
  }
}

const slid = (key) => Number(document.getElementById(`slide-${key}`)?.value);

let asking = false;
let again = false;
/** What so many seats at that fee would leave; while one answer is awaited, only the last place of the sliders counts. */
async function whatIf(page) {
  if (asking) {
    again = true;
    return;
  }
  asking = true;
  try {
    const { said } = await ask("POST", `baskets/${page.store.id}/ask`, { question: "what if", seats: slid("seats"), fee: slid("fee") });
    const box = document.getElementById("what-if");
    if (box) box.textContent = said;
  } catch (trouble) {
    page.news(trouble.message, "bad");
  } finally {
    asking = false;
    if (again) {
      again = false;
      whatIf(page);
    }
  }
}

/** @param {Page} page */
export function listen(page) {
  const { store } = page;
  document.addEventListener("click", (event) => {
    for (const open of document.querySelectorAll("details.manner[open]")) if (!open.contains(event.target) || event.target.closest("button")) open.open = false;
    const button = event.target.closest?.("[data-do]");
    if (button && !button.disabled) ACTIONS[button.dataset.do]?.(page, button.dataset, button);
  });
  document.addEventListener("input", (event) => {
    const field = event.target;
    if (field.dataset?.slide) {
      document.getElementById(`${field.id}-now`).textContent = field.value;
      whatIf(page);
    }
  });
  document.addEventListener("change", (event) => {
    const field = event.target;
    if (field.dataset?.hours) {
      // Both as they stand in the fields: the other may have been typed a moment ago and not be in the file yet.
      const hours = ["0", "1"].map((which) => document.getElementById(`hours-${which}`).value.trim());
      committed(field, store.change([{ set: ["class", "hours"], to: hours }], "hours of the class"));
    }
  });
  document.addEventListener("change", (event) => {
    const field = event.target;
    const was = field.dataset?.sizeName;
    const name = field.value?.trim();
    if (was === undefined || !name || name === was) return;
    const share = store.state.document.sizes[was];
    committed(field, store.change([{ remove: ["sizes", was] }, { set: ["sizes", name], to: share }, ...wearing(store, was, name)], `the size ${was} is now ${name}`));
  });
  document.addEventListener("paste", (event) => {
    if (event.target.closest?.("input, textarea, dialog")) return;
    const cells = event.clipboardData?.getData("text/plain") ?? "";
    if (cells.includes("\t") || cells.includes("\n")) paste(page, cells);
  });
  document.addEventListener("toggle", (event) => event.target.matches?.("details[data-key]") && (event.target.setAttribute("data-own-open", ""), remember(event.target.dataset.key, event.target.open)), true);
  document.addEventListener("keydown", (event) => onKey(page, event));
}

function onKey({ store }, event) {
  if (document.querySelector("dialog[open]")) return;
  const command = event.ctrlKey || event.metaKey;
  const typing = event.target.matches?.("input[type=text], textarea");
  const key = event.key.toLowerCase();
  const named = /^f-student-(\d+)-name$/.exec(event.target.id ?? "");
  if (named && event.key === "Enter" && !event.isComposing) {
    event.preventDefault(); // what was typed is taken by the field; the next name is at hand
    if (!goTo(["student", Number(named[1]) + 1])) return;
    document.getElementById(`f-student-${Number(named[1]) + 1}-name`)?.select();
    return;
  }
  if (command && key === "s") {
    event.preventDefault();
    store.save();
  } else if (command && (key === "z" || key === "y") && !typing) {
    event.preventDefault();
    if (key === "y" || event.shiftKey) store.redo();
    else store.undo();
  }
  if (event.target.getAttribute?.("role") !== "tab") return;
  const all = [...event.target.parentElement.querySelectorAll('[role="tab"]')];
  const way = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
  if (way) all[(all.indexOf(event.target) + way + all.length) % all.length].click();
}
