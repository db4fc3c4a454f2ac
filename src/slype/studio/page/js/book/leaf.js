/** A pane of the book drawn: headings, lines, tables with their buttons, forms. The program words it all. */

import { h } from "../../../../page/h.js";
import { drafted } from "./drafts.js";

/** @param {import("../base/contract.js").PartOfBook[]} parts @param {string} pane */
export const parts = (parts, pane) => parts.map((each, i) => part(each, `${pane}-${i}`));

/** @param {import("../base/contract.js").PartOfBook} each */
function part(each, key) {
  if (each.kind === "heading") return h("h2", { data: { key } }, each.text);
  if (each.kind === "lines") return h("div", { data: { key } }, each.lines.filter(Boolean).map((line) => h("p", {}, line)));
  if (each.kind === "form") return form(each, key);
  if (each.kind === "buttons") return h("div.moves", { data: { key } }, each.acts[0].map((act) => button(act, "")));
  return table(each, key);
}

function table(each, key) {
  const cells = (row, tag) => row.map((cell, k) => h(each.right.includes(k) ? `${tag}.value` : tag, tag === "th" ? { scope: "col" } : {}, cell));
  const does = each.acts.length > 0;
  const rows = each.rows.map((row, i) => h("tr", { data: { key: `${key}-${i}` } }, cells(row, "td"), does ? h("td.acts", {}, each.acts[i].map((act) => button(act, `${row[0]} ${row[1]}`))) : null));
  const head = h("tr", {}, cells(each.head, "th"), does ? h("th", {}, h("span.seen-by-ear", {}, "to do")) : null);
  return h("div.scrolls", { data: { key }, tabindex: "0", role: "group", "aria-label": each.head.join(", ") }, h("table.told", {}, h("thead", {}, head), h("tbody", {}, rows)));
}

/** @param {import("../base/contract.js").ActTold} act */
const button = (act, of) => h("button", { type: "button", "aria-label": of ? `${act.label}: ${of}` : null, data: { do: "act", act: act.act, fields: JSON.stringify(act.fields) } }, act.label);

function form(each, key) {
  const bare = !each.form.length;
  return h(
    bare ? "form.entry.bare" : "form.entry",
    { novalidate: true, "aria-label": each.text || each.button.label, data: { key, act: each.button.act, fields: JSON.stringify(each.button.fields) } },
    each.text ? h("h2", {}, each.text) : null,
    folded(each.form).map(({ fold, fields }) => {
      const entries = h("div.entries", {}, fields.map((field) => entry(field, `${key}-${field.name.replace(/\W+/g, "-")}`, each.button.act)));
      return fold ? h("details.fold", { open: fold.hint === "open", data: { "own-open": "", key: fold.label } }, h("summary", {}, fold.label), entries) : entries;
    }),
    h("p.fault", { role: "alert", hidden: true, data: { keep: "" } }),
    h("div.moves", {}, h("button.first", { type: "submit" }, each.button.label)),
  );
}

/** Fields in their folds; those before the first stand open. @param {import("../base/contract.js").FieldTold[]} form */
function folded(form) {
  const groups = [{ fold: null, fields: [] }];
  for (const field of form) {
    if (field.kind === "fold") groups.push({ fold: field, fields: [] });
    else groups.at(-1).fields.push(field);
  }
  return groups.filter((each) => each.fields.length);
}

/** A field with what was typed in it before, if anything was. @param {import("../base/contract.js").FieldTold} field */
function entry(field, id, act) {
  const value = drafted(act, field.name) ?? field.value;
  const hinted = field.hint ? { "aria-describedby": `${id}-hint` } : {};
  const input =
    field.kind === "choice"
      ? h("select", { id, name: field.name, ...hinted, data: { keep: "" } }, field.choices.map(([key, words]) => h("option", { value: key, selected: key === value }, words)))
      : field.kind === "lines"
        ? h("textarea", { id, name: field.name, rows: "5", value, ...hinted, data: { keep: "" } })
        : h("input", { id, name: field.name, type: "text", value, autocomplete: "off", ...hinted, data: { keep: "" } });
  return h("div.field", {}, h("label", { for: id }, field.label), input, field.hint ? h("span.hint", { id: `${id}-hint` }, field.hint) : null);
}
