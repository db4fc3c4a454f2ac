"""Weavers set in at the beginning of a band: which, where, in which order, how their tails lie."""

from __future__ import annotations

from ..lay.values import BandLaid
from ..plans.bundles import Bundle
from ..surface.added_ends import apart_mm
from ..tell.bundled import pieces_told
from ..weave.table import EVERY_END
from ..words import listed, several
from .ending import over_old, passed_by
from .measures import compared
from .step.bench import Bench
from .step.values import Draft, Drawing, Slip, ahead, how, sentences
from .stroke import (
    TOLD_WEAVERS,
    draft_of,
    is_new,
    strokes_of,
)


def is_folded(bench: Bench, band: BandLaid) -> bool:
    """True where the first two weavers are one reed folded in half round an arm or end."""
    return bench.design.base.begin == "folded" and band is bench.laid.bands[0] and len(band.colours) == 2


def set_in(bench: Bench, band: BandLaid, chapter: str) -> Draft:
    many, space = len(band.colours), bench.space(band)
    draft = draft_of(bench, band, chapter, f"Set in {'the weaver' if many == 1 else f'{many} weavers'}")
    part = bench.part(band.band.where, band.index)
    moments = [m for m in bench.acts(part, "set in") if bench.order.block[m] == 0]
    draft.first, draft.beyond = moments[0], moments[-1] + 1
    found = bench.of_band(band)
    draft.bundles = [each.number for each in found]
    taken = [line for each in found for line in (bench.take(each), *_of_start_1(bench, each))]
    draft.does = ahead(*taken, *_in_order(bench, band, found))
    lead = len(draft.does)
    places = [int(bench.order.space[m]) + 1 for m in moments]
    for weaver, place in enumerate(places):
        draft.count("set in", weaver + 1, place)
    tuck = bench.about(band.tail_mm)
    side = "on the far side" if band.band.where == "base" else "inside"
    if is_folded(bench, band):
        draft.does += how(*_folded(bench, band, places))
    elif many == 1:
        draft.does.append(f"Put one tail of the weaver through {space} {places[0]}, from the front.")
        draft.does += how(f"Leave {tuck} of the weaver {side}, behind {_before(bench, band, places[0])}.")
    else:
        draft.does += _each_set_in(bench, band, places, space)
        draft.does += how(f"Leave a tail of {tuck} of each weaver {side}.", *_starts_behind(bench, band, places))
        draft.does += how(*_told_apart(bench, band))
    if not is_folded(bench, band):
        draft.does += how(_runs_on(bench, band))
    turned = [bench.faced(places[0], band)]
    if band.band.strands > 1:
        one = "The weaver" if many == 1 else "Each weaver"
        turned.append(bench.tell("{one} is {n} {reed}s side by side; keep them flat.", one=one, n=band.band.strands))
        turned += _strands_told(band)
    draft.does[lead:lead] = ahead(*turned)
    draft.does += how(*_on_what_lies(bench, band, places))
    draft.looks = [_waiting(bench, band, places)]
    draft.slips = [_set_in_slip(bench, band, places)]
    where = f"{space} {places[0]}" if many == 1 else f"{space}s {listed([str(p) for p in places[:TOLD_WEAVERS]])}"
    if many > TOLD_WEAVERS:
        where = f"every {space}, the first at {places[0]}"
    about = f"{several(many, 'weaver')} set in, hanging towards you from {where}."
    whole = band.band.where == "base" and band.band.group > 1 and places[0] == 1
    dotted = ""
    if band.band.where == "base" and not is_folded(bench, band):
        dotted = f" Dotted: {'its tail' if many == 1 else 'their tails'} on the far side."
    draft.drawings = [Drawing(draft.first, draft.beyond, f"Set in at {where}.{dotted}", about,
                             "whole" if whole else "near", "all", False, fold=is_folded(bench, band))]  # fmt: skip
    draft.watch = [f"All hold {'the underside' if band.band.where == 'base' else 'the outside'} towards them."]
    shades = {bench.colour(band, k) for k in range(many)}
    if len(shades) > 1:
        draft.watch.append(bench.tell("The order of the {colours}: the whole pattern hangs on it."))
    apart = "So that no start stands over the one below. " if bench.begins_apart(band) else ""
    charted = " on the chart, too" if compared(bench, band) else ""
    why = f"There row 1 begins{charted}: all rows and joins are counted from it."
    if band.band.weave.turns == "back":
        why = f"There row 1 ends: it begins in the {space} before, and goes backwards."
    draft.why = [(f"Why in {space} {places[0]}?", apart + why)]
    return draft


def _of_start_1(bench: Bench, bundle: Bundle) -> list[str]:
    """Which lengths of a bundle are for start 1, where starts are cut to lengths of their own."""
    lots = [lot for lot in bundle.lots if lot.starts is not None and lot.starts[0] == 0]
    if not lots:
        return []
    return [f"For start 1: {'; '.join(f'{lot.count} of {bench.cut(lot.cut_mm)}' for lot in lots)}. The others wait."]


def _on_what_lies(bench: Bench, band: BandLaid, places: list[int]) -> list[str]:
    """How a start lies to the band before, whose weavers may have been ended in the same spaces; of the first band of a
    wall, on what its first row lies."""
    at = bench.laid.bands.index(band)
    before = bench.laid.bands[at - 1] if at else None
    if before is None or before.band.where != band.band.where:
        if band.band.where != "side" or bench.is_lid:
            return []
        on = "on the board" if bench.plan.board is not None else \
            bench.tell("on the edge of the base, where the {spokes} turn up") if before is not None else ""  # fmt: skip
        return [f"Row 1 lies {on}."] if on else []
    if before.spaces != band.spaces or len(places) > TOLD_WEAVERS:
        return []
    part = bench.part(before.band.where, before.index)
    return over_old(bench, before, [m for m in bench.acts(part, "end")
                                    if bench.order.block[m] == len(before.segments) - 1], places)  # fmt: skip


def _set_in_slip(bench: Bench, band: BandLaid, places: list[int]) -> Slip:
    space, told = bench.space(band), listed([str(place) for place in places[:TOLD_WEAVERS]])
    if 1 < len(places) <= TOLD_WEAVERS:
        return Slip(f"Two weavers hang from one {space}.", f"Move one on, so that they hang in {space}s {told}.")
    if is_new(bench, band):
        return Slip("The start slips out.", "Hold it with a peg for the first few strokes.")
    return Slip(f"You are not sure of {space} {places[0]}.", "Count again from the thread.")


def _folded(bench: Bench, band: BandLaid, places: list[int]) -> list[str]:
    one, space = bench.passes(band)[0], bench.space(band)
    first = next(cut for cut in bench.plan.cuts if cut.fold_mm > 0)
    whole, fold = bench.cut(first.pieces_mm[0]), bench.cut(first.fold_mm)
    return [
        f"Take the length of {whole} and fold it, {fold} from one tail.",
        f"Lay the fold behind {one} {places[0]}.",
        f"Bring that half out at {space} {places[0]}: it is weaver 1.",
        f"Bring the other half out at {space} {places[1]}: it is weaver 2.",
    ]


def _strands_told(band: BandLaid) -> list[str]:
    """In which order the reeds of a weaver lie, where their colours differ."""
    if all(len(set(colours)) == 1 for colours in band.colours):
        return []
    if len(set(band.colours)) == 1:
        return [f"From the bottom up they are {listed(list(band.colours[0]))}."]
    return [f"Weaver {k}, from the bottom up: {listed(list(colours))}." for k, colours in enumerate(band.colours, 1)]


def _in_order(bench: Bench, band: BandLaid, found: tuple[Bundle, ...]) -> list[str]:
    """Which lengths of a bundle come first, where a weaver is joined: a line for each weaver where they differ."""
    cuts = sorted((cut for cut in bench.plan.cuts if cut.course.begins is band), key=lambda cut: cut.weaver)
    if all(len(cut.pieces_mm) < 2 for cut in cuts) or len(cuts) > TOLD_WEAVERS or not found:
        return []
    told = [pieces_told(bench.design, cut.pieces_mm) for cut in cuts]
    if len(cuts) == 1:
        of = bench.tell("Pieces of each {reed}") if band.band.strands > 1 else "The weaver's pieces"
        return [f"{of}, joined as you weave, in turn: {told[0]}."]
    if len(set(told)) == 1:
        of = bench.tell("Pieces of each {reed} of a weaver") if band.band.strands > 1 else "Each weaver's pieces"
        return [f"{of}, in turn: {told[0]}."]
    of = bench.tell("each {reed} of ") if band.band.strands > 1 else ""
    return [f"Pieces of {of}{bench.weaver(band, cut.weaver)}, in turn: {said}."
            for cut, said in zip(cuts, told, strict=True)]  # fmt: skip


def _each_set_in(bench: Bench, band: BandLaid, places: list[int], space: str) -> list[str]:
    many = len(places)
    if band.band.weave.weavers == EVERY_END or many > TOLD_WEAVERS:
        names = [bench.colour(band, k) for k in range(many)]
        shades = names[0] if len(set(names)) == 1 else f"{', '.join(dict.fromkeys(names))} in turn"
        return [
            f"Put one weaver ({shades}) through every {space}, from the front.",
            f"Begin at {space} {places[0]}: that is weaver 1.",
            bench.tell("Go on to the {forward}: weaver 2 at {space} {second}, and so on, {last}.",
                       space=space, second=places[1], last=f"weaver {many} at {space} {places[-1]}"),
        ]  # fmt: skip
    return [
        f"Put {bench.weaver(band, k)} through {space} {place}, from the front."
        for k, place in enumerate(places)
    ]


def _before(bench: Bench, band: BandLaid, place: int) -> str:
    """What stands before a space (from 1): behind it the start of a weaver lies."""
    return f"{bench.passes(band)[0]} {(place - 2) % band.spaces + 1}"


def _starts_behind(bench: Bench, band: BandLaid, places: list[int]) -> list[str]:
    """Behind which the tail of each weaver lies."""
    one = bench.passes(band)[0]
    if len(places) > MOST_TAILS:
        return [f"Each lies behind the {one} before its {bench.space(band)}."]
    told = [f"tail {k} behind {_before(bench, band, place)}" for k, place in enumerate(places, start=1)]
    return [f"Lay {', '.join(two)}." for two in (told[:2], told[2:]) if two]


def _runs_on(bench: Bench, band: BandLaid) -> str:
    """Which way the tails of a start point, and how far they reach besides what they lie behind."""
    tails, reach = ("The tail points", "reaches") if len(band.colours) == 1 else ("The tails point", "reach")
    first = int(bench.order.space[bench.acts(bench.part(band.band.where, band.index), "set in")[0]])
    apart = apart_mm(bench.laid, band, float(band.s[0]))[::-1]  # the way the tails point
    more = passed_by(apart, band.spaces - first, band.tail_mm) - 1  # the space lies before what has its number
    far = f"about {several(max(more, 1), *bench.passes(band))}"
    if band.band.group > 1 and not more:
        far = "a little"
    return bench.tell("{tails} to the {back}, the way you come from, and {reach} {far} further.", tails=tails,
                      reach=reach, far=far)  # fmt: skip


def _told_apart(bench: Bench, band: BandLaid) -> list[str]:
    """How weavers of one colour are told apart, where rows begin with others of them or joins are told of each."""
    many, rows = len(band.colours), band.segments[0][1]
    alike = 1 < many <= TOLD_WEAVERS and len(set(band.colours)) == 1
    strokes = strokes_of(bench, band)
    begins = {int(bench.order.weaver[next(m for m in strokes if bench.order.row[m] == row)]) for row in range(rows)}
    joined = any(len(cut.pieces_mm) > 1 for cut in bench.plan.cuts if cut.course.begins is band)
    if not alike or not (len(begins) > 1 or joined):
        return []
    moved = " At a join tie it to the new length." if joined else ""
    return sentences(f"They look alike: tie a thread to weaver 1 where it hangs.{moved}")


MOST_TAILS = 4
"""Tails of a start told one by one; of more, how each lies."""


def _waiting(bench: Bench, band: BandLaid, places: list[int]) -> str:
    if len(places) == 1:
        return "One weaver hangs towards you."
    return f"{len(places)} weavers hang towards you, one from each {bench.space(band)}."
