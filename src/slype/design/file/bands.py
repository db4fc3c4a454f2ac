"""Bands of the design file: TOML tables in, `Band` values out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any

from ...errors import DesignError, Place
from ...form.tiers import MOST_ENDS
from ...reeds import Reed
from ...such_as import such_a_reed, such_as
from ...weave.effects import weaver_colours
from ...weave.table import EVERY_END, Weave, free_weave, weave_named
from .. import values as d
from ..counts import check_added, check_group, check_shift, check_start
from .keys import known_keys
from .stuff import read_colour, read_reed
from .toml import Table, shown

MOST_BANDS = 100
ODD_ENDS = ("with", "alone")
"""Where ends go that groups leave over: one each with the first groups, or a group of their own."""


def read_bands(values: object, own: dict[str, Reed], palette: dict[str, str], spokes: d.Spokes) -> tuple[d.Band, ...]:
    if not isinstance(values, list):
        raise DesignError(f"should be a list of tables, not {shown(values)}.", "band", "Write each band as [[band]].")
    if not values:
        raise DesignError("there is no band to weave.", "band", "Write at least one [[band]].")
    if len(values) > MOST_BANDS:
        raise DesignError(f"{len(values)} bands is more than one basket holds.", "band", f"At most {MOST_BANDS}.")
    bands = tuple(_band(values, i, own, palette, spokes) for i in range(len(values)))
    if any(a.where == "side" and b.where == "base" for a, b in pairwise(bands)):
        raise DesignError("a base band comes after a side band.", "band", "List the bands in the order you weave them.")
    return bands


def _band(values: list[Any], at: int, own: dict[str, Reed], palette: dict[str, str], spokes: d.Spokes) -> d.Band:
    """Band number `at`, from 0, of the tables `values`: those before it may have added ends."""
    place = Place.of("band", at)
    table = Table(values[at], place, known_keys("band"))
    if not table.values:
        raise DesignError("is empty.", place, "Give at least where, weave, reed, colours and rows.")
    where = table.text("where", "side", ("base", "side"))
    weave, strands = read_weave(table)
    if "reed" not in table.values:
        raise DesignError("is missing.", table.at("reed"), f'For example reed = "{such_a_reed("round 3")}".')
    colours = table.values.get("colours", ["natural"])
    if isinstance(colours, str):
        colours = [colours]
    if not isinstance(colours, list) or not colours:
        raise DesignError("should be a list of colours.", table.at("colours"), 'For example ["rust", "sand"].')
    if len(colours) > MOST_ENDS:
        raise DesignError(f"{len(colours)} colours is more than there are weavers.", table.at("colours"))
    colours = tuple(read_colour(c, palette, table.at("colours")) for c in colours)
    before = ends_where(values, at, spokes)
    added = _add(table, spokes, where, before, first=at == 0)
    group, odd_alone, spaces = groups_of(table, before + added.get("add", 0))
    weaver_colours(
        weave, spaces, colours, strands, table.at("colours")
    )  # asked early, so that the message names the key
    start = table.count("start", 1, 1, MOST_ENDS) - 1
    check_start(start, spaces, table.place)
    band = d.Band(
        where=where,
        weave=weave,
        strands=strands,
        colours=colours,
        group=group,
        odd_alone=odd_alone,
        reed=read_reed(table.values["reed"], own, table.at("reed")),
        start=start,
        blocks=_blocks(table, spaces),
        strand_mm=table.length("length", 100.0, 20_000.0),
        **added,
    )
    return replace(band, **_how_far(table, where))


def ends_where(values: Sequence[object], at: int, spokes: d.Spokes, usual: str = "side") -> int:
    """Ends that stand where band `at` (from 0) of these tables is worked, before it adds its own.

    What is no count adds none; `usual` is where a band is worked that does not say.
    """

    def where(value: object) -> object:
        return value.get("where", usual) if isinstance(value, dict) else usual

    here = where(values[at])
    added = 0
    for value in values[:at]:
        add = value.get("add") if isinstance(value, dict) else None
        # What is added in the base runs on up the side.
        if isinstance(add, int) and not isinstance(add, bool) and add > 0 and where(value) in ("base", here):
            added += add
    return (spokes.ends_at_base if here == "base" else spokes.ends) + added


def groups_of(table: Table, ends: int) -> tuple[int, bool, int]:
    """(ends worked as one, whether those left over are a group of their own, spaces) of a band on so many ends."""
    group = table.count("groups", 1, 1, MOST_ENDS)
    check_group(group, ends, table.place)
    alone = table.text("odd", "with", ODD_ENDS) == "alone"
    if "odd" in table.values and group == 1:
        raise DesignError("says nothing without groups.", table.at("odd"), "Say how many go as one: groups = 4.")
    return group, alone, len(d.group_sizes(ends, group, alone))


def _add(table: Table, spokes: d.Spokes, where: str, stand: int, first: bool) -> dict[str, Any]:
    """What a band says of ends added before it, beside the `stand` that are there."""
    if "add" not in table.values:
        if "add_at" in table.values:
            raise DesignError("says nothing without add.", table.at("add_at"), "Say how many: add = 8.")
        return {}
    add, at = table.count("add", None, 1, MOST_ENDS), table.text("add_at", "round", ("round", "curves"))
    assert add is not None, "the key is there"
    if where == "base" and (first or spokes.inserted):
        said, remedy = (
            ("is before the first row, where nothing holds them.", "Say more ends under [spokes].")
            if first
            else ("is for bases whose spokes run through.", "Give more base_ends, or add them at the side.")
        )
        raise DesignError(said, table.at("add"), remedy)
    check_added(add, stand, at == "curves", table.place)
    return {"add": add, "on_curves": at == "curves"}


def _how_far(table: Table, where: str) -> dict[str, Any]:
    given = [key for key in ("rows", "height", "until") if key in table.values]
    if len(given) != 1:
        said = "does not say how far it goes" if not given else f"says how far it goes {len(given)} times"
        high, until = such_as("1 1/2 in", "4 cm"), such_as("7 in", "18 cm") if where == "base" else "top"
        raise DesignError(f"{said}.", table.place, f'Give one of rows = 12, height = "{high}", until = "{until}".')
    if given == ["rows"]:
        return {"rows": table.count("rows", None, 1, d.MOST_ROWS)}
    if given == ["height"]:
        return {"height_mm": table.length("height")}
    if table.values["until"] == "top":
        if where == "base":
            raise DesignError('a base has no "top".', table.at("until"), "Give a diameter.")
        return {"to_top": True}
    return {"until_mm": table.length("until", 10.0 if where == "base" else 1.0)}


def _blocks(table: Table, spaces: int) -> d.Blocks | None:
    if "blocks" not in table.values:
        return None
    inner = Table(table.values["blocks"], table.at("blocks"), ("rows", "shift"))
    rows = inner.count("rows", None, 1, d.MOST_ROWS)
    if rows is None:
        raise DesignError("is missing.", inner.at("rows"), "For example blocks = { rows = 6, shift = 2 }.")
    shift = inner.count("shift", 1, 0, MOST_ENDS)
    check_shift(shift, spaces, inner.place)
    return d.Blocks(rows, shift)


def read_weave(table: Table) -> tuple[Weave, int]:
    """The weave with what the band changes in it, and how many strands are worked as one."""
    reverse = table.values.get("reverse", None)
    if reverse is not None and not isinstance(reverse, bool) and reverse != "alternate":
        raise DesignError(
            f"{shown(reverse)} is not one of its values.", table.at("reverse"), 'true, false or "alternate".'
        )
    cycle = _cycle(table)
    weavers = table.count("weavers", None, 1, MOST_ENDS)
    if "weave" in table.values:
        weave = weave_named(table.values["weave"], table.at("weave"))
        if "turns" in table.values:
            raise DesignError(
                "a named weave already says how its weavers take turns.",
                table.at("turns"),
                "Leave out turns, or leave out weave.",
            )
        if weavers not in (None, weave.weavers):
            raise DesignError(
                f"{weave.name} has {weave.weavers or 'as many weavers as spaces'}, not {weavers}.",
                table.at("weavers"),
                "Leave out weavers, or leave out weave for a free weave.",
            )
        if cycle is not None:
            weave = _with_cycle(weave, cycle, table.place)
    else:
        if cycle is None:
            raise DesignError(
                "names no weave.", table.place, 'Give weave = "three-rod wale", or over, under and weavers.'
            )
        weave = free_weave(cycle, weavers or 1, table.text("turns", ""), where=table.place)
    strands = table.count("strands", weave.strands, 1, 6)
    if reverse is not None:
        if weave.turns != "stroke" and reverse:
            raise DesignError(
                f"{weave.name} has no others to be laid under.",
                table.at("reverse"),
                "Only weavers that take turns can be reversed.",
            )
        weave = replace(weave, reverse={True: (True,), False: (False,), "alternate": (False, True)}[reverse])
    return replace(weave, strands=strands), strands


def _cycle(table: Table) -> tuple[tuple[int, int], ...] | None:
    over, under = table.count("over", None, 1, 50), table.count("under", None, 1, 50)
    listed = table.values.get("cycle")
    if listed is None:
        if over is None and under is None:
            return None
        return ((over or 1, under or 1),)
    if over is not None or under is not None:
        raise DesignError("say either over and under, or cycle, not both.", table.at("cycle"))
    good = (
        isinstance(listed, list)
        and 2 <= len(listed) <= 40
        and len(listed) % 2 == 0
        and all(isinstance(n, int) and not isinstance(n, bool) and 1 <= n <= 50 for n in listed)
    )
    if not good:
        raise DesignError(
            "should list over, under, over, under … as whole numbers from 1.",
            table.at("cycle"),
            "For example cycle = [2, 1, 1, 1].",
        )
    return tuple(zip(listed[::2], listed[1::2], strict=True))


def _with_cycle(weave: Weave, cycle: tuple[tuple[int, int], ...], where: str) -> Weave:
    changed = replace(weave, cycle=cycle)
    if weave.turns == "stroke" and changed.reach != weave.weavers and cycle != weave.cycle:
        raise DesignError(
            f"{weave.name} has {weave.weavers} weavers, so over and under must add up to {weave.weavers}; "
            f"here they make {changed.reach}.",
            where,
            "Or leave out weave and give weavers, over and under.",
        )
    if weave.weavers == EVERY_END and len(cycle) > 1:
        raise DesignError(f"{weave.name} takes one over and one under.", where)
    return changed
