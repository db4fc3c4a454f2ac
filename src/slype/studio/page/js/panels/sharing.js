/** Showing the basket's lesson in the room: a code for the wall, who can see it, and how far the seats are. */

import { ask } from "../base/api.js";
import { h, renew } from "../../../../page/h.js";
import { show } from "./dialogs.js";

const LOOK_MS = 3000;

/** Until the window is closed. @param {import("../base/store.js").Store} store */
export async function showInRoom(store) {
  const place = h("div.shared", { "aria-live": "polite" });
  const seats = h("input", { type: "checkbox", id: "seats" });
  const begin = h("button.first", { type: "button" }, "Show it now");
  let looking = null;
  const look = async () => {
    try {
      const told = await ask("GET", "shown");
      renew(place, ...shown(told));
      if (told.address) looking = setTimeout(look, LOOK_MS);
    } catch (trouble) {
      renew(place, h("p.bad", { role: "alert" }, trouble.message));
    }
  };
  begin.addEventListener("click", async () => {
    begin.disabled = true;
    renew(place, h("p", { role: "status" }, "Making the lesson …"));
    try {
      await ask("POST", `baskets/${store.id}/show`, { seats: seats.checked });
      before.remove();
      await look();
    } catch (trouble) {
      begin.disabled = false;
      renew(place, h("p.bad", { role: "alert" }, `${trouble.message} ${trouble.trouble?.remedy ?? ""}`));
    }
  });
  const before = h(
    "div",
    {},
    h("p", {}, "Everyone in this network can then open the lesson of this basket, read only, by a code on your screen; nothing else of this machine. Nothing is encrypted. It ends when you close this window."),
    h("p", {}, h("label", { for: "seats" }, seats, " Students may let their seat tell how far it is (a number, no name)")),
    h("div.moves", {}, begin),
  );
  await show("Show the lesson in the room", () => [before, place], { kind: "roomcode" });
  clearTimeout(looking);
  await ask("DELETE", "shown").catch(() => {});
}

function shown(told) {
  if (!told.address) return [h("p", {}, "The lesson is no longer shown.")];
  return [
    h("img.code", { src: `data:image/svg+xml,${encodeURIComponent(told.code)}`, alt: `Code for ${told.address}` }),
    h("p.address", {}, told.address),
    h("p.hint", {}, told.who),
    told.seats && h("h3", {}, "How far the seats are"),
    told.seats && (told.seats.length ? h("ul.seats", {}, told.seats.map(([seat, done]) => h("li", {}, `Seat ${seat}: ${done} %`))) : h("p.hint", {}, "No seat tells yet.")),
  ];
}
