"""The folder of a class as one PDF to print: what to buy, dye, cut, pack and say, sheet by sheet, with bookmarks.

Everything comes from a worked class; nothing is reckoned here. Every part is a list of plain blocks (heading, lines,
table, picture), which `class.typ` sets on paper.
"""

from __future__ import annotations

from ..colour import hex_of
from ..draw.cutting import alike, bars
from ..kit.assigned import ReedCut
from ..kit.seats import Kit
from ..kit.worked import Worked
from ..quantity import show_length
from ..tell.classes import cut_told
from ..tell.kits import (
    bundle_named,
    counted,
    kit_text,
    pieces_told,
    remark_told,
    seat_facts,
    seat_title,
)
from ..tell.voice import voice
from ..words import say
from .codes import code
from .labels import sheets
from .typeset import PAPERS, paper_named, set_pages

BARS_A_PICTURE = 18
WEIGHTS = {"error": "Could not be read", "stop": "Cannot be done", "warn": "Take care", "note": "Note"}


def make(made: Worked) -> bytes:
    """The folder of a class as PDF bytes. Raises DesignError for another paper."""
    paper_named(made.asked.paper)
    return set_pages("class.typ", contents(made))


def contents(made: Worked) -> dict[str, object]:
    """All that the folder says, as text and lists ready to print."""
    asked, first = made.asked, made.kits[0].basket.design
    tell, _ = voice(first)
    return {
        "title": asked.title,
        "short": asked.title[:70],
        "paper": PAPERS[asked.paper],
        "region": "GB" if first.wording == "uk" else "US",
        "facts": _facts(made),
        "remarks": [[WEIGHTS[each.weight], remark_told(each, first.wording)] for each in made.remarks],
        "parts": [_seats(made), *_cutting(made)],
        "kits": [_kit(made, kit, i == 0) for i, kit in enumerate(made.kits)],
        "labels": sheets(made),
        "words": {
            "reed": tell("{reed}").capitalize(), "colour": tell("{Colours}").removesuffix("s"), "kits": "Kits",
        },
    }  # fmt: skip


def _facts(made: Worked) -> list[list[str]]:
    asked = made.asked
    out = []
    if asked.day is not None:
        out.append(["Day", f"{asked.day:%A} {asked.day.day} {asked.day:%B %Y}"])
    hours = f"{clock(asked.starts)} to {clock(asked.ends)}"
    breaks = ", ".join(f"{clock(a)} to {clock(b)}" for a, b in asked.breaks)
    out.append(["Hours", f"{hours}; breaks {breaks}" if breaks else hours])
    if asked.place:
        out.append(["Place", asked.place])
    return [*out, ["Kits", counted(made.kits, made.kits[0].seat.wording)]]


def clock(minutes: float) -> str:
    """`9:30`."""
    whole = round(minutes)
    return f"{whole // 60}:{whole % 60:02d}"


# Blocks --------------------------------------------------------------------------------------------------------


def heading(text: str) -> dict[str, object]:
    """A heading within a part."""
    return {"kind": "heading", "text": text}


def table(
    head: list[str],
    rows: list[list[str]],
    wide: list[str] | None = None,
    sides: list[str] | None = None,
    ticked: bool = False,
) -> dict[str, object]:
    """A table; `wide` "auto" or a share for each column, `sides` how it stands, `ticked` with a box to tick before."""
    return {
        "kind": "table", "head": head, "rows": rows, "ticked": ticked,
        "wide": wide or ["1"] + ["auto"] * (len(head) - 1), "sides": sides or ["left"] * len(head),
    }  # fmt: skip


def part(title: str, blocks: list[dict[str, object]], page: bool = True) -> dict[str, object]:
    """A part of the folder, with a bookmark; on a new page unless told."""
    return {"title": title, "blocks": blocks, "page": page}


# Seats ---------------------------------------------------------------------------------------------------------


def _seats(made: Worked) -> dict[str, object]:
    names = made.asked.names
    rows = []
    for kit in made.kits:
        seat = kit.seat
        colours = ", ".join(f"{wears} for {colour}" for colour, wears in seat.colours) or "as drawn"
        rows.append([
            f"{'Spare ' if seat.spare else ''}{seat.number}", seat.name if names else "", seat.hand,
            seat.size_name or "full", colours, "" if seat.spare else seat.skill,
        ])  # fmt: skip
    head = ["Seat", "Name", "Hand", "Size", "Colours", "Skill"]
    if not any(row[1] for row in rows):
        head, rows = head[:1] + head[2:], [row[:1] + row[2:] for row in rows]
    return part("Seats", [table(head, rows, ["auto"] * (len(head) - 2) + ["1", "auto"])], page=False)


# Cutting -------------------------------------------------------------------------------------------------------


def _cutting(made: Worked) -> list[dict[str, object]]:
    return [
        part(f"Cutting: {cut.reed.named(_wording(made))}", _cut_blocks(made, cut)) for cut in made.reeds if cut.strands
    ]


def _wording(made: Worked) -> str:
    return made.kits[0].seat.wording


def _cut_blocks(made: Worked, cut: ReedCut) -> list[dict[str, object]]:
    units, useful = made.kits[0].seat.units, made.asked.rules.useful_mm

    def show(mm: float) -> str:
        return show_length(mm, units, 2)

    blocks: list[dict[str, object]] = [{"kind": "lines", "lines": [cut_told(cut, units)]}]
    palette = {name: shade for kit in made.kits for name, shade in kit.basket.design.palette.items()}
    for colour in dict.fromkeys(strand.colour for strand in cut.strands):
        rows = alike(cut, colour)
        blocks.append(heading(f"{colour[:1].upper()}{colour[1:]}"))
        for at in range(0, len(rows), BARS_A_PICTURE):
            some = rows[at : at + BARS_A_PICTURE]
            svg = bars(some, show, useful, palette.get(colour) or hex_of(colour))
            about = f"Strands of {cut.reed.named(_wording(made))} in {colour} as bars with their cuts"
            blocks.append({"kind": "picture", "svg": svg, "alt": about, "caption": ""})
    return blocks


# Kits ----------------------------------------------------------------------------------------------------------


def _kit(made: Worked, kit: Kit, first: bool) -> dict[str, object]:
    seat, design = kit.seat, kit.basket.design
    title = seat_title(seat, made.asked.names)
    lengths = made.lengths.get(seat.number, {})
    rows = [
        {
            "number": bundle.number,
            "name": bundle_named(bundle, seat.wording),
            "reed": bundle.reed.named(seat.wording),
            "colour": bundle.colour,
            "shade": design.palette.get(bundle.colour) or hex_of(bundle.colour),
            "cut": pieces_told(lengths.get(bundle.number, []), bundle, seat.units),
        }
        for bundle in kit.basket.bundles
    ]
    text = kit_text(kit, made.asked.title, lengths, made.asked.names)
    return {
        "first": first,
        "title": title,
        "facts": seat_facts(kit),
        "key": [[name, shade] for name, shade in design.palette.items()],
        "code": {"svg": code(text), "alt": f"Code with the kit of {title} as text"},
        "rows": rows,
        "notes": [say("Bundles are numbered in the order in which they are used.", seat.wording)],
    }
