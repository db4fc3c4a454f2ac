/**
 * Building and renewing parts of the page: `h` makes an element, `morph` brings an old tree up to a fresh one.
 *
 * Panels describe themselves anew after every change; morphing keeps focus, scroll, opened details and half-typed
 * fields. Nothing here sets markup from text, so a title from a hostile file stays text.
 */

const SVG = "http://www.w3.org/2000/svg";
const SVG_TAGS = new Set(["svg", "path", "circle", "g", "line", "rect", "polyline", "polygon", "text", "title"]);

/** Fields that the maker has typed in and not yet committed. */
export const dirty = new WeakSet();

/**
 * @param {string} tag "div", or "div.class.other"
 * @param {Object<string, any>} [attributes] `style` an object, `data` an object of data-*, others as attributes
 * @param {...(Node|string|number|null|undefined|false|Array)} children
 * @returns {any}
 */
export function h(tag, attributes = {}, ...children) {
  const [name, ...classes] = tag.split(".");
  const element = SVG_TAGS.has(name) ? document.createElementNS(SVG, name) : document.createElement(name);
  if (classes.length) element.setAttribute("class", classes.join(" "));
  for (const [key, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (key === "style") for (const [prop, to] of Object.entries(value)) element.style.setProperty(prop, to);
    else if (key === "data") for (const [prop, to] of Object.entries(value)) setData(element, prop, to);
    else element.setAttribute(key, value === true ? "" : String(value));
  }
  append(element, children);
  if ("value" in attributes && "value" in element && name !== "li") element.value = attributes.value ?? "";
  if ("checked" in attributes && "checked" in element) element.checked = Boolean(attributes.checked);
  return element;
}

function setData(element, prop, to) {
  if (to === null || to === undefined || to === false) return;
  element.setAttribute(`data-${prop}`, typeof to === "string" ? to : JSON.stringify(to));
}

function append(element, children) {
  for (const child of children.flat(Infinity)) {
    if (child === null || child === undefined || child === false) continue;
    element.append(child instanceof Node ? child : String(child));
  }
}

/** Bring the children of `old` up to `children`. */
export function renew(old, ...children) {
  const fresh = old.cloneNode(false);
  append(fresh, children);
  morphChildren(old, fresh);
}

function sameKind(a, b) {
  if (a.nodeType !== b.nodeType) return false;
  if (a.nodeType !== Node.ELEMENT_NODE) return true;
  return a.tagName === b.tagName && a.getAttribute("data-key") === b.getAttribute("data-key") && a.id === b.id;
}

function morphChildren(old, fresh) {
  const keyed = new Map();
  for (const child of old.children) {
    const key = child.getAttribute("data-key");
    if (key !== null) keyed.set(key, child);
  }
  let at = old.firstChild;
  for (const next of [...fresh.childNodes]) {
    const key = next.nodeType === Node.ELEMENT_NODE ? next.getAttribute("data-key") : null;
    let match = at && sameKind(at, next) ? at : null;
    if (!match && key !== null && keyed.has(key) && sameKind(keyed.get(key), next)) {
      match = keyed.get(key);
      if (match.parentNode === old) moveBefore(old, match, at);
      else match = null;
    }
    if (match) {
      morph(match, next);
      at = match.nextSibling;
    } else {
      old.insertBefore(next, at);
    }
  }
  while (at) {
    const after = at.nextSibling;
    at.remove();
    at = after;
  }
}

function moveBefore(parent, node, before) {
  if (node === before) return;
  const active = document.activeElement;
  const held = active && node.contains(active) ? active : null;
  parent.insertBefore(node, before);
  if (held && document.activeElement !== held) held.focus({ preventScroll: true });
}

/** Bring `old` up to `fresh`, an element of the same tag. */
export function morph(old, fresh) {
  if (old.nodeType !== Node.ELEMENT_NODE) {
    if (old.nodeValue !== fresh.nodeValue) old.nodeValue = fresh.nodeValue;
    return;
  }
  if (old.hasAttribute("data-keep")) return;
  for (const { name } of [...old.attributes]) {
    if (!fresh.hasAttribute(name) && name !== "open" && name !== "style") old.removeAttribute(name);
  }
  for (const { name, value } of [...fresh.attributes]) {
    if (name === "open" && old.hasAttribute("data-own-open")) continue;
    if (name !== "style" && old.getAttribute(name) !== value) old.setAttribute(name, value);
  }
  if (old.style && old.style.cssText !== fresh.style.cssText) old.style.cssText = fresh.style.cssText;
  const value = fresh.value; // before its options move over: a list without them has no value any more
  morphChildren(old, fresh);
  if (old instanceof HTMLInputElement || old instanceof HTMLSelectElement || old instanceof HTMLTextAreaElement) {
    if (!dirty.has(old)) {
      if (old.type === "checkbox" || old.type === "radio") old.checked = fresh.checked;
      else if (old.value !== value) old.value = value;
    }
  }
}
