"""Kits in words: what a bundle holds, how it is cut, what a seat is called. In each student's wording and units."""

from __future__ import annotations

from collections import Counter
from itertools import groupby

from ...kit.seats import Kit
from ...kit.values import Remark, Seat
from ...kit.worked import Worked
from ...plans.bundles import WEAVER_STEP_MM, Bundle, Lot
from ...plans.piece import CUT_STEP_MM
from ...quantity import show_length
from ...words import listed, say, several, worded
from ..lists import first_up
from ..voice import piece_name, show_cut

PARTS = {"whole": "", "first": "to begin with", "middle": "next", "last": "to end with"}
"""What a piece of a joined weaver is called."""


def bundle_named(bundle: Bundle, wording: str) -> str:
    """`Spokes`, `Bands 1 to 4: weavers`, `Lid, band 2: weavers`."""
    lid = "Lid, " if bundle.lid else ""
    if bundle.piece is not None:
        name = piece_name(bundle.piece, wording)
    else:
        assert bundle.bands is not None, "a bundle is of a piece or of bands"
        first, last = (i + 1 for i in bundle.bands)
        name = f"band {first}: weavers" if first == last else f"bands {first} to {last}: weavers"
    return first_up(f"{lid}{name}")


def cut_words(mm: float, bundle: Bundle, units: str) -> str:
    """A length of a bundle as it is cut: pieces to the half inch, weavers to the inch."""
    return show_cut(mm, units) if bundle.is_weaver else show_length(mm, units)


def lots_told(bundle: Bundle, units: str, parts: bool = True) -> list[str]:
    """`8 of 8 ft 5 in`; starts said where there are several, with `parts` also which pieces begin and end a weaver."""
    return [lot_told(lot, bundle, units, parts) for lot in bundle.lots]


def lot_told(lot: Lot, bundle: Bundle, units: str, parts: bool = True) -> str:
    """One lot of a bundle."""
    said = f"{lot.count} of {cut_words(lot.cut_mm, bundle, units)}"
    more = []
    if lot.starts is not None:
        first, last = (i + 1 for i in lot.starts)
        more.append(f"start {first}" if first == last else f"starts {first} to {last}")
    if parts and PARTS[lot.part]:
        more.append(PARTS[lot.part])
    return f"{said} ({', '.join(more)})" if more else said


def pieces_told(lengths: list[float], bundle: Bundle, units: str, parts: bool = True) -> list[str]:
    """`3 of 8 ft 5 in` for lengths as they were cut, the longest first; by starts where they are cut as planned."""
    if Counter(_tenths(mm) for mm in lengths) == Counter(
        _tenths(lot.cut_mm) for lot in bundle.lots for _ in range(lot.count)
    ):
        return lots_told(bundle, units, parts)
    ordered = sorted(lengths, reverse=True)
    return [f"{len(list(same))} of {cut_words(mm, bundle, units)}" for mm, same in groupby(ordered)]


def joined_told(made: Worked, kit: Kit) -> list[str]:
    """How joined weavers of one seat are pieced together, weaver by weaver, as its strands were cut."""
    units, out = kit.seat.units, []
    for cut in made.reeds:
        for seat, course, way in cut.taken:
            if seat == kit.seat.number:
                out += [(course.lid, course.course.bands[0], each) for each in course.weavers[way] if len(each[2]) > 1]
    lines = []
    for lid, band, (weaver, colours, lengths) in sorted(out, key=lambda each: each[:2]):
        said = ", then ".join(show_cut(mm, units) for mm in lengths)
        which = f"weaver {weaver + 1} ({listed(list(dict.fromkeys(colours)))})"
        lines.append(f"{'Lid, band' if lid else 'Band'} {band + 1}, {which}: first {said}.")
    return lines


def _tenths(mm: float) -> int:
    return round(mm * 10)


def seat_title(seat: Seat, names: bool) -> str:
    """`Seat 4 · Ada`, or `Seat 4` where names are left off; `Spare kit 13`."""
    title = f"Spare kit {seat.number}" if seat.spare else f"Seat {seat.number}"
    return f"{title} · {seat.name}" if names and seat.name and not seat.spare else title


def seat_facts(kit: Kit) -> list[str]:
    """What is this student's own: hand, colours, size, wording."""
    seat, design = kit.seat, kit.basket.design
    out = [f"{seat.hand}-handed", design.title]
    if seat.size != 1.0:
        out.append(f"size {seat.size_name or f'{seat.size:.0%}'}")
    out += [f"{wears} for {colour}" for colour, wears in seat.colours]
    return out


def kit_text(kit: Kit, title: str, lengths: dict[int, list[float]], names: bool) -> str:
    """The whole kit as plain text for a code: what a phone shows when it reads the label."""
    seat, wording, units = kit.seat, kit.seat.wording, kit.seat.units
    lines = [title[:60], f"{seat_title(seat, names)}, {seat.hand}-handed"]
    for bundle in kit.basket.bundles:
        reed = bundle.reed.named(wording)
        cut = ", ".join(pieces_told(lengths.get(bundle.number, []), bundle, units))
        lines.append(f"{bundle.number} {bundle_named(bundle, wording)}, {reed}, {bundle.colour}: {cut}")
    return "\n".join(lines)


def remark_told(remark: Remark, wording: str) -> str:
    """A remark with its place and remedy, in the wording of the class."""
    return worded(str(remark), wording)


def steps_of_cutting(units: str) -> tuple[str, str]:
    """To what marks pieces and weavers are cut."""
    return show_length(CUT_STEP_MM[units], units), show_length(WEAVER_STEP_MM[units], units)


def counted(kits: tuple[Kit, ...], wording: str) -> str:
    """`12 kits and 1 spare, 3 left-handed`."""
    students = [kit for kit in kits if not kit.seat.spare]
    spare = len(kits) - len(students)
    left = sum(kit.seat.hand == "left" for kit in students)
    more = f" and {spare} spare" if spare else ""
    hands = f", {left} left-handed" if left else ""
    return say(f"{several(len(students), 'kit')}{more}{hands}", wording)
