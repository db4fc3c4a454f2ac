/** A pane of the book drawn: headings, lines, tables with their buttons, forms. The program words it all. */

import { h } from "../../../../page/h.js";

/** @param {import("../base/contract.js").PartOfBook[]} parts @param {string} pane */
export const parts = (parts, pane) => parts.map((each, i) => part(each, `${pane}-${i}`));

/** @param {import("../base/contract.js").PartOfBook} each */
function part(each, key) {
  if (each.kind === "heading") return h("h2", { data: { key } }, each.text);
  if (each.kind === "lines") return h("div", { data: { key } }, each.lines.filter(Boolean).map((line) => h("p", {}, line)));
  if (each.kind === "form") return form(each, key);
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
const button = (act, of) => h("button", { type: "button", "aria-label": `${act.label}: ${of}`, data: { do: "act", act: act.act, fields: JSON.stringify(act.fields) } }, act.label);

function form(each, key) {
  const bare = !each.form.length;
  return h(
    bare ? "form.entry.bare" : "form.entry",
    { novalidate: true, "aria-label": each.text || each.button.label, data: { key, act: each.button.act, fields: JSON.stringify(each.button.fields) } },
    each.text ? h("h2", {}, each.text) : null,
    h("div.entries", {}, each.form.map((field) => entry(field, `${key}-${field.name.replace(/\W+/g, "-")}`))),
    h("p.fault", { role: "alert", hidden: true, data: { keep: "" } }),
    h("div.moves", {}, h("button.first", { type: "submit" }, each.button.label)),
  );
}

/** @param {import("../base/contract.js").FieldTold} field */
function entry(field, id) {
  const hinted = field.hint ? { "aria-describedby": `${id}-hint` } : {};
  const input =
    field.kind === "choice"
      ? h("select", { id, name: field.name, ...hinted, data: { keep: "" } }, field.choices.map(([value, words]) => h("option", { value }, words)))
      : h("input", { id, name: field.name, type: "text", value: field.value, autocomplete: "off", ...hinted, data: { keep: "" } });
  return h("div.field", {}, h("label", { for: id }, field.label), input, field.hint ? h("span.hint", { id: `${id}-hint` }, field.hint) : null);
}
