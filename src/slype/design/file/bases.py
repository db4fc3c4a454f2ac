"""The base of the design file: a TOML table in, a `Base` out."""

from __future__ import annotations

from ...errors import DesignError, Place, did_you_mean
from ...form.bases import BEGIN, BOARD_MM, KINDS, ODD, Base, kind_named
from ...form.tiers import MOST_ENDS
from ...form.wall import Form
from ...quantity import MM_PER_IN, show_length
from ...such_as import such_as
from ..counts import check_sets, check_through
from ..values import Band, Spokes
from .borders import read_border
from .keys import known_keys
from .toml import Table

_ONLY = {
    "through": "pierced cross",
    "sets": "interlaced",
    "margin": "board",
    "thickness": "board",
    "foot": "board",
}


def ends_from_base(values: object, spokes: object) -> object:
    """The [spokes] table with its count of ends, where [base] says how many stand beside each base end."""
    if not isinstance(values, dict) or "beside" not in values or not isinstance(spokes, dict) or "ends" in spokes:
        return spokes
    beside = Table(values, "base", known_keys("base")).count("beside", None, 1, 2)
    base_ends = Table(spokes, "spokes").count("base_ends", None, 3, 400)
    if base_ends is None:
        raise DesignError(
            "says nothing without base_ends.", Place.of("base", "beside"), "Give base_ends under [spokes]."
        )
    assert beside is not None, "the key is there"
    return {**spokes, "ends": beside * base_ends}


def read_base(values: object, spokes: Spokes, form: Form, bands: tuple[Band, ...]) -> Base:
    """The base of a design. Raises DesignError naming the key."""
    table = Table(values, "base", known_keys("base"))
    kind = kind_named(table.text("kind", "laid cross"), table.at("kind"))
    for key, only in _ONLY.items():
        if key in table.values and kind != only:
            raise DesignError(f'only belongs to kind = "{only}".', table.at(key), "Leave it out.")
    odd = table.text("odd", "half")
    if odd not in ODD:
        raise DesignError(f'"{odd[:40]}" is not a way to an odd count.', table.at("odd"), did_you_mean(odd[:40], ODD))
    _check_beside(table, spokes)
    if not KINDS[kind].sticks:
        return _board(table, spokes, form, bands)
    if not form.is_round and kind != "laid cross":
        raise DesignError(f"a base that is {kind} is for round baskets.", table.at("kind"), "Leave it out.")
    if "odd" in table.values and spokes.ends_at_base % 2 == 0:
        raise DesignError(f"{spokes.ends_at_base} ends are an even count.", table.at("odd"), "Leave it out.")
    sticks = spokes.ends_at_base // 2
    through = table.count("through", None, 1, MOST_ENDS)
    check_through(through, spokes)
    if kind == "pierced cross" and through is None:
        through = sticks // 2
    sets = table.count("sets", None, 1, 50) or 0
    if kind == "interlaced":
        sets = check_sets(sets, spokes, table.at("sets"))
    return Base(kind, through, sets, odd, begin=_begin(table, bands))


def _begin(table: Table, bands: tuple[Band, ...]) -> str:
    """How the first two weavers are set in; only two of one reed and one colour can be one reed, folded."""
    begin = table.text("begin", "cut")
    if begin not in BEGIN:
        raise DesignError(f'"{begin[:40]}" is not a way to begin.', table.at("begin"), did_you_mean(begin[:40], BEGIN))
    first = next((band for band in bands if band.where == "base"), None)
    if begin == "folded" and (first is None or first.weave.weavers != 2 or len(set(first.colours)) > 1):
        raise DesignError(
            "a weaver folded in half makes two of one colour.",
            table.at("begin"),
            "Begin the base with pairing in one colour, or leave begin out.",
        )
    return begin


def _check_beside(table: Table, spokes: Spokes) -> None:
    beside = table.count("beside", None, 1, 2)
    if beside is None:
        return
    if not spokes.inserted:
        raise DesignError(
            "only belongs to inserted side spokes.", table.at("beside"), "Say inserted = true under [spokes]."
        )
    whole = beside * spokes.base_ends
    if spokes.ends not in (whole, whole - 1):
        raise DesignError(
            f"{beside} beside each of {spokes.base_ends} base ends makes {whole}, or {whole - 1} with one left out; "
            f"the spokes say {spokes.ends}.",
            table.at("beside"),
            f"Give ends = {whole}, or leave ends out.",
        )


def _ring_of_holes(form: Form) -> str:
    """A first point of the wall that leaves a board its edge, as it is written."""
    units = such_as("in", "cm")
    edge = 2 * (15.0 if units == "cm" else 0.625 * MM_PER_IN)  # to either side
    sides = [form.base_length_mm, *([] if form.outline == "round" else [form.base_width_mm])]
    inset = min(edge, min(sides) / 4)
    return ", ".join([f'["0 {units}"', *(f'"{show_length(side - inset, units)}"' for side in sides)]) + "]"


def _board(table: Table, spokes: Spokes, form: Form, bands: tuple[Band, ...]) -> Base:
    if spokes.long_sticks is not None:
        raise DesignError("a board has no sticks.", Place.of("spokes", "long_sticks"), "Leave it out.")
    if spokes.inserted:
        raise DesignError(
            "spokes of a board stand in its holes and are not inserted.", table.at("kind"), "Leave inserted out."
        )
    woven = next((i for i, band in enumerate(bands) if band.where == "base"), None)
    if woven is not None:
        raise DesignError(
            "a board is not woven.",
            Place.of("band", woven, "where"),
            "Leave the base bands out, or another kind of base.",
        )
    if "foot" not in table.values:
        raise DesignError(
            "is missing: how the ends below are worked.",
            table.at("foot"),
            'For example ["behind 1 out", "over 1 down"].',
        )
    (length, width, _), margin = form.sides(0.0), table.length("margin", 2.0, 200.0)
    left = min(form.base_length_mm - float(length), form.base_width_mm - float(width)) / 2
    if margin is not None and abs(left - margin) > 1.0:
        raise DesignError(
            f"the wall begins {left / 10:.1f} cm in from the edge of the board, not {margin / 10:.1f} cm.",
            table.at("margin"),
            f"Begin the wall {2 * margin / 10:.1f} cm narrower than the board, or leave margin out.",
        )
    if left < 1.0:
        raise DesignError(
            "the holes would lie on the edge of the board.",
            "form, wall, point 1",
            f"Begin the wall on the ring of holes, for example {_ring_of_holes(form)} on this board.",
        )
    return Base(
        "board",
        thickness_mm=table.length("thickness", 1.0, 60.0) or BOARD_MM,
        foot=read_border(table.values["foot"], Place.of("base", "foot"), foot=True),
    )
