"""Will a pan, a tin or a box sit in the basket? The room inside, height by height."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

import numpy as np

from ..errors import DesignError
from ..lay.values import Laid, wall_thick_mm
from ..quantity import parse_length

EASE_MM = 6.0
"""Play a thing needs all round to be lifted out again (common practice, no source)."""


@dataclass(frozen=True)
class Fit:
    """Whether a box sits: `spare_mm` left on each side where it is tightest (negative: it does not go in), and at what
    `height_mm` above the base that is; `proud_mm` how far it stands above the last row."""

    spare_mm: float
    height_mm: float
    proud_mm: float

    @property
    def sits(self) -> bool:
        """True when it goes in with room to lift it out."""
        return self.spare_mm >= EASE_MM / 2


def fit(laid: Laid, length_mm: float, width_mm: float, tall_mm: float) -> Fit:
    """How a box with square corners sits on the base, its length along the basket's.

    It grows until a corner or a side of it touches the wall: what it could grow is what is left on each side.
    """
    form, wall = laid.design.form, wall_thick_mm(laid)
    s = np.linspace(0.0, laid.top_s, 200)
    reaches = s[form.height(s) <= max(tall_mm, 1e-9)]
    spare = np.array([_spare(form.inside(at, wall), length_mm, width_mm) for at in reaches])
    worst = int(np.argmin(spare))
    return Fit(float(spare[worst]), float(form.height(reaches[worst])), tall_mm - float(form.height(laid.top_s)))


def _spare(inside, length: float, width: float) -> float:
    """The most that a box can grow on every side within a rectangle with round corners, mm; found by halving."""
    room_long, room_wide, corner = (float(each) for each in inside)
    low, high = -max(length, width), max(room_long, room_wide)
    for _ in range(50):
        grown = (low + high) / 2
        a, b = length / 2 + grown, width / 2 + grown
        past = max(a - (room_long / 2 - corner), 0.0), max(b - (room_wide / 2 - corner), 0.0)
        holds = a <= room_long / 2 and b <= room_wide / 2 and (min(past) <= 0 or math.hypot(*past) <= corner)
        low, high = (grown, high) if holds else (low, grown)
    return low


def parse_box(text: str, where: str = "") -> tuple[float, float, float]:
    """(length, width, height) mm of `9 x 5 x 2 1/2 in` or `23 cm x 13 cm`; height 0 where only two are said.

    Raises DesignError for anything else. A unit at the end serves for all.
    """
    pieces = [piece.strip() for piece in re.split(r"\s*(?:x|×|by)\s*", text.strip().lower())]
    if not 2 <= len(pieces) <= 3 or not all(pieces):
        raise DesignError(f'"{text[:40]}" is not a size.', where, 'Write it like "9 x 5 in" or "9 x 5 x 2 1/2 in".')
    unit = re.search(r"(inches|inch|in|cm|mm|\")$", pieces[-1])
    if not unit:
        raise DesignError(f'"{text[:40]}" has no unit.', where, 'Write it like "9 x 5 in" or "23 x 13 cm".')
    sizes = [parse_length(piece if re.search(r"[a-z\"]", piece) else f"{piece} {unit[1]}", where) for piece in pieces]
    longest, other = max(sizes[:2]), min(sizes[:2])
    if other <= 0:
        raise DesignError(f'"{text[:40]}" is not a size.', where, "Lengths must be more than nothing.")
    return longest, other, sizes[2] if len(sizes) == 3 else 0.0
