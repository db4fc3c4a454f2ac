/**
 * The order of work as the lesson tells it. A *place* is how many moments are done; moment n, counted from 1, is the one
 * that leads from place n - 1 to place n.
 */

/** @typedef {"stroke" | "round" | "row" | "step"} Unit */
export const UNITS = ["stroke", "round", "row", "step"];
/** So many strokes beforehand a join or a new colour is told. */
const AHEAD = 6;

/** What is counted within a row; and what such moves are called that have no rows. */
const LED = { stroke: "stroke", border: "move", foot: "move" };
const NAMES = { "set in": "weaver", end: "weaver", trim: "trimming", "push in": "foot", rods: "rods", wrap: "turn", fasten: "end", fit: "lid" };

export class Order {
  /** @param {object} told see lesson/content.py @param {"right" | "left"} hand */
  constructor(told, hand) {
    Object.assign(this, { told, hand });
    this.moments = told.moments;
    this.chapters = told.chapters[hand];
    this.starts = {
      round: told.rounds,
      row: told.rows,
      step: this.chapters.filter((each) => each.first).map((each) => each.first),
    };
    /** What is read beside the moves, in order: each `after` so many moments; numbered from 1. */
    this.cards = this.chapters.flatMap((each) =>
      each.cards.map(([after, does, whole, care, begins]) => ({ after, does: does.map((i) => each.does[i]), whole, care: care.map((i) => each.care[i]), begins, step: each })),
    );
    this.cards.sort((a, b) => a.after - b.after); // one that is told at the end of a step comes before the next step's own
    this.cards.forEach((card, i) => (card.number = i + 1));
  }

  /** What is done in a moment, in a sentence. */
  sentence(moment) {
    return this.told.texts[this.told.told[this.hand][moment - 1]];
  }

  act(moment) {
    return this.told.acts[this.told.act[moment - 1]];
  }

  /** Names of the colours of the reed in hand; none for a move that has none. */
  colours(moment) {
    return this.told.colours[this.told.colour[moment - 1]] ?? [];
  }

  chapter(moment) {
    return this.chapters.findLast((each) => each.first && each.first <= Math.max(1, moment)) ?? this.chapters[0];
  }

  /** The cards that come just before a moment: what to take, measure, soak or mark first. */
  before(moment) {
    return this.cards.filter((each) => each.after === moment - 1);
  }

  /** The step beside the basket that is due before the next move and not done yet; undefined where none is.
   * @param {{done: number, read: number}} basket `read` the last such step that is done */
  pending({ done, read }) {
    return this.cards.find((card) => card.begins && !card.step.first && card.after === done && card.step.number > read)?.step;
  }

  /** Such steps that are due at a place, by their numbers. */
  beside(place) {
    return this.cards.filter((card) => card.begins && !card.step.first && card.after === place).map((card) => card.step.number);
  }

  /** The card of a number, null where there is none. */
  card(number) {
    return this.cards[number - 1] ?? null;
  }

  /** The first thing of a step: a card, or where it has none before its moves, its first move. */
  begins(number) {
    const each = this.chapters.find((one) => one.number === number);
    if (!each) return { place: 0, card: 0 };
    const card = this.cards.find((one) => one.step === each);
    return card && (!each.first || card.after < each.first) ? { place: card.after, card: card.number } : { place: each.first, card: 0 };
  }

  /**
   * Where one goes by one thing to do: the next or the last move, or a card that comes between.
   * @param {{place: number, card: number}} now `card` 0 unless it is one that is read at that place
   * @returns {{place: number, card: number}}
   */
  by(now, on) {
    const here = this.before(now.place + 1).map((each) => each.number);
    if (on > 0) {
      const next = here.find((number) => number > now.card);
      if (next) return { place: now.place, card: next };
      return { place: Math.min(this.moments, now.place + 1), card: now.place < this.moments ? 0 : now.card };
    }
    if (now.card) return { place: now.place, card: here.findLast((number) => number < now.card) ?? 0 };
    if (!now.place) return now;
    return { place: now.place - 1, card: this.before(now.place).at(-1)?.number ?? 0 };
  }

  part(moment) {
    return this.told.parts[this.told.part[Math.max(1, moment) - 1]];
  }

  /**
   * How far a moment is: its row and stroke, or the how-manieth it is of such moves that follow each other.
   * @returns {{row: number, rows: number, nth: number, of: number, name: string}} row 0 where there are none
   */
  count(moment) {
    const i = moment - 1;
    const { told } = this;
    const part = this.part(moment);
    const act = this.act(moment);
    const rows = LED[act];
    if (rows && told.stroke[i] >= 0) {
      const many = told.row.slice(part.first - 1, part.last).reduce((most, each) => Math.max(most, each), -1) + 1;
      return { row: told.row[i] + 1, rows: many, nth: told.stroke[i] + 1, of: told.strokes[i], name: rows };
    }
    let [first, last] = [i, i];
    while (first > part.first - 1 && told.act[first - 1] === told.act[i]) first--;
    while (last < part.last - 1 && told.act[last + 1] === told.act[i]) last++;
    return { row: 0, rows: 0, nth: i - first + 1, of: last - first + 1, name: NAMES[act] ?? told.terms[act === "stick" ? "stick" : "spoke"] };
  }

  /** What the uprights, or groups of them, and the gaps between are called in a part of the work, and what a move does
   * with those that its sentence names. */
  words(part) {
    const { terms } = this.told;
    const band = this.told.bands[part];
    const key = this.told.parts[part]?.part;
    const named = { handle: "beside", base: "passed", side: "passed", border: "passed" }[key] ?? "in hand";
    if (band?.group > 1) return { spoke: "group", space: "group space", named };
    const onBase = ["cross", "base"].includes(key);
    return { spoke: onBase && terms.stick !== terms.spoke ? "stick" : terms.spoke, space: "space", named };
  }

  /** The place once what is under way at a place is done. @param {number} place @param {Unit} unit */
  onward(place, unit) {
    if (unit === "stroke") return Math.min(this.moments, place + 1);
    return (this.starts[unit].find((first) => first - 1 > place) ?? this.moments + 1) - 1;
  }

  /** The place at which what led to a place began. */
  back(place, unit) {
    if (unit === "stroke") return Math.max(0, place - 1);
    return (this.starts[unit].findLast((first) => first - 1 < place) ?? 1) - 1;
  }

  /**
   * What to tell before the next `unit` is worked.
   * @returns {{kind: "colour" | "join" | "end", moment: number, away: number}[]} nearest first
   */
  ahead(place, unit) {
    const row = this.onward(place, "row");
    const to = unit === "stroke" ? Math.min(this.moments, place + AHEAD) : this.onward(place, unit);
    return this.told.warnings
      .map(([at, kind]) => ({ kind, moment: at + 1, away: at - place }))
      .filter(({ kind, moment, away }) => away >= 0 && (moment <= to || (kind === "end" && moment <= row)));
  }

  /** The angles of the eye, for this hand. */
  seen() {
    const side = this.hand === "left" ? -1 : 1;
    return { around: this.told.around.map((each) => side * each), up: this.told.up, parts: this.told.parts, moments: this.moments };
  }
}

/** `1`, `1 and 2`, `1, 2 and 3`. */
export const listed = (all) => (all.length < 2 ? `${all[0] ?? ""}` : `${all.slice(0, -1).join(", ")} and ${all.at(-1)}`);

/** `bundle 1`, `bundles 1 and 2`. */
export const bundlesTold = (all) => `${all.length > 1 ? "bundles" : "bundle"} ${listed(all)}`;

/** `row 3 of 12, stroke 7 of 28`. */
export function whereTold(order, moment) {
  const { row, rows, nth, of, name } = order.count(moment);
  return row ? `row ${row} of ${rows}, ${name} ${nth} of ${of}` : `${name} ${nth} of ${of}`;
}
