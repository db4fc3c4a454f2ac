"""Running the book of advice over a laid basket.

"stop" means that no hands could weave it; "warn" that it will likely disappoint; "note" that it is worth knowing.
"""

from __future__ import annotations

from dataclasses import replace

from ..design.values import Design
from ..lay.joins import JoinPlan
from ..lay.values import Laid
from ..words import of_a_lid, say
from . import at_rest, attachments, counts, even, look, room, spacing, work
from .book import Finding, Offer, Rule, band_name
from .spacing import SPACING_MM

__all__ = ["RULES", "SPACING_MM", "WEIGHTS", "Finding", "Rule", "advise", "band_name", "filled", "must_stop"]

WEIGHTS = ("stop", "warn", "note")
CHAPTERS = (counts, even, attachments, look, at_rest, room, spacing, work)
RULES: dict[str, Rule] = {rule.key: rule for chapter in CHAPTERS for rule in chapter.RULES}
"""The book of advice: every rule by its key, in the order in which they are asked."""


def advise(laid: Laid, joins: tuple[JoinPlan, ...], at_rest: bool = False) -> list[Finding]:
    """Everything the rules find, the gravest first, in order of work; with `at_rest` only what reeds at rest tell.

    Remedies are in words alone; `advice.tried` finds out which of their offers are good.
    """
    out = []
    for each in RULES.values():
        if each.at_rest == at_rest:
            for where, found in each.look(laid, joins):
                bare = Finding(each, where, "", "", "", (), found, found.get("offers", ()))
                out.append(filled(laid.design, bare))
    return sorted(out, key=lambda found: WEIGHTS.index(found.rule.weight))


def filled(design: Design, found: Finding, offer: Offer | None = None, more: str = "") -> Finding:
    """The finding in the design's words, with the remedy and the changes of an offer, and a sentence `more`."""
    rule, values = found.rule, {**found.found, **(offer.words if offer else {})}
    message, why, remedy = (
        say(text, design.wording, design.hand, False, **values) for text in (rule.message, rule.why, rule.remedy)
    )
    if found.of_lid:
        message, why, remedy = map(of_a_lid, (message, why, remedy))
    message, remedy = (text[:1].upper() + text[1:] for text in (message, remedy))
    remedy = f"{remedy} {more}".strip()
    changes = offer.changes if offer else ()
    return replace(found, message=message, why=why, remedy=remedy, changes=changes)


def must_stop(findings: tuple[Finding, ...] | list[Finding]) -> Finding | None:
    """The first finding that makes the design unweavable."""
    return next((found for found in findings if found.rule.weight == "stop"), None)
