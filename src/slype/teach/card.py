"""The whole basket on one card for the experienced: a line for each band, the border's counts, nothing explained."""

from __future__ import annotations

from ..borders.table import named_fully
from ..plans.planning import Plan
from ..tell.lists import first_up
from ..tell.voice import title_of_band, woven_across
from ..words import listed, several
from .bench import Bench
from .ending import joined_behind

MOST_STARTS = 8


def card(plan: Plan) -> list[tuple[str, str]]:
    """(what, in a line) of everything in order of work; a lid's after the basket's own."""
    bench = Bench(plan)
    out = _lines(bench)
    if plan.lid is not None:
        out += [(f"Lid: {what[:1].lower()}{what[1:]}", told) for what, told in _lines(Bench(plan.lid, plan))]
    return out


def _lines(bench: Bench) -> list[tuple[str, str]]:
    plan, design, laid = bench.plan, bench.design, bench.laid
    out = []
    if plan.board is None:
        arms = f", arms of {listed([str(n) for n in design.arms])}" if design.form.is_round else ""
        begun = [each.number for each in bench.standing("begin")]
        named = f"bundle {begun[0]}" if len(begun) == 1 else f"bundles {listed([str(n) for n in begun])}"
        out.append((bench.tell("{cross}").capitalize(), f"{named}; {design.spokes.ends_at_base} ends{arms}."))
    for at, band in enumerate(laid.bands):
        if band.band.where == "side" and (at == 0 or laid.bands[at - 1].band.where == "base"):
            up = "Turn up" if plan.board is None else "Board and foot"
            out.append((up, f"{design.foot_ends} ends{'' if plan.board is None else ' in their holes'}."))
        out.append((title_of_band(design, laid, at), _band(bench, at)))
    out.append((bench.tell("{Border}"), _border(bench)))
    return out


def _band(bench: Bench, at: int) -> str:
    band = bench.laid.bands[at]
    numbers = [str(each.number) for each in bench.of_band(band)]
    places = [(band.band.start + k) % band.spaces + 1 for k in range(len(band.colours))][:MOST_STARTS]
    shades = [bench.colour(band, k) for k in range(len(band.colours))][:MOST_STARTS]
    starts = listed([f"{shade} in {place}" for shade, place in zip(shades, places, strict=True)])
    if len(set(shades)) == 1:
        starts = f"{shades[0]}, from space {places[0]}"
    across = woven_across(bench.laid, band, band.end_s)
    end = (
        f"to {across} across"
        if band.band.where == "base"
        else f"to {bench.long(band.end_s)} up, {across} across"
    )
    joins = joined_behind(bench, band)
    told = "; ".join(f"row {row} {where}" for row, where in joins)
    joined = f"; joins: {told}" if 0 < len(joins) <= 6 else f"; {len(joins)} joins" if joins else ""
    blocks = band.band.blocks
    again = f"; every {several(blocks.rows, 'row')} anew, {several(blocks.shift, 'space')} on" if blocks else ""
    return f"bundle{'s' if len(numbers) > 1 else ''} {', '.join(numbers)}; {starts}; {several(band.rows, 'row')}, " \
           f"{end}{again}{joined}."  # fmt: skip


def _border(bench: Bench) -> str:
    lifted = sorted({each + 1 for under in bench.threads.values() for each in under})
    loose = f" Leave {', '.join(map(str, lifted))} loose." if 0 < len(lifted) <= 12 else ""
    need = bench.long(bench.laid.border.length_mm)
    return f"{first_up(named_fully(bench.design.border, bench.design.wording))}; {need} to each end.{loose}"
