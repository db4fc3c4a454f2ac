/**
 * The shape: outline, base and wall, typed or drawn. The drawing shows one side of the wall as it stands; its points
 * can be dragged, or moved with the arrow keys. Sizes in mm come from the program and go back to it; it rounds them.
 */

import { draggable } from "../fields/drags.js";
import * as f from "../fields/fields.js";
import { h } from "../../../../page/h.js";

const WIDE = 300;
const HIGH = 190;
const EDGE = 16;
const LEAST_MM = 20;
const KEY_STEP = { in: 3.175, cm: 5 }; // an eighth of an inch, half a centimetre

let kept = null; // the drawing's scale while a point is held
let face = 0; // which of the two widths is drawn: 0 length, 1 width

export function shapePanel(store) {
  const form = store.state.document.form ?? {};
  const outline = form.outline ?? "round";
  const round = outline === "round";
  const wall = form.wall ?? [];
  return h(
    "details.card",
    { data: { key: "shape" }, open: true },
    h("summary", {}, "Shape", h("span.brief", {}, outline)),
    h(
      "div.fields",
      {},
      f.either(store, ["form", "outline"], "outline", store.tables.outlines.map((each) => [each.key, each.name]), "round"),
      round
        ? f.length(store, ["form", "base"], "base, across")
        : [f.length(store, ["form", "base", 0], "base, length"), f.length(store, ["form", "base", 1], "base, width")],
      outline === "rectangle" ? f.length(store, ["form", "corner"], "corner radius", { placeholder: "1 in" }) : null,
      profile(store, round),
      h(
        "table.wallpoints.wide",
        { data: { key: "points" } },
        h("caption", {}, "Points of the wall, from the base up"),
        h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "height"), round ? h("th", { scope: "col" }, "across") : [h("th", { scope: "col" }, "length"), h("th", { scope: "col" }, "width")], h("th", { scope: "col" }, h("span.seen-by-ear", {}, "take out")))),
        h(
          "tbody",
          {},
          wall.map((point, i) =>
            h(
              "tr",
              { data: { key: `point-${i}` } },
              point.map((_, k) => h("td", {}, pointField(store, i, k, round))),
              h(
                "td",
                {},
                i > 0 && wall.length > 2
                  ? h("button.quiet", { type: "button", data: { do: "remove-point", point: i }, "aria-label": `take out point ${i + 1}` }, "×")
                  : null,
              ),
            ),
          ),
        ),
      ),
      h("button.quiet", { type: "button", data: { do: "add-point" } }, "Add a point"),
    ),
  );
}

function pointField(store, i, k, round) {
  const name = k === 0 ? "height" : round ? "width across" : k === 1 ? "length" : "width";
  return f.length(store, ["form", "wall", i, k], `${name} at point ${i + 1}`);
}

/** Half of the wall, as a line with points to take hold of. */
function profile(store, round) {
  const form = store.state.look?.form ?? store.state.form;
  if (!form) return null;
  const which = round ? 0 : face;
  const most = Math.max(...form.profile.map((row) => row[1 + which]), form.base_mm[which]) / 2;
  const top = Math.max(...form.profile.map((row) => row[0]), 1);
  const scale = kept ?? Math.min((WIDE - 2 * EDGE) / (2 * most * 1.12), (HIGH - 2 * EDGE) / (top * 1.12));
  const x = (across) => WIDE / 2 + (across / 2) * scale;
  const y = (height) => HIGH - EDGE - height * scale;
  const right = form.profile.map((row) => `${x(row[1 + which]).toFixed(1)},${y(row[0]).toFixed(1)}`);
  const left = form.profile.map((row) => `${(WIDE - x(row[1 + which])).toFixed(1)},${y(row[0]).toFixed(1)}`).reverse();
  const units = store.state.document.basket?.units ?? "in";
  return h(
    "div.wide.profile",
    { data: { key: "profile", scale, which, step: KEY_STEP[units], revision: store.state.revision } },
    h(
      "svg",
      { viewBox: `0 0 ${WIDE} ${HIGH}`, role: "group", "aria-label": "The wall from the side, with its points" },
      h("path", { class: "ground", d: `M0 ${y(0)}H${WIDE}` }),
      h("path", { class: "wall", d: `M${left.concat(right).join("L")}` }),
      h("path", { class: "woven", d: `M${EDGE} ${y(form.top_mm).toFixed(1)}H${WIDE - EDGE}` }),
      form.points.map((point, i) =>
        h("circle", {
          class: "hold",
          cx: x(point.across_mm[which]).toFixed(1),
          cy: y(point.height_mm).toFixed(1),
          r: 9,
          tabindex: "0",
          role: "slider",
          "aria-label": `point ${i + 1} of the wall`,
          "aria-valuetext": (store.state.document.form.wall[i] ?? []).join(", "),
          "aria-valuenow": Math.round(point.across_mm[which]),
          data: { key: `hold-${i}`, hold: i, height: point.height_mm, across: point.across_mm },
        }),
      ),
    ),
    round
      ? null
      : h(
          "div.either",
          {},
          ["along", "across"].map((name, k) => h("button.quiet", { type: "button", "aria-pressed": k === face ? "true" : "false", data: { do: "face", face: k } }, `seen ${name === "along" ? "along its length" : "across its width"}`)),
        ),
    h("p.hint", {}, "Drag a point, or choose it with Tab and use the arrow keys."),
  );
}

export function turnFace(k) {
  face = k;
}

/** Dragging and arrow keys on the points of the drawing. @param {import("../base/store.js").Store} store */
export function listenToPoints(root, store) {
  const way = sender(store);
  let ahead = null; // the point moved by keys, as far as it was sent: quick presses go on from there
  draggable(root, ".hold", (hold, first) => {
    const from = pointOf(hold);
    kept = from.scale;
    const dots = (hold.closest("svg").getBoundingClientRect().width / WIDE) * from.scale;
    const drag = { merge: `drag ${performance.now()}`, revision: store.state.revision };
    const over = () => {
      kept = null;
      store.say("state", { fresh: false });
    };
    return {
      move: (event) => way.send(placed(store, from, (first.clientY - event.clientY) / dots, (2 * (event.clientX - first.clientX)) / dots), drag.merge),
      drop: over,
      cancel: async () => {
        await way.stop();
        // One step for the whole drag, as far as any of it was taken; redo would bring the drag back.
        if (store.state.revision > drag.revision) await store.undo();
        over();
      },
    };
  });
  root.addEventListener("keydown", (event) => {
    const hold = event.target.closest?.(".hold");
    const arrow = { ArrowUp: [1, 0], ArrowDown: [-1, 0], ArrowRight: [0, 1], ArrowLeft: [0, -1] }[event.key];
    if (!hold || !arrow || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    const { step: told, revision } = hold.closest(".profile").dataset;
    const step = Number(told);
    // While a move is under way, or answered and not drawn yet, the next goes on from where the last one led.
    const behind = way.busy() || Number(revision) !== store.state.revision;
    const from = ahead && ahead.i === Number(hold.dataset.hold) && behind ? ahead : pointOf(hold);
    const to = placed(store, from, arrow[0] * step, arrow[1] * step);
    ahead = { ...from, height: to.at[0].mm, across: from.across.map((side, k) => to.at[k + 1]?.mm ?? side) };
    way.send(to, `keys ${from.i}`);
  });
}

/** A point of the drawing as it was last drawn. */
function pointOf(hold) {
  const { scale, which } = hold.closest(".profile").dataset;
  return { i: Number(hold.dataset.hold), height: Number(hold.dataset.height), across: JSON.parse(hold.dataset.across), which: Number(which), scale: Number(scale) };
}

/** Where a point comes to lie, so many mm higher and wider than `from`. */
function placed(store, { i, height, across, which }, higher, wider) {
  const round = (store.state.document.form?.outline ?? "round") === "round";
  const sides = round ? [across[0]] : across;
  const at = [{ mm: i === 0 ? 0 : Math.max(0, height + higher) }, ...sides.map((side, k) => ({ mm: k === which ? Math.max(LEAST_MM, side + wider) : side }))];
  return { i, at };
}

/** Sends where a point is, one change at a time: while one is under way only the latest waits. */
function sender(store) {
  let waiting = null;
  let going = null;
  const go = async () => {
    while (waiting) {
      const { to, merge } = waiting;
      waiting = null;
      await store.change(wallChanges(store, to.i, to.at), "shape of the wall", { merge });
    }
    going = null;
  };
  return {
    busy: () => going !== null,
    send: (to, merge) => {
      waiting = { to, merge };
      going ??= go();
    },
    /** Nothing more is sent; done when the program has answered what was. */
    stop: async () => {
      waiting = null;
      await going;
    },
  };
}

/** The lowest point of the wall stands on the base's edge: both are moved together. */
export function wallChanges(store, i, to) {
  const changes = [{ set: ["form", "wall", i], to }];
  if (i === 0) {
    const round = to.length === 2;
    changes.push({ set: ["form", "base"], to: round ? to[1] : to.slice(1) });
  }
  return changes;
}
