"""The whole basket on one card for the experienced: a line for each band, the border's counts, nothing explained."""

from __future__ import annotations

from ..borders.meetings import lies_on
from ..borders.table import named_fully
from ..lay.attachments import HandleLaid
from ..plans.bundles import Bundle
from ..plans.planning import Plan
from ..tell.attachments import handles_named
from ..tell.bases import board_fact
from ..tell.inserted import where_in
from ..tell.lists import first_up
from ..tell.voice import title_of_band, woven_across
from ..words import listed, several
from .step.bench import Bench
from .step.joining import joined_behind

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
    bye = design.bye_spokes
    out = []
    if plan.board is None:
        arms = f", arms of {listed([str(n) for n in design.arms])}" if design.form.is_round else ""
        ends = f"{design.spokes.ends_at_base} ends{arms}"
        out.append((bench.tell("{cross}").capitalize(), f"{_of_bundles(bench, 'begin')}{ends}."))
    for at, band in enumerate(laid.bands):
        if band.band.where == "side" and (at == 0 or laid.bands[at - 1].band.where == "base"):
            out += _risen(bench)
        if bye is not None and bye.first == at:
            deep = f"one beside every {bench.upright[0]}, {bench.long(bye.insertion_mm)} deep"
            out.append((bench.tell("Bye-{spokes}"), f"{_of_bundles(bench, 'add', at)}{deep}."))
        elif band.band.add:
            added = f"{laid.bands[at - 1].ends if at else band.ends} ends become {band.ends}"
            out.append(("Added ends", f"{_of_bundles(bench, 'add', at)}{added}."))
        out.append((title_of_band(design, laid, at), _band(bench, at)))
    out.append((bench.tell("{Border}"), _border(bench)))
    if plan.foot is not None:
        foot = plan.foot.foot
        below = f"{plan.foot.ends} ends beside the {bench.upright[1]}, {bench.long(foot.insertion_mm)} deep; "
        woven = f"{several(plan.foot.laid.bands[0].rows, 'row')} of {foot.band.weave.named(design.wording)}; "
        out.append(("Foot", f"{_of_bundles(bench, 'foot')}{below}{woven}{named_fully(foot.border, design.wording)}."))
    out += [(first_up(handles_named(design, each)), _handle(bench, each)) for each in plan.handles]
    return out


def _of_bundles(bench: Bench, use: str, band: int | None = None) -> str:
    """`bundle 3; ` or `bundles 3 and 4; ` of what is taken up there; nothing where nothing of its own is."""
    return _called(bench.standing(use, band))


def _called(bundles: tuple[Bundle, ...]) -> str:
    numbers = [str(each.number) for each in bundles]
    return f"bundle{'s' if numbers[1:] else ''} {listed(numbers)}; " if numbers else ""


def _risen(bench: Bench) -> list[tuple[str, str]]:
    """How the wall begins: {spokes} set in a board with its foot, pushed in beside sticks, turned up."""
    plan, design = bench.plan, bench.design
    if plan.board is not None:
        foot = design.base.foot
        assert foot is not None, "a board has a foot border"
        below = bench.long(plan.board.foot.length_mm)
        return [
            ("Board", first_up(f"{board_fact(plan)}; {_of_bundles(bench, 'begin')}{design.foot_ends} ends.")),
            ("Foot", f"{below} of each end below the board; {named_fully(foot, design.wording)}."),
        ]
    turned = ("Turn up", f"{design.foot_ends} ends.")
    if not design.spokes.inserted:
        return [turned]
    deep = f"{bench.long(design.spokes.insertion_mm)} deep"
    beside = " ".join(where_in(design, bench.upright[0]))
    return [(bench.tell("Side {spokes}"), f"{_of_bundles(bench, 'insert')}{deep}. {beside}"), turned]


def _handle(bench: Bench, each: HandleLaid) -> str:
    handle, ends = each.handle, bench.design.top_ends
    feet = "; ".join(f"{one + 1} and {other + 1}" for one, other in each.feet(ends))
    taken = _of_bundles(bench, "handle") if each.index == 0 else ""  # of all kinds, where there are several
    cover = ""
    if each.twist is not None:
        cover = f"; {each.twist.rods} rods, once round in every {bench.long(each.twist.turn_mm)}"
    elif handle.wrap is not None:
        cover = f"; wrapped in {several(each.turns, 'turn')}"
    return (
        f"{taken}beside {bench.upright[1]} {feet}, {bench.long(each.depth_mm)} deep; {bench.long(each.height_mm)} "
        f"above the border, {bench.long(each.across_mm)} across{cover}."
    )


def _band(bench: Bench, at: int) -> str:
    band = bench.laid.bands[at]
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
    return f"{_called(bench.of_band(band))}{starts}; {several(band.rows, 'row')}, {end}{again}{joined}."


def _border(bench: Bench) -> str:
    rows: dict[int, set[int]] = {}
    for (_, row), under in bench.threads.items():
        rows.setdefault(row if bench.design.border.order is None else 0, set()).update(each + 1 for each in under)
    upon: dict[int, set[int]] = {}
    for (_, row), below in lies_on(bench.design.border, bench.design.top_ends).items():
        upon.setdefault(row, set()).update(each + 1 for each in below)
    if bench.design.border.order is None:  # as its steps say, of a row in which nothing is lifted
        rows = upon | rows
    named = len(bench.design.border.rows) > 1 and bench.design.border.order is None
    loose = "".join(f" {f'Row {row + 1}: leave' if named else 'Leave'} {', '.join(map(str, sorted(lifted)))} loose."
                    for row, lifted in sorted(rows.items()) if len(lifted) <= 12)  # fmt: skip
    need = bench.long(bench.laid.border.length_mm)
    return f"{first_up(named_fully(bench.design.border, bench.design.wording))}; {need} to each end.{loose}"
