/** What was typed and not entered yet: kept while the page is turned, reloaded or left for the bench, until it is. */

const KEEP = "slype-book-drafts";
/** @type {Object<string, string>} */
let drafts = read();
let beside = "";

function read() {
  try {
    return JSON.parse(sessionStorage.getItem(KEEP) ?? "{}");
  } catch {
    return {};
  }
}

function write() {
  try {
    sessionStorage.setItem(KEEP, JSON.stringify(drafts));
  } catch {} // a browser that keeps nothing: they last as long as the page
}

/** A form that is filled in for one basket is that basket's own. @param {string} basket */
export const setBeside = (basket) => void (beside = basket);
const key = (act, name) => `${["made", "held"].includes(act) ? beside : ""}|${act}|${name}`;

/** @returns {string | undefined} what was typed into that field of that form */
export const drafted = (act, name) => drafts[key(act, name)];

/** @param {string} act @param {string} name @param {string} value */
export function draft(act, name, value) {
  drafts[key(act, name)] = value;
  write();
}

/** It was entered: the form begins anew. @param {string} act */
export function forget(act) {
  const gone = key(act, "");
  drafts = Object.fromEntries(Object.entries(drafts).filter(([each]) => !each.startsWith(gone)));
  write();
}
