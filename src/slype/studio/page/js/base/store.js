/**
 * The basket on show and what the maker does to it. Changes go to the program one after the other, in order; while it
 * does not answer they wait here, and are sent when it is back.
 *
 * Events: "state" (a new state), "news" (said by the program), "trouble" (something was refused), "line" (connection).
 */

import { ask, askShown, news, Refused } from "./api.js";

const WINDOW = crypto.randomUUID().slice(0, 8);

/** In which words the page speaks: a basket's own, or those of a class. @param {import("./contract.js").State | null} state */
const wordingOf = (state) => ((state?.document.basket?.wording ?? state?.kit?.wording) === "uk" ? "uk" : "us");

export class Store extends EventTarget {
  /** @type {import("./contract.js").State | null} */ state = null;
  /** @type {import("./contract.js").Tables | null} */ tables = null;
  /** Done once the tables have come: many a field is not there before. */ told = Promise.resolve();
  /** Faults by path of the field, in words. @type {Map<string, string>} */ faults = new Map();
  /** Which band is open, from 0. @type {number | null} */ band = null;
  /** The same of its lid. @type {number | null} */ bandInLid = null;
  /** "on", "away" (the program does not answer), "stale" (it was started anew) */ line = "on";
  resting = null;
  /** How many baskets were asked for and have not come yet. */ opening = 0;
  /** What was told of the basket while it could last be woven. @type {import("./contract.js").Look | null} */ lookBefore = null;
  /** The solid that came with the last state, for whoever draws it. @type {ArrayBuffer | null} */ solid = null;
  /** What is drawn: id, revision and form of a solid. */ have = "";
  #queue = Promise.resolve();
  #waiting = 0;
  #stop = null;

  say(name, detail) {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }

  get id() {
    return this.state?.id ?? null;
  }

  /** @param {{state: import("./contract.js").State, solid: ArrayBuffer | null}} came */
  take({ state, solid }) {
    if (this.state && state.id === this.state.id && state.revision < this.state.revision) return;
    this.solid = solid;
    if (this.state?.look) this.lookBefore = this.state.look;
    const wording = wordingOf(this.state);
    const fresh = !this.state || this.state.id !== state.id;
    this.state = state;
    if (fresh) {
      this.lookBefore = null;
      this.faults.clear();
      this.band = this.bandInLid = null;
      this.#listen();
      history.replaceState(null, "", `#basket=${state.id}`);
    }
    if (this.band !== null && this.band >= (state.document.band?.length ?? 0)) this.band = null;
    if (fresh || wording !== wordingOf(state) || !this.tables) this.told = this.#fetchTables();
    this.say("state", { fresh });
  }

  async #fetchTables() {
    const wording = wordingOf(this.state);
    if (this.tables?.wording === wording) return;
    this.tables = { ...(await ask("GET", `tables?wording=${wording}`)), wording };
    this.say("state", { fresh: false });
  }

  /**
   * Open {path} | {example} | {id} | {text, name} | {}. In turn: what was changed before goes to the basket that was on
   * show, what is changed meanwhile to the one that comes.
   */
  open(what) {
    this.#opening(1);
    const turn = this.#queue.then(async () => {
      try {
        const came = await this.#ask("POST", "open", what);
        this.take(came);
        return came.state;
      } finally {
        this.#opening(-1);
      }
    });
    this.#queue = turn.catch(() => {});
    return turn;
  }

  #opening(by) {
    this.opening += by;
    this.say("opening", this.opening > 0);
  }

  #ask(method, path, body) {
    return askShown(method, path, body, this.have);
  }

  /** Run `work` after all earlier work; while the program is away, wait for it. */
  #inTurn(work) {
    this.#waiting += 1;
    const turn = this.#queue.then(async () => {
      try {
        for (;;) {
          try {
            return await work();
          } catch (trouble) {
            if (!(trouble instanceof Refused) || !(trouble.offline || trouble.stale)) throw trouble;
            this.#setLine(trouble.stale ? "stale" : "away");
            await this.#back();
          }
        }
      } finally {
        this.#waiting -= 1;
      }
    });
    this.#queue = turn.catch(() => {});
    return turn;
  }

  get waiting() {
    return this.#waiting;
  }

  #setLine(line) {
    if (this.line !== line) {
      this.line = line;
      this.say("line", line);
    }
  }

  async #back() {
    for (;;) {
      await new Promise((done) => setTimeout(done, 700));
      try {
        await ask("GET", "hello");
        this.#setLine("on");
        return;
      } catch (trouble) {
        this.#setLine(trouble.stale ? "stale" : "away");
      }
    }
  }

  /**
   * @param {Array<object>} changes as `apply.apply` takes them
   * @param {string} label for undo, like "rows of band 3"
   * @param {{merge?: string, field?: string}} [how] `field`: the path of the field, where a refusal is shown
   * @returns {Promise<boolean>} whether it was taken
   */
  async change(changes, label, { merge = "", field = "" } = {}) {
    const asked = performance.now();
    try {
      const came = await this.#inTurn(() => this.#ask("POST", `baskets/${this.id}/change`, { changes, label, merge, window: WINDOW }));
      this.faults.clear();
      this.say("taken", null);
      this.editedAt = asked;
      this.take(came);
      return true;
    } catch (trouble) {
      this.#refused(trouble, field);
      return false;
    }
  }

  #refused(trouble, field = "") {
    if (!(trouble instanceof Refused)) throw trouble;
    this.refusal = sentence(trouble.trouble);
    if (field) this.faults.set(field, this.refusal);
    this.say("trouble", { text: sentence(trouble.trouble), field });
    this.say("state", { fresh: false });
  }

  async #simply(method, path, body) {
    try {
      const came = await this.#inTurn(() => this.#ask(method, `baskets/${this.id}/${path}`, { ...body, window: WINDOW }));
      this.take(came);
      return came.state;
    } catch (trouble) {
      this.#refused(trouble);
      return null;
    }
  }

  undo = () => this.state?.undo && this.#simply("POST", "step", { by: -1 });
  redo = () => this.state?.redo && this.#simply("POST", "step", { by: 1 });
  save = (path, over = false) => this.#simply("POST", "save", path ? { path, over } : {});
  settle = (keep) => this.#simply("POST", "save", { keep });
  text = (text) => this.#simply("PUT", "text", { text });

  async renew() {
    try {
      this.take(await this.#inTurn(() => this.#ask("GET", `baskets/${this.id}`)));
    } catch (trouble) {
      this.#refused(trouble);
    }
  }

  #listen() {
    this.#stop?.abort();
    const stop = (this.#stop = new AbortController());
    const id = this.id;
    const onNews = (said) => {
      if (this.id !== id) return;
      if (said.gone) return this.say("gone", null);
      if (said.resting !== undefined && said.revision === this.state.revision) {
        this.resting = said.resting;
        this.say("resting", said.resting);
      }
      const known = said.by === "" && said.rested === this.state.revision && (this.state.look?.relaxed || this.state.kit?.settled);
      if ((said.rested !== undefined && !known) || (said.revision > this.state.revision && said.by !== WINDOW)) {
        this.resting = null;
        this.renew().then(() => this.say("news", said));
      } else if (said.saved !== undefined && said.revision === this.state.revision) {
        this.state = { ...this.state, saved: said.saved };
        this.say("state", { fresh: false });
      } else this.say("news", said);
    };
    (async () => {
      while (!stop.signal.aborted) {
        try {
          await news(id, onNews, stop.signal);
        } catch (trouble) {
          if (stop.signal.aborted) return;
          if (trouble instanceof Refused && trouble.status === 409) return this.say("gone", null);
        }
        if (stop.signal.aborted) return;
        this.#setLine("away");
        await this.#back();
        await this.renew();
      }
    })();
  }
}

/** @param {import("./contract.js").Trouble} trouble */
export function sentence({ message, where: place, remedy }) {
  const where = place.replace(/^[^,:]*\.toml(, )?/, "").replace(/^(new basket|[^,:]* \(example\))(, )?/, ""); // there is but one basket on show
  return `${where ? `${where}: ` : ""}${message}${remedy ? ` ${remedy}` : ""}`;
}
