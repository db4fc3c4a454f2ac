"""A maker's year, simulated: how the errors of what slype reckons fall as the book learns. Writes the table in
docs/book.md and docs/pictures/year.svg.

Run as `PYTHONPATH=src python docs/make_year.py`; a test compares. Mona is made up: her hands and reed are drawn once,
by a seed, from the spreads that `slype.book.learning.gauge` begins with. Two baskets a month; every side is measured
when it is dry, in eighths of an inch, and entered. Her borders are measured as well, and her spokes are cut by what the
book knows: one that comes short of its wall and border is counted, and so is what is cut off and thrown away.
"""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import NamedTuple

import numpy as np

import slype
from slype.book.learning.gauge import PRIORS, Measure, learn
from slype.design.file.reader import load
from slype.plans.gauged import ends_swing
from slype.plans.planning import plan

DOCS = Path(__file__).parent
EXAMPLES = Path(slype.__file__).parent / "examples"
SEED, MONTHS, A_MONTH = 11, 12, 2
NAMES = ("estuary", "posy", "saltmarsh", "quayside")
SHARE = 0.95
"""How often a spoke is to be long enough."""
EIGHTH_MM = 25.4 / 8


def sides() -> list[list[tuple[str, str, float]]]:
    """(weave, reed, reckoned mm) of the bands of each example's side."""
    out = []
    for name in NAMES:
        laid = plan(load(EXAMPLES / f"{name}.toml")).laid
        out.append([(b.band.weave.name, b.band.reed.key, len(b.s) * b.pitch_mm) for b in laid.side])
    return out


def year() -> list[tuple[int, float, float, float, bool]]:
    """For each basket of the year: (month, its side's true height over the reckoned one, what the book foretold, half
    its range, whether the truth lay in it)."""
    dice, prior = np.random.default_rng(SEED), PRIORS["row pitch"]
    hands: dict[tuple, float] = {}

    def of(kind: tuple, spread: float) -> float:
        return hands.setdefault(kind, dice.normal(0, spread))

    known, out, designs = [], [], sides()
    for number in range(MONTHS * A_MONTH):
        bands = designs[number % len(designs)]
        reckoned = sum(mm for _, _, mm in bands)
        day, true, middle, low, high = dice.normal(0, prior.basket), 0.0, 0.0, 0.0, 0.0
        gauge = learn("row pitch", known)
        for weave, reed, mm in bands:
            lasting = of(("maker",), prior.maker) + of(("weave", weave), prior.weave) + of(("reed", reed), prior.reed)
            lasting += of(("both", weave, reed), prior.both)
            height = mm * math.exp(lasting + day)
            true += height
            told = gauge.estimate(weave, reed)
            middle, low, high = middle + mm * told.middle, low + mm * told.at(0.025), high + mm * told.at(0.975)
            ruler = max(EIGHTH_MM, round(height * math.exp(dice.normal(0, prior.error)) / EIGHTH_MM) * EIGHTH_MM)
            known.append(Measure("row pitch", str(number), ruler, mm, weave, reed))
        out.append(
            (
                number // A_MONTH + 1,
                true / reckoned,
                middle / reckoned,
                (high - low) / 2 / reckoned,
                low <= true <= high,
            )
        )
    return out


class Cut(NamedTuple):
    """One end of a basket's spokes: `took` what wall and border came to take, `plain` and `book` how long it was cut by
    slype's own range and by the book's, all mm; `month` of the year; the border alone, as slype reckons it, as the book
    foretold it, and as it came out."""

    month: int
    took: float
    plain: float
    book: float
    border: tuple[float, float, float]


def spokes() -> list[Cut]:
    """Every basket's spokes: walls and borders of one pair of hands, drawn once, and what was cut for them beforehand.

    Cut by slype alone is the longer figure of a plan without a gauge; by the book, as `plans.gauged` does: bands err
    the same way and add up, wall and border each their own way, long enough 19 times in 20.
    """
    dice, walls, borders = np.random.default_rng(SEED + 1), PRIORS["row pitch"], PRIORS["border"]
    hands: dict[tuple, float] = {}

    def of(kind: tuple, spread: float) -> float:
        return hands.setdefault(kind, dice.normal(0, spread))

    designs = [plan(load(EXAMPLES / f"{name}.toml")) for name in NAMES]
    known: list[Measure] = []
    out = []
    for number in range(MONTHS * A_MONTH):
        made = designs[number % len(designs)]
        laid, reed = made.laid, made.design.spokes.reed.key
        day, wall, middle, beyond = dice.normal(0, walls.basket), 0.0, 0.0, 0.0
        rows = learn("row pitch", known)
        for band in laid.side:
            weave, kind, mm = band.band.weave.name, band.band.reed.key, len(band.s) * band.pitch_mm
            true = of(("maker",), walls.maker) + of(("weave", weave), walls.weave) + of(("reed", kind), walls.reed)
            wall += mm * math.exp(true + of(("both", weave, kind), walls.both) + day)
            told = rows.estimate(weave, kind)
            middle, beyond = middle + mm * told.middle, beyond + mm * (told.at(SHARE) - told.middle)
            known.append(Measure("row pitch", str(number), _eighths(mm * math.exp(true + day)), mm, weave, kind))
        bent = of(("border",), borders.maker) + of(("border of", reed), borders.reed)
        took = laid.border.length_mm * math.exp(bent + dice.normal(0, borders.basket))
        told = learn("border", known).estimate("", reed)
        end = laid.border.length_mm * told.middle
        spare = math.hypot(beyond, laid.border.length_mm * (told.at(SHARE) - told.middle))
        known.append(Measure("border", str(number), _eighths(took), laid.border.length_mm, "", reed))
        reckoned = sum(len(band.s) * band.pitch_mm for band in laid.side) + laid.border.length_mm
        plain = reckoned + ends_swing(laid).high
        out.append(
            Cut(number // A_MONTH + 1, wall + took, plain, middle + end + spare, (laid.border.length_mm, end, took))
        )
    return out


def _eighths(mm: float) -> float:
    """As a ruler in eighths of an inch reads it."""
    return max(EIGHTH_MM, round(mm / EIGHTH_MM) * EIGHTH_MM)


def table_of_spokes(found: list[Cut]) -> str:
    """Borders and spokes in quarters."""
    lines = [
        "| months | border: slype alone is off by | with the book | spokes too short: slype alone | with the book | "
        "cut off and wasted, each end: slype alone | with the book |",
        "|---|---|---|---|---|---|---|",
    ]
    for quarter in range(4):
        mine = [each for each in found if (each.month - 1) // 3 == quarter]
        off = [np.mean([abs(each.border[k] - each.border[2]) / each.border[2] for each in mine]) for k in (0, 1)]
        short = [sum(getattr(each, way) < each.took for each in mine) for way in ("plain", "book")]
        waste = [
            np.mean([max(0.0, getattr(each, way) - each.took) for each in mine]) / 25.4 for way in ("plain", "book")
        ]
        lines.append(
            f"| {3 * quarter + 1} to {3 * quarter + 3} | {off[0]:.0%} | {off[1]:.0%} | {short[0]} of {len(mine)} | "
            f"{short[1]} of {len(mine)} | {waste[0]:.1f} in | {waste[1]:.1f} in |"
        )
    return "\n".join(lines) + "\n"


def table(found: list[tuple[int, float, float, float, bool]]) -> str:
    """The year in quarters."""
    lines = [
        "| months | baskets | slype alone is off by | with the book | the range to either side | truth inside |",
        "|---|---|---|---|---|---|",
    ]
    for quarter in range(4):
        mine = [each for each in found if (each[0] - 1) // 3 == quarter]
        alone = np.mean([abs(true - 1) for _, true, _, _, _ in mine])
        book = np.mean([abs(true - told) for _, true, told, _, _ in mine])
        wide = np.mean([half for _, _, _, half, _ in mine])
        inside = sum(each[4] for each in mine)
        lines.append(
            f"| {3 * quarter + 1} to {3 * quarter + 3} | {len(mine)} | {_of_four(alone)} | {_of_four(book)} | "
            f"{_of_four(wide)} | {inside} of {len(mine)} |"
        )
    return "\n".join(lines) + "\n"


def _of_four(share: float) -> str:
    """A share of a wall four inches high, in sixteenths."""
    return f"{4 * share:.2f} in"


def picture(found: list[tuple[int, float, float, float, bool]]) -> str:
    """True height over the reckoned one, basket by basket, in the range the book gave beforehand. SVG."""
    wide, high, left, top = 720, 300, 60, 20
    across = (wide - left - 20) / len(found)
    low, much = 0.7, 1.3

    def y(ratio: float) -> float:
        return top + (much - ratio) / (much - low) * (high - top - 40)

    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}" '
        'font-family="sans-serif" font-size="12" fill="#2c2620">',
        f'<rect width="{wide}" height="{high}" fill="#fffdf7"/>',
    ]
    for ratio in (0.8, 0.9, 1.0, 1.1, 1.2):
        out.append(f'<path d="M{left} {y(ratio):.1f}H{wide - 20}" stroke="#d8cdb9"/>')
        out.append(f'<text x="{left - 8}" y="{y(ratio) + 4:.1f}" text-anchor="end">{4 * ratio:.1f} in</text>')
    for i, (_, true, told, half, _) in enumerate(found):
        x = left + (i + 0.5) * across
        out.append(f'<path d="M{x:.1f} {y(told - half):.1f}V{y(told + half):.1f}" stroke="#8fae7a" stroke-width="9"/>')
        out.append(f'<path d="M{x - 6:.1f} {y(told):.1f}h12" stroke="#3c5f3f" stroke-width="2"/>')
        out.append(f'<circle cx="{x:.1f}" cy="{y(true):.1f}" r="4" fill="#8d3a22"/>')
        out.append(f'<text x="{x:.1f}" y="{high - 22}" text-anchor="middle">{i + 1}</text>')
    out.append(f'<text x="{wide / 2}" y="{high - 5}" text-anchor="middle">baskets of the year, in order</text></svg>')
    return "".join(out) + "\n"


def page(text: str, found: list[tuple[int, float, float, float, bool]], cut: list[Cut]) -> str:
    """docs/book.md with the tables of the year in their places."""
    for name, lines in (("year", table(found)), ("year's spokes", table_of_spokes(cut))):
        text = re.sub(f"(?s)<!-- {name} -->.*?<!-- /{name} -->", f"<!-- {name} -->\n{lines}<!-- /{name} -->", text)
    return text


if __name__ == "__main__":
    worked, cut = year(), spokes()
    book = DOCS / "book.md"
    book.write_text(page(book.read_text("utf-8"), worked, cut), encoding="utf-8")
    (DOCS / "pictures" / "year.svg").write_text(picture(worked), encoding="utf-8")
    print(table(worked), table_of_spokes(cut), sep="\n")
