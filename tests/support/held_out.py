"""The book's gauge held against published baskets that it has not seen: learned from all books but one, are that book's
figures inside the ranges of 19 in 20? And within the one book with many baskets: from all its models but one?

`python tests/support/held_out.py` prints the table; with `--write` it rewrites the one in docs/book.md. Nothing in the
gauge is tuned to these figures.
"""

from __future__ import annotations

import re
import sys
from dataclasses import dataclass

import handbooks
from places import ROOT

from slype.book.learning.gauge import PRIORS, Measure, is_slip, learn

PAGE = ROOT / "docs" / "book.md"
HEIGHT = re.compile(r"\b(high|height|rows|row)\b")


@dataclass(frozen=True)
class Held:
    """One published figure held out: its `book` and `figure`, what was `said` of it (low, high), and what slype
    reckons; `low` to `high` times that is the range foretold without its group."""

    quantity: str
    group: str
    book: str
    figure: str
    said: tuple[float, float]
    reckoned: float
    low: float
    high: float

    @property
    def inside(self) -> bool:
        """True when the printed figure touches the range foretold."""
        return self.said[1] >= self.low * self.reckoned and self.said[0] <= self.high * self.reckoned


def published() -> list[tuple[str, handbooks.Comparison]]:
    """(quantity of the gauge, figure) of every published border and row height that is no mere bound."""
    out = [("border", each) for each in (*handbooks._borders(), *handbooks._border_allowances())]
    out += [("row pitch", each) for each in handbooks._row_pitches()]
    out += [("row pitch", each) for each in handbooks._whole_designs() if HEIGHT.search(each.quantity)]
    return [(quantity, each) for quantity, each in out if not each.tolerance.covers and each.source != "practice"]


def model_of(each: handbooks.Comparison) -> str:
    """The basket of a book that a figure is from."""
    found = re.search(r"\bM\d+", each.quantity)
    return f"{each.source} {found[0] if found else each.quantity}"


def _kind(each: handbooks.Comparison) -> tuple[str, str]:
    """(weave or border, reed) of a figure: what its name ends with, and that book's reed of it."""
    weave = each.quantity.split(":")[-1].split(" per row of ")[-1].strip()
    return weave, f"{each.source}'s for {weave}"


def held_out(by) -> list[Held]:
    """Every figure foretold without all those of its group, as `by` groups them; None: from none at all."""
    figures, out, learns = published(), [], by is not None
    by = by or model_of
    for quantity, each in figures:
        group = by(each)
        others = [
            Measure(quantity, by(other), (other.low + other.high) / 2, other.predicted, *_kind(other))
            for q, other in figures
            if q == quantity and by(other) != group and learns
        ]
        others = [other for other in others if not is_slip(other)]
        low, high = learn(quantity, others, PRIORS[quantity]).estimate(*_kind(each), measured=True).within(0.95)
        out.append(Held(quantity, group, each.source, each.quantity, (each.low, each.high), each.predicted, low, high))
    return out


WAYS = (
    ("nothing: slype's own figure and range", None),
    ("all books but the one", lambda each: each.source),
    ("all baskets but the one", model_of),
)


def table() -> str:
    """The table of docs/book.md, and the figures that lie outside."""
    lines = ["| learned from | figure | inside the range | outside |", "|---|---|---|---|"]
    for words, by in WAYS:
        found = held_out(by)
        for quantity, name in (("border", "length of a border's end"), ("row pitch", "height of rows")):
            mine = [each for each in found if each.quantity == quantity]
            off = [f"{each.book}: {each.figure}" for each in mine if not each.inside]
            lines.append(f"| {words} | {name} | {len(mine) - len(off)} of {len(mine)} | {'; '.join(off) or 'none'} |")
    return "\n".join(lines)


def in_page() -> str:
    """docs/book.md with the table as it is now."""
    text = PAGE.read_text("utf-8")
    return re.sub(
        r"<!-- books -->\n.*?<!-- /books -->", f"<!-- books -->\n{table()}\n<!-- /books -->", text, flags=re.S
    )


if __name__ == "__main__":
    print(table())
    if "--write" in sys.argv:
        PAGE.write_text(in_page(), "utf-8")
