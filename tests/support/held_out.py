"""The book's gauge held against published baskets that it has not seen: learned from all books but one, are that book's
figures inside the ranges of 19 in 20? And within the one book with many baskets: from all its models but one?

Two ranges are tried. The gauge's own comes from its stated spreads. The wider one asks what spread is missing: how far
the other groups lie from slype's figure, each by its mean, with Student's t for so few of them (a normal of known
middle and unknown spread: Gelman and others, Bayesian Data Analysis, 3rd edition, section 2.6). The group held out has
no part in it.

`python tests/support/held_out.py` prints the table; with `--write` it rewrites the one in docs/book.md. Nothing in the
gauge is tuned to these figures.
"""

from __future__ import annotations

import math
import re
import statistics
import sys
from dataclasses import dataclass

import handbooks
import scipy
from places import ROOT

from slype.book.learning.gauge import PRIORS, Estimate, Measure, is_slip, learn

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


def shown_spread(others: list[Measure]) -> float:
    """Half the range of 19 in 20, as a log ratio, that other groups' means show; 0 where there is none."""
    groups = {other.basket for other in others}
    means = [statistics.mean(other.log_ratio for other in others if other.basket == group) for group in groups]
    if not means:
        return 0.0
    return float(scipy.stats.t.ppf(0.975, len(means))) * math.sqrt(statistics.mean(mean**2 for mean in means))


def held_out(by, wider: bool = False) -> list[Held]:
    """Every figure foretold without all those of its group, as `by` groups them; None: from none at all. `wider`: with
    the spread that the other groups show, where that is more than the gauge's."""
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
        found = learn(quantity, others, PRIORS[quantity]).estimate(*_kind(each), measured=True)
        if wider:
            shown = shown_spread(others) / scipy.stats.norm.ppf(0.975)
            found = Estimate(found.middle, max(found.spread, shown), found.measures, found.baskets)
        low, high = found.within(0.95)
        out.append(Held(quantity, group, each.source, each.quantity, (each.low, each.high), each.predicted, low, high))
    return out


WAYS = (
    ("nothing: slype's own figure and range", None, False),
    ("all books but the one", lambda each: each.source, False),
    ("the same, with the spread the other books show", lambda each: each.source, True),
    ("all baskets but the one", model_of, False),
    ("the same, with the spread the other baskets show", model_of, True),
)


KINDS = {"border's end": ("border",), "rows": ("row pitch",), "both": ("border", "row pitch")}


def sure(inside: int, of: int) -> tuple[float, float]:
    """Between which shares the true one lies, 19 times in 20, where so many of so many were inside (Clopper and Pearson
    1934)."""
    low = scipy.stats.beta.ppf(0.025, inside, of - inside + 1) if inside else 0.0
    high = scipy.stats.beta.ppf(0.975, inside + 1, of - inside) if inside < of else 1.0
    return float(low), float(high)


def table() -> str:
    """The table of docs/book.md, and the figures that lie outside."""
    lines = ["| learned from | figure | inside | the true share lies | range, times the middle | outside |"]
    lines.append("|---|---|---|---|---|---|")
    for words, by, wider in WAYS:
        found = held_out(by, wider)
        for name, quantities in KINDS.items():
            mine = [each for each in found if each.quantity in quantities]
            off = [f"{each.book}: {each.figure}" for each in mine if not each.inside]
            inside = len(mine) - len(off)
            low, high = sure(inside, len(mine))
            wide = statistics.median(math.sqrt(each.high / each.low) for each in mine)
            told = "; ".join(off) or "none" if len(quantities) == 1 else ""
            span = f"{1 / wide:.2f} to {wide:.2f}" if len(quantities) == 1 else ""
            lines.append(f"| {words} | {name} | {inside} of {len(mine)} | {low:.0%} to {high:.0%} | {span} | {told} |")
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
