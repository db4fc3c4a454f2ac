"""Kits in words: what a bundle holds, how it is cut, what a seat is called. In each student's wording and units."""

from __future__ import annotations

from itertools import groupby

from ...kit.seats import Kit
from ...kit.values import Remark, Seat
from ...kit.worked import Worked
from ...plans.bundles import WEAVER_STEP_MM, Bundle, Lot
from ...plans.piece import CUT_STEP_MM, round_up
from ...quantity import show_cut, show_length, show_piece
from ...reeds import Reed
from ...words import say, several, worded
from ..lists import first_up, pieced
from ..voice import piece_name

JOINED = "Pull 3: a joined weaver takes three pieces of its bundle; the first begins it, the last ends it."
STARTS = "Start 2 is where all weavers of a band are ended and new ones started the second time, as the sheet says."
"""Words of the labels that need explaining, once, on a kit's own page."""


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
    return show_cut(mm, units) if bundle.is_weaver else show_piece(mm, units)


def lots_told(bundle: Bundle, units: str) -> list[str]:
    """What is in a bundle, in the handout's words, the pieces of a weaver in the order in which they are woven:
    `3 of 5 ft 6 in`, `first piece 9 ft 10 in`, `2 middle pieces 10 ft`."""
    return [lot_told(lot, bundle, units) for lot in bundle.lots]


def lot_told(lot: Lot, bundle: Bundle, units: str) -> str:
    """One lot of a bundle."""
    long = cut_words(lot.cut_mm, bundle, units)
    said = f"{lot.count} of {long}" if lot.part == "whole" else f"{several(lot.count, f'{lot.part} piece')} {long}"
    if lot.starts is None:
        return said
    first, last = (i + 1 for i in lot.starts)
    return f"{said} (start {first})" if first == last else f"{said} (starts {first} to {last})"


def in_short(bundle: Bundle, units: str) -> list[str]:
    """The same for a label: one line for every part of a weaver, `First: 9 ft 10 in, 10 ft`."""
    if any(lot.starts is not None for lot in bundle.lots) or all(lot.part == "whole" for lot in bundle.lots):
        return lots_told(bundle, units)
    out = []
    for part, lots in groupby(bundle.lots, key=lambda lot: lot.part):
        long = [f"{lot.count} × {cut_words(lot.cut_mm, bundle, units)}" if lot.count > 1
                else cut_words(lot.cut_mm, bundle, units) for lot in lots]  # fmt: skip
        out.append(f"{'Whole' if part == 'whole' else first_up(part)}: {', '.join(long)}")
    return out


def explained(kit: Kit) -> list[str]:
    """How joined weavers of a kit are pieced, as the handout says it, and what the words of its labels mean."""
    lots = [lot for bundle in kit.basket.bundles for lot in bundle.lots]
    joined = [f"{line}." for line in pieced(kit.basket.plan)]
    out = [JOINED, *joined] if joined else []
    return [*out, STARTS] if any(lot.starts is not None for lot in lots) else out


def longer_told(made: Worked, reed: Reed | None = None) -> str:
    """`for first baskets what stands is cut to the longer figure: spokes 33 in (usually 31 in)`; with `reed` only of
    that reed, "" where nothing is."""
    seen: dict[tuple[str, str, str], None] = {}
    for kit in made.kits:
        units, wording = kit.basket.design.units, kit.basket.design.wording
        for piece in kit.basket.plan.pieces:
            usual = round_up(piece.length_mm, CUT_STEP_MM[units])
            if piece.share is None and piece.cut_mm > usual + 1e-6 and reed in (None, piece.reed):
                own = f" of size {kit.seat.size_name or f'{kit.seat.size:.0%}'}" if kit.seat.size != 1.0 else ""
                name = f"{piece_name(piece, wording)}{own}"
                seen[name, show_piece(piece.cut_mm, units), show_piece(usual, units)] = None
    told = [f"{name} {cut} (usually {usual})" for name, cut, usual in seen][:4]
    why = "as the class asks" if made.asked.rules.longer else "for first baskets"
    return f"{why} what stands is cut to the longer figure: {', '.join(told)}" if told else ""


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


def kit_text(kit: Kit, title: str, names: bool) -> str:
    """The whole kit as plain text for a code: what a phone shows when it reads the label."""
    seat, wording, units = kit.seat, kit.seat.wording, kit.seat.units
    lines = [title[:60], f"{seat_title(seat, names)}, {seat.hand}-handed"]
    for bundle in kit.basket.bundles:
        reed = bundle.reed.named(wording)
        cut = ", ".join(lots_told(bundle, units))
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
