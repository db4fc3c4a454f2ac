/** The room of the book comes together: its panes, what its buttons and forms do, and the way back to the bench. */

import { ask, fromAddress, Refused } from "../base/api.js";
import { h, renew } from "../../../../page/h.js";
import { sentence } from "../base/store.js";
import { setTheme, themeNow } from "../panels/head.js";
import { parts } from "./leaf.js";
import * as photos from "./photo.js";

const at = (id) => document.getElementById(id);
const basket = fromAddress() ?? "";
/** @type {import("../base/contract.js").BookTold | null} */
let book = null;
/** @type {import("../base/contract.js").PartOfBook[]} */
let found = [];
let pane = "shelf";
let taken = 0; // forms that were entered begin anew

setTheme(themeNow());

function redraw() {
  document.title = "Your book – slype";
  renew(
    at("head"),
    h("a.button.bench", { href: basket ? `/#basket=${basket}` : "/", title: "back to the baskets" }, h("span.mark", {}, "slype"), h("span", {}, "Bench")),
    h("h1.title", {}, "Your book"),
    h("span.safe", {}, book ? (book.basket ? `Beside ${book.basket}. ` : "") : ""),
    h("button.quiet", { type: "button", data: { do: "theme" } }, themeNow() === "dark" ? "Light page" : "Dark page"),
  );
  if (!book) return;
  const shown = book.panes.find((each) => each.key === pane) ?? book.panes[0];
  const tab = (each) => h("button", { type: "button", role: "tab", id: `pane-${each.key}`, "aria-selected": each.key === shown.key ? "true" : "false", "aria-controls": "leaf", tabindex: each.key === shown.key ? "0" : "-1", data: { do: "pane", pane: each.key } }, each.title);
  renew(
    at("leaves"),
    h("div.panes", { role: "tablist", "aria-label": "Parts of the book" }, book.panes.map(tab)),
    h("div", { id: "leaf", role: "tabpanel", "aria-labelledby": `pane-${shown.key}`, tabindex: "0", data: { key: `${shown.key}-${taken}` } }, parts(shown.parts, `${shown.key}-${taken}`), shown.key === "photo" ? photos.pane(book.kept.map(([key, words]) => ({ key, words }))) : null, parts(found, "found")),
    h("p.hint", {}, `The book lies ${book.place.startsWith("on ") ? "" : "in "}${book.place}. Nothing leaves it.`),
  );
  photos.paint();
}

let fading = null;
function news(text, kind = "") {
  renew(at("news"), text ? h(`p.said${kind ? `.${kind}` : ""}`, {}, text) : null);
  clearTimeout(fading);
  fading = setTimeout(() => renew(at("news")), kind === "bad" ? 12_000 : 8_000);
}

const words = (trouble) => (trouble instanceof Refused ? sentence(trouble.trouble) : String(trouble));

function turnTo(to) {
  pane = to;
  found = [];
  redraw();
  at(`pane-${to}`)?.focus();
}

/** Do something to the book; what is refused stands at the form, with all that was typed. */
async function act(name, fields, form = null) {
  const buttons = [...document.querySelectorAll("#leaves button")];
  for (const each of buttons) each.disabled = true;
  try {
    const answer = await ask("POST", "book", { act: name, fields, basket });
    book = answer.book;
    found = answer.found;
    taken += found.length ? 0 : 1;
    if (answer.changes.length) await ask("POST", `baskets/${basket}/change`, { changes: answer.changes, label: "your measure" });
    if (answer.changes.length) book = await ask("GET", `book?basket=${basket}`);
    news(answer.news);
    redraw();
    at("leaf")?.focus({ preventScroll: true });
  } catch (trouble) {
    const fault = form?.querySelector(".fault");
    if (!fault) return news(words(trouble), "bad");
    fault.textContent = words(trouble);
    fault.hidden = false;
    fault.scrollIntoView({ block: "nearest" });
  } finally {
    for (const each of buttons) each.disabled = false;
  }
}

document.addEventListener("click", (event) => {
  const button = event.target.closest?.("[data-do]");
  if (!button || button.disabled) return;
  const { do: what, act: name, fields, pane: to } = button.dataset;
  if (what === "pane") turnTo(to);
  if (what === "theme") {
    setTheme(themeNow() === "dark" ? "light" : "dark");
    redraw();
  }
  photos.ACTS[what]?.(button.dataset, { redraw, units: book.units });
  if (what === "act") act(name, JSON.parse(fields));
});
document.addEventListener("submit", (event) => {
  event.preventDefault();
  const form = event.target;
  act(form.dataset.act, { ...JSON.parse(form.dataset.fields), ...Object.fromEntries(new FormData(form)) }, form);
});
document.addEventListener("keydown", (event) => {
  const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
  if (!step || event.target.getAttribute?.("role") !== "tab") return;
  const keys = book.panes.map((each) => each.key);
  turnTo(keys[(keys.indexOf(pane) + step + keys.length) % keys.length]);
});

photos.listen({ redraw });

async function begin() {
  try {
    book = await ask("GET", `book?basket=${encodeURIComponent(basket)}`);
  } catch (trouble) {
    renew(at("leaves"), h("p.safe.bad", { role: "alert" }, words(trouble)));
  }
  redraw();
  document.documentElement.dataset.ready = "yes";
}

begin();
