"""How the bench counter counts: where a row, a round or a step ends, and what a weaver is warned of beforehand.

A *round* is once round the spokes: of one weaver where they go one at a time, of all together where they take turns.
So a row of chasing is two rounds, and a row of a wale is one. All of it is read off the moments.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..order.kinds import ACTS, OTHERS, Moments
from ..plans.planning import Plan
from ..tell.moments import moments_of_joins


@dataclass(frozen=True)
class Warning_:
    """What comes up at a moment (from 0): `kind` "colour", "join" or "end" (of a band)."""

    moment: int
    kind: str


def rows(order: Moments) -> np.ndarray:
    """Number of the row each moment belongs to, (moments,), counted through the whole work from 0.

    Setting weavers in belongs to the row it begins, and ending them to the row it ends.
    """
    keys = np.stack([order.part, order.block, order.row, order.of], axis=1)
    return _numbered(keys)


def rounds(order: Moments, one_at_a_time: np.ndarray) -> np.ndarray:
    """The same of rounds; `one_at_a_time` (moments,) where weavers go round one after another."""
    weaver = np.where(one_at_a_time & (order.act == ACTS.index("stroke")), order.weaver, -1)
    weaver = np.where(one_at_a_time, _as_next(weaver), weaver)
    return _numbered(np.stack([order.part, order.block, order.row, order.of, weaver], axis=1))


def _as_next(weaver: np.ndarray) -> np.ndarray:
    """Setting in counts with the stroke that follows it."""
    out = weaver.copy()
    for i in range(len(out) - 2, -1, -1):
        if out[i] < 0:
            out[i] = out[i + 1]
    return out


def _numbered(keys: np.ndarray) -> np.ndarray:
    return np.cumsum(np.r_[0, np.any(keys[1:] != keys[:-1], axis=1)])


def one_at_a_time(plan: Plan, order: Moments) -> np.ndarray:
    """(moments,) whether the band of a moment is one whose weavers go round one after another."""
    out = np.zeros(len(order), bool)
    for of, laid in ((-1, plan.laid), *((OTHERS.index(name), each.laid) for name, each in order.others.items())):
        for band in laid.bands:
            if band.band.weave.turns == "round":
                out |= (order.band == band.index) & (order.of == of)
    return out


def warnings(plan: Plan, order: Moments) -> list[Warning_]:
    """All that a weaver wants to know before it is there, in order of work."""
    found = [Warning_(moment, "join") for moment in moments_of_joins(order, plan.all_joins)]
    lid = order.others.get("lid")
    if lid is not None and plan.lid is not None:
        found += [Warning_(lid.first + at, "join") for at in moments_of_joins(lid.order, plan.lid.all_joins)]
    found += [Warning_(at, "colour") for at in _new_colours(order, one_at_a_time(plan, order))]
    for part in order.parts:
        strokes = np.flatnonzero(order.act[part.first : part.beyond] == ACTS.index("stroke"))
        if len(strokes):
            found.append(Warning_(part.first + int(strokes[-1]), "end"))
    return sorted(found, key=lambda each: (each.moment, each.kind))


def _new_colours(order: Moments, alone: np.ndarray) -> list[int]:
    """Moments in which a colour is taken up that the weavers in hand do not have."""
    out: list[int] = []
    held: set[str] = set()  # of the weavers that are being woven with
    setting: set[str] = set()
    last = -1  # the colour of the stroke before, where weavers go one at a time
    for at, (act, colour) in enumerate(zip(order.act.tolist(), order.colour.tolist(), strict=True)):
        mine = set(order.colours[colour]) if colour >= 0 else set()
        if ACTS[act] == "set in":
            if at and ACTS[order.act[at - 1]] != "set in":
                setting = set()
            if held and not mine <= held | setting:
                out.append(at)
            setting |= mine
        elif ACTS[act] == "stroke":
            if setting:
                held, setting = setting, set()
            if alone[at] and last >= 0 and colour != last and ACTS[order.act[at - 1]] == "stroke":
                out.append(at)
            last = colour
    return out
