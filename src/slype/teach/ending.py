"""Ending weavers: at the end of a band, and for a new start further on."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from ..lay.values import BandLaid
from ..surface.added_ends import apart_mm
from ..words import listed, several
from .measures import measured, off_measure, stands_high
from .step.bench import Bench, numbers
from .step.values import Draft, Drawing, Slip, Table, afterwards, ahead, due, how
from .stroke import TOLD_WEAVERS, draft_of, is_new, strokes_of


def again(bench: Bench, band: BandLaid, chapter: str) -> Draft:
    """Ending the colours and starting them further on."""
    made_of, blocks = bench.order, band.band.blocks
    assert blocks is not None, "asked of a band that starts again"
    draft = draft_of(bench, band, chapter, "End the weavers and start again")
    part = bench.part(band.band.where, band.index)
    ends = [m for m in bench.acts(part, "end") if made_of.block[m] == 0]
    starts = [m for m in bench.acts(part, "set in") if made_of.block[m] == 1]
    last = next(m for m in bench.acts(part, "end") if made_of.block[m] == len(band.segments) - 1)
    draft.first, draft.beyond = ends[0], last
    on = f"{several(blocks.shift, 'space')} further on" if blocks.shift else "in the same spaces"
    tail = bench.about(band.tail_mm)
    draft.does = ahead(
        f"After {numbers([first for first, *_ in band.segments[1:]][:8], 'row', 'rows')} push each weaver back in "
        f"at the {bench.space(band)} where it hangs.",
        bench.tell("Leave {tail} of it inside, pointing to the {forward}; cut off the rest.", tail=tail),
        f"Set new weavers in {on}, in the same order: the pieces for that start.",
    )
    rows: list[tuple[str, ...]] = []
    for block, (first, many, start) in enumerate(band.segments):
        if block == 0:
            continue
        places = [(start + k) % band.spaces + 1 for k in range(len(band.colours))]
        draft.count("start again", block + 1, *places)
        old = [m for m in bench.acts(part, "end") if made_of.block[m] == block - 1]
        ended = _ended_there(bench, band, first, old, draft)
        draft.does += due(min(old), *(each.told for each in ended), tabled=True)
        if block <= TOLD_STARTS:
            told = listed([f"{bench.colour(band, k)} in {p}" for k, p in enumerate(places[:TOLD_WEAVERS])])
            begins = min(m for m in bench.acts(part, "set in") if made_of.block[m] == block)
            above = over_old(bench, band, old, places, f"at start {block + 1} ")
            draft.does += due(begins, f"Start {block + 1}, row {first + 1}: {told}.",
                              *_new_tails(bench, band, places), tabled=bool(ended))  # fmt: skip
            pieces = _pieces_of(bench, band, block)
            draft.does += due(begins, *_pieces_told(block, pieces), tabled=bool(ended))
            draft.does += due(begins, *above)
            weave = f"{first + 1} to {first + many}" if many > 1 else str(first + 1)
            draft.does += due(begins, f"Then weave row{'s' if many > 1 else ''} {weave}.", tabled=bool(ended))
            rows += [_table_row(bench, band, (block, first), each, places[each.weaver], (pieces, weave))
                     for each in ended]  # fmt: skip
        if block > 1:
            draft.marks.append((first, "start again"))
    if rows:
        one = bench.passes(band)[0]
        head = ("After row", "End", "In at space", f"Passed {one}", "New start", "Begins in space",
                f"Tail behind {one}", "Its piece", "Weave rows")  # fmt: skip
        draft.table = Table("Work down the table: at each start end the old weavers, set in the new ones, weave on.",
                            head, tuple(rows))  # fmt: skip
    if len(band.segments) > TOLD_STARTS + 1:
        draft.does += ahead("Go on in this way to the last row.")
    draft.rows = (band.segments[1][0] + 1, band.rows)
    draft.does += afterwards(f"Measure at the end: {measured(bench, band, band.end_s)}.", *stands_high(bench, band))
    draft.marks.append((band.rows, "measure"))
    draft.looks = [bench.tell("The {colours} jump sideways: a new block begins above the old one.")]
    if band.effect.block_rows:
        draft.looks.append(f"Outside you see {band.effect.named(bench.design.hand)}.")
    draft.slips = [
        Slip(bench.tell("The {colours} run straight on."),
             "The new weavers stand in the old spaces: set them in anew."),
        off_measure(bench, band),
    ]
    places = [int(made_of.space[m]) + 1 for m in starts]
    about = f"The old weavers are ended and the new ones hang from spaces {listed([str(p) for p in places])}."
    draft.drawings = [Drawing(starts[0], starts[-1] + 1, "The second start.", about, arrow=False)]
    return draft


def _new_tails(bench: Bench, band: BandLaid, places: list[int]) -> list[str]:
    """Behind which the tails of a new start lie, each before the space its weaver hangs from."""
    if len(places) > TOLD_WEAVERS:
        return []
    behind = [(place - 2) % band.spaces + 1 for place in places]
    whose = "The new tail lies" if len(places) == 1 else "The new tails lie"
    return [f"{whose} behind {numbers(behind, *bench.passes(band))}."]


TOLD_STARTS = 4
"""New starts that are told weaver by weaver; of more, that they go on so."""


class _Ended(NamedTuple):
    """A weaver (from 0) that is ended before a new start: the space in which it is pushed in and the last that it has
    passed, or lies behind, both from 1; and all of it `told`."""

    weaver: int
    space: int
    held: int
    told: str


def _ended_there(bench: Bench, band: BandLaid, row: int, ends: list[int], into: Draft) -> list[_Ended]:
    """Where each weaver of a start is pushed in when `row` rows are done, and what it has passed; nothing of many."""
    if len(ends) > TOLD_WEAVERS:
        return []
    one, space = bench.passes(band)[0], bench.space(band)
    out: list[_Ended] = []
    for moment in sorted(ends, key=lambda m: int(bench.order.weaver[m])):
        found, behind = bench.order.tail_behind(moment)
        weaver, at = int(bench.order.weaver[moment]), ended_in(bench, band, moment)
        into.count(f"ended after row {row}", weaver + 1, at, found + 1)
        lies = "it has passed" if behind else "it lies behind"
        told = f"After row {row}: {bench.weaver(band, weaver)} in at {space} {at}; {lies} {one} {found + 1}."
        out.append(_Ended(weaver, at, found + 1, told))
    return out


def _pieces_of(bench: Bench, band: BandLaid, block: int) -> dict[str, str]:
    """By colour from which bundle a new start takes its pieces, and how long these are where starts differ."""
    out: dict[str, str] = {}
    for bundle in bench.of_band(band):
        lots = [lot for lot in bundle.lots if lot.starts is not None and lot.starts[0] <= block <= lot.starts[1]]
        alike = len(lots) == 1 and lots[0].part in ("whole", "first")
        out[bundle.colour] = f"bundle {bundle.number}" + (f", {bench.cut(lots[0].cut_mm)}" if alike else "")
    return out


def _pieces_told(block: int, pieces: dict[str, str]) -> list[str]:
    return [f"Start {block + 1}, {colour}: {piece}." for colour, piece in pieces.items()]


def _table_row(
    bench: Bench, band: BandLaid, start: tuple[int, int], old: _Ended, place: int, new: tuple[dict[str, str], str]
) -> tuple[str, ...]:
    """A weaver's line in the table of new starts; `start` (its number, from 0, the rows done before), `new` its pieces
    by colour and which rows it weaves."""
    pieces, weave = new
    block, row = start
    piece = listed([pieces[colour] for colour in dict.fromkeys(band.colours[old.weaver]) if colour in pieces])
    return (str(row), bench.weaver(band, old.weaver), str(old.space), str(old.held), str(block + 1), str(place),
            str((place - 2) % band.spaces + 1), piece, weave)  # fmt: skip


def ended_in(bench: Bench, band: BandLaid, moment: int) -> int:
    """The space, from 1, in which a weaver that is ended goes to the other side."""
    found, behind = bench.order.tail_behind(moment)
    return (found + 1 if behind else found) % band.spaces + 1


def over_old(bench: Bench, band: BandLaid, ends: list[int], places: list[int], when: str = "") -> list[str]:
    """How a new weaver lies to an old one that was ended in its space: above it, or on a base further out; `when` of
    several starts of a band."""
    shared = sorted(set(places) & {ended_in(bench, band, m) for m in ends})
    if not shared:
        return []
    where = f"{bench.space(band)}{'s' if len(shared) > 1 else ''}"
    which = f"each {bench.space(band)}" if shared == sorted(places) and len(shared) > 3 else \
        f"{where} {listed([str(each) for each in shared])}"  # fmt: skip
    lies = "further out than it" if band.band.where == "base" else "above it"
    return [f"In {which} an old weaver went in: {when}the new one goes in {lies}."]


# Ending ---------------------------------------------------------------------------------------------------------


def end(bench: Bench, band: BandLaid, chapter: str) -> Draft:
    part = bench.part(band.band.where, band.index)
    many, last = len(band.colours), len(band.segments) - 1
    moments = [m for m in bench.acts(part, "end") if bench.order.block[m] == last]
    strokes = [m for m in strokes_of(bench, band) if bench.order.block[m] == last]
    draft = draft_of(bench, band, chapter, "End the weaver" if many == 1 else "End the weavers level")
    draft.first, draft.beyond = moments[0], moments[-1] + 1
    tuck = bench.about(band.tail_mm)
    side = "on the far side" if band.band.where == "base" else "inside"
    draft.does += ahead(f"Stop after row {band.rows}: make no more strokes.")
    if many <= TOLD_WEAVERS:
        draft.does += how(*_just_passed(bench, band, moments))
        for moment in moments:
            spoke, told = _drawn_in(bench, band, moment)
            draft.count("ends behind", int(bench.order.weaver[moment]) + 1, spoke)
            draft.does += told
    else:
        one, space = bench.passes(band)[0], bench.space(band)
        draft.does.append(f"Push every weaver straight back in at the {space} where it hangs, round no {one}.")
        draft.does += how(f"Each then lies {side} behind the {one} that it passed last, the one before its {space}.")
        far = several(len(_runs_past(bench, band, 0, True)), *bench.passes(band))
        draft.does += how(bench.tell("Its tail reaches about {far} further to the {forward}.", far=far))
    draft.does += how(bench.tell("{tails} {tuck} long there, pointing to the {forward}; cut off the rest.", tuck=tuck,
                                 tails="Leave each tail" if many > 1 else "Leave its tail"))  # fmt: skip
    if is_new(bench, band):
        draft.does += how("It is trimmed shorter when all is done.")
    if many > 1 and band.band.weave.turns == "stroke":
        draft.looks = ["The last strokes end above the first ones: the row closes in a small step, as level as it can."]
        draft.slips = [
            Slip("There is a gap where the row closes.", "You stopped too soon. Count the strokes of the last row.")
        ]
    else:
        draft.looks = [f"No tail stands out on the {'underside' if band.band.where == 'base' else 'outside'}."]
        draft.slips = [Slip("The tail springs out.", f"Tuck it in further, behind one {bench.passes(band)[0]} more.")]
    about = f"The end of the band: {several(many, 'weaver')} ended {side}."
    face = "inside" if band.band.where == "side" else "the far side"
    seen = f"Ended, seen from {face}: left and right change places."
    spaces = "all" if band.band.group > 1 else "none"  # of groups the step tells every space
    draft.drawings = [Drawing(strokes[-min(many, len(strokes))], draft.beyond, seen, about, "inside", spaces, False)]
    at = bench.laid.bands.index(band)
    then = bench.laid.bands[at + 1] if at + 1 < len(bench.laid.bands) else None
    apart = then is not None and bench.begins_apart(then)
    draft.why = [("Why end here?", "The band has its rows, and ends where it began: so its edge is level." +
                 (" The next begins at another place, so that starts lie apart." if apart else ""))]  # fmt: skip
    return draft


def _just_passed(bench: Bench, band: BandLaid, moments: list[int]) -> list[str]:
    """Where weavers are that have come out in front, and how their tails go to the other side."""
    one, space = bench.passes(band)[0], bench.space(band)
    held = [bench.order.tail_behind(m) for m in moments]
    if not all(behind for _, behind in held):
        return []
    if len(held) > 1:
        return [f"Each weaver has just come out from behind a {one}.",
                f"Push it straight back in at the {space} where it hangs, round no {one}."]  # fmt: skip
    spoke = held[0][0] + 1
    return [f"The weaver came out at {space} {spoke % band.spaces + 1} from behind {one} {spoke}."]


def _drawn_in(bench: Bench, band: BandLaid, moment: int) -> tuple[int, tuple[str, str]]:
    """(the spoke or group, from 1, that an ended weaver lies behind; how it comes there, in two sentences)."""
    found, behind = bench.order.tail_behind(moment)
    (one, space), spoke = (bench.passes(band)[0], bench.space(band)), found + 1
    which = bench.weaver(band, int(bench.order.weaver[moment]))
    side = "the far side" if band.band.where == "base" else "the inside"
    at = ended_in(bench, band, moment)
    verb = "Draw" if behind else "Lead"
    back = "back " if behind else ""
    told = f"{verb} {which} {back}in at {space} {at}"
    lies = "it has passed" if behind else "it lies on the far side" if side == "the far side" else "it lies inside"
    far, way = f"{one} {_runs_past(bench, band, found, behind)[-1]}", bench.tell("{forward}")
    return spoke, (f"{told}: {lies} behind {one} {spoke}.", f"Its tail runs on to the {way}, about as far as {far}.")


def _runs_past(bench: Bench, band: BandLaid, found: int, behind: bool) -> list[int]:
    """Which the tail of an ended weaver runs past besides the last that it passed, from 1: to that which is nearest to
    its tip. It begins amid the space after that one, or where it does not lie `behind` it amid the one before."""
    apart = apart_mm(bench.laid, band, float(band.s[-1]))
    many = passed_by(apart, found, band.tail_mm) if behind else passed_by(apart, found - 1, band.tail_mm) - 1
    return [(found + k) % band.spaces + 1 for k in range(1, max(1, many) + 1)]


def passed_by(apart: np.ndarray, begins: int, length_mm: float) -> int:
    """How many a tail of a length passes, to the one nearest to its tip; at least 1. It begins in the middle of the
    space after number `begins`, from 0; `apart` (spaces,) mm from each to the next."""
    round_again = np.roll(apart, -begins)
    at = np.cumsum(round_again) - round_again[0] / 2
    return int(np.abs(at[: max(1, len(apart) - 1)] - length_mm).argmin()) + 1
