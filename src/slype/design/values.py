"""The whole document a maker writes, as frozen values. Knows no solver, no screen.

`design.file.reader` turns TOML into a `Design`; everything here is already in mm and already checked for itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np

from ..borders.rows import Border
from ..errors import Place
from ..form.bases import Base, sticks_each_way
from ..form.handles import Handle
from ..form.tiers import FEWEST_ENDS, Tier, with_more
from ..form.wall import Form
from ..reeds import Reed
from ..weave.table import Weave
from .gauge import Gauge
from .rules import check_names

HANDS = ("right", "left")
WORDINGS = ("us", "uk")
UNITS = ("in", "cm")
MOST_ROWS = 2000


@dataclass(frozen=True)
class Spokes:
    """What stands: `ends` to begin with (see `Band.add` for more); `per_end` reeds side by side in each; `inserted`
    beside base sticks or running through; `base_ends` standing round the base; `insertion_mm` how deep an inserted
    spoke is pushed; `long_sticks` along a base that is not round, None for as many as stand evenly."""

    reed: Reed
    ends: int
    inserted: bool = False
    per_end: int = 1
    colour: str = "natural"
    base_reed: Reed | None = None
    base_ends: int = 0
    insertion_mm: float = 25.4
    long_sticks: int | None = None

    @property
    def stick_reed(self) -> Reed:
        """Reed of the base sticks: the spokes' own when they run through."""
        return self.base_reed or self.reed

    @property
    def ends_at_base(self) -> int:
        """Ends standing round the base."""
        return self.base_ends if self.inserted else self.ends


@dataclass(frozen=True)
class Blocks:
    """End the weavers after every `rows` rows and set them in again `shift` spaces further on."""

    rows: int
    shift: int


@dataclass(frozen=True)
class Band:
    """A run of rows of one weave. Exactly one of `rows`, `height_mm`, `until_mm`, `to_top` says how far it goes.

    `until_mm` is a diameter in the base, a height of the wall above the base at the side. `start` is the space (from
    0, along the direction of work) in which the first weaver is set; `group` the number of ends worked as one, and
    `odd_alone` says that ends left over are a group of their own, the first; `strand_mm` the length of one reed, for
    joins, or None for the reed's usual length. `add` ends are pushed in before its first row and stand from there on,
    all round or only `on_curves` of an oval.
    """

    where: str
    weave: Weave
    reed: Reed
    colours: tuple[str, ...]
    strands: int = 1
    rows: int | None = None
    height_mm: float | None = None
    until_mm: float | None = None
    to_top: bool = False
    start: int = 0
    group: int = 1
    odd_alone: bool = False
    blocks: Blocks | None = None
    strand_mm: float | None = None
    add: int = 0
    on_curves: bool = False

    @property
    def usable_mm(self) -> float:
        """Length of one reed as woven with."""
        return self.strand_mm or self.reed.strand_mm

    def sizes(self, ends: int) -> list[int]:
        """Ends in each group that the band is worked over, from space 1, when so many stand there."""
        return group_sizes(ends, self.group, self.odd_alone)

    def spaces(self, ends: int) -> int:
        """Spaces between the groups (or single ends) of so many ends."""
        return len(self.sizes(ends))


@dataclass(frozen=True)
class ByeSpokes:
    """A bye-spoke beside every end of the side: pushed in before band `first` (an index), in the base's edge or in the
    upsett, `insertion_mm` deep; woven down in the border, or cut off below it. Its `reed` may be another."""

    reed: Reed
    colour: str
    first: int
    in_upsett: bool = False
    to_border: bool = True
    insertion_mm: float = 25.4


@dataclass(frozen=True)
class Foot:
    """A foot below a woven base: ends of `reed` pushed in beside the spokes at its edge, `insertion_mm` deep, held by a
    `band` of so many rows, and worked into a `border`."""

    reed: Reed
    colour: str
    border: Border
    band: Band
    insertion_mm: float = 25.4


@dataclass(frozen=True)
class Pace:
    """Speeds and reserve for the plan: those of a beginner in a class, an expert is two or three times as fast (common
    practice, no source; a maker's own watch is the better truth). One stroke, one end of one border row, one reed set
    in or joined, one row packed, one stick of the cross laid and tied, one spoke pushed in, turned up, one tip cut."""

    strokes_per_minute: float = 8.0
    border_seconds: float = 20.0
    join_seconds: float = 60.0
    pack_seconds: float = 30.0
    stick_seconds: float = 60.0
    push_seconds: float = 30.0
    turn_seconds: float = 12.0
    trim_seconds: float = 6.0
    reserve: float = 0.10


@dataclass(frozen=True)
class Prices:
    """What the maker pays and asks, in `currency`: `coil` for one coil of any reed, `coils` (reed key, price) where one
    differs, `hour` of work, `overhead` as a share of both. None: not said; nothing is ever guessed."""

    currency: str = "$"
    coil: float | None = None
    coils: tuple[tuple[str, float], ...] = ()
    hour: float | None = None
    overhead: float = 0.0


@dataclass(frozen=True)
class Lid:
    """A lid: `mat`, the design it is woven by but for its size; `seat` a key of `lids.SEATS`; `play_mm` room all round;
    `across_mm` its width, None where the mouth decides; `fills` the band woven to its edge, or None."""

    mat: Design
    seat: str
    play_mm: float
    across_mm: float | None = None
    fills: int | None = None


@dataclass(frozen=True)
class Design:
    """One basket. `palette` maps every colour name used to #rrggbb; `name` is what messages call the file.

    `tables` is what its file says, where it was read from one: a design made from another has none, so that they never
    say something else than the design. `of_lid` is true of a lid woven for a basket.
    """

    title: str
    spokes: Spokes
    form: Form
    bands: tuple[Band, ...]
    border: Border
    hand: str = "right"
    wording: str = "us"
    units: str = "in"
    palette: dict[str, str] = field(default_factory=dict)
    pace: Pace = Pace()
    name: str = "the design"
    base: Base = field(default_factory=Base)
    handles: tuple[Handle, ...] = ()
    lid: Lid | None = None
    prices: Prices | None = None
    bye_spokes: ByeSpokes | None = None
    foot: Foot | None = None
    gauge: Gauge | None = None
    of_lid: bool = False
    tables: Mapping[str, object] | None = field(default=None, init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        check_names(self.title, self.palette, {self.spokes.reed.key, *(band.reed.key for band in self.bands)})

    def at(self, *path: str | int) -> Place:
        """Where in its file something stands: `design.at("band", 2)` reads "the design, band 3"."""
        return Place(f"{self.name}, {Place.of(*path)}", path)

    def reworded(self, **words: Any) -> Design:
        """The same basket in another `hand`, `wording` or `units`; what its file says goes along."""
        if all(getattr(self, key) == value for key, value in words.items()):
            return self
        other = replace(self, **words)
        if self.tables is not None:
            said = self.tables.get("basket")
            basket = {**(said if isinstance(said, dict) else {}), **words}
            object.__setattr__(other, "tables", {**self.tables, "basket": basket})
        return other

    def bands_at(self, where: str) -> list[tuple[int, Band]]:
        """(index, band) of every band at "base" or "side", in order of work."""
        return [(i, band) for i, band in enumerate(self.bands) if band.where == where]

    @property
    def arms(self) -> list[int]:
        """Ends in each arm of the cross, round from space 1."""
        return arms(self.spokes.ends_at_base, self.base.through)

    @property
    def has_bow(self) -> bool:
        """True when a handle spans the mouth from side to side."""
        return any(not handle.record.at_side for handle in self.handles)

    @cached_property
    def _tiers(self) -> dict[str, tuple[Tier, ...]]:
        """Tiers of "base" and "side", from the first."""
        spokes, out = self.spokes, {}
        below = Tier(spokes.ends_at_base, None, spokes.long_sticks)
        for where in ("base", "side"):
            # Spokes that run through stand at the side where they stood at the base; inserted ones stand evenly.
            start = Tier(spokes.ends) if where == "side" and spokes.inserted else below
            tiers = [Tier(start.ends, None, start.on_curve)]
            for i, band in self.bands_at(where):
                if band.add:
                    tiers.append(self._more(tiers[-1], i, band))
            out[where], below = tuple(tiers), tiers[-1]
        return out

    def _more(self, below: Tier, index: int, band: Band) -> Tier:
        if band.on_curves:
            x, *_ = self.form.place(
                self.form.turn(np.arange(below.ends) + 0.5, below.ends, below.on_curve), np.zeros(below.ends)
            )
            chosen = np.flatnonzero(self.form.past_straight(x))
            return with_more(below, band.add, index, (len(chosen) + band.add) // 2, chosen.tolist())
        on_curve = below.on_curve and round(below.on_curve * (below.ends + band.add) / below.ends)
        return with_more(below, band.add, index, on_curve)

    def tiers(self, where: str) -> tuple[Tier, ...]:
        """What stands at the "base" or the "side", from the first band on; a new tier begins where ends are added."""
        return self._tiers[where]

    def tier_at(self, index: int) -> int:
        """Number of the tier, from 0, on which a band is worked."""
        where = self.bands[index].where
        return sum(tier.first is not None and tier.first <= index for tier in self.tiers(where))

    def turn(self, where: str, u: np.ndarray, tier: int = -1) -> np.ndarray:
        """Rings round, for `Form.place`, of places `u` among the ends of a tier of the base or the side (the last)."""
        stands = self.tiers(where)[tier]
        return self.form.turn(u, stands.ends, stands.on_curve)

    def ends_at(self, index: int) -> int:
        """Standing ends where a band is worked."""
        return self.tiers(self.bands[index].where)[self.tier_at(index)].ends

    def reeds_at(self, index: int) -> tuple[Reed, ...]:
        """Reeds that stand side by side in each end where a band is worked."""
        spokes, base = self.spokes, self.bands[index].where == "base"
        if base:
            return (spokes.stick_reed,) * (1 if spokes.inserted else spokes.per_end)
        own = (spokes.reed,) * spokes.per_end
        return (*own, self.bye_spokes.reed) if self.bye_spokes is not None and index >= self.bye_spokes.first else own

    @property
    def top_reeds(self) -> tuple[tuple[Reed, str], ...]:
        """(reed, colour) of what each end brings to the border, side by side."""
        bye_spokes = self.bye_spokes
        own = ((self.spokes.reed, self.spokes.colour),) * self.spokes.per_end
        return own + (
            ((bye_spokes.reed, bye_spokes.colour),) if bye_spokes is not None and bye_spokes.to_border else ()
        )

    @property
    def border_end_mm(self) -> float:
        """How thick an end lies in a closed border: its reeds one above the other."""
        return sum(reed.diameter_mm for reed, _ in self.top_reeds)

    @property
    def border_reed_mm(self) -> float:
        """Thickness that the border is reckoned with: that of the thickest reed in it."""
        return max(reed.diameter_mm for reed, _ in self.top_reeds)

    @property
    def flat_part(self) -> str:
        """What a maker calls what lies flat: the base of a basket, the top of a lid."""
        return "lid's top" if self.of_lid else "base"

    @property
    def foot_alone(self) -> Design:
        """The foot as a basket of its own, upside down: band and border on its ends, upright from the base's edge."""
        foot, form = self.foot, self.form
        assert foot is not None, "asked of a basket that has one"
        across = 2 * float(form.radius(0.0))
        length, width, corner = (float(each) for each in form.sides(0.0))
        sides = length, width, corner
        upright = ((0.0, across), (1000.0, across))
        ends, foot_gauge = self.foot_ends, self.gauge and self.gauge.elsewhere()
        return replace(
            self,
            title=f"Foot of {self.title}",
            spokes=Spokes(foot.reed, ends, inserted=True, colour=foot.colour, base_ends=max(FEWEST_ENDS, ends // 2)),
            form=Form(across, upright) if form.is_round else Form(across, upright, form.outline, sides, (sides, sides)),
            bands=(foot.band,),
            border=foot.border,
            name=f"{self.name}, foot",
            base=Base(),
            handles=(),
            lid=None,
            bye_spokes=None,
            foot=None,
            gauge=foot_gauge,
        )

    @property
    def foot_ends(self) -> int:
        """Ends standing where the side begins."""
        return self.tiers("side")[0].ends

    @property
    def top_ends(self) -> int:
        """Ends standing at the border."""
        return self.tiers("side")[-1].ends


ARMS = 4
"""Arms of a cross."""


def group_sizes(ends: int, group: int, odd_alone: bool = False) -> list[int]:
    """Ends in each group, as even as may be, when `ends` are worked `group` at a time; odd ones join the first (of
    four, every other first, as the arms of a cross hold them), or are a group of their own before it."""
    groups = max(1, ends // group)
    if odd_alone and ends > group and ends % group:
        return [ends % group] + [group] * groups
    each, odd = divmod(ends, groups)
    if groups == ARMS:
        return [each + ((i * odd + odd // 2) % ARMS < odd) for i in range(ARMS)]
    return [each + 1] * odd + [each] * (groups - odd)


def arms(ends: int, through: int | None = None) -> list[int]:
    """Ends in each arm of a cross, round from space 1.

    The larger half of the sticks lies below, the rest over them (common practice, no source), unless `through` says how
    many pass over or through the others. An odd end comes from a half stick laid with the upper ones; space 1 is at its
    arm, or else at one of the lower ones'.
    """
    below, over = sticks_each_way(ends // 2, through)
    return [over + 1, below, over, below] if ends % 2 else [below, over, below, over]
