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
const NAMES = { stick: "stick", "set in": "weaver", end: "weaver", trim: "trimming", "push in": "foot", rods: "rods", wrap: "turn", fasten: "end", fit: "lid" };

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

  /** The steps beside the basket that come just before a moment: what to measure, soak or mark first. */
  before(moment) {
    const at = this.chapters.findIndex((each) => each.first === moment);
    if (at < 0) return [];
    const from = this.chapters.slice(0, at).findLastIndex((each) => each.first) + 1;
    return this.chapters.slice(from, at);
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
    return { row: 0, rows: 0, nth: i - first + 1, of: last - first + 1, name: NAMES[act] ?? told.terms.spoke };
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
