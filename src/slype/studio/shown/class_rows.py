"""The seats of a class and what is to be told of it, row by row, for the page's room of classes."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from ...colour import hex_of
from ...design.file.reader import parse
from ...kit.file.students import path_of
from ...plans import planning
from ...plans.bundles import bundles
from ...tell.classes.remarks import where_told
from ...tell.lists import first_up
from ...words import worded
from ..told.classes import BundleTold, ColourWorn, RemarkTold, SeatTold
from ..told.figures import PartTold

if TYPE_CHECKING:
    from ...kit.seats import Kit
    from ...kit.values import Remark
    from ...kit.worked import Worked


def seat_told(seat, kit: Kit | None, row: int | None, plan: Worked) -> SeatTold:
    worn = dict(seat.colours)
    palette = {} if kit is None else dict(kit.basket.design.palette)
    colours: list[ColourWorn] = [
        {"of": of, "worn": worn.get(of, of), "hex": palette.get(worn.get(of, of)) or hex_of(worn.get(of, of))}
        for of in (_woven_in(plan, seat.design) if kit is not None else ())
    ]
    return {
        "number": seat.number,
        "row": row,
        "name": seat.name,
        "hand": seat.hand,
        "wording": seat.wording,
        "units": seat.units,
        "skill": seat.skill,
        "design": seat.design,
        "size": seat.size_name or ("" if seat.size == 1.0 else f"{seat.size * 100:g} %"),
        "spare": seat.spare,
        "colours": colours,
        "bundles": [] if kit is None else _bundles(kit, plan),
        "works": kit is not None,
        "faults": _faults(seat, plan),
    }


def _woven_in(plan: Worked, name: str) -> tuple[str, ...]:
    """Colours of a design's weavers as it is drawn, each once."""
    text = next((each.text for each in plan.asked.designs if each.name == name), "")
    return _colours_of(text, name) if text else ()


@lru_cache(maxsize=32)
def _colours_of(text: str, name: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(each.colour for each in bundles(planning.plan(parse(text, name))) if each.is_weaver))


def _faults(seat, plan: Worked) -> list[str]:
    """What is wrong in a seat's row."""
    row = path_of(seat)
    about = [each for each in plan.remarks if row and each.path[:2] == row and each.weight != "note"]
    return [f"{_cell(each)}{each.message} {each.remedy}".strip() for each in about]


def _cell(remark: Remark) -> str:
    """`Hand: `, where a remark is about one cell of a row."""
    key = remark.path[2] if len(remark.path) > 2 else ""
    return f"{first_up(str(key))}: " if key else ""


def _bundles(kit: Kit, plan: Worked) -> list[BundleTold]:
    """Every bundle of a seat, with what its lengths are made of and which strands they are cut from."""
    from ...tell.classes.kits import bundle_named, lots_told
    from ...tell.lists import cut_list
    from .lists import parts_of, weaver_parts

    rows = [row for row in cut_list(kit.basket.plan) if row.piece is None]
    out: list[BundleTold] = []
    for each in kit.basket.bundles:
        parts: list[PartTold] = []
        if each.piece is not None:
            parts = parts_of(kit.basket.design, each.piece.parts)
        elif each.bands is not None and not each.lid:
            mine = [row for row in rows if row.colour == each.colour and each.bands[0] == row.courses[0].bands[0]]
            parts = weaver_parts(mine[0]) if mine else []
        cut = [
            f"{strand.number}" for reed in plan.reeds if reed.reed.key == each.reed.key for strand in reed.strands
            if any(piece.seat == kit.seat.number and piece.bundle == each.number for piece in strand.pieces)
        ]  # fmt: skip
        if cut:
            why = f"of the cutting list of {each.reed.named(kit.seat.wording)}"
            parts = [*parts, {"name": "cut from strand", "value": ", ".join(cut), "why": why, "source": "cutting plan"}]
        goes = ", ".join(lots_told(each, kit.seat.units))
        what = bundle_named(each, kit.seat.wording)
        out.append({"number": str(each.number), "what": what, "goes": goes, "parts": parts})
    return out


def remark_told(remark: Remark, plan: Worked) -> RemarkTold:
    grave = {"error": "Cannot be read", "stop": "Cannot be", "warn": "Take care", "note": "Good to know"}
    wording = plan.kits[0].seat.wording if plan.kits else "us"
    return {
        "weight": remark.weight,
        "grave": grave[remark.weight],
        "where": where_told(remark, plan.asked),
        "message": worded(first_up(remark.message), wording),
        "remedy": worded(remark.remedy, wording),
        "path": list(remark.path),
    }
