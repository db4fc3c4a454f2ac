"""Beside which base sticks side spokes are pushed in, and on which side a single one: as `surface.standing` has it."""

from __future__ import annotations

from ..design.values import Design
from ..surface.standing import beside_sticks
from ..words import listed, say

WAYS = {1: "{forward}", -1: "{back}"}


def sticks_and_sides(design: Design) -> dict[int, list[int]]:
    """For every base stick that has side spokes, from 0, on which of its sides: 1 the way of the work, else -1."""
    out: dict[int, list[int]] = {}
    for stick, side in beside_sticks(design):
        out.setdefault(stick, []).append(side)
    return out


def where_in(design: Design, one: str) -> list[str]:
    """Sentences that say where each side spoke (`one`) goes in."""
    sides, sticks = sticks_and_sides(design), design.spokes.ends_at_base
    if len(sides) < sticks or any(sorted(each) not in ([-1], [1], [-1, 1]) for each in sides.values()):
        return [f"Spread {design.spokes.ends} places evenly over the {sticks} base stick ends, one {one} at each."]
    single = {side: [stick + 1 for stick, each in sorted(sides.items()) if each == [side]] for side in WAYS}
    many = sum(map(len, single.values()))
    if many == sticks and not (single[1] and single[-1]):
        side = next(side for side, found in single.items() if found)
        return [_said(f"Push one {one} in beside every base stick end, always on its {WAYS[side]} side.", design)]
    out = [f"Push one {one} in on each side of every base stick end."]
    if many:
        # By numbers, for whoever has the base before him upside down finds left and right changed.
        alone = [(side, found) for side, found in single.items() if found]
        out += [f"{_sticks(found)} only one: {_between(found, side, sticks)}." for side, found in alone]
    return out


def _between(found: list[int], side: int, sticks: int) -> str:
    """Between which sticks the single side spoke of each of these goes in."""
    if len(found) == 1:
        return f"between it and stick {(found[0] - 1 + side) % sticks + 1}"
    return f"each between it and the stick with the next {'higher' if side > 0 else 'lower'} number"


def _sticks(found: list[int]) -> str:
    told = listed([str(each) for each in found])
    return f"Stick {told} gets" if len(found) == 1 else f"Sticks {told} get"


def _said(template: str, design: Design) -> str:
    return say(template, design.wording, design.hand)
