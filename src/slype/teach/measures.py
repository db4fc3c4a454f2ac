"""What the ruler says when a band is done, and what helps where it says something else."""

from __future__ import annotations

from collections.abc import Sequence

from ..lay.values import BandLaid
from ..tell.lists import a_row, first_up, row_seen_mm, thin_long
from ..tell.voice import woven_across
from ..weave.by_hand import strokes
from .edge import MADE_READY
from .step.bench import Bench, numbers
from .step.values import Draft, Due, Slip, afterwards, due
from .stroke import is_new, rows_begin

DISAGREES = "When the ruler disagrees"
"""Heading of the page on which all remedies stand."""


def measured(bench: Bench, band: BandLaid, s: float) -> str:
    """What the ruler says when the work has come to `s` mm."""
    across = f"{woven_across(bench.laid, band, s)} across"
    if band.band.where == "base":
        return across
    return f"{bench.long(s)} up the wall; {across}"


def how_far(
    bench: Bench, band: BandLaid, begun: tuple[int, int, int], strokes: list[int], done: int, into: Draft
) -> list[str | Due]:
    """What is said of all rows of a band's first start: how many, with whom each begins, where they are measured."""
    rows = begun[1]
    out = due(done, *([f"Weave {rows} rows in all."] if rows > 1 else []),
              *([f"Press each row {'towards the middle' if band.band.where == 'base' else 'down'}, close on the one "
                 "before."] if is_new(bench, band) else []), *rows_begin(bench, band, strokes))  # fmt: skip
    if rows == band.rows:
        held = _held(bench, band)
        if rows >= 6:
            half = rows // 2
            last = max(m for m in strokes if bench.order.row[m] < half)
            told = measured(bench, band, band.start_s + half * band.pitch_mm)
            out += due(last + 1, *held, f"After row {half} measure: {told}.")
            into.marks.append((half, "measure"))
            held = []
        out += afterwards(*held, f"After row {rows}, the last, measure: {measured(bench, band, band.end_s)}.")
        into.marks.append((rows, "measure"))
        out += afterwards(*stands_high(bench, band))
    return out


def stands_high(bench: Bench, band: BandLaid) -> list[str]:
    """How high the basket will be, told where the last band of its wall is done."""
    if bench.is_lid or not bench.laid.side or band is not bench.laid.side[-1]:
        return []
    high = bench.long(bench.laid.finished_height_mm)
    return [bench.tell("With its {border} the basket then stands {high} high.", high=high)]


def _held(bench: Bench, band: BandLaid) -> list[str]:
    """How the ruler is laid: on a base over its rows, on the wall at what stands, told at the first band there."""
    if band.band.where == "base":
        return ["Lay the ruler over the middle, from the last row's outer edge to that across from it."]
    if not is_new(bench, band):
        return []
    across = "the gap across from it" if band.ends % 2 else "that of the one across"
    return [bench.tell("Across: at the last row, from the middle of a {spoke} to {across}.", across=across)]


def rows_belong(bench: Bench, band: BandLaid) -> bool:
    """True of a band whose pattern a row more or fewer would break: rows that twist both ways in turn close in pairs,
    starts that move on come after so many rows, and what goes on with the same weavers counts from there (common
    practice, no source)."""
    later = bench.laid.bands[bench.laid.bands.index(band) + 1 :]
    return len(set(band.band.weave.reverse)) > 1 or band.band.blocks is not None or \
        any(bench.goes_on(each) for each in later[:1])  # fmt: skip


def _free(bench: Bench, where: str) -> list[BandLaid]:
    """The bands of the base or the side in which a row more or fewer does no harm, in order."""
    return [each for each in bench.laid.bands if each.band.where == where and not rows_belong(bench, each)]


HARDLY_SEEN_MM = 6.0
"""A ruler along springy reed tells no less than about this, nor does anyone see it (common practice, no source)."""


def rows_off(band: BandLaid) -> int:
    """By how many rows of a band a basket must be off before anything is done about it."""
    return max(1, round(HARDLY_SEEN_MM / row_seen_mm(band)))


def off_measure(bench: Bench, band: BandLaid) -> Slip:
    """What helps where a band is not as far as it should be."""
    there = [each for each in bench.laid.bands if each.band.where == band.band.where]
    base = band.band.where == "base"
    off = rows_off(band)
    seen = f"The ruler shows {thin_long(bench.design, off * row_seen_mm(band))} more or less."
    is_off = f"That is {'a row' if off == 1 else f'{off} rows'}"
    if rows_belong(bench, band):
        later = [each for each in _free(bench, band.band.where) if each.index > band.index]
        made_up = f"Make it up at the end of band {later[-1].index + 1}." if later else f"See {DISAGREES}."
        return Slip(seen, f"Keep to its rows: they belong together. {made_up}")
    if band is not there[0]:
        return Slip(seen, f"{is_off}: see {DISAGREES}.")
    more = f"weave {'a row' if off == 1 else f'{off} rows'} more"
    narrow = more
    if len(there) > 1 and (free := _free(bench, band.band.where)[-1]) is not band:
        narrow = f"go on, and make it up at the end of band {free.index + 1}"
    press, too = ("towards the middle", ("wide", "narrow")) if base else ("down", ("high", "low"))
    narrow = narrow if base else more
    return Slip(seen, f"{is_off}. Too {too[0]}? Press the rows {press}. Too {too[1]}? {first_up(narrow)}. See "
                f"{DISAGREES}.")  # fmt: skip


BESIDE_IT = f"One of them: change it for a new one, as the step {MADE_READY} tells."
LEFT_SO = "Leave it so: a little less is not seen."
SPARE = "Join on with a spare length where a weaver ends."


def ruler_remedies(bench: Bench) -> tuple[Slip, ...]:
    """Everything that a measure may say against the plan, and what helps, for this basket (common practice, no
    source)."""
    laid, many = bench.laid, bench.upright[1]
    out = []
    if laid.base:
        wide, narrow = ["Press its rows towards the middle."], [LEFT_SO]
        if free := _free(bench, "base")[-1:]:
            row, which = a_row(bench.plan, free[0]), f"band {free[0].index + 1}"
            wide += [f"Still too wide? Take back the last row of {which}: {row_strokes(free[0])}.",
                     f"Each row less takes {row} off."]  # fmt: skip
            narrow = [f"Weave more rows at the end of {which}: each adds {row}.", SPARE]
        out += [Slip("The base is too wide.", " ".join(wide)), Slip("The base is too narrow.", " ".join(narrow))]
    if laid.side:
        high, low = ["Press the rows down all round with the side of the bodkin."], ["Your rows lie closer than "
                                                                                     "planned."]  # fmt: skip
        if rows := sorted(_free(bench, "side"), key=lambda band: band.pitch_mm):
            row = " to ".join(dict.fromkeys(a_row(bench.plan, band) for band in (rows[0], rows[-1])))
            which = numbers(sorted(band.index + 1 for band in rows), "band", "bands")
            which = which if len(rows) == 1 else f"one of {which}"
            found = {row_strokes(band) for band in rows}
            back = found.pop() if len(found) == 1 else "as many strokes as it has"
            high += [f"Still too high to go on? A row is {row}.",
                     f"Leave out as many at the end of {which} as it takes.",
                     f"Is the last one woven, and nothing above it? Take it back: {back}."]  # fmt: skip
            low += [f"Still too low to go on? Weave as many more at the end of {which} as it takes.", SPARE]
        else:
            low += [LEFT_SO]
        out += [
            Slip("The wall is too high.", " ".join(high)),
            Slip("The wall is too low.", " ".join(low)),
            Slip("The mouth grows too wide.", f"Lean the {many} in over the next rows, and pull a little firmer."),
            Slip("The mouth grows too narrow.", f"Lean the {many} out over the next rows, and pull a little less."),
            Slip(f"Above the last row the {many} are too short for the {bench.tell('{border}')}.",
                 " ".join((*_taken_back(bench, laid.side[-1]), bench.tell(BESIDE_IT)))),
        ]  # fmt: skip
    return (*out, *_lid_remedies(bench))


def _lid_remedies(bench: Bench) -> list[Slip]:
    """What helps where the mouth or the lid came out another width than told: the lid is fitted to the mouth."""
    lid, seat = bench.plan.lid, bench.plan.seat
    free = [] if lid is None else _free(Bench(lid, bench.plan), "base")
    if lid is None or seat is None or not free:
        return []
    last = free[-1]
    row = a_row(lid, last)
    return [Slip("The mouth is wider or narrower than told.",
                 "Measure it before you weave the last rows of the lid. Each row more or less in band "
                 f"{last.index + 1} of the lid makes it {row} wider or narrower.")]  # fmt: skip


ROWS = 5
"""So many rows of a band show how many strokes its rows have."""


def row_strokes(band: BandLaid, noun: str = " strokes") -> str:
    """How many strokes a row of a band has, `8 or 9 strokes` where rows differ: how far back a row is."""
    rows = min(ROWS, band.rows if not band.band.blocks else band.segments[0][1])
    right = strokes(band.band.weave, band.spaces, rows, band.band.start)
    many = sorted({sum(each.row == row for each in right) for row in range(rows)})
    return " or ".join(map(str, many)) + noun


def _taken_back(bench: Bench, top: BandLaid) -> list[str]:
    """Rows that are taken back for more to bend down, of those that close in pairs a pair, and what becomes of their
    weavers (common practice, no source)."""
    paired, which = len(set(top.band.weave.reverse)) > 1, f"band {top.index + 1}"
    rows = "two rows, never one alone" if paired else "the top row, or two"
    out = [f"All of them: take back {rows}; a row is {row_strokes(top)}."]
    if rows_belong(bench, top):
        out.append(f"Here that is meant, though {which} is not changed for a measure.")
    if top.rows <= 2:
        lower = bench.laid.side[:-1]
        on = f" The {bench.tell('{border}')} then stands on band {lower[-1].index + 1}." if lower else ""
        return [*out, f"Is that all of {which}? Draw its weavers out whole.{on}"]
    return [*out, "Then end each weaver anew where it hangs, as its step says."]


def hangs_in(band: BandLaid, rows: int) -> int:
    """The space, from 1, in which the one weaver of a band hangs after so many rows."""
    return strokes(band.band.weave, band.spaces, rows, band.band.start)[-1].beyond % band.spaces + 1


MOST_HANGING = 4
"""Bands of one weaver of which it is told in which space that hangs after a row fewer or more."""


def _gone_on(bands: Sequence[BandLaid]) -> list[str]:
    """By how little a basket may be off that nothing is done, of thin rows by how many of them."""
    found: dict[int, list[int]] = {}
    for band in bands:
        found.setdefault(rows_off(band), []).append(band.index + 1)
    out = [f"The rows of {numbers(thin, 'band', 'bands')} are thin. Go on there when you are off by less than {rows} "
           "rows."
           for rows, thin in sorted(found.items()) if rows > 1]  # fmt: skip
    if not out:
        return ["Are you off by less than a row? Go on."]
    return [*out, *(["Elsewhere go on when you are off by less than a row."] if 1 in found else [])]


def rows_changed(bench: Bench) -> list[str]:
    """What a row fewer or more means for what follows, in sentences."""
    laid = bench.laid
    out = _gone_on(laid.bands)
    if len(laid.bands) > 1 and any(_free(bench, where) for where in ("base", "side")):
        out.append("After a row fewer or more the next band begins in the same spaces, as its step says.")
    free = [*_free(bench, "base"), *_free(bench, "side")]
    if any(len(band.colours) > 1 and band.band.weave.turns == "stroke" for band in free):
        out.append("In the band that was made longer or shorter weavers may hang in other spaces: end each where it "
                   "hangs.")  # fmt: skip
    alone = [band for band in free if len(band.colours) == 1 and band.rows > 1]
    if alone:
        which = numbers([band.index + 1 for band in alone], "band", "bands")
        out.append(f"In {which} the weaver then hangs in another space: push it straight back in there.")
    for band in alone[:MOST_HANGING]:
        fewer, more = hangs_in(band, band.rows - 1), hangs_in(band, band.rows + 1)
        where = f"space {fewer} after a row fewer, space {more} after one more" if fewer != more else \
            f"space {fewer} after a row fewer, and after one more"  # fmt: skip
        out.append(f"Band {band.index + 1}: {where}.")
    benches = {"": bench}
    if bench.plan.lid is not None:
        benches[" of the lid"] = Bench(bench.plan.lid, bench.plan)
    for of, each in benches.items():
        goes_on = [i + 1 for i, then in enumerate(each.laid.bands[1:]) if each.goes_on(then)]
        kept = [band.index + 1 for band in each.laid.bands if rows_belong(each, band) and band.index + 1 not in goes_on]
        if kept:
            which = numbers(kept, "band", "bands")
            out.append(f"To reach a measure, never change the rows of {which}{of}: the pattern would break.")
        if goes_on:
            out.append(f"Keep to the rows told of {numbers(goes_on, 'band', 'bands')}{of}: the same weavers go on from "
                       "there.")  # fmt: skip
    return out


def compared(bench: Bench, band: BandLaid) -> bool:
    """True where a band's colours are held against the chart."""
    return band.effect.effect != "plain" and band.rows > 2 and band.band.where == "side" and not bench.is_lid


def effect_told(bench: Bench, band: BandLaid) -> list[str]:
    """What colours a band shows, where they show any."""
    if band.effect.effect == "plain" or band.effect.block_rows:  # blocks are seen after the second start
        return []
    side = "On the underside" if band.band.where == "base" else "Outside"
    at = bench.laid.bands.index(band) + 1
    out = [f"{side} you see {band.effect.named(bench.design.hand)}."]
    return [*out, f"Compare with rows 1 and 2 of band {at} on the chart."] if compared(bench, band) else out
