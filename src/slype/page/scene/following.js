/**
 * Turning with the work: the eye goes where the maker would look from, so that the stroke in hand is in front. It
 * follows on a smoothed path, lets the stroke wander within the front third, and waits while a hand turns the basket.
 */

/** How far, degrees, the stroke may stand off the middle before the basket turns with it. */
const SLACK = 16;
const PACE = 5; // 1/s: how quickly the eye follows
const FASTEST = 150; // degrees a second
const NEAR = 0.05; // degrees: it has arrived
const HAND_MS = 4000; // after a hand has let go
const LONGEST_S = 0.6; // of one step, however rarely the screen is drawn
/** What is worked on fills this share of the picture, for what hangs and stands from it needs room. */
const ROOM = 0.84;
/** mm round the rows of a base that are looked at from near: there stand numbers, and weavers hang. */
const ROUND_ROWS = 30;
/** Tails hang below a basket that has only begun to rise: it stands higher in the picture by this share of it. */
const RAISED = 0.04;

/**
 * @typedef {object} Seen
 * @property {number[]} around degrees round the basket, for every moment, and
 * @property {number[]} up above the table: from where it is looked at
 * @property {{part: string, of: string, band: number | null, first: number}[]} parts of the work; `first` from 1
 */

const rad = (degrees) => (degrees / 180) * Math.PI;
const short = (degrees) => degrees - 360 * Math.round(degrees / 360);

export class Follower {
  /** @param {boolean} reducedMotion go at once */
  constructor(reducedMotion) {
    this.reducedMotion = reducedMotion;
    this.release();
  }

  /** Another basket, or another hand: the way begins anew from where the basket stands. */
  release() {
    this.goal = null;
    this.framed = "";
    this.stop();
  }

  /** It stands still. */
  stop() {
    cancelAnimationFrame(this.waiting);
    this.waiting = undefined;
    this.stepped = undefined;
    this.speed = { around: 0, up: 0, zoom: 0, x: 0, y: 0 };
  }

  /**
   * @param {import("./scene.js").Scene} scene
   * @param {Seen} told
   * @param {number} moment counted from 1: the one in hand
   * @param {Seen["parts"][number]} [part] what is spoken of meanwhile, where that is not the moment's own
   */
  to(scene, told, moment, part = told.parts.findLast((each) => moment >= each.first)) {
    const { turntable } = scene;
    if (performance.now() - turntable.handAt < HAND_MS) return this.release();
    const taken = scene.of !== (this.of ?? scene.of); // another thing is in hand: no way leads from one to the other
    this.of = scene.of;
    if (taken) this.release();
    const [around, up] = [told.around[moment - 1], told.up[moment - 1]];
    const frame = this.frame(scene, told, part, up);
    const now = this.goal?.around ?? (turntable.pose.around / Math.PI) * 180;
    const off = short(around - now);
    const turn = this.goal ? Math.sign(off) * Math.max(0, Math.abs(off) - SLACK) : off;
    this.goal = { around: now + turn, up, zoom: frame.zoom, x: frame.pan[0], y: frame.pan[1] };
    if (this.reducedMotion || taken) return this.stand(scene, this.goal);
    this.waiting ??= requestAnimationFrame((at) => this.step(scene, at));
    return undefined;
  }

  /** How large and where the basket is in the picture: its base alone, then without the ends that stand above it. */
  frame(scene, told, part, up) {
    const own = part.of === scene.of; // else it is fitted to what is in hand
    const stage = !own || part.part === "handle" || part.part === "fit" ? "all" : (up < -45 && !["border", "trim"].includes(part.part)) || part.part === "cross" ? "base" : "basket";
    const woven = (stage === "basket" && part.part === "side") || (stage === "base" && part.part === "base") ? part.band : null;
    const key = `${scene.of} ${stage} ${woven} ${up} ${scene.solid.revision} ${scene.solid.form} ${scene.canvas.clientWidth} ${scene.canvas.clientHeight} ${scene.far}`;
    if (this.framed !== key) {
      this.framed = key;
      const base = stage === "base" ? baseOf(scene.solid, told, scene.of) : [];
      const only = { base, basket: bare(scene.solid, false, woven), all: [] }[stage];
      const framed = (reeds, room) => {
        const fit = scene.poseFor({ around: 0, up: rad(up), from: scene.size.low, only: reeds.length ? reeds : bare(scene.solid, true) });
        return { zoom: fit.zoom * room, pan: [fit.pan[0] * room, fit.pan[1] * room + (stage === "basket" ? RAISED : 0)] };
      };
      this.framing = framed(only, ROOM);
      // The first rows of a base are small: they are looked at from near, with the numbers round them.
      const rows = base.length && woven !== null ? base.filter((strand) => strand.role === "weaver" && bandOf(strand) <= woven) : [];
      if (rows.length) {
        const wide = widest(scene.solid, rows);
        const near = framed(rows, wide / (wide + ROUND_ROWS));
        if (near.zoom > this.framing.zoom) this.framing = near;
      }
    }
    return this.framing;
  }

  /** One step of the way: as a weight on a spring that never swings over (critically damped, in closed form). */
  step(scene, at) {
    this.waiting = undefined;
    const { turntable } = scene;
    if (!this.goal || performance.now() - turntable.handAt < HAND_MS) return this.release();
    const passed = Math.min(LONGEST_S, Math.max(0.001, (at - (this.stepped ?? at - 16)) / 1000));
    this.stepped = at;
    const { pose } = turntable;
    const now = { around: (pose.around / Math.PI) * 180, up: (pose.up / Math.PI) * 180, zoom: pose.zoom, x: pose.pan[0], y: pose.pan[1] };
    let still = true;
    const fade = Math.exp(-PACE * passed);
    for (const key of Object.keys(now)) {
      const angle = key === "around" || key === "up";
      const [left, speed] = [now[key] - this.goal[key], this.speed[key]];
      const pull = (speed + PACE * left) * passed;
      const most = angle ? FASTEST * passed : Infinity;
      const hop = this.goal[key] + (left + pull) * fade - now[key];
      now[key] += Math.max(-most, Math.min(most, hop));
      this.speed[key] = (speed - PACE * pull) * fade;
      still &&= Math.abs(now[key] - this.goal[key]) < NEAR * (angle ? 1 : 0.01);
    }
    this.stand(scene, still ? this.goal : now);
    if (still) this.stop();
    else this.waiting = requestAnimationFrame((next) => this.step(scene, next));
    return undefined;
  }

  stand(scene, { around, up, zoom, x, y }) {
    scene.turntable.lead({ around: rad(around), up: rad(up), zoom, pan: [x, y] });
  }
}

/** The finished basket's reeds; without what hides its inside unless it is fitted too; while a band of the side is
 * `woven` only the weavers as far as that, for what stands above them would leave them little of the picture. */
function bare(solid, fitted = false, woven = null) {
  const whole = solid.strands.filter((strand) => strand.until === null && (fitted || !strand.over));
  const far = woven === null ? [] : whole.filter((strand) => strand.role === "weaver" && bandOf(strand) !== null && bandOf(strand) <= woven);
  return far.length ? far : whole;
}

/** The reeds of which nothing goes up the wall: sticks, and weavers of the base's bands. */
function baseOf(solid, told, of) {
  const bands = new Set(told.parts.filter((each) => each.part === "base" && each.of === of).map((each) => each.band));
  return solid.strands.filter((strand) => (strand.apart?.of ?? "") === of && (strand.role === "stick" || (strand.role === "weaver" && bands.has(bandOf(strand)))));
}

/** How far reeds reach from the middle, mm. */
function widest({ points }, strands) {
  let far = 0;
  for (const { first, count } of strands) {
    for (let i = 3 * first; i < 3 * (first + count); i += 3) far = Math.max(far, Math.hypot(points[i], points[i + 1]));
  }
  return far;
}

/** The band of the basket, or of what is woven apart. */
const bandOf = (strand) => (strand.apart ?? strand).band;
