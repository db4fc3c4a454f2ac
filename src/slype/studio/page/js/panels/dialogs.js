/** Small windows over the page: the bench (open, begin, change over), saving, the file as text, keys. */

import { ask, file } from "../base/api.js";
import { closing } from "./colours.js";
import { h } from "../../../../page/h.js";
import { say } from "../base/words.js";

/** Show a dialog; `fill` gets a function that closes it with an answer. @returns {Promise<any>} */
export function show(title, fill, { kind = "" } = {}) {
  const dialog = h(kind ? `dialog.${kind}` : "dialog", { "aria-labelledby": "dialog-title" });
  document.body.append(dialog);
  return new Promise((done) => {
    let answer = null;
    const finish = (value) => {
      answer = value;
      dialog.close();
    };
    dialog.append(h("h2", { id: "dialog-title" }, title), ...[fill(finish)].flat(Infinity).filter(Boolean), closing(() => finish(null)));
    dialog.addEventListener("close", () => {
      dialog.remove();
      done(answer);
    });
    dialog.addEventListener("click", (event) => event.target === dialog && dialog.close());
    dialog.showModal();
    dialog.querySelector("[autofocus], input, textarea, button")?.focus();
  });
}

const pressing = (button, act) => {
  button.addEventListener("click", act);
  return button;
};

/** What to open: {new}, {path}, {example}, {id}, {text, name}; or {away: id} to put one away. */
export async function bench(now) {
  const hello = await ask("GET", "hello");
  const wanted = []; // pictures, in the order they are seen
  const drawn = show(
    "Bench",
    (finish) => {
      const line = (words, note, what, extra) =>
        h("li", {}, pressing(h("button.opened", { type: "button" }, picture(what), h("span.what", {}, h("b", {}, words), note ? h("span.hint", {}, note) : null)), () => finish(what)), extra);
      const picture = (what) => {
        const place = h("span.small", { "aria-hidden": "true" });
        wanted.push([place, what]);
        return place;
      };
      const upload = h("input", { type: "file", accept: ".toml", id: "upload", class: "seen-by-ear" });
      upload.addEventListener("change", async () => {
        const file = upload.files[0];
        if (file) finish({ text: await file.text(), name: file.name });
      });
      return [
        h("div.moves", {}, pressing(h("button.first", { type: "button" }, "Begin a new basket"), () => finish({ new: true })), h("label.button", { for: "upload" }, "Open a file from this device …"), upload),
        hello.bench.length ? h("h3", {}, "On the bench") : null,
        h(
          "ul.opens",
          {},
          hello.bench.map((each) =>
            line(
              `${each.kind === "class" ? "Class: " : ""}${each.name}${each.id === now ? " (on show)" : ""}`,
              `${each.path ?? "not in a file"}; last: ${each.note}`,
              { id: each.id },
              pressing(h("button.quiet", { type: "button", "aria-label": `put away ${each.name}` }, "Put away"), () => finish({ away: each.id, name: each.name, path: each.path })),
            ),
          ),
        ),
        h("h3", {}, hello.folders.length === 1 ? `Designs in ${hello.folders[0]}` : "Designs in the opened folders"),
        hello.files.length ? h("ul.opens", {}, hello.files.map((each) => line(each.name, hello.folders.length > 1 ? each.note : "", { path: each.path }))) : h("p.hint", {}, "None yet. Start with another folder: slype studio FOLDER"),
        h("h3", {}, "Examples"),
        h("ul.opens", {}, hello.examples.map((each) => line(each.name, each.note, { example: each.name }))),
      ];
    },
    { kind: "benchlist" },
  );
  const urls = fillIn(wanted);
  drawn.then(() => urls.forEach((url) => URL.revokeObjectURL(url)));
  return drawn;
}

/** Brings pictures into their places, one after the other, for as long as they are on the page. */
function fillIn(wanted) {
  const urls = [];
  (async () => {
    for (const [place, what] of wanted) {
      if (!place.isConnected) return;
      try {
        const { blob } = await file(`small?${new URLSearchParams(what)}`);
        urls.push(URL.createObjectURL(blob));
        place.append(h("img", { src: urls.at(-1), alt: "" }));
      } catch (trouble) {
        place.append(trouble.offline ? "" : "no picture"); // cannot be read or woven: opening it says why
      }
    }
  })();
  return urls;
}

/** A name to save under. */
export function saveAs(suggested, folder) {
  return show("Save under this name", (finish) => {
    const name = h("input", { type: "text", id: "save-name", value: suggested, autocomplete: "off", autofocus: true });
    const form = h("form", {}, h("label", { for: "save-name" }, `Name of the file, in ${folder}`), name, h("div.moves", {}, h("button.first", { type: "submit" }, "Save")));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      if (name.value.trim()) finish(name.value.trim());
    });
    return form;
  });
}

/** The design file as text. */
export function fileText(text, name, fault = "") {
  return show(
    `${name}, as text`,
    (finish) => {
      const area = h("textarea", { id: "file-text", rows: 26, spellcheck: "false", "aria-label": "the design file" });
      area.value = text;
      return [fault ? h("p.fault", { role: "alert" }, fault) : null, h("p.hint", {}, "Change anything; comments are kept. What cannot be read is refused, and nothing is lost."), area, h("div.moves", {}, pressing(h("button.first", { type: "button" }, "Take this text"), () => finish(area.value)))];
    },
    { kind: "text" },
  );
}

export function number(title, label, usual, low, high) {
  return show(title, (finish) => {
    const field = h("input", { type: "number", id: "how-many", value: usual, min: low, max: high, autofocus: true });
    const form = h("form", {}, h("label", { for: "how-many" }, label), field, h("div.moves", {}, h("button.first", { type: "submit" }, "Do it")));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      finish(Number(field.value));
    });
    return form;
  });
}

export const sure = (title, words, yes) => show(title, (finish) => [h("p", {}, words), h("div.moves", {}, pressing(h("button.first", { type: "button" }, yes), () => finish(true)))]);

const KEYS = [
  ["Ctrl+Z", "undo"],
  ["Ctrl+Shift+Z", "redo"],
  ["Ctrl+S", "save"],
  ["Ctrl+O", "the bench"],
  ["1 2 3 4 5", "outside, inside, above, under, unrolled"],
  ["H", "hatching instead of {colour}"],
  ["P", "watch it being woven: on and off"],
  [", and .", "one stroke back, one stroke on"],
  ["[ and ]", "the band below, the band above"],
  ["Alt+Up, Alt+Down", "on a band: one place higher or lower"],
  ["Arrow keys on a point of the shape", "move it"],
  ["Arrow keys in the picture", "turn the basket, with Shift slide it; + and - come nearer and go back; Home: as at first"],
  ["Esc", "while dragging: leave it as it was"],
  ["?", "this list"],
];

export const keys = (store) => show("Keys", () => h("dl.keys", {}, KEYS.map(([key, does]) => h("div", {}, h("dt", {}, key), h("dd", {}, say(store, does))))));
