/**
 * Watches whether drawing keeps up with the hand. Where it does not (an old machine, a browser that draws without a
 * graphics card) the basket is drawn quickly while it moves or has just changed, in fewer dots and with plainer reeds,
 * and in full as soon as it rests.
 */

/** ms that a full drawing may take before a hand feels it. */
const SLOW = 70;
/** Dots across in a quick drawing, as a share: fewer while it takes longer than it may, more again where it is soon done. */
const STEPS = [0.85, 0.7, 0.5];
const SOON = SLOW / 4;
/** ms without a movement, or after a change, before the basket is drawn in full. A full drawing once begun has to end
 * before the next change is seen, so after a change it waits for one that may follow. */
const REST = { moved: 160, changed: 1200 };
const LOOK = 4; // ms between looks whether the graphics card is done

export class Pace {
  /**
   * @param {WebGL2RenderingContext} gl
   * @param {boolean} slow whether full drawings are slow, as far as can be told before the first
   * @param {() => void} rested called when the basket has come to rest and was last drawn quickly
   */
  constructor(gl, slow, rested) {
    this.gl = gl;
    this.slow = slow;
    this.rested = rested;
    this.level = 1;
    this.moving = false;
    this.watched = null;
  }

  /** Tells that the eye has moved. */
  moved() {
    this.#until(REST.moved);
  }

  /** Tells that there is another basket to draw. */
  changed() {
    this.#until(REST.changed);
  }

  #until(rest) {
    this.moving = true;
    const ends = performance.now() + rest;
    if (this.timer !== undefined && ends <= this.ends) return; // what was told before lasts longer
    this.ends = ends;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      this.timer = undefined;
      this.moving = false;
      if (this.coarse) this.rested();
    }, rest);
  }

  /** Is the next drawing to be a quick one? */
  get quick() {
    return this.moving && this.slow;
  }

  /** How many dots to draw across, as a share of all. */
  get share() {
    return this.quick ? STEPS[this.level] : 1;
  }

  /** Tells that a drawing, quick or full as `quick` says, has been handed to the graphics card. */
  drawn() {
    this.coarse = this.quick;
    if (this.watched) return; // one at a time will do
    const { gl, coarse } = this;
    const begun = performance.now();
    this.watched = gl.fenceSync(gl.SYNC_GPU_COMMANDS_COMPLETE, 0);
    gl.flush();
    const look = () => {
      if (!this.watched) return;
      if (gl.getSyncParameter(this.watched, gl.SYNC_STATUS) !== gl.SIGNALED && !gl.isContextLost()) {
        this.looking = setTimeout(look, LOOK);
        return;
      }
      gl.deleteSync(this.watched);
      this.watched = null;
      this.#took(performance.now() - begun, coarse);
    };
    this.looking = setTimeout(look, LOOK);
  }

  #took(ms, coarse) {
    if (!coarse) this.slow = ms > SLOW;
    else if (ms > SLOW) this.level = Math.min(this.level + 1, STEPS.length - 1);
    else if (ms < SOON) this.level = Math.max(this.level - 1, 0);
    this.last = { ms, coarse };
  }

  dispose() {
    clearTimeout(this.timer);
    clearTimeout(this.looking);
    this.watched = null;
  }
}
