/** The page comes together: one basket, three parts beside it, and news from the program. */

import { listen as listenToActions, openBench } from "./acts/actions.js";
import { fromAddress, onNewKey, Refused } from "./base/api.js";
import { picked } from "./acts/band-actions.js";
import { Basket } from "./panels/basket.js";
import { listen as listenToFields } from "./fields/fields.js";
import { h, renew } from "../../../page/h.js";
import * as head from "./panels/head.js";
import { listenToPoints } from "./panels/shape.js";
import * as stack from "./panels/panels.js";
import { news } from "./base/notes.js";
import { steadily, whenFree } from "./base/steady.js";
import { Store } from "./base/store.js";
import * as told from "./panels/lists.js";

const at = (id) => document.getElementById(id);
const store = new Store();
const TABS = [
  ["shape", "Shape"],
  ["bands", "Bands"],
  ["need", "Needs"],
  ["watch", "Watch out"],
  ["paper", "Print, save"],
];
const LISTS = ["need", "watch", "paper"];

head.setTheme(head.themeNow());
const wanted = fromAddress();

/** @type {import("./acts/actions.js").Page} */
const page = { store, basket: null, redraw, tab };
page.basket = new Basket(at("basket"), store, (pick) => picked(page, pick));

let tabNow = "bands";

/** Turn to a part of the design, or on a phone to one of the lists. */
function tab(to) {
  tabNow = to;
  document.body.dataset.tab = LISTS.includes(to) ? "told" : "stack";
  if (LISTS.includes(to)) told.turnTo(to);
  else stack.turnTo(to);
  redraw();
}

function redraw() {
  head.draw(at("head"), store);
  steadily([at("stack"), at("told")], () => {
    stack.draw(at("stack"), store);
    told.draw(at("told"), store);
  });
  page.basket.draw();
  renew(
    at("tabs"),
    TABS.map(([key, name]) =>
      h("button", { type: "button", "aria-pressed": key === tabNow ? "true" : "false", data: { do: "tab", tab: key } }, h("span", {}, name), key === "watch" ? told.flag(store) : null),
    ),
  );
  if (store.state) document.title = `${store.state.title} – slype`;
}

let drawing = false;
/** The lists follow the picture: they take as long to draw as it does, and are read after it is seen. */
function redrawAfterPicture() {
  if (drawing) return;
  drawing = true;
  const then = () => {
    drawing = false;
    whenFree(redraw);
  };
  requestAnimationFrame(() => setTimeout(then));
}

store.addEventListener("state", ({ detail }) => {
  if (store.state?.kit !== null && store.state && "class" in store.state.document) return location.assign(`/class#basket=${store.state.id}`);
  // The first time the lists come first, for they give the picture its place: to change its size costs a whole drawing.
  const later = !detail?.fresh && store.solid !== null && page.basket.scene && !document.hidden;
  if (!later) whenFree(redraw);
  page.basket.follow();
  if (later) redrawAfterPicture();
  if (store.state?.notes.length && !detail?.fresh) {
    const notes = store.state.notes.join(" ");
    if (notes !== store.notesSaid) news(notes);
    store.notesSaid = notes;
  } else store.notesSaid = "";
});
store.addEventListener("taken", () => at("news").querySelector(".bad") && news(""));
store.addEventListener("trouble", ({ detail }) => news(detail.text, "bad"));
store.addEventListener("line", redraw);
// What is on show is not what a press would change any more; a title typed already goes to the basket that comes.
store.addEventListener("opening", ({ detail }) => {
  for (const part of ["stack", "told"]) at(part).inert = detail;
});
store.addEventListener("resting", () => page.basket.draw());
store.addEventListener("news", ({ detail }) => {
  if (detail.unsaved) news(`Not saved: ${detail.unsaved}`, "bad");
  if (detail.rest_failed) news(detail.rest_failed, "bad");
});
store.addEventListener("gone", () => {
  news("This basket was put away in another window.");
  openBench(page);
});

listenToActions(page);
onNewKey((basket) => (store.state ? basket && basket !== store.id && store.open({ id: basket }) : location.reload()));
listenToFields(document, store);
listenToPoints(document, store);
document.body.dataset.tab = "stack";

async function begin() {
  const scene = page.basket.begin();
  try {
    if (wanted) await store.open({ id: wanted }).catch(() => first());
    else await first();
  } catch (trouble) {
    renew(at("head"), h("span.mark", {}, "slype"), h("p.safe.bad", { role: "alert" }, trouble instanceof Refused ? `${trouble.message} ${trouble.trouble.remedy}` : String(trouble)));
  }
  await scene;
  page.basket.follow();
  document.documentElement.dataset.ready = "yes";
}

/** Nothing asked for: the last basket on the bench, or else the bench itself over a new one. */
async function first() {
  await store.open({ last: true });
}

begin();
