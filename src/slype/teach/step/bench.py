"""What every step draws on: one basket's plan, its order of work and its bundles, and how things are said of it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from itertools import groupby

from ...borders.meetings import threads
from ...lay.values import BandLaid
from ...order.kinds import ACTS, Moments, WorkPart
from ...order.moments import moments
from ...plans.bundles import Bundle, bundle_of_piece, bundles, bundles_of_band
from ...plans.planning import Plan
from ...tell.bands import strand_colours
from ...tell.strokes import passed
from ...tell.voice import length_by_eye, length_to_cut, length_with_cm, reed_short, voice
from ...words import listed, several


class Bench:
    """One basket on the bench. `whole` the plan whose bundles are numbered: of a lid that of its basket."""

    def __init__(self, plan: Plan, whole: Plan | None = None) -> None:
        self.plan, self.design, self.laid = plan, plan.design, plan.laid
        self.whole = whole or plan
        self.is_lid = whole is not None
        self.tell = voice(plan.design, plan.laid.is_mat)[0]

    @cached_property
    def order(self) -> Moments:
        return moments(self.laid)

    @cached_property
    def bundles(self) -> tuple[Bundle, ...]:
        return bundles(self.whole)

    @cached_property
    def threads(self) -> Mapping[tuple[int, int], tuple[int, ...]]:
        """What the last ends of the border are led under, by (end, row), all from 0."""
        return threads(self.design.border, self.design.top_ends)

    @property
    def is_tied(self) -> bool:
        """True where the uprights are turned up and tied together at their tops."""
        return any(part.key == "turn" for part in self.order.parts)

    def part(self, key: str, band: int | None = None) -> WorkPart:
        """The part of this basket's work that is called so; it must have one."""
        return next(p for p in self.order.parts if not p.of and p.key == key and (band is None or p.band == band))

    def acts(self, part: WorkPart, act: str) -> list[int]:
        """Moments of a part that are of one act, in order."""
        code = ACTS.index(act)
        return [i for i in range(part.first, part.beyond) if self.order.act[i] == code]

    def of_band(self, band: BandLaid) -> tuple[Bundle, ...]:
        return bundles_of_band(self.bundles, band.index, self.is_lid)

    def goes_on(self, band: BandLaid) -> bool:
        """True where a band is woven on with the weavers of the one before."""
        return not self.acts(self.part(band.band.where, band.index), "set in")

    def begins_apart(self, band: BandLaid) -> bool:
        """True where a band's first start lies in other spaces than the last start of the one woven before it there."""
        at = self.laid.bands.index(band)
        before = self.laid.bands[at - 1] if at else None
        if before is None or before.band.where != band.band.where or before.spaces != band.spaces:
            return False
        old, new = self._starts(before, len(before.segments) - 1), self._starts(band, 0)
        return bool(old and new) and not old & new

    def _starts(self, band: BandLaid, block: int) -> set[int]:
        """The spaces, from 0, in which the weavers of one start of a band are set in; none where it goes on."""
        begun = self.acts(self.part(band.band.where, band.index), "set in")
        return {int(self.order.space[m]) for m in begun if self.order.block[m] == block}

    def standing(self, use: str, band: int | None = None) -> tuple[Bundle, ...]:
        """Bundles of what stands that are taken up at one place: "begin", "insert", "add" (before a band), "foot",
        "handle"."""
        mine = [p for p in self.plan.pieces if p.use == use and (band is None or p.band == band)]
        return tuple(bundle_of_piece(self.bundles, piece) for piece in mine)

    @cached_property
    def stood(self) -> tuple[str, str]:
        """What stands out of a base, one and several: spoke or, where they end at its edge, stick."""
        if self.design.spokes.inserted:
            return "stick", "sticks"
        return self.upright

    @property
    def upright(self) -> tuple[str, str]:
        """What stands at the side and is bent down in the border, one and several."""
        return self.tell("{spoke}"), self.tell("{spokes}")

    def faced(self, place: int, band: BandLaid) -> str:
        """How the work is turned before a move in a space (from 1)."""
        if band.band.where == "base":
            return f"Turn the base until {self.space(band)} {place} is at the top."
        return f"Turn the basket until {self.space(band)} {place} faces you."

    def take(self, bundle: Bundle) -> str:
        """`Take bundle 3: 2 weavers of No. 2 round reed, natural.`"""
        reed = reed_short(bundle.reed, self.design.wording)
        return f"Take bundle {bundle.number}: {several(bundle.count, 'length')} of {reed}, {bundle.colour}."

    def long(self, mm: float) -> str:
        """A length as it is measured."""
        return length_with_cm(self.design, mm)

    def about(self, mm: float) -> str:
        """A length judged by eye."""
        return length_by_eye(self.design, mm)

    def cut(self, mm: float) -> str:
        return length_to_cut(self.design, mm)

    def passes(self, band: BandLaid) -> tuple[str, str]:
        """What a weaver of a band passes, one and several: spoke, stick or group."""
        return passed(self.design, band)

    def space(self, band: BandLaid) -> str:
        """What the gaps of a band are called: of groups "group space"."""
        return "group space" if band.band.group > 1 else "space"

    def colour(self, band: BandLaid, weaver: int) -> str:
        return strand_colours(band.colours[weaver])

    def numbered(self, band: BandLaid, weaver: int) -> str:
        """`the weaver`, or `weaver 2` where there are several."""
        return "the weaver" if len(band.colours) == 1 else f"weaver {weaver + 1}"

    def weaver(self, band: BandLaid, weaver: int) -> str:
        """As `numbered`, with its colour where they differ: `weaver 2 (rust)`."""
        shades = {self.colour(band, k) for k in range(len(band.colours))}
        return self.numbered(band, weaver) + (f" ({self.colour(band, weaver)})" if len(shades) > 1 else "")

    def number(self, at: int, of: int) -> int:
        """A place as the maker counts it, from 1."""
        return at % of + 1


def numbers(found: list[int], one: str, many: str) -> str:
    """`spoke 3`, `spokes 3 and 4`, `spokes 3 to 7 and 9`: places counted from 1."""
    if len(found) == 1:
        return f"{one} {found[0]}"
    runs = [[n for _, n in run] for _, run in groupby(enumerate(found), key=lambda pair: pair[1] - pair[0])]
    told: list[str] = []
    for run in runs:
        told += [f"{run[0]} to {run[-1]}"] if len(run) > 3 else [str(n) for n in run]
    return f"{many} {listed(told)}"
