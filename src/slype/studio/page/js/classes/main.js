/** The room of classes comes together: one class, its students, what it needs, and news from the program. */

import { fromAddress, onNewKey, Refused } from "../base/api.js";
import { h, renew } from "../../../../page/h.js";
import { news } from "../base/notes.js";
import { Store } from "../base/store.js";
import { listen as listenToFields } from "../fields/fields.js";
import { setTheme, themeNow } from "../panels/head.js";
import { listen as listenToActions } from "./acts.js";
import * as head from "./head.js";
import * as needs from "./needs.js";
import * as roster from "./roster.js";

const at = (id) => document.getElementById(id);
const store = new Store();
const TABS = [
  ["roster", "Students"],
  ["told", "What it needs"],
];

setTheme(themeNow());
const wanted = fromAddress();

let tabNow = "roster";

function tab(to) {
  tabNow = to;
  redraw();
}

function redraw() {
  document.body.dataset.tab = tabNow;
  head.draw(at("head"), store);
  roster.draw(at("roster"), store);
  needs.draw(at("told"), store);
  renew(
    at("tabs"),
    TABS.map(([key, name]) => h("button", { type: "button", "aria-pressed": key === tabNow ? "true" : "false", data: { do: "tab", tab: key } }, name)),
  );
  if (store.state) document.title = `${store.state.title} – slype`;
}

/** What is wrong is said at its field as well; of students at their row. */
let told = [];
function tellFaults() {
  for (const key of told) store.faults.delete(key);
  const wrong = (store.state?.kit?.watch ?? []).filter((each) => each.weight === "error" && each.path.length && each.path[0] !== "student");
  told = wrong.map((each) => JSON.stringify(each.path));
  for (const each of wrong) store.faults.set(JSON.stringify(each.path), `${each.message} ${each.remedy}`.trim());
}

store.addEventListener("state", ({ detail }) => {
  tellFaults();
  if (store.state && !isClass(store.state)) return location.assign(`/#basket=${store.state.id}`);
  redraw();
  const notes = store.state?.notes.join(" ") ?? "";
  if (notes && !detail?.fresh && notes !== store.notesSaid) news(notes);
  store.notesSaid = notes;
});
store.addEventListener("taken", () => at("news").querySelector(".bad") && news(""));
store.addEventListener("trouble", ({ detail }) => news(detail.text, "bad"));
store.addEventListener("line", redraw);
store.addEventListener("news", ({ detail }) => detail.unsaved && news(`Not saved: ${detail.unsaved}`, "bad"));
store.addEventListener("gone", () => location.assign("/"));

/** @param {import("../base/contract.js").State} state */
const isClass = (state) => "class" in state.document;

onNewKey((basket) => (store.state ? basket && basket !== store.id && store.open({ id: basket }) : location.reload()));
listenToFields(document, store);
listenToActions({ store, redraw, tab, news });

async function begin() {
  try {
    await store.open(wanted ? { id: wanted } : { last: true });
  } catch (trouble) {
    renew(at("head"), h("span.mark", {}, "slype"), h("p.safe.bad", { role: "alert" }, trouble instanceof Refused ? `${trouble.message} ${trouble.trouble.remedy}` : String(trouble)));
  }
  document.documentElement.dataset.ready = "yes";
}

begin();
