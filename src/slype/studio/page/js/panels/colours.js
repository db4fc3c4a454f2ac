/** Colours: the palette of this basket, swatches to choose from, and a maker's own colours by name. */

import { h, renew } from "../../../../page/h.js";
import { coloursOf, pathOf } from "../base/band-lists.js";
import { say } from "../base/words.js";

/** The colour of a name: the basket's own, then slype's. @param {import("../base/store.js").Store} store */
export function hexOf(store, name) {
  const own = store.state.document.colours?.[name];
  if (own) return own;
  if (name.startsWith("#")) return name;
  return store.tables?.colours.find((each) => each.name === name)?.hex ?? store.state.look?.palette[name] ?? "#888888";
}

/** Every colour that may be chosen: own ones first, then those of slype's table. */
export function everyColour(store) {
  const own = Object.entries(store.state.document.colours ?? {}).map(([name, hex]) => ({ name, hex, help: "yours", own: true }));
  const known = (store.tables?.colours ?? []).filter((each) => !own.some((mine) => mine.name === each.name));
  return [...own, ...known];
}

/** A button that shows a colour and opens the choice of colours. */
export function swatch(store, name, action, label, extra = {}) {
  return h(
    "button.swatch",
    { type: "button", data: action, "aria-label": `${label}: ${name}`, title: `${label}: ${name}`, ...extra },
    h("span.dot", { style: { background: hexOf(store, name) } }),
    h("span.name", {}, name),
  );
}

/**
 * Choose a colour; resolves to its name, or null. `own` new colours are written into the file by the caller.
 * @param {string} everywhere words of a box that asks for the colour in every place, or none
 * @returns {Promise<{name: string, hex?: string, all?: boolean} | null>}
 */
export function chooseColour(store, now, title, everywhere = "") {
  const dialog = h("dialog.palette", { "aria-label": title });
  const all = h("input", { type: "checkbox", id: "everywhere" });
  document.body.append(dialog);
  return new Promise((done) => {
    let answer = null;
    const finish = (value) => {
      answer = value && { ...value, all: all.checked };
      dialog.close();
    };
    renew(
      dialog,
      h("h2", {}, title),
      h(
        "div.swatches",
        { role: "group", "aria-label": say(store, "{Colours}") },
        everyColour(store).map((each) => {
          const button = h(
            "button.swatch",
            { type: "button", "aria-pressed": each.name === now ? "true" : "false", title: each.help },
            h("span.dot", { style: { background: each.hex } }),
            h("span.name", {}, each.name),
          );
          button.addEventListener("click", () => finish({ name: each.name }));
          return button;
        }),
      ),
      everywhere ? h("div.field.flag", {}, all, h("label", { for: "everywhere" }, everywhere)) : null,
      newColour(store, finish),
      closing(() => finish(null)),
    );
    dialog.addEventListener("close", () => {
      dialog.remove();
      done(answer);
    });
    dialog.addEventListener("click", (event) => event.target === dialog && dialog.close());
    dialog.showModal();
    (dialog.querySelector('[aria-pressed="true"]') ?? dialog.querySelector("button")).focus();
  });
}

function newColour(store, finish) {
  const name = h("input", { type: "text", id: "new-colour-name", autocomplete: "off", placeholder: "a name, like dusk" });
  const hex = h("input", { type: "color", id: "new-colour-hex", value: "#7a5c8e" });
  const form = h(
    "form.new-colour",
    {},
    h("h3", {}, say(store, "A {colour} of your own")),
    h("label", { for: "new-colour-name" }, "Name"),
    name,
    h("label", { for: "new-colour-hex" }, "Shade"),
    hex,
    h("button", { type: "submit" }, "Use it"),
  );
  name.addEventListener("input", () => name.setCustomValidity(""));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const taken = everyColour(store).some((each) => each.name === name.value.trim());
    name.setCustomValidity(!name.value.trim() ? "Give it a name." : taken ? "There is one of this name already." : "");
    if (form.reportValidity()) finish({ name: name.value.trim(), hex: hex.value });
  });
  return form;
}

export function closing(onClose) {
  const button = h("button.quiet", { type: "button" }, "Close");
  button.addEventListener("click", onClose);
  return h("div.closing", {}, button);
}

/**
 * The whole list of a band's colours, one for each reed of each weaver, with one of them changed.
 * @param {string[][]} colours of each weaver's reeds
 */
export function withColour(colours, weaver, reed, name) {
  const each = colours.map((reeds) => [...reeds]);
  if (each.every((reeds) => reeds.every((colour) => colour === reeds[0]))) {
    if (reed === null || each[weaver].length === 1) {
      each[weaver] = each[weaver].map(() => name);
      return each.map((reeds) => reeds[0]);
    }
  }
  if (reed === null) each[weaver] = each[weaver].map(() => name);
  else each[weaver][reed] = name;
  return each.flat();
}

/** Changes that set one reed's colour, and write down a new colour first; `of` "lid" for a band of the lid. */
export function colourChanges(store, of, index, weaver, reed, chosen) {
  const path = [...pathOf(of, index), "colours"];
  const changes = [];
  if (chosen.hex) changes.push({ set: ["colours", chosen.name], to: chosen.hex });
  if (chosen.all) return [...changes, { set: path, to: [chosen.name] }];
  const to = withColour(coloursOf(store, of, index), weaver, reed, chosen.name);
  changes.push({ set: path, to });
  return changes;
}

/** The palette panel: the basket's own colours, to rename, change or take out. */
export function palettePanel(store) {
  const own = Object.entries(store.state.document.colours ?? {});
  return h(
    "details.card",
    { data: { key: "palette" } },
    h("summary", {}, say(store, "{Colours}")),
    own.length ? null : h("p.hint", {}, say(store, "No {colours} of your own yet. Choose any swatch and name a shade of your own, or add one here.")),
    own.map(([name, hex]) =>
      h(
        "div.own-colour",
        { data: { key: `own-${name}` } },
        h("input", { type: "color", value: hex, data: { path: ["colours", name], kind: "text", label: `shade of ${name}` }, "aria-label": `shade of ${name}` }),
        h("input", { type: "text", value: name, data: { rename: name }, "aria-label": say(store, `name of the {colour} ${name}`) }),
        h("button.quiet", { type: "button", data: { do: "forget-colour", name }, "aria-label": `take out ${name}` }, "Take out"),
      ),
    ),
    h("button.quiet", { type: "button", data: { do: "new-colour" } }, say(store, "Add a {colour} …")),
  );
}
