/**
 * Fields that write one place of the design file. Each carries its path in the file; one listener (`listen`) turns
 * every committed field into a change. Values go out as they were typed: the program reads units and fractions.
 */

import { dirty, h } from "../../../../page/h.js";
import { say } from "../base/words.js";

/** @param {import("../base/store.js").Store} store @param {(string|number)[]} path */
export function valueAt(store, path) {
  let at = store.state.document;
  for (const step of path) at = at?.[step];
  return at;
}

const keyOf = (path) => JSON.stringify(path);
const idOf = (path) => `f-${path.join("-")}`;

/** The name of a choice, by its key in the file. @param {import("../base/contract.js").Choice[]} choices */
export const nameOf = (choices, key) => choices.find((each) => each.key === key)?.name;

/** A lid has spokes and bands as a basket has. */
const asOfBasket = (path) => (path[0] === "lid" && ["band", "spokes"].includes(path[1]) ? path.slice(1) : path);

function helpFor(store, path) {
  const words = asOfBasket(path).filter((step) => typeof step === "string");
  const key = words.length > 1 ? `${words[0]}.${words[1]}` : `.${words[0]}`;
  return store.tables?.keys[key]?.help ?? "";
}

/** A label, its field, its help as a tip, and what is wrong with what stands in it. */
function labelled(store, path, label, field, { hint = "", wide = false } = {}) {
  const fault = store.faults.get(keyOf(path));
  if (fault) {
    field.setAttribute("aria-invalid", "true");
    field.setAttribute("aria-describedby", `${idOf(path)}-fault`);
  }
  const help = helpFor(store, path);
  if (help) field.setAttribute("title", help);
  return h(
    wide ? "div.field.wide" : "div.field",
    { data: { key: idOf(path) } },
    h("label", { for: idOf(path) }, label, hint ? h("span.hint", {}, ` ${hint}`) : null),
    field,
    fault ? h("p.fault", { id: `${idOf(path)}-fault`, role: "alert" }, fault) : null,
  );
}

const common = (path, kind, label) => ({
  id: idOf(path),
  name: idOf(path),
  data: { path, kind, label },
});

export function text(store, path, label, options = {}) {
  const value = valueAt(store, path) ?? "";
  return labelled(store, path, label, h("input", { ...common(path, "text", label), type: "text", value, autocomplete: "off", placeholder: options.placeholder }), options);
}

/** A day: from a calendar, or typed as the browser has it; another text that stands there is shown to be mended. */
export function day(store, path, label, options = {}) {
  const value = valueAt(store, path) ?? "";
  if (value && !/^\d{4}-\d\d-\d\d$/.test(value)) return text(store, path, label, { placeholder: "2027-03-13", ...options });
  return labelled(store, path, label, h("input", { ...common(path, "text", label), type: "date", value, min: "1900-01-01", max: "9999-12-31" }), options);
}

/** A length as the maker writes it: 7 1/2 in, 19 cm. */
export function length(store, path, label, options = {}) {
  const value = valueAt(store, path) ?? "";
  const field = h("input.length", {
    ...common(path, "length", label),
    type: "text",
    inputmode: "text",
    spellcheck: "false",
    autocomplete: "off",
    value: typeof value === "object" ? "" : value,
    placeholder: options.placeholder ?? "",
  });
  return labelled(store, path, label, field, options);
}

/** A whole number with a button at each side, large enough for wet thumbs. */
export function count(store, path, label, options = {}) {
  const value = valueAt(store, path) ?? options.usual ?? "";
  const at = Number(value);
  const button = (by, sign, word) =>
    h(
      "button.step",
      {
        type: "button",
        data: { do: "step", path, by, label, usual: Number.isFinite(at) && value !== "" ? at : 0 },
        "aria-label": `${word} ${label}`,
        tabindex: "-1",
      },
      sign,
    );
  const field = h("input.count", {
    ...common(path, "count", label),
    type: "text",
    inputmode: "numeric",
    autocomplete: "off",
    value,
    role: "spinbutton",
    "aria-valuenow": Number.isFinite(at) && value !== "" ? at : null,
  });
  const whole = labelled(store, path, label, field, options);
  const box = h("div.stepper", { data: { key: "stepper" } });
  field.replaceWith(box);
  box.append(button(-1, "−", "fewer:"), field, button(1, "+", "more:"));
  return whole;
}

/** @param {import("../base/contract.js").Choice[]} choices */
export function choose(store, path, label, choices, options = {}) {
  const raw = valueAt(store, path);
  const value = raw ?? options.usual ?? "";
  const own = typeof value === "object";
  const shown = typeof value === "boolean" ? String(value) : value;
  const groups = new Map();
  for (const each of choices) {
    if (!groups.has(each.group)) groups.set(each.group, []);
    groups.get(each.group).push(h("option", { value: each.key, title: each.help }, each.name));
  }
  const known = choices.some((each) => each.key === String(value));
  const list = [
    options.none !== undefined ? h("option", { value: "" }, options.none) : null,
    !known && !own && value !== "" ? h("option", { value }, value) : null,
    [...groups].map(([group, each]) => (group ? h("optgroup", { label: group }, each) : each)),
    options.extra ? options.extra.map(([key, name]) => h("option", { value: key }, name)) : null,
  ];
  const field = h("select", { ...common(path, options.kind ?? "choice", label) }, list);
  field.value = own ? (Array.isArray(value) ? "" : "#own") : shown;
  return labelled(store, path, label, field, options);
}

/** A reed of the tables, one of the maker's own, or a thickness from the calipers. */
export function reed(store, path, label, options = {}) {
  const value = valueAt(store, path);
  const own = Object.keys(store.state.document.reeds ?? {}).map((key) => ({ key, name: `${key} (your measurements)`, help: "", group: "Yours" }));
  const choices = [...own, ...store.tables.reeds];
  const chosen = choose(store, path, label, choices, { kind: "reed", extra: [["#own", say(store, "by your {callipers} …")]], ...options });
  if (typeof value !== "object" || value === null) return chosen;
  return [chosen, number(store, [...path, "mm"], "thickness, mm")];
}

export function number(store, path, label, options = {}) {
  const value = valueAt(store, path) ?? "";
  const field = h("input.count", { ...common(path, "number", label), type: "text", inputmode: "decimal", autocomplete: "off", value, placeholder: options.placeholder });
  return labelled(store, path, label, field, options);
}

export function flag(store, path, label, usual = false) {
  const value = valueAt(store, path) ?? usual;
  return h(
    "div.field.flag",
    { data: { key: idOf(path) } },
    h("input", { ...common(path, "flag", label), type: "checkbox", checked: value === true, title: helpFor(store, path) }),
    h("label", { for: idOf(path) }, label),
  );
}

/** A few choices side by side. */
export function either(store, path, label, choices, usual) {
  const value = valueAt(store, path) ?? usual;
  return h(
    "fieldset.either",
    { data: { key: idOf(path) } },
    h("legend", {}, label),
    choices.map(([key, name]) =>
      h(
        "label",
        {},
        h("input", { type: "radio", name: idOf(path), value: key, checked: key === value, data: { path, kind: "choice", label } }),
        h("span", {}, name),
      ),
    ),
  );
}

/**
 * The field for a key as the program tells it; null for one without a label, which has a field of its own, and for lists
 * and tables, which are edited as text.
 * @param {import("../base/contract.js").KeyTold} told
 */
export function byKey(store, path, told) {
  const { label, takes, choices } = told;
  if (!label) return null;
  if (takes === "true | false") return flag(store, path, label);
  if (takes === "count") return count(store, path, label);
  if (takes === "length") return length(store, path, label);
  if (takes === "number") return number(store, path, label);
  if (takes === "reed") return reed(store, path, label);
  if (takes === "text" || takes === "colour") return text(store, path, label);
  if (!choices.length) return null;
  const kind = choices.every((each) => /^\d+$/.test(each.key)) ? "count" : choices.some((each) => each.key === "true") ? "mixed" : "choice";
  return choose(store, path, label, choices, { none: "as usual", kind, wide: true });
}

/** Every key of a table that has no field among `shown`, behind one fold. */
export function others(store, table, path, shown) {
  const found = Object.entries(store.tables.keys)
    .filter(([name]) => name.startsWith(`${table}.`) && !shown.includes(name.slice(table.length + 1)))
    .map(([name, told]) => byKey(store, [...path, name.slice(table.length + 1)], told))
    .filter(Boolean);
  return found.length ? h("details.wide.more", { data: { key: `more-${path.join("-")}` } }, h("summary", {}, "More"), h("div.fields", {}, found)) : null;
}

/** What a committed field says, in the file's terms; undefined where nothing should happen. */
function said(field, store) {
  const text = field.value.trim();
  switch (field.dataset.kind) {
    case "flag":
      return field.checked;
    case "count":
      return text === "" ? null : /^[-+]?\d+$/.test(text) ? Number(text) : text;
    case "number":
      return text === "" ? null : Number.isFinite(Number(text.replace(",", "."))) ? Number(text.replace(",", ".")) : text;
    case "reed":
      return text === "#own" ? store.tables.firsts.reed.value : text === "" ? null : text;
    case "moves":
      return text === "" ? (store.tables.moves[valueAt(store, JSON.parse(field.dataset.path))] ?? valueAt(store, JSON.parse(field.dataset.path))) : text;
    case "mixed":
      return { true: true, false: false, "": null }[text] ?? text;
    case "choice":
    case "weave":
    case "border":
    case "length":
    case "text":
      return text === "" ? null : text;
    default:
      return undefined;
  }
}

/** What was committed and is not answered yet, by path: as it was typed. */
const onTheWay = new Map();

/**
 * What was typed into a field that has no place of its own in the file stands until it is taken: an answer to what was
 * said before it, or the reeds that settle meanwhile, would else write the old words over it.
 * @param {HTMLInputElement} field @param {Promise<boolean>} answered
 */
export function committed(field, answered) {
  const kept = field.value;
  answered.then((taken) => taken && field.value === kept && dirty.delete(field));
}

/** One listener for every field of the page. */
export function listen(root, store) {
  root.addEventListener("input", (event) => {
    if (event.target.matches?.("input[type=text], textarea")) dirty.add(event.target);
  });
  root.addEventListener("change", (event) => {
    const field = event.target;
    if (!field.dataset?.path || !field.dataset.kind) return;
    const to = said(field, store);
    if (to === undefined) return;
    const path = JSON.parse(field.dataset.path);
    dirty.delete(field);
    store.faults.delete(keyOf(path));
    if (JSON.stringify(to) === JSON.stringify(valueAt(store, path) ?? null)) return store.say("state", { fresh: false });
    const kept = field.value;
    // Enter commits a field at once, and leaving it commits it again: the same words need no second answer.
    if (onTheWay.get(keyOf(path)) === kept) return;
    onTheWay.set(keyOf(path), kept);
    const answered = store.change([{ set: path, to }], labelFor(path, field.dataset.label), { field: keyOf(path) });
    if (field.dataset.kind === "count" && typeof to === "number") expect(path, to, answered);
    answered.then((taken) => {
      if (onTheWay.get(keyOf(path)) === kept) onTheWay.delete(keyOf(path));
      if (!taken && field.isConnected && field.type === "text") {
        field.value = kept; // what was typed stays, to be mended
        dirty.add(field);
      }
    });
  });
  root.addEventListener("keydown", (event) => {
    const field = event.target;
    if (!field.matches?.("input[type=text][data-path]")) return;
    if (event.key === "Enter") field.dispatchEvent(new Event("change", { bubbles: true }));
    else if (event.key === "Escape") {
      dirty.delete(field);
      store.faults.delete(field.dataset.path);
      store.say("state", { fresh: false });
      event.stopPropagation();
    } else if (field.dataset.kind === "count" && (event.key === "ArrowUp" || event.key === "ArrowDown")) {
      event.preventDefault();
      step(store, field.dataset.path, event.key === "ArrowUp" ? 1 : -1, Number(field.value) || 0, field.dataset.label);
    }
  });
}

/** One more or one less at a place of the file. */
export function step(store, pathText, by, usual, label) {
  const path = JSON.parse(pathText);
  const now = ahead.get(keyOf(path)) ?? valueAt(store, path) ?? usual;
  if (typeof now !== "number") return;
  expect(path, now + by, store.change([{ set: path, to: now + by }], labelFor(path, label), { field: keyOf(path), merge: `step ${pathText}` }));
}

/** Counts that were sent and are not answered yet: the next press goes on from them, not from what is on show. */
const ahead = new Map();

function expect(path, to, answered) {
  const key = keyOf(path);
  ahead.set(key, to);
  answered.finally(() => ahead.get(key) === to && ahead.delete(key));
}

/** What undo calls a change: "rows of band 3". */
export function labelFor(path, label) {
  const [table, place] = asOfBasket(path);
  return table === "band" && typeof place === "number" ? `${label} of band ${place + 1}${path[0] === "lid" ? " of the lid" : ""}` : label;
}
