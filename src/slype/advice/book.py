"""What a rule of advice is, and what one finds.

A rule is one record: how grave it is, its sentences (templates for `words.say`), its reason, remedy and source, and a
search that yields what it finds as (where, values). The rules themselves stand in the chapters that `advice.advise`
runs: `counts`, `even`, `room`, `spacing`, `look`, `at_rest`, `attachments` and `work`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from ..design.values import Design
from ..lay.joins import JoinPlan
from ..lay.values import BandLaid, Laid
from ..quantity import show_length

Search = Callable[[Laid, tuple[JoinPlan, ...]], Iterator[tuple[str, dict[str, Any]]]]
"""What a rule looks for: (where, values for its sentences) of everything found."""
Change = dict[str, Any]


@dataclass(frozen=True)
class Offer:
    """One way to mend what a rule found: `changes` to the design, in the form of `apply.apply`, and the `words` that
    fill the remedy's braces where it is the one that is offered."""

    changes: tuple[Change, ...]
    words: Mapping[str, object] = field(default_factory=dict)


Offers = Sequence[Offer] | Callable[[], Iterable[Offer]]
"""Offers, or what gives them when they are asked for: to think of them may take a while."""


@dataclass(frozen=True)
class Rule:
    """One rule. `weight` stop, warn or note; `message`, `why` and `remedy` are templates for `words.say`.

    What the search finds may hold `offers`, ways to mend it, the smallest change first: `advice.tried` takes the first
    that helps and does no harm. `button` says whether there ever are any; a remedy without is work of the hands, or a
    choice that only the maker can make. `at_rest` is True for what only reeds at rest can tell.
    """

    key: str
    weight: str
    message: str
    why: str
    remedy: str
    source: str
    look: Search
    button: bool = False
    at_rest: bool = False


@dataclass(frozen=True)
class Finding:
    """A rule met in a design, `where`, its sentences filled in for the design's wording; `changes` to the design that
    follow the remedy, for `apply.apply`, or none. `found` is what the search found, `offers` the ways to mend it that
    have not been tried yet; `of_lid` True of one of the lid's own."""

    rule: Rule
    where: str
    message: str
    why: str
    remedy: str
    changes: tuple[Change, ...] = ()
    found: Mapping[str, object] = field(default_factory=dict, repr=False)
    offers: Offers = field(default=(), repr=False)
    of_lid: bool = False

    def as_json(self) -> dict[str, object]:
        """The promised form."""
        return {
            "rule": self.rule.key,
            "weight": self.rule.weight,
            "where": self.where,
            "message": self.message,
            "remedy": self.remedy,
            "why": self.why,
            "source": self.rule.source,
            "changes": [dict(change) for change in self.changes],
        }


def rule(
    key: str,
    weight: str,
    message: str,
    why: str,
    remedy: str,
    source: str,
    *,
    button: bool = False,
    at_rest: bool = False,
):
    """Makes the decorated search a rule."""

    def of_search(look: Search) -> Rule:
        return Rule(key, weight, message, why, remedy, source, look, button, at_rest)

    return of_search


def band_name(band: BandLaid) -> str:
    """`band 3 (pairing)`."""
    return f"band {band.index + 1} ({band.band.weave.name})"


def shown(design: Design, mm: float) -> str:
    """A length in the design's units, to a sixteenth of an inch."""
    return show_length(mm, design.units, 16)


def shown_apart(design: Design, mm: float, limit_mm: float) -> str:
    """A length that is held against a limit: as fine as it takes to tell the two apart."""
    for part in (16, 32, 64):
        if show_length(mm, design.units, part) != show_length(limit_mm, design.units, part):
            return show_length(mm, design.units, part)
    more = "more" if mm > limit_mm else "less"
    return f"a hair {more} than {show_length(limit_mm, design.units, 16)}"
