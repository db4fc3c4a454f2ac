/** The room of the book comes together: its panes, what its buttons and forms do, and the way back to the bench. */

import { ask, file, fromAddress, handOver, Refused } from "../base/api.js";
import { h, renew } from "../../../../page/h.js";
import { sentence } from "../base/store.js";
import { setTheme, themeNow } from "../panels/head.js";
import { draft, forget, setBeside } from "./drafts.js";
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

setBeside(basket);
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
  const key = `${shown.key}-${taken}`;
  const answer = parts(found, `found-${taken}`);
  const leaf = [...parts(shown.parts, key), shown.key === "photo" ? photos.pane(book.kept.map(([key, words]) => ({ key, words }))) : null];
  renew(
    at("leaves"),
    h("div.panes", { role: "tablist", "aria-label": "Parts of the book" }, book.panes.map(tab)),
    h("div", { id: "leaf", role: "tabpanel", "aria-labelledby": `pane-${shown.key}`, tabindex: "0", data: { key } }, shown.key === "make" ? [leaf, answer] : [answer, leaf]),
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
  at("leaves").scrollTop = 0;
  at(`pane-${to}`)?.focus();
}

async function takeAway(path) {
  try {
    handOver(await file(path));
  } catch (trouble) {
    news(words(trouble), "bad");
  }
}

/** Do something to the book; what is refused stands at the form, with all that was typed. */
async function act(name, fields, form = null) {
  const buttons = [...document.querySelectorAll("#leaves button")];
  for (const each of buttons) each.disabled = true;
  try {
    const looked = book ? { whose: book.maker, "which year": book.year } : {};
    const answer = await ask("POST", "book", { act: name, fields: { ...fields, ...looked }, basket });
    book = answer.book;
    found = answer.found;
    taken += 1;
    if (form) forget(name);
    if (answer.changes.length) await ask("POST", `baskets/${basket}/change`, { changes: answer.changes, label: "your measure" });
    if (answer.changes.length) book = (await ask("POST", "book", { act: "whose", fields: { maker: book.maker, "which year": book.year }, basket })).book;
    news(answer.news);
    redraw();
    at("leaf")?.focus({ preventScroll: true });
    if (found.length && pane !== "make") at("leaves").scrollTop = 0; // the answer stands above all else
  } catch (trouble) {
    const fault = form?.querySelector(".fault");
    if (!fault) return news(words(trouble), "bad");
    fault.textContent = words(trouble);
    fault.hidden = false;
    for (const fold of form.querySelectorAll("details")) if (fold.contains(blamed(form, trouble))) fold.open = true;
    (blamed(form, trouble) ?? fault).focus?.();
    fault.scrollIntoView({ block: "nearest" });
  } finally {
    for (const each of buttons) each.disabled = false;
  }
}

/** The field that a refusal speaks of, by its name on the page. */
function blamed(form, trouble) {
  const where = trouble instanceof Refused ? trouble.trouble.where : "";
  return where ? [...form.elements].find((each) => each.labels?.[0]?.textContent === where) : null;
}

document.addEventListener("input", ({ target }) => {
  const form = target.closest?.("form[data-act]");
  if (form && target.name) draft(form.dataset.act, target.name, target.value);
});
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
  if (what === "act" && name === "take away") takeAway(JSON.parse(fields).path);
  else if (what === "act") act(name, JSON.parse(fields));
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
