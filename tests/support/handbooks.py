"""Every figure of the old handbooks that slype can be held against, in one table.

`handbook_page` prints the table and writes docs/handbooks.md. Nothing in slype is tuned to these figures: where one
disagrees, it stays in the table, and DISAGREE says which we believe and why.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

from handbook_figures import (
    A_REED,
    BY_TRIAL,
    COMMON_RANGE,
    ENOUGH,
    HALF_INCH,
    NEAREST_QUARTER,
    NUMBER_AND_PACKING,
    PACKING_ONLY,
    THICKNESS_IN_TAKE_UP,
    Comparison,
    table,
)
from places import AUTHORITIES
from worked import once

from slype.borders.rows import border_need, parse_border
from slype.borders.table import BORDERS
from slype.design.file import reader
from slype.form.handles import Handle, twist
from slype.lay import laying
from slype.lay import pitch as steady
from slype.lay.values import HALF_SPOKE_MM
from slype.plans import planning
from slype.plans.planning import Plan
from slype.quantity import MM_PER_IN, show_length
from slype.reeds import reed_named
from slype.rest.relax import relax
from slype.weave.table import weave_named


@cache
def worked(name: str) -> Plan:
    """One of the whole designs, planned."""
    return planning.plan(reader.load(AUTHORITIES / "designs" / f"{name}.toml"))


@cache
def worked_at_rest(name: str) -> Plan:
    """The same, relaxed."""
    design = reader.load(AUTHORITIES / "designs" / f"{name}.toml")
    return planning.plan(design, relax(design))


@cache
def comparisons() -> list[Comparison]:
    """Every comparison, in the order of the page."""
    return once("handbooks", _compared)


def _compared() -> list[Comparison]:
    return [
        *_borders(),
        *_border_allowances(),
        *_half_spokes(),
        *_row_pitches(),
        *_prototype(),
        *_whole_designs(),
        *_boards(),
        *_ovals(),
        *_handles_and_lids(),
    ]


def _borders() -> Iterator[Comparison]:
    spoke = reed_named("round 4").diameter_mm
    for row in table("turner_open_borders.csv"):
        need = border_need(parse_border([row["row"]]), float(row["spacing_in"]) * MM_PER_IN, spoke).length_mm
        low, high = (float(row[key]) * MM_PER_IN for key in ("low_in", "high_in"))
        yield Comparison(
            "turner", f"open border {row['border']}: {row['pattern']}", low, high, need, BY_TRIAL, row["kind"],
            "spokes 1 in apart",
        )  # fmt: skip
    for row in table("open_borders.csv"):
        need = border_need(parse_border([row["row"]]), MM_PER_IN, spoke).length_mm
        stated = float(row["allowance_in"]) * MM_PER_IN
        at_least = row["least"] == "yes"
        yield Comparison(
            row["source"], row["border"], stated, stated, need, ENOUGH if at_least else BY_TRIAL, row["kind"],
            "spacing not given: reckoned at Turner's 1 in" + ("; at least" if at_least else ""), need,
        )  # fmt: skip


def _border_allowances() -> Iterator[Comparison]:
    for row in table("border_allowances.csv"):
        need = border_need(
            BORDERS[row["border"]].border, float(row["spacing_in"]) * MM_PER_IN, reed_named(row["reed"]).diameter_mm
        )
        stated = float(row["allowance_in"]) * MM_PER_IN
        bare = sum(mm for name, mm, _, _ in need.parts if name in ("path", "bends"))
        note = f"{row['note']}; {row['spacing_in']} in apart, bare path {show_length(bare)}"
        yield Comparison(
            row["source"], row["figure"], stated, stated, need.length_mm,
            ENOUGH if row["judged"] == "enough" else BY_TRIAL, row["kind"], note, bare,
        )  # fmt: skip


def _half_spokes() -> Iterator[Comparison]:
    for row in table("spoke_lists.csv"):
        full, half = float(row["full_in"]) * MM_PER_IN, float(row["half_in"]) * MM_PER_IN
        what = f"{row['project']}: half of {show_length(full)}"
        note = "the rule is hers" if row["source"] == "white" else "White's rule on another's list"
        yield Comparison(row["source"], what, half, half, full / 2 + HALF_SPOKE_MM, HALF_INCH, row["kind"], note)


def _row_pitches() -> Iterator[Comparison]:
    for row in table("row_pitch.csv"):
        weave = replace(weave_named(row["weave"]), strands=int(row["strands"]))
        pitch = steady.steady_rows(weave, 25).pitch * reed_named(row["reed"]).diameter_mm
        low, high = float(row["low_mm"]), float(row["high_mm"])
        tolerance = COMMON_RANGE if row["kind"] == "practice" else NUMBER_AND_PACKING
        what, unit = f"{row['key']}: per row of {weave.name}", "mm"
        if row["kind"] == "practice":
            rows = int(row["rows"])
            what, unit, pitch, low, high = f"{rows} rows of {weave.name} in No. 3", "length", pitch * rows, 76.2, 82.55
        yield Comparison(row["source"], what, low, high, pitch, tolerance, row["kind"], row["as_printed"], 0.0, unit)


def _prototype() -> Iterator[Comparison]:
    text = (
        "[spokes]\nreed = {{ mm = 3.0 }}\nends = {spokes}\n[form]\nbase = '150 mm'\n"
        "wall = [['0 mm', '150 mm'], ['100 mm', '150 mm']]\n"
        "[[band]]\nweave = '{weave}'\nreed = {{ mm = 2.25 }}\nrows = 12\n[border]\nrows = ['behind 1 out']\n"
    )
    for row in table("prototype_rods.csv"):
        design = reader.parse(text.format(**row))
        band, rested = laying.lay(design).bands[0], relax(design).laid.bands[0]
        pitch, relaxed, take_up = band.pitch_mm / 2.25, float(row["relaxed_d"]), float(row["take_up"])
        yield Comparison(
            "prototype", f"{row['weave']}: relaxed", relaxed, relaxed, pitch, PACKING_ONLY, "prototype",
            "height per row in weaver diameters", 0.0, "ratio", rested.pitch_mm / 2.25,
        )  # fmt: skip
        yield Comparison(
            "prototype", f"{row['weave']}: take-up", take_up, take_up, float(band.take_up[0]), THICKNESS_IN_TAKE_UP,
            "prototype", "length per row over ring", 0.0, "ratio", float(rested.take_up.mean()),
        )  # fmt: skip


def _whole_designs() -> Iterator[Comparison]:
    by_design: dict[str, dict[str, dict[str, str]]] = {}
    for row in table("whole_designs.csv"):
        by_design.setdefault(row["design"], {})[row["figure"]] = row
    for name, figures in by_design.items():
        plan = worked(name)
        source, model = (
            (name.split("_")[0], name.split("_")[1].upper()) if name.startswith("gill") else ("shaw", "Shaw")
        )
        for figure, row in figures.items():
            if figure == "added spoke":
                yield _added(source, model, plan, worked_at_rest(name), row)
            elif row["value_in"] and figure != "spoke" and row["kind"] != "given":
                stated = float(row["value_in"]) * MM_PER_IN
                tolerance = HALF_INCH if figure == "base stick" else NUMBER_AND_PACKING
                yield Comparison(
                    source, f"{model}: {figure}", stated, stated, _figure(plan, figure), tolerance, row["kind"],
                    row["note"], relaxed=_figure(worked_at_rest(name), figure),
                )  # fmt: skip
        height = figures["height"]["value_in"]
        yield from _spokes(
            source,
            model,
            plan,
            worked_at_rest(name),
            float(figures["spoke"]["value_in"]),
            float(height) if height else None,
        )


def _added(source: str, model: str, plan: Plan, rested: Plan, row: dict[str, str]) -> Comparison:
    """Spokes pushed in part way up against the length that the book cuts them to."""
    stated, need = float(row["value_in"]) * MM_PER_IN, plan.laid.border
    piece, at_rest = (next(p for p in each.pieces if p.name.endswith("added spoke")) for each in (plan, rested))
    bare = sum(mm for name, mm, _, _ in need.parts if name in ("path", "bends"))
    spare = sum(mm for name, mm, _, _ in piece.parts if name == "to spare")
    least = piece.length_mm - (need.length_mm - bare) - spare
    assert piece.count == 19
    return Comparison(
        source, f"{model}: added spoke", stated, stated, piece.length_mm, ENOUGH, row["kind"],
        f"{row['note']}; slype needs {show_length(least)} at the least", least, relaxed=at_rest.length_mm,
    )  # fmt: skip


def _figure(plan: Plan, figure: str) -> float:
    if figure == "base stick":
        return next(piece.length_mm for piece in plan.pieces if piece.name == "base stick")
    if figure == "base reached":
        return plan.laid.base_reached_mm
    if figure == "height":
        return plan.laid.top_s
    return plan.laid.bands[int(figure.rsplit(" ", 1)[1]) - 1].end_s


def _spokes(
    source: str, model: str, plan: Plan, rested: Plan, spoke_in: float, height_in: float | None
) -> Iterator[Comparison]:
    design, need = plan.design, plan.laid.border
    bare = sum(mm for name, mm, _, _ in need.parts if name in ("path", "bends"))
    ends = 1 if design.spokes.inserted else 2
    spoke = spoke_in * MM_PER_IN
    # What slype adds for fingers, tail and untrue cuts is not needed to work the border.
    least = plan.spokes.length_mm - ends * (need.length_mm - bare) - sum(
        mm for name, mm, _, _ in plan.spokes.parts if name == "to spare"
    )  # fmt: skip
    yield Comparison(
        source, f"{model}: spoke", spoke, spoke, plan.spokes.length_mm, ENOUGH, "stated",
        f"slype needs {show_length(least)} at the least", least, relaxed=rested.spokes.length_mm,
    )  # fmt: skip
    wall = plan.laid.top_s if height_in is None else height_in * MM_PER_IN
    below = design.spokes.insertion_mm if ends == 1 else design.form.base_mm
    left = (spoke - below) / ends - wall
    whose = "slype's height, as none is given" if height_in is None else "the book's height"
    yield Comparison(
        source, f"{model}: left for the border", left, left, need.length_mm, ENOUGH, "derived",
        f"with {whose}; bare path {show_length(bare)}", bare,
    )  # fmt: skip


def _ovals() -> Iterator[Comparison]:
    for row in table("oval_bases.csv"):
        base = f"['{row['base_long_in']} in', '{row['base_wide_in']} in']"
        wall = f"[['0 in', {base[1:]}, ['2 in', {base[1:]}]"
        many = int(row["long"]) + int(row["short"])
        plan = planning.plan(
            reader.parse(
                f"[spokes]\nreed = 'round 4'\nends = {2 * many}\ninserted = true\nbase_ends = {2 * many}\n"
                f"long_sticks = {row['long']}\nbase_reed = 'round 4'\n"
                f"[form]\noutline = 'oval'\nbase = {base}\nwall = {wall}\n"
                "[[band]]\nweave = 'three-rod wale'\nreed = 'round 2'\nrows = 3\n[border]\nrows = ['over 2 down']\n"
            )
        )
        for which in ("long", "short"):
            (piece,) = (piece for piece in plan.pieces if piece.name == f"{which} base stick")
            assert piece.count == int(row[which])
            stated = float(row[f"{which}_in"]) * MM_PER_IN
            yield Comparison(
                "gill", f"{row['model']}: {which} base stick", stated, stated, piece.length_mm, HALF_INCH, "stated",
                f"{row['long']} sticks along and {row['short']} across",
            )  # fmt: skip


def _boards() -> Iterator[Comparison]:
    for row in table("boards.csv"):
        length, width, margin = (float(row[key]) * MM_PER_IN for key in ("length_in", "width_in", "margin_in"))
        size = f"'{length} mm'" if row["outline"] == "round" else f"['{length} mm', '{width} mm']"
        low, high = (
            f"['{up} mm', '{length - 2 * margin} mm']"
            if row["outline"] == "round"
            else f"['{up} mm', '{length - 2 * margin} mm', '{width - 2 * margin} mm']"
            for up in (0, 50)
        )
        design = reader.parse(
            f"[spokes]\nreed = '{row['spoke']}'\nends = {row['holes']}\n"
            f"[form]\noutline = '{row['outline']}'\nbase = {size}\nwall = [{low}, {high}]\n"
            f"[base]\nkind = 'board'\nfoot = {[each.strip() for each in (row['foot'] or 'behind 1 out').split(';')]}\n"
            "[[band]]\nweave = 'three-rod wale'\nreed = 'round 2'\nrows = 3\n[border]\nrows = ['behind 1 out']\n"
        )
        board = planning.plan(design).board
        note = f"{row['holes']} holes, margin {row['margin_kind']}"
        if row["apart_in"]:
            apart = float(row["apart_in"]) * MM_PER_IN
            yield Comparison(
                "gill", f"{row['model']}: holes apart", apart, apart, board.holes.pitch_mm, NEAREST_QUARTER, "stated",
                note,
            )  # fmt: skip
        if row["below_in"]:
            bare = sum(mm for name, mm, _, _ in board.foot.parts if name in ("path", "bends"))
            below = float(row["below_in"]) * MM_PER_IN
            yield Comparison(
                "gill", f"{row['model']}: foot below the board", below, below, board.foot.length_mm, ENOUGH, "stated",
                f"{note}; bare path {show_length(bare)}", bare,
            )  # fmt: skip


def _handles_and_lids() -> Iterator[Comparison]:
    for row in table("handles_and_lids.csv"):
        model, quantity = row["quantity"].split(": ")
        value, source = float(row["value"]), row["source"]
        if quantity.endswith("handle core"):
            kind, reed = ("bow", "round 8") if model == "M36" else ("side", "round 5")
            tail = f'[[handle]]\nkind = "{kind}"\ncore = "{reed}"\n'
            core = planning.plan(reader.parse(_authority("gill_m36") + tail)).pieces[-1]
            least = core.length_mm - sum(mm for name, mm, _, _ in core.parts if name == "to spare")
            note = "height not given: McGaw's" if model == "M36" else "size not given: four fingers, 2 in deep"
            yield Comparison(
                source, row["quantity"], value * MM_PER_IN, value * MM_PER_IN, core.length_mm, ENOUGH, row["kind"],
                f"{note}; slype needs {show_length(least)} at the least", least,
            )  # fmt: skip
        elif model == "M17":
            handle = Handle("rope", reed_named("round 4"), reed_named("round 2"))
            yield Comparison(
                source, row["quantity"], value, value, twist(handle, 200.0, "M17").rods, A_REED, row["kind"],
                "the slant is not given", 0.0, "count",
            )  # fmt: skip
        elif model == "M20":
            lid = (
                '[lid]\nspokes = { reed = "round 3", ends = 13 }\nborder = ["over 1 in", "over 1 out"]\n'
                'band = [{ weave = "randing", reed = "round 2" }]\n'
            )
            plan = planning.plan(reader.parse(_authority("gill_m20") + lid))
            need = plan.lid.laid.border
            bare = sum(mm for name, mm, _, _ in need.parts if name in ("path", "bends"))
            least = plan.lid.design.form.base_mm + 2 * bare
            yield Comparison(
                source, row["quantity"], value * MM_PER_IN, value * MM_PER_IN, plan.lid.spokes.length_mm, ENOUGH,
                row["kind"], f"on an assumed mouth of 3 1/2 in; slype needs {show_length(least)} at the least", least,
            )  # fmt: skip
        else:
            yield Comparison(
                source, row["quantity"], value * MM_PER_IN, value * MM_PER_IN, _white_cover(), HALF_INCH, row["kind"],
                "at its spokes, over a straight basket 4 1/2 in across",
            )  # fmt: skip


def _authority(name: str) -> str:
    return (AUTHORITIES / "designs" / f"{name}.toml").read_text(encoding="utf-8")


def _white_cover() -> float:
    """Width of a lid over the border of White's straight basket (pp. 41-42)."""
    spokes = '{ reed = "round 3", ends = 17 }'
    text = (
        f'spokes = {spokes}\n[form]\nbase = "4 1/2 in"\nwall = [["0 in", "4 1/2 in"], ["1 3/4 in", "4 1/2 in"]]\n'
        '[[band]]\nweave = "three-rod wale"\nreed = "round 2"\nuntil = "top"\n'
        '[border]\nrows = ["behind 1 out", "over 1 in"]\n'
        f'[lid]\nseat = "over"\ndepth = "7/8 in"\nspokes = {spokes}\nborder = ["over 1 in", "over 1 out"]\n'
        'band = [{ weave = "pairing", reed = "round 2" }, '
        '{ where = "side", weave = "three-rod wale", reed = "round 2", until = "top" }]\n'
    )
    return planning.plan(reader.parse(text)).seat.across_mm
