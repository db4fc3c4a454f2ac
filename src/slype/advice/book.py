"""The book of advice: what a rule is, and the table that holds them all.

A rule is one record: how grave it is, its sentences (templates for `words.say`), its reason, remedy and source, and a
search that yields what it finds as (where, values). The rules themselves stand in `advice.counts`, `advice.room`,
`advice.spacing`, `advice.look`, `advice.attachments` and `advice.work`; `advice.advise` runs them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from ..design.values import Design
from ..lay.joins import JoinPlan
from ..lay.laying import BandLaid, Laid
from ..quantity import show_length


@dataclass(frozen=True)
class Rule:
    """One rule. `weight` stop, warn or note; `message`, `why` and `remedy` are templates for `words.say`.

    `remedy_changes` turns what the search found into the changes that the remedy names first, in the form of
    `apply.apply`; None where a remedy is work of the hands, or a choice that only the maker can make.
    """

    key: str
    weight: str
    message: str
    why: str
    remedy: str
    source: str
    look: Callable[[Laid, tuple[JoinPlan, ...]], Iterator[tuple[str, dict[str, object]]]]
    remedy_changes: Callable[[Design, dict[str, object]], tuple[dict[str, object], ...]] | None = None


@dataclass(frozen=True)
class Finding:
    """A rule met in a design, `where`, its sentences filled in for the design's wording; `changes` to the design that
    follow the remedy, for `apply.apply`, or none."""

    rule: Rule
    where: str
    message: str
    why: str
    remedy: str
    changes: tuple[dict[str, object], ...] = ()

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


RULES: dict[str, Rule] = {}


def rule(key: str, weight: str, message: str, why: str, remedy: str, source: str, changes=None):
    """Register the decorated search as a rule."""

    def register(look):
        RULES[key] = Rule(key, weight, message, why, remedy, source, look, changes)
        return look

    return register


def band_name(band: BandLaid) -> str:
    """`band 3 (pairing)`."""
    return f"band {band.index + 1} ({band.band.weave.name})"


def shown(design: Design, mm: float) -> str:
    """A length in the design's units, to a sixteenth of an inch."""
    return show_length(mm, design.units, 16)
