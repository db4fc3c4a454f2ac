"""Reeds as they are handed on: on the basket's surface, and in space.

A curve is points (u, s, n) on the surface: u spokes round in the direction of work, s along it, n through it. What
stands is in `surface.standing`, what is woven in `surface.woven`; `tubes` lays them in space.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from ..lay.values import Laid

STICK_MM = 1.5  # between two points of a stick or a spoke on the surface


@dataclass(frozen=True, eq=False, kw_only=True)
class Which:
    """Which reed of the basket it is, each from 0 and -1 where it is none.

    Of a weaver its `band`, `block` (setting-in of that band), `weaver`, `strand` of those worked as one and `piece`
    between joins; of all others the `end` or spoke it belongs to, and the `band` before which it was pushed in, where
    it did not stand from the start.
    """

    band: int = -1
    block: int = -1
    weaver: int = -1
    strand: int = -1
    piece: int = -1
    end: int = -1


OF_NO_BAND: dict[str, Any] = dict.fromkeys(Which.__dataclass_fields__, -1)
"""What a tube says that is no reed of the basket's own: one of a foot or a lid."""


Upright = tuple[str, int, int]
"""Which standing reed a spoke, a bye-spoke or an end of a border is a part of: "" or the "foot" or "lid" it belongs to,
the number of its spoke and which of the reeds that stand there, both from 0. All parts of one reed say the same."""


@dataclass(frozen=True, eq=False)
class Curve(Which):
    """One reed on the basket's surface.

    `name` is unique, in words: "band 3, weaver 2, rust", "spoke 5", "border end 5", "base stick 3". `role` is "weaver",
    "spoke", "bye-spoke", "stick" or "border", `where` "base", "side" or "foot", `colour` a name of the design's
    palette.

    u, s, n (k,): `u` spokes round in the direction of work (base: base ends round), spoke j at j + 1/2; `s` mm along
    the surface (base: from the centre; side: along the wall from the base's edge; foot: straight up from there); `n` mm
    through the wall, positive outside and on the underside of the base. `of` is "lid" for a reed of the lid, else
    empty; `upright` None of what does not stand. `place` (k,) of a weaver below added ends: its places among the ends
    it was woven on, where `u` are those among the ends that stand last.
    """

    name: str
    role: str
    where: str
    colour: str
    thick_mm: float
    u: np.ndarray
    s: np.ndarray
    n: np.ndarray
    of: str = ""
    place: np.ndarray | None = None
    upright: Upright | None = None


TAILS = TAIL_AT_START, TAIL_AT_END = "tail left at its start", "tail left at its end"
"""The bits of a weaver that are trimmed off at last."""


@dataclass(frozen=True, eq=False)
class Tube(Which):
    """One reed in space: `points` (k, 3) mm along its middle, z up from the base; `thick_mm` its diameter.

    `when` (k,) the moment at which each point is laid (`order.times`), None where it was not asked for; `hangs` what
    hangs from it while it waits (`order.loose_ends`), of a reed of a foot or a lid; `upright` as of a curve. `bit`:
    what it is of the reed named `of_reed`, where it is not the reed itself: one of TAILS, or what a drawing makes. `of`
    "foot" or "lid" of a reed of such, then `own_band` is the band of that, from 0.
    """

    name: str
    role: str
    colour: str
    thick_mm: float
    points: np.ndarray
    when: np.ndarray | None = None
    hangs: tuple[tuple[float, str], ...] = ()
    upright: Upright | None = None
    bit: str = ""
    of_reed: str = ""
    of: str = ""
    own_band: int = -1


def along(tube: Tube, points: np.ndarray, when: np.ndarray | None = None) -> Tube:
    """The tube along other points (and their times): as `dataclasses.replace`, but for drawings that cut reeds into ten
    thousand pieces in one go several times as quick."""
    out = object.__new__(Tube)
    out.__dict__.update(tube.__dict__, points=points, when=when)
    return out


@dataclass(frozen=True)
class Names:
    """What the reeds of a basket are called, before their numbers; its bands by their own number unless `band` says."""

    spoke: str = "spoke"
    border_end: str = "border end"
    band: str = ""


OWN = Names()
OF_FOOT = Names("foot spoke", "foot border, end", "foot")
"""Of the small basket below a woven base, whose only band is the foot."""


def end_named(laid: Laid, called: str, end: int, reed: int = 0) -> str:
    """What reed number `reed` of an `end` is called, both from 0: a spoke, or its end in a border (`Names`)."""
    per_end = laid.design.spokes.per_end
    return f"{called} {end + 1}" + (", bye-spoke" if reed == per_end else f", reed {reed + 1}" if per_end > 1 else "")


def stick_named(end: int, reed: int = 0, beside: int = 1) -> str:
    """What reed number `reed`, of so many `beside` each other, of a base end is called, both from 0."""
    return f"base stick {end + 1}" + (f", reed {reed + 1}" if beside > 1 else "")


def named_of(other: str, name: str) -> str:
    """What a reed with its own `name` is called where it belongs to the "lid" of a basket: only there (`OF_FOOT`)."""
    return f"{other}, {name}"


def of_other(other: str, reed: Tube) -> dict[str, Any]:
    """What changes in the numbers of a reed that belongs to the "foot" or the "lid" of a basket."""
    return {**OF_NO_BAND, "upright": reed.upright and (other, *reed.upright[1:]), "of": other, "own_band": reed.band}


def firsts(reeds: Sequence[Curve | Tube]) -> list[int]:
    """For each of these the number of the first that is a part of the same reed: its own, unless it stands."""
    found: dict[Upright, int] = {}
    return [i if each.upright is None else found.setdefault(each.upright, i) for i, each in enumerate(reeds)]


class SameBase:
    """A basket that counts as every other whose base is the same: what is drawn of a base is remembered by it, so that
    a change further up need not wait for it."""

    def __init__(self, laid: Laid) -> None:
        design = laid.design
        form = design.form
        foot = (form.outline, form.base_mm, form.base_sides, form.wall[0], form.wall_sides[:1])
        woven = tuple((band.index, band.band, band.start_s, band.end_s, band.rows) for band in laid.base)
        self.laid = laid
        self.key = (design.spokes, foot, design.base, design.bye_spokes, woven, laid.cross_mm)

    def __hash__(self) -> int:
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, SameBase) and self.key == other.key
