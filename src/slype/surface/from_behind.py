"""The way over the edge of an end that comes out from behind in a later row, as knots.

There it comes out under all that lies in that space (`borders.meetings`): what lies there runs a thickness higher than
it would on the bare edge. Behind the spoke it runs beside what lies on that face already, further from the wall: it has
come in over that, and goes out under it. Where a row begins behind a spoke, an end that has come out goes in again
through the same space, over the next end, which has been bent down there since.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np

from ..borders.meetings import FOOT, Piece, in_one_space, in_the_middle, places_of
from ..borders.rows import Border

# How reeds lie here: common practice, no source.
BESIDE, BESIDE_HIGH = 2.0, 1.0
"""Thicknesses from the middle of the wall, and over the last row, of an end that runs beside another on one face."""
TURN = 0.25  # of a space to each side of its middle: there an end that goes in again comes out and goes in
OUT_AGAIN = 0.8  # thicknesses over the last row in mid space: of a plait, an end that has come out to go round again
CLOSE = 0.8  # thicknesses from one to what it is led over: they cross aslant, and hands press them
OVER_BEND = 0.4  # thicknesses: an end that is led in over a bend crosses it where that sinks already
ROUNDS = 20  # times that heights are raised: the borders of the table take fewer, and what takes more goes in a circle


Knots = tuple[np.ndarray, np.ndarray, np.ndarray]
"""Of an end: `u` ends, `s` over the last row, `n` through the wall."""


@dataclass
class _Knot:
    """One knot: `u` ends, `s` and `n` thicknesses; `of` the pieces that it is a part of. `passes` a spoke, `bends` down
    at its own, or else changes sides."""

    u: float
    s: float
    n: float
    of: tuple[tuple[int, int], ...] = ()
    passes: bool = False
    bends: bool = False


@lru_cache(maxsize=512)
def from_behind(border: Border) -> Knots | None:
    """Knots (u ends, s and n thicknesses over the last row) of the end of spoke 0, not to be changed; None where no end
    comes out from behind in a later row, or where a piece would lie on what lies on it: one way for both cannot be
    drawn then."""
    if not any(each.back for each in in_one_space(border)):
        return None
    knots = list(_led(border))
    if not _raise(border, knots):
        return None
    for before, knot, after in zip(knots, knots[1:], knots[2:], strict=False):
        if not knot.of:
            knot.s = (before.s + after.s) / 2
    u, s, n = (np.array([getattr(knot, axis) for knot in knots]) for axis in ("u", "s", "n"))
    return u, s, n


def _led(border: Border) -> Iterator[_Knot]:
    """The knots from space to space, as low as they can lie."""
    back = {each.stage: -each.to for each in in_one_space(border) if each.back}
    yield _Knot(0.5, 0.0, 0.0, (), True)
    waits: Piece | None = None
    for each in sorted(in_one_space(border), key=lambda piece: piece.place):
        yield from _in_a_space(each, waits)
        waits = each if each.rests else None
        if not each.rests:
            beside = back.get(each.stage) == each.to
            s, n = (BESIDE_HIGH, BESIDE) if beside else (0.5, 1.0)
            yield _Knot(each.step + 0.5, s, n * each.to, (each.place,), passes=True)
    assert waits is not None, "every end comes to rest"
    yield _Knot(waits.step, 0.5, 0.0, (waits.place,))


def _in_a_space(each: Piece, waits: Piece | None) -> Iterator[_Knot]:
    """Its knots between two spokes: where it is bent down, where it changes sides. Where it has come out there in the
    row before (`waits`) the two are one way."""
    at = float(each.step)
    if each.start == FOOT:
        yield _Knot(at - 0.25, 0.5, 0.1 * each.to, (each.place,), bends=True)
        yield _Knot(at, 0.5, 0.5 * each.to, (each.place,), bends=True)
    elif waits is not None and waits.start != waits.to and each.start != each.to:
        yield _Knot(at - TURN, 0.5, 0.0, (waits.place,))
        yield _Knot(at, 0.5, float(each.start))
        yield _Knot(at + TURN, 0.5, 0.0, (each.place,))
    elif waits is not None and waits.start != each.to:
        yield _Knot(at, 0.5, 0.0, (waits.place, each.place))
    elif waits is None and each.start != each.to and not each.rests:
        yield _Knot(at, 0.5, 0.0, (each.place,))


def _raise(border: Border, knots: list[_Knot]) -> bool:
    """Raise what lies on others until it does, by the one rule of what lies above (`borders.meetings`); False where it
    rises in a circle."""
    places, met = places_of(border), in_the_middle(border)
    pairs = [(places[one], places[other]) for (one, other), (upper, _) in met.items() if upper]
    for _ in range(ROUNDS):
        asked = [*_on_a_face(knots), *(each for pair in pairs for each in _asked(knots, *pair))]
        if not any(least > knot.s for knot, least in asked):
            return True
        for knot, least in asked:
            knot.s = max(knot.s, least)
    return False


def _on_a_face(knots: list[_Knot]) -> Iterator[tuple[_Knot, float]]:
    """(knot, least height) of all that pass a spoke on one face, each on what was laid before. In a first row ends lie
    on those laid down before them, and so deeper with every spoke; in later rows they are led over what waits."""
    for face in (1.0, -1.0):
        mine = [knot for knot in knots if knot.n == face and knot.of]
        order = sorted(mine, key=lambda knot: (knot.of[0][0], knot.of[0][1] * (1 if knot.of[0][0] else -1)))
        yield from ((knot, below.s + 1) for below, knot in pairwise(order))


def _asked(knots: list[_Knot], upper: Piece, lower: Piece) -> Iterator[tuple[_Knot, float]]:
    """(knot, least height) by which one piece lies on another that it meets."""
    over, under = ([knot for knot in knots if each.place in knot.of] for each in (upper, lower))
    low = max((knot.s for knot in under if not knot.passes), default=-1.0)
    for knot in over:
        if knot.passes:  # where it stays on its side it lies on what comes out there
            if lower.back and upper.start == upper.to:
                yield knot, low + CLOSE
        elif any(other.bends for other in under) and not knot.bends:
            yield knot, low + OVER_BEND
        else:
            yield knot, low + CLOSE


def plaited_in_pairs(border: Border, knots: Knots) -> Knots:
    """The same `knots` of a plait in which every end goes round more than once: inside, the two of a pair run beside
    each other; both have gone in over the pair that comes out below them, from under all that lies in that space. One
    that comes out to go round again is led up outside the others there, over which it goes on."""
    u, s, n = (each.copy() for each in knots)
    home = {each.step: each.stage for each in in_one_space(border) if each.rests}
    last = max(home.values())
    for step, stage in home.items():
        (before,), (out,) = np.nonzero(u == step - 0.5)[0], np.nonzero(u == step)[0]
        goes_in = u == step - 1
        s[goes_in] = np.maximum(s[goes_in], 1.5)
        s[before] = 0.5
        if stage < last:
            n[before] *= BESIDE
            u[out], s[out] = step - TURN, 0.5
            n[u == step + 0.5] *= BESIDE
    again = [step for step, stage in home.items() if stage < last]
    at = np.searchsorted(u, again)
    return np.insert(u, at, again), np.insert(s, at, OUT_AGAIN), np.insert(n, at, 1.0)
