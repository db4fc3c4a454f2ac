/** Keeping the screen awake at the bench, where the device allows it; and saying so where it does not. */

const WHY_HTTP = "Over this room's network no page can keep the screen awake: keep the lesson on this phone (under More), or set the screen to stay on longer.";
const WHY_NONE = "This browser cannot keep the screen awake: set it to stay on longer.";

export class Awake {
  /** @param {() => void} changed */
  constructor(changed) {
    this.changed = changed;
    this.wanted = false;
    this.lock = null;
    this.trouble = "";
    document.addEventListener("visibilitychange", () => this.hold());
  }

  /** @param {boolean} wanted */
  want(wanted) {
    if (wanted === this.wanted) return;
    this.wanted = wanted;
    if (wanted) this.hold();
    else this.lock?.release();
  }

  async hold() {
    if (!this.wanted || document.visibilityState !== "visible" || (this.lock && !this.lock.released)) return;
    let trouble = "";
    if (!("wakeLock" in navigator)) trouble = isSecureContext ? WHY_NONE : WHY_HTTP;
    else {
      try {
        this.lock = await navigator.wakeLock.request("screen");
      } catch {
        trouble = WHY_NONE; // a low battery, or a setting
      }
    }
    if (trouble === this.trouble) return;
    this.trouble = trouble;
    this.changed();
  }
}
