"""Running the book of advice over a laid basket.

"stop" means that no hands could weave it; "warn" that it will likely disappoint; "note" that it is worth knowing.
"""

from __future__ import annotations

from ..lay.joins import JoinPlan
from ..lay.laying import Laid
from ..words import say
from . import counts  # noqa: F401  (importing them fills the book, in this order)

from . import attachments, look, room, spacing, work  # noqa: F401  # isort: skip
from .book import RULES, Finding, Rule, band_name
from .spacing import SPACING_MM

__all__ = ["RULES", "SPACING_MM", "WEIGHTS", "Finding", "Rule", "advise", "band_name", "must_stop"]

WEIGHTS = ("stop", "warn", "note")


def advise(laid: Laid, joins: tuple[JoinPlan, ...]) -> list[Finding]:
    """Everything the rules find, the gravest first, in order of work."""
    design = laid.design
    out = []
    for each in RULES.values():
        for where, values in each.look(laid, joins):
            message, why, remedy = (
                say(text, design.wording, design.hand, **values) for text in (each.message, each.why, each.remedy)
            )
            message, remedy = (text[:1].upper() + text[1:] for text in (message, remedy))
            changes = each.remedy_changes(design, values) if each.remedy_changes else ()
            out.append(Finding(each, where, message, why, remedy, changes))
    return sorted(out, key=lambda found: WEIGHTS.index(found.rule.weight))


def must_stop(findings: tuple[Finding, ...] | list[Finding]) -> Finding | None:
    """The first finding that makes the design unweavable."""
    return next((found for found in findings if found.rule.weight == "stop"), None)
