"""From what a book knows to the [gauge] of a design: the one door through which it changes a basket.

The table says for every weave and reed of the basket what was learned, with its range, so that a friend who is given
the file gets the same numbers, without the book.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ...design.file.reader import parse, toml_of
from ...design.values import Design
from ...edit.apply import apply
from ...errors import DesignError
from ...words import several
from .gauge import Known

DIGITS = 4
NEEDS = {
    "row pitch": ("weave", "reed"), "take-up": ("reed",), "stroke time": ("weave", "reed"), "border": ("spokes",),
    "fingers": ("spokes",), "thickness": ("reed",), "tails": (),
}  # fmt: skip
"""What an entry of each quantity names."""


def gauge_table(design: Design, known: Mapping[str, Known], whose: str = "my baskets") -> dict[str, object]:
    """The [gauge] that a book gives this design: {"from", "learned"}; nothing is said of what was never measured."""
    learned: list[dict[str, object]] = []
    for quantity, found in known.items():
        if not found.measures or (quantity == "fingers" and known["border"].measures):
            continue
        for weave, reed in dict.fromkeys(_kinds(design, quantity)):
            estimate = found.estimate(weave, reed)
            named = {key: value for key, value in (("weave", weave), ("reed", reed)) if value}
            between = [round(each, DIGITS) for each in estimate.within()]
            learned.append({"quantity": quantity, **named, "times": round(estimate.middle, DIGITS), "between": between})
    most = max((each.baskets for each in known.values()), default=0)
    return {"from": f"{whose} ({several(most, 'basket')})", "learned": learned} if learned else {}


def _kinds(design: Design, quantity: str) -> Iterator[tuple[str, str]]:
    """(weave, reed) of every entry of a quantity; "" where it names none."""
    needs = NEEDS[quantity]
    if not needs:
        yield "", ""
    if needs == ("spokes",):
        yield "", design.spokes.reed.key
    bands = [*design.bands, *(design.lid.mat.bands if design.lid else ()), *([design.foot.band] if design.foot else ())]
    for band in bands if "reed" in needs else ():
        if band.reed.key:
            yield band.weave.name if "weave" in needs else "", band.reed.key


def with_gauge(text: str, table: Mapping[str, object], name: str = "the design") -> str:
    """The text of a design with what was learned put into its [gauge]; what was measured by hand there stays."""
    tables = toml_of(text, name)
    old = tables.get("gauge", {})
    merged = {**(old if isinstance(old, dict) else {}), **table}
    if not merged:
        return text
    return apply(text, [{"set": ["gauge", key], "to": value} for key, value in merged.items()], name).text


def from_book(text: str, known: Mapping[str, Known], name: str = "the design", whose: str = "my baskets") -> str:
    """The text of a design with the book's gauge in it. Raises DesignError where the book has learned nothing yet."""
    table = gauge_table(parse(text, name), known, whose)
    if not table:
        raise DesignError(
            "the book has learned nothing yet.", name, "Enter a measured basket first: slype book measurable DESIGN."
        )
    return with_gauge(text, table, name)


def from_file(text: str, other: str, other_name: str, name: str = "the design") -> str:
    """The text of a design with the [gauge] of another file in it: a friend's, or of the maker's own. What one border
    took is that basket's own and stays there. Raises DesignError where the other file has none."""
    table = toml_of(other, other_name).get("gauge")
    if not isinstance(table, dict) or not table:
        raise DesignError("has no [gauge] table.", other_name, "Name a file that has one, or say: --gauge book.")
    return with_gauge(text, {key: value for key, value in table.items() if key != "border"}, name)
