"""The folder of a class as one PDF to print: what to buy, dye, cut, pack and say, sheet by sheet, with bookmarks.

Everything comes from a worked class; nothing is reckoned here. Every part is a list of plain blocks (heading, lines,
table, picture), which `class.typ` sets on paper.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..colour import hex_of
from ..draw.classes.cutting import alike, bars
from ..kit.assigned import ReedCut
from ..kit.seats import Kit
from ..kit.worked import Worked
from ..offers import PAPERS
from ..plans.cautions import cautions
from ..tell.classes.blocks import TICK, Block, Facts, Heading, Lines, Part, Picture, Table
from ..tell.classes.cutting import bench, colour_told, cutting_list, told
from ..tell.classes.days import verdict
from ..tell.classes.kits import bundle_named, explained, kit_text, lots_told, seat_facts, seat_title
from ..tell.classes.papers import handed
from ..tell.classes.remarks import printed
from ..tell.classes.report import facts, parts
from ..tell.voice import voice
from ..words import say, worded
from . import sheet
from .codes import code
from .labels import sheets
from .typeset import paper_named, set_pages

BARS_A_PICTURE = 18
WEIGHTS = {"error": "Could not be read", "stop": "Cannot be done", "warn": "Take care", "note": "Note"}


def make(made: Worked, sheets: Mapping[str, sheet.Sheet] | None = None) -> bytes:
    """The folder of a class as PDF bytes, the sheets bound in where the class asks for it; `sheets` by
    `papers.Handed.name` are those that are set already. Raises DesignError for another paper."""
    paper_named(made.asked.paper)
    said, ready = contents(made), dict(sheets or {})
    bound: dict[str, bytes] = {}
    for each in handed(made) if made.asked.bind else ():
        one = ready.get(each.name) or sheet.whole(each.basket.plan, made.asked.paper)
        bound[f"bound-{len(bound)}.pdf"] = one.pdf
        kits = [kit for kit in made.kits if kit.basket is each.basket]
        said["bound"] += [
            {"file": f"bound-{len(bound) - 1}.pdf", "pages": one.pages, "seat": kit.seat.number,
             "title": f"Sheet: {seat_title(kit.seat, made.asked.names)}"}
            for kit in kits
        ]  # fmt: skip
    said["bound"].sort(key=lambda each: each["seat"])
    return set_pages("class.typ", said, bound)


def contents(made: Worked) -> dict[str, Any]:
    """All that the folder says, as text and lists ready to print."""
    asked, first = made.asked, made.kits[0].basket.design
    tell, _ = voice(first)
    before, after = _split(parts(made))
    return {
        "title": asked.title,
        "short": asked.title[:70],
        "paper": PAPERS[asked.paper].typst,
        "region": "GB" if first.wording == "uk" else "US",
        "facts": [list(pair) for pair in facts(made).pairs],
        "lines": verdict(made),
        "remarks": [[WEIGHTS[each.weight], printed(each, asked, first.wording)] for each in made.remarks],
        "parts": [_part(each) for each in (*before, *_cutting(made), *after)],
        "bound": [],
        "kits": [_kit(made, kit, i == 0) for i, kit in enumerate(made.kits)],
        "labels": sheets(made),
        "cautions": [[f"{key[:1].upper()}{key[1:]}", text] for key, text in cautions_of(made)],
        "words": {"reed": tell("{reed}").capitalize(), "colour": tell("{Colours}").removesuffix("s"), "kits": "Kits"},
    }


def _split(found: list[Part]) -> tuple[list[Part], list[Part]]:
    """Parts that come before the cutting, and those after it."""
    first = [each for each in found if each.key in ("preparing", "sheets", "shopping", "dyeing")]
    return first, [each for each in found if each not in first]


def cautions_of(made: Worked) -> list[tuple[str, str]]:
    """Every caution that concerns one of the baskets, once."""
    out: dict[str, str] = {}
    for basket in {id(kit.basket): kit.basket for kit in made.kits}.values():
        for caution, text in cautions(basket.plan):
            out.setdefault(worded(caution.key, basket.design.wording), text)
    return list(out.items())


def _part(each: Part) -> dict[str, object]:
    return {"title": each.title, "page": each.new_page, "blocks": [_block(block) for block in each.blocks]}


def _block(block: Block) -> dict[str, object]:
    match block:
        case Heading(text):
            return {"kind": "heading", "text": text}
        case Lines(lines, quiet):
            return {"kind": "quiet" if quiet else "lines", "lines": list(lines)}
        case Facts(pairs):
            return {"kind": "facts", "pairs": [list(pair) for pair in pairs]}
        case Picture(svg, alt):
            return {"kind": "picture", "svg": svg, "alt": alt}
        case Table(head, rows, right, wide, ticked, grid, _):
            cells = [["tick" if cell == TICK else cell for cell in row] for row in rows]
            return {
                "kind": "grid" if grid else "table", "head": list(head), "rows": cells, "right": sorted(right),
                "wide": wide, "ticked": ticked,
            }  # fmt: skip


# Cutting -------------------------------------------------------------------------------------------------------


def _cutting(made: Worked) -> list[Part]:
    wording = made.kits[0].seat.wording
    return [
        Part(f"cutting {cut.reed.key}", f"Cutting: {cut.reed.named(wording)}", tuple(_cut_blocks(made, cut, wording)))
        for cut in made.reeds
        if cut.strands
    ]


def _cut_blocks(made: Worked, cut: ReedCut, wording: str) -> list[Block]:
    units = made.kits[0].seat.units

    def show(mm: float) -> str:
        return bench(mm, units)

    blocks: list[Block] = [told(made, cut, units)]
    palette = {name: shade for kit in made.kits for name, shade in kit.basket.design.palette.items()}
    colours = list(dict.fromkeys(strand.colour for strand in cut.strands))
    for colour in colours:
        rows = alike(cut, colour)
        if len(colours) > 1:
            blocks.append(Lines((colour_told(colour, [each for each in cut.strands if each.colour == colour], units),)))
        for at in range(0, len(rows), BARS_A_PICTURE):
            svg = bars(rows[at : at + BARS_A_PICTURE], show, cut.useful_mm, palette.get(colour) or hex_of(colour))
            blocks.append(Picture(svg, f"Strands of {cut.reed.named(wording)} in {colour} as bars with their cuts"))
    return [*blocks, *cutting_list(cut, units, wording, made.asked.rules.dye_cut, made.units)]


# Kits ----------------------------------------------------------------------------------------------------------


def _kit(made: Worked, kit: Kit, first: bool) -> dict[str, object]:
    seat, design = kit.seat, kit.basket.design
    title = seat_title(seat, made.asked.names)
    rows = [
        {
            "number": bundle.number,
            "name": bundle_named(bundle, seat.wording),
            "reed": bundle.reed.named(seat.wording),
            "colour": bundle.colour,
            "shade": design.palette.get(bundle.colour) or hex_of(bundle.colour),
            "cut": lots_told(bundle, seat.units),
        }
        for bundle in kit.basket.bundles
    ]
    text = kit_text(kit, made.asked.title, made.asked.names)
    return {
        "first": first,
        "title": title,
        "facts": seat_facts(kit),
        "key": [[name, shade] for name, shade in design.palette.items()],
        "code": {"svg": code(text), "alt": f"Code with the kit of {title} as text"},
        "rows": rows,
        "notes": [
            *explained(kit),
            say("Bundles are numbered in the order in which they are used.", seat.wording),
        ],
    }
