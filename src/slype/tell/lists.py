"""The lists of the handout: what to cut, what to watch, heights for the ruler, where numbers come from.

Rows are plain text in the design's units, ready to print; `sheet` puts them on paper.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace
from itertools import groupby

from ..design.values import Design
from ..lay.courses import Course
from ..lay.joins import Cut
from ..lay.values import BandLaid
from ..plans.bundles import MOST_LENGTHS
from ..plans.cautions import cautions
from ..plans.piece import CUT_STEP_MM, Piece, longer_mm
from ..plans.planning import Plan
from ..quantity import show_cut, show_length, show_piece
from ..reeds import Reed
from ..sources import SOURCES
from ..words import listed, of_a_lid, several
from .voice import (
    band_title,
    length_with_cm,
    piece_name,
    thin_told,
    voice,
    whence,
    with_cm,
    worded,
    woven_across,
)

MOST_WATCHED = 12
WEIGHTS = {"stop": "Cannot be woven", "warn": "Take care", "note": "Note"}


@dataclass(frozen=True, eq=False)
class CutRow:
    """One row of the cut list as it is printed, and what it is of: a `piece`, or weavers of these `courses`, all begun
    in one band of the basket or of its lid: of `plan`. `cut_mm` and `range_mm` (from, to) are its lengths."""

    what: str
    count: int
    reed: Reed
    colour: str
    length: str
    between: str
    remark: str
    plan: Plan
    piece: Piece | None = None
    courses: tuple[Course, ...] = ()
    cut_mm: float = 0.0
    range_mm: tuple[float, float] = (0.0, 0.0)

    @property
    def is_weaver(self) -> bool:
        return self.piece is None

    @property
    def cells(self) -> list[str]:
        """(for what, count, reed, colour, length, from to, remark)."""
        reed = self.reed.named(self.plan.design.wording)
        return [self.what, str(self.count), reed, self.colour, self.length, self.between, self.remark]


def cut_list(plan: Plan) -> list[CutRow]:
    """Everything to cut: spokes first, then weavers band by band, then the same of a lid."""
    units = plan.design.units
    rows = [
        CutRow(
            first_up(piece_name(piece, plan.design.wording)),
            piece.count,
            piece.reed,
            piece.colour,
            show_piece(piece.cut_mm, units),
            _between(show_cut(piece.range_mm[0], units, math.floor, 2), show_piece(longer_mm(piece, units), units)),
            "",
            plan,
            piece,
            cut_mm=piece.cut_mm,
            range_mm=(piece.range_mm[0], longer_mm(piece, units)),
        )
        for piece in plan.pieces
    ]
    for first, alike in groupby(plan.courses, key=lambda course: course.bands[0]):
        rows += _weavers(plan, plan.laid.bands[first], list(alike))
    lid = cut_list(plan.lid) if plan.lid else []
    return rows + [replace(row, what=f"Lid: {row.what[:1].lower()}{row.what[1:]}") for row in lid]


def _weavers(plan: Plan, band: BandLaid, begun: list[Course]) -> list[CutRow]:
    """One row per length: all the courses begun in one band, cut together and bundled together."""
    units = plan.design.units
    shades = Counter(colour for colours in band.colours for colour in colours)
    # Joined weavers of one course need not be cut quite alike: the longest counts.
    runs = [_cut_mm([cut for cut in plan.cuts if cut.course is course]) for course in begun]
    folded = begun[0].folded
    if len(runs) > MOST_LENGTHS:
        runs = [max(runs)] * len(runs)
    out, nth = [], 0
    for text, same in groupby(runs, key=lambda mm: show_cut(mm, units)):
        starts = len(list(same))
        course = max(begun, key=lambda c: c.woven_mm) if len(begun) > MOST_LENGTHS else begun[nth]
        weavers = 2 if course.folded else 1  # of one length
        low, high = (weavers * mm for mm in course.woven_range_mm)
        more = runs[nth] - weavers * course.woven_mm  # ends to tuck and joins, which do not vary
        alike = begun[nth : nth + starts] if len(begun) <= MOST_LENGTHS else begun
        joined = any(len(cut.pieces_mm) > 1 for cut in plan.cuts if cut.course in alike)
        remark = "in all, see pieces" if joined else ""
        if folded:
            remark = f"{remark}; the first folded" if remark else "folded in half"
        if len(runs) > 1:
            which = f"start {nth + 1}" if starts == 1 else f"starts {nth + 1} to {nth + starts}"
            remark = f"{which}; {remark}" if remark else which
        nth += starts
        colours = [colour if len(shades) == 1 else f"{many * starts} {colour}" for colour, many in shades.items()]
        out.append(
            CutRow(
                bands_named(begun[0]),
                1 if folded else sum(shades.values()) * starts,
                band.band.reed,
                ", ".join(colours),
                text,
                _between(show_cut(low + more, units, math.floor), show_cut(high + more, units)),
                remark,
                plan,
                courses=tuple(alike),
                cut_mm=runs[nth - starts],
                range_mm=(low + more, high + more),
            )
        )
    return out


def _cut_mm(cuts: list[Cut]) -> float:
    """Length of a weaver of one course: of the longest, as joined weavers need not be cut quite alike; of one that is
    folded, of both together."""
    if cuts[0].course.folded:
        return sum(cut.length_mm for cut in cuts)
    return max(cut.length_mm for cut in cuts)


def pieced(plan: Plan) -> list[str]:
    """How joined weavers are pieced together: a sentence for every weaver, the first piece first."""
    units, out = plan.design.units, []
    for cut in plan.cuts:
        pieces = cut.pieces_mm
        if cut.course.folded:
            out += _folded_pieces(plan, cut)
        if len(pieces) < 2 or cut.course.folded:
            continue
        whole = [mm for mm in pieces[1:-1]]
        middle = f", then {len(whole)} of {show_cut(whole[0], units)}" if whole else ""
        out.append(
            f"{weaver_named(plan, cut)}: pull {len(pieces)}; first {show_cut(pieces[0], units)}{middle}, "
            f"last {show_cut(pieces[-1], units)}"
        )
    return out + [f"Lid: {line[:1].lower()}{line[1:]}" for line in pieced(plan.lid)] if plan.lid else out


def _folded_pieces(plan: Plan, cut: Cut) -> list[str]:
    """What is joined on to one half of a folded weaver; with the first, the folded length itself."""
    units, joined = plan.design.units, cut.pieces_mm if cut.weaver else cut.pieces_mm[1:]
    if not joined:
        return []
    told = listed([show_cut(mm, units) for mm in joined])
    first = "" if cut.weaver else f"one of {show_cut(cut.pieces_mm[0], units)}, folded, begins both; "
    return [f"{weaver_named(plan, cut)}: {first}then {told}"]


def weaver_named(plan: Plan, cut: Cut) -> str:
    """`Bands 1 to 4, weaver 2 (rust)`, with the start where a band has several."""
    band = cut.course.begins
    colours = listed(list(dict.fromkeys(band.colours[cut.weaver])))
    begun = [course for course in plan.courses if course.begins is band]
    start = f" start {begun.index(cut.course) + 1}" if len(begun) > 1 else ""
    if len(band.colours) == 1:
        return f"{bands_named(cut.course)}{start} ({colours})"
    return f"{bands_named(cut.course)}{start}, weaver {cut.weaver + 1} ({colours})"


def bands_named(course: Course) -> str:
    """`Band 3` or `Bands 1 to 4`: what a course runs through, counted from 1."""
    first, last = course.bands[0] + 1, course.bands[-1] + 1
    return f"Band {first}" if first == last else f"Bands {first} to {last}"


def _between(low: str, high: str) -> str:
    """`30 1/2 to 37 1/2 in`: the unit once, where it is the same and no feet stand before it."""
    unit = low.split()[-1]
    plain = unit == high.split()[-1] and "ft" not in low + high
    return f"{low.removesuffix(unit).strip() if plain else low} to {high}"


def opened(plan: Plan) -> list[str]:
    """Each cut piece opened into its parts: a sentence per piece."""
    _, long = voice(plan.design)
    out = []
    for piece in plan.pieces:
        parts = " + ".join(f"{worded(name, plan.design.wording)} {long(mm)}" for name, mm, *_ in piece.parts if mm)
        name, whole = worded(piece.name, plan.design.wording), length_with_cm(plan.design, piece.length_mm)
        out.append(f"One {name}: {parts} = {whole}. {_cut_why(plan, piece)}")
    return out + [f"Lid: {line[:1].lower()}{line[1:]}" for line in map(of_a_lid, opened(plan.lid))] if plan.lid else out


def _cut_why(plan: Plan, piece: Piece) -> str:
    """`Cut 31 in, the next half inch.`: to what a piece is cut, and why not to what its parts come to."""
    units = plan.design.units
    cut = show_piece(piece.cut_mm, units)
    if plan.first_time and piece.share is None:
        return f"Cut {cut}, the longer figure, as for a first basket."
    if piece.share is not None or not 0.1 < piece.cut_mm - piece.length_mm <= CUT_STEP_MM[units]:
        return f"Cut {cut}."
    return f"Cut {cut}, the next {'half inch' if units == 'in' else 'whole cm'} above."


def spokes_note(plan: Plan) -> str:
    """To which of its two figures what stands is cut, in a sentence."""
    tell, _ = voice(plan.design)
    if plan.first_time:
        return tell("{Spokes} are cut to the longer figure, as for a first basket.")
    return tell("{Spokes} for a first basket: cut to the longer figure.")


def watch_list(plan: Plan) -> list[list[str]]:
    """(how grave, what and what to do) for each finding of the advice, the gravest first; alike ones stand together."""
    alike: dict[tuple[str, str], list[str]] = {}
    for found in plan.advice:
        said = f"{found.message} {found.remedy}"
        alike.setdefault((found.rule.weight, said), []).append(worded(found.where, plan.design.wording))
    rows = [[WEIGHTS[weight], f"{first_up(listed(where))}. {said}"] for (weight, said), where in alike.items()]
    more = len(rows) - MOST_WATCHED
    return (
        [*rows[:MOST_WATCHED], ["Note", f"{several(more, 'finding')} of less weight left out."]] if more > 0 else rows
    )


def a_row(plan: Plan, band: BandLaid) -> str:
    """By how much a ruler shows a row of a band: across on a base, where a row lies at both sides, else up the wall."""
    return thin_long(plan.design, row_seen_mm(band))


def row_seen_mm(band: BandLaid) -> float:
    """The same in mm."""
    return (2 if band.band.where == "base" else 1) * band.pitch_mm


def thin_long(design: Design, mm: float) -> str:
    """A length of a few millimetres, as it is measured."""
    return f"{mm:.0f} mm" if design.units == "cm" else thin_told(design, show_length(mm, "in", 16), mm)


def ruler(plan: Plan) -> list[list[str]]:
    """Where each band ends: (band, up the wall, above the table, across, and how much one row of it is)."""
    _, long = voice(plan.design)
    form, out = plan.design.form, []
    for i, band in enumerate(plan.laid.bands):
        name = band_title(plan, i)
        if band.band.where == "base":
            out.append([name, "–", "–", woven_across(plan.laid, band, band.end_s), f"{a_row(plan, band)} across"])
        else:
            up = plan.laid.raised_mm + float(form.height(band.end_s))
            told = (with_cm(plan.design, long(mm), mm) for mm in (band.end_s, up))
            out.append([name, *told, woven_across(plan.laid, band, band.end_s), a_row(plan, band)])
    return out + [[f"Lid: {name[:1].lower()}{name[1:]}", *rest] for name, *rest in ruler(plan.lid)] if plan.lid else out


def sources_line(plan: Plan) -> list[str]:
    """Which numbers are common practice, from memory, reckoned or published: one sentence each."""
    used = {source for piece in plan.pieces for *_, source in piece.parts}
    used |= {source for each in plan.handles for *_, source in each.whence}
    if plan.lid is not None and plan.seat is not None:
        used |= {source for piece in plan.lid.pieces for *_, source in piece.parts} | {plan.seat.seat.source}
    used |= {source for *_, source in plan.laid.border.parts}
    used |= {soak.source for _, soak in plan.soaking}
    used |= {found.rule.source for found in plan.advice}
    used |= {caution.source for caution, _ in cautions(plan)}
    published = [SOURCES[key].citation for key in SOURCES if key in used and key not in OWN]
    reeds = (
        "measured by the maker"
        if all(amount.reed.measured for amount in plan.amounts)
        else "from memory: measure yours"
    )
    tell, _ = voice(plan.design)
    return [
        tell("Thickness and weight of the {reed} are {reeds}.", reeds=reeds),
        "Common practice, without a source: length to tuck in, to hold and to spare, overlap of joins, speeds.",
        "Reckoned by slype: lengths up the wall and round the basket, rows, heights, weights.",
        whence(plan),
        f"Published: {'; '.join(published)}." if published else "No published figure is used.",
    ]


OWN = ("memory", "practice", "derived")


def first_up(text: str) -> str:
    """The text with a capital."""
    return text[:1].upper() + text[1:]
