/**
 * A turntable under finger, mouse and keys: drag turns, wheel or pinch zooms, two fingers pan a little.
 *
 * @typedef {object} Pose
 * @property {number} around rad round the basket, 0 at the near side
 * @property {number} up rad above the table
 * @property {number} zoom 1 shows all
 * @property {[number, number]} pan how far the basket lies to the right and up, in heights of the view
 */

const TURN = 0.0075; // rad per dot
const KEY_TURN = Math.PI / 24;
const KEY_ZOOM = 1.15;
const KEY_PAN = 0.05;
const CLICK = { mouse: 5, pen: 6, touch: 10 }; // dots a hand may tremble and yet only touch
const LONG_MS = 700; // a finger that rests longer means no touch
const STEEPEST = (89.5 / 180) * Math.PI;
const ZOOM = [0.5, 9];
const PAN = 0.6;
const EASE = 450; // ms

/** @returns {Pose} */
const start = () => ({ around: 0, up: 0, zoom: 1, pan: [0, 0] });

export class Turntable {
  /**
   * @param {HTMLElement} canvas
   * @param {object} say
   * @param {() => void} say.turned the pose has changed
   * @param {(x: number, y: number) => void} say.touched a click, in dots of the page within the canvas
   * @param {(x: number, y: number) => void} say.over the mouse rests there
   * @param {() => void} say.reset Home was pressed
   * @param {boolean} say.reducedMotion
   */
  constructor(canvas, say) {
    this.canvas = canvas;
    this.say = say;
    this.pose = start();
    /** Has a hand turned it since it last went to a pose? */
    this.byHand = false;
    /** When a hand did so last, ms of the page's clock. */
    this.handAt = -Infinity;
    this.fingers = new Map();
    this.away = new AbortController();
    const on = (kind, does, more = {}) =>
      canvas.addEventListener(kind, does, { signal: this.away.signal, ...more });
    on("pointerdown", (event) => this.down(event));
    on("pointermove", (event) => this.move(event));
    on("pointerup", (event) => this.lift(event));
    on("pointercancel", (event) => this.fingers.delete(event.pointerId));
    on("contextmenu", (event) => event.preventDefault()); // a long press brings it up on some phones
    on("wheel", (event) => this.wheel(event), { passive: false });
    on("keydown", (event) => this.key(event));
    canvas.style.touchAction = "none";
  }

  /**
   * Goes to a pose, easily unless motion is to be reduced.
   * @param {Partial<Pose>} pose
   */
  go(pose) {
    cancelAnimationFrame(this.easing);
    this.byHand = false;
    const from = this.pose;
    const to = { ...from, ...pose };
    // The short way round.
    to.around = from.around + turned(to.around - from.around);
    if (this.say.reducedMotion) return this.set(to);
    const begun = performance.now();
    const step = (now) => {
      const part = Math.min(1, Math.max(0, (now - begun) / EASE));
      const ease = part * part * (3 - 2 * part);
      const between = (a, b) => a + (b - a) * ease;
      this.set({
        around: between(from.around, to.around),
        up: between(from.up, to.up),
        zoom: between(from.zoom, to.zoom),
        pan: [between(from.pan[0], to.pan[0]), between(from.pan[1], to.pan[1])],
      });
      if (part < 1) this.easing = requestAnimationFrame(step);
    };
    this.easing = requestAnimationFrame(step);
  }

  set(pose) {
    const within = (value, least, most) => Math.min(most, Math.max(least, value));
    const zoom = within(pose.zoom, ...ZOOM);
    const most = PAN * Math.max(1, zoom); // what is seen closely may lie further off, in widths of the picture
    this.pose = {
      around: pose.around,
      up: within(pose.up, -STEEPEST, STEEPEST),
      zoom,
      pan: [within(pose.pan[0], -most, most), within(pose.pan[1], -most, most)],
    };
    this.say.turned();
  }

  hand(pose) {
    this.handAt = performance.now();
    this.lead(pose);
  }

  /** Stands at a pose, and stays there whatever becomes of the basket. */
  lead(pose) {
    cancelAnimationFrame(this.easing);
    this.byHand = true;
    this.set(pose);
  }

  turn(across, upward) {
    this.hand({ ...this.pose, around: this.pose.around - across, up: this.pose.up + upward });
  }

  /** Keys slide the picture, as two fingers do. */
  slide(right, up) {
    this.hand({ ...this.pose, pan: [this.pose.pan[0] + right * KEY_PAN, this.pose.pan[1] + up * KEY_PAN] });
  }

  zoom(times) {
    this.hand({ ...this.pose, zoom: this.pose.zoom * times });
  }

  down(event) {
    if (event.button > 0) return;
    this.canvas.setPointerCapture(event.pointerId);
    const at = { x: event.offsetX, y: event.offsetY };
    this.fingers.set(event.pointerId, { ...at, first: at, still: true, since: event.timeStamp });
    // Two fingers zoom and pan; none of them touches.
    if (this.fingers.size > 1) for (const finger of this.fingers.values()) finger.still = false;
  }

  move(event) {
    const finger = this.fingers.get(event.pointerId);
    if (!finger) return this.say.over(event.offsetX, event.offsetY);
    const far = Math.hypot(event.offsetX - finger.first.x, event.offsetY - finger.first.y);
    if (far > (CLICK[event.pointerType] ?? CLICK.mouse)) finger.still = false;
    if (finger.still) return undefined; // once it turns, it turns from where the finger was set down
    const across = event.offsetX - finger.x;
    const down = event.offsetY - finger.y;
    const before = this.span();
    finger.x = event.offsetX;
    finger.y = event.offsetY;
    if (this.fingers.size === 1) return this.turn(across * TURN, down * TURN);
    const after = this.span();
    const high = this.canvas.clientHeight || 1;
    // Each finger moves the middle of the two by half of its own way, and the basket goes with it.
    const pan = [this.pose.pan[0] + across / 2 / high, this.pose.pan[1] - down / 2 / high];
    return this.hand({ ...this.pose, pan, zoom: this.pose.zoom * (before > 0 ? after / before : 1) });
  }

  lift(event) {
    const finger = this.fingers.get(event.pointerId);
    this.fingers.delete(event.pointerId);
    const long = event.pointerType === "touch" && event.timeStamp - finger?.since > LONG_MS;
    if (finger?.still && !long && this.fingers.size === 0) this.say.touched(event.offsetX, event.offsetY);
  }

  /** Dots between two fingers. */
  span() {
    const [one, other] = this.fingers.values();
    return one && other ? Math.hypot(one.x - other.x, one.y - other.y) : 0;
  }

  wheel(event) {
    event.preventDefault();
    const lines = event.deltaMode === 1 ? 16 : 1;
    this.zoom(Math.exp(-Math.max(-120, Math.min(120, event.deltaY * lines)) * 0.0016));
  }

  key(event) {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const slides = event.shiftKey && { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    const does = slides ? () => this.slide(...slides) : {
      ArrowLeft: () => this.turn(-KEY_TURN, 0),
      ArrowRight: () => this.turn(KEY_TURN, 0),
      ArrowUp: () => this.turn(0, KEY_TURN),
      ArrowDown: () => this.turn(0, -KEY_TURN),
      "+": () => this.zoom(KEY_ZOOM),
      "=": () => this.zoom(KEY_ZOOM),
      "-": () => this.zoom(1 / KEY_ZOOM),
      Home: () => this.say.reset(),
    }[event.key];
    if (!does) return;
    event.preventDefault();
    does();
  }

  dispose() {
    cancelAnimationFrame(this.easing);
    this.away.abort();
  }
}

/** The same turn, between half a turn back and half a turn on. */
function turned(angle) {
  return angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI));
}
