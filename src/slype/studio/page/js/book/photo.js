/** Measuring in a photograph: it is shown from the maker's own disk, points are clicked or set by keys, and the program
 * reckons. The picture goes to the program on this machine only, made small enough for it. */

import { h, renew } from "../../../../page/h.js";

const SIDE = 1600; // pixels: enough for an eighth of an inch across a basket
const STEPS = {
  ruler: { words: "Click two marks of the ruler, then say how far apart they are.", points: 2, color: "#1d6f42" },
  face: { words: "Click the four corners of a flat face in turn, from the upper left, then say its width and height.", points: 4, color: "#1d6f42" },
  line: { words: "Click where to measure from, and to.", points: 2, color: "#a3301c" },
};

/** @typedef {{image: ImageBitmap, blob: Blob, name: string}} Photo */
/** @type {Photo | null} */
let photo = null;
let mode = "ruler";
let by = "ruler";
let cross = [0.5, 0.5];
/** @type {Object<string, number[][]>} */
let points = { ruler: [], face: [], line: [] };

async function open(file) {
  const image = await createImageBitmap(file);
  const share = Math.min(1, SIDE / Math.max(image.width, image.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(image.width * share);
  canvas.height = Math.round(image.height * share);
  canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.9));
  photo = { image: await createImageBitmap(canvas), blob, name: file.name };
  points = { ruler: [], face: [], line: [] };
}

const field = (id, label, value = "") => h("div.field", {}, h("label", { for: id }, label), h("input", { id, type: "text", value, autocomplete: "off", data: { keep: "" } }));

/** The pane. @param {{key: string, words: string}[]} baskets those of the book, for keeping it with one */
export function pane(baskets) {
  const turn = (key, words) => h("button", { type: "button", "aria-pressed": mode === key ? "true" : "false", data: { do: "photo-mode", mode: key } }, words);
  return [
    h("p", {}, "Photograph the basket with a ruler beside it, square on and in even light. What stands nearer or further than the ruler measures too large or too small."),
    h("div.field", {}, h("label", { for: "photo-file" }, "photograph (JPEG, PNG or WebP)"), h("input", { id: "photo-file", type: "file", accept: "image/jpeg,image/png,image/webp", data: { keep: "" } })),
    photo
      ? [
          h("div.moves", { role: "group", "aria-label": "what to click" }, turn("ruler", "Ruler"), turn("face", "Flat face"), turn("line", "Measure")),
          h("p.hint", { id: "photo-words", "aria-live": "polite" }, `${STEPS[mode].words} With keys: arrows move the cross, Enter sets a point, Backspace takes the last away.`),
          h("canvas", { id: "photo", tabindex: "0", role: "application", "aria-label": "the photograph", "aria-describedby": "photo-words", width: photo.image.width, height: photo.image.height, data: { keep: "" } }),
          h("div.entries", {}, by === "face" ? [field("photo-wide", "width of the face"), field("photo-high", "height of the face")] : field("photo-length", "between the two marks", "4 in")),
          h("div.moves", {}, h("button.first", { type: "button", data: { do: "photo-ask", what: "length" } }, "How long is it?"), h("button", { type: "button", data: { do: "photo-ask", what: "rows" } }, "How many rows?")),
          h("p", { id: "photo-said", role: "status", data: { keep: "" } }),
          baskets.length
            ? h("div.moves", {}, h("label", { for: "photo-of" }, "keep it with"), h("select", { id: "photo-of", data: { keep: "" } }, baskets.map((each) => h("option", { value: each.key }, each.words))), h("button", { type: "button", data: { do: "photo-keep" } }, "Keep"))
            : null,
        ]
      : null,
  ];
}

/** Draw picture, points and cross anew. */
export function paint() {
  const canvas = /** @type {HTMLCanvasElement | null} */ (document.getElementById("photo"));
  if (!canvas || !photo) return;
  const { width, height } = canvas;
  const pen = canvas.getContext("2d");
  pen.drawImage(photo.image, 0, 0);
  pen.lineWidth = Math.max(2, width / 400);
  const at = ([x, y]) => [x * (width - 1), y * (height - 1)];
  for (const [key, { color }] of Object.entries(STEPS)) {
    pen.strokeStyle = pen.fillStyle = color;
    pen.beginPath();
    points[key].forEach((each, i) => pen[i ? "lineTo" : "moveTo"](...at(each)));
    if (key === "face" && points.face.length === 4) pen.closePath();
    pen.stroke();
    for (const each of points[key]) {
      pen.beginPath();
      pen.arc(...at(each), width / 130, 0, 7);
      pen.fill();
    }
  }
  if (document.activeElement !== canvas) return;
  const [x, y] = at(cross);
  pen.strokeStyle = "#000";
  for (const ink of ["#fff", "#000"]) {
    pen.strokeStyle = ink;
    pen.beginPath();
    pen.moveTo(x - width / 40, y + (ink === "#fff" ? 1.5 : 0));
    pen.lineTo(x + width / 40, y + (ink === "#fff" ? 1.5 : 0));
    pen.moveTo(x + (ink === "#fff" ? 1.5 : 0), y - width / 40);
    pen.lineTo(x + (ink === "#fff" ? 1.5 : 0), y + width / 40);
    pen.stroke();
  }
}

function set(point) {
  const most = STEPS[mode].points;
  points[mode] = points[mode].length >= most ? [point] : [...points[mode], point];
  if (mode !== "line" && points[mode].length === most) mode = "line";
}

async function send(query) {
  const key = localStorage.getItem("slype-key") ?? "";
  const answer = await fetch(`/api/book/photograph?${query}`, { method: "POST", headers: { "X-Slype-Key": key, "Content-Type": "application/octet-stream" }, body: photo.blob });
  const told = await answer.json();
  return answer.ok ? told.said : `${told.where ? `${told.where}: ` : ""}${told.message} ${told.remedy}`;
}

const typed = (id) => document.getElementById(id)?.value ?? "";
function tell(words) {
  const box = document.getElementById("photo-said");
  if (box) box.textContent = words;
}

/** What its buttons do. @type {Object<string, (data: DOMStringMap, page: {redraw: () => void, units: string}) => any>} */
export const ACTS = {
  "photo-mode": (data, { redraw }) => {
    mode = data.mode;
    if (mode !== "line") by = mode;
    points[mode] = [];
    redraw();
  },
  "photo-ask": async (data, { units }) => {
    const plane = by === "face" ? { face: points.face, wide: typed("photo-wide"), high: typed("photo-high") } : { ruler: points.ruler, length: typed("photo-length") };
    tell("Measuring …");
    tell(await send(new URLSearchParams({ asked: JSON.stringify({ what: data.what, line: points.line, units, ...plane }) })));
  },
  "photo-keep": async () => tell(await send(new URLSearchParams({ keep: typed("photo-of"), name: photo.name }))),
};

/** @param {{redraw: () => void}} page */
export function listen({ redraw }) {
  document.addEventListener("change", async ({ target }) => {
    if (target.id !== "photo-file" || !target.files[0]) return;
    try {
      await open(target.files[0]);
      redraw();
    } catch {
      renew(document.getElementById("news"), h("p.said.bad", {}, "This file is no photograph that can be shown. Give it as JPEG, PNG or WebP."));
    }
  });
  document.addEventListener("pointerdown", (event) => {
    if (event.target.id !== "photo") return;
    const box = event.target.getBoundingClientRect();
    cross = [(event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height];
    set(cross);
    redraw();
  });
  document.addEventListener("keydown", (event) => {
    if (event.target.id !== "photo") return;
    const step = event.shiftKey ? 0.05 : 0.004;
    const by = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] }[event.key];
    if (by) cross = cross.map((each, i) => Math.min(1, Math.max(0, each + by[i])));
    else if (event.key === "Enter") set([...cross]);
    else if (event.key === "Backspace") points[mode] = points[mode].slice(0, -1);
    else return;
    event.preventDefault();
    redraw();
  });
  document.addEventListener("focusin", paint);
}
