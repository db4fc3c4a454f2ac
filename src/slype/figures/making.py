"""The basket in the making: every reed with the times of its points, cut off at a moment of the work.

A reed at one moment is cut where the work has come to; what is not yet turned up lies flat beyond the edge of the base,
what waits hangs from where its last stroke left it. What was laid in the moments shown is told from what lay before.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property, partial

import numpy as np

from ..lay.laying import Laid
from ..order.kinds import ACTS, Moments
from ..order.loose_ends import hanging, tails
from ..order.moments import moments
from ..order.times import standing, when
from ..order.viewpoints import Places, places
from ..space.assembly import fitted
from ..space.footholds import with_room
from ..space.tubes import tube, tubes
from ..surface.curve import Curve, Tube
from ..surface.woven import stacked_curves

STUB_MM = 46.0
"""How much of a spoke is drawn beyond a base that still lies flat (a picture's convention)."""
OLD, FRESH, WAITS, MOVES = "old", "fresh", "waits", "moves"
"""What a stretch of reed is at a moment: laid before; of the part in work; a weaver or end in play; laid just now."""


@dataclass(frozen=True, eq=False)
class Stretch:
    """A stretch of a reed as it lies at a moment: its `tube`, its `state`, whether its (start, end) are `cut` ends; and
    where `tip` the point (3,) mm at which the reed is numbered."""

    tube: Tube
    state: str
    cut: tuple[bool, bool] = (True, True)


@dataclass(frozen=True, eq=False)
class Making:
    """One basket with its whole order of work; `curves` those of relaxed reeds, or None for stacked ones."""

    laid: Laid
    curves: list[Curve] | None = None

    @cached_property
    def made(self) -> Moments:
        return moments(self.laid)

    @cached_property
    def places(self) -> Places:
        return places(self.laid, self.made)

    @cached_property
    def tubes(self) -> list[Tube]:
        """Every reed with the times of its points, what hangs from it, and the ends that stand until they are led on
        (`when` then says only when they appear)."""
        laid, made = self.laid, self.made
        own = stacked_curves(laid) if self.curves is None else [curve for curve in self.curves if not curve.of]
        basket = tubes(laid, with_room(laid, own), partial(when, made))
        loose = [each for each in basket if each.role in ("weaver", "border")]
        hung = {
            each.name: tuple(hangs)
            for each, hangs in zip(loose, hanging(laid, made, loose, [each.when for each in loose]), strict=True)
        }
        basket = [replace(each, hangs=hung.get(each.name, ())) for each in basket]
        return basket + fitted(laid, basket, None, "outside", made)

    @cached_property
    def upright(self) -> list[tuple[Tube, float, float]]:
        """(tube, appears, vanishes) of every end above the last row."""
        return [(tube(self.laid, each.curve), each.appears, each.vanishes) for each in standing(self.laid, self.made)]

    @cached_property
    def lines(self) -> dict[str, np.ndarray]:
        return {name: np.array(line) for name, line in tails(self.laid, self.made).items()}

    @cached_property
    def turned(self) -> np.ndarray:
        """For every end that stands last the moment that turns it up, or pushes it up; -1 where none does."""
        begun = np.array(self.made.begun["side"])
        upright = np.isin(self.made.act[begun], [ACTS.index(act) for act in ("turn", "hole", "add")])
        return np.where(upright, begun, -1)

    def at(self, first: int, beyond: int) -> list[Stretch]:
        """Every stretch of reed as it lies when `beyond` moments are done, those from `first` on picked out."""
        out: list[Stretch] = []
        begun = self._part_began(first)
        in_play = self._in_play(first, beyond)
        for each in self.tubes:
            out += self._stretches(each, first, beyond, begun, each.name in in_play)
        moved = {self.made.end[m] for m in range(first, beyond) if ACTS[self.made.act[m]] == "turn"}
        for each, appears, vanishes in self.upright:
            if appears <= beyond <= vanishes:
                out.append(Stretch(each, MOVES if each.end in moved else OLD, (False, True)))
        return out

    def _part_began(self, first: int) -> float:
        """When the part in work began; of strokes, the band."""
        part = self.made.parts[self.made.part[min(first, len(self.made) - 1)]]
        return float(part.first)

    def _in_play(self, first: int, beyond: int) -> set[str]:
        """Reeds that hang from the work at the end of these moments."""
        return {each.name for each in self.tubes if each.hangs and self._hangs(each, float(beyond))}

    def _hangs(self, each: Tube, time: float) -> str:
        line = ""
        for at, name in each.hangs:
            if at <= time:
                line = name
        return line

    def _stretches(self, each: Tube, first: int, beyond: int, began: float, in_play: bool) -> list[Stretch]:
        if each.when is None:
            return []
        done = int(np.searchsorted(each.when, beyond + 1e-9, side="right"))
        if done < 2:
            return []
        before = int(np.searchsorted(each.when, first + 1e-9, side="right"))
        fresh = int(np.searchsorted(each.when, began + 1e-9, side="right"))
        now = WAITS if in_play else FRESH
        whole = done == len(each.when)
        edges = [(0, fresh, OLD), (fresh, before, now), (before, done, MOVES)]
        out = []
        for a, b, state in edges:
            a = max(a - 1, 0) if a else 0
            if b - a < 2:
                continue
            piece = replace(each, points=each.points[a:b], when=each.when[a:b])
            out.append(Stretch(piece, state, (a == 0, whole and b == done)))
        if in_play and out:
            out[-1] = self._with_tail(out[-1], self._hangs(each, float(beyond)))
        elif each.role in ("spoke", "stick") and out and not whole:
            out[-1] = self._lying(out[-1])
        elif each.role == "stick" and out and self._runs_on(each, beyond):
            out[-1] = self._lying(out[-1])
        return out

    def _runs_on(self, each: Tube, beyond: int) -> bool:
        """True for a stick of inserted spokes, which is cut once those are pushed in."""
        part = self.made.parts[self.made.part[min(beyond, len(self.made) - 1)]]
        return self.laid.design.spokes.inserted and part.key in ("cross", "base")

    def _lying(self, last: Stretch) -> Stretch:
        """The stretch with a stub that runs on straight beyond the edge of the base."""
        points = last.tube.points
        way = points[-1] - points[max(0, len(points) - 4)]
        way = way * [1, 1, 0] / max(float(np.hypot(*way[:2])), 1e-6)
        more = points[-1] + way * np.linspace(0, STUB_MM, 12)[1:, None]
        return replace(last, tube=replace(last.tube, points=np.vstack([points, more])), cut=(last.cut[0], True))

    def _with_tail(self, last: Stretch, name: str) -> Stretch:
        points, line = last.tube.points, self.lines[name]
        run = points[-1] - points[max(0, len(points) - 3)]
        run = run * [1, 1, 0] / max(float(np.hypot(*run[:2])), 1e-9)
        out = np.array([run[1], -run[0], 0.0])
        if out[:2] @ points[-1, :2] < 0:
            out = -out
        down = np.array([0.0, 0.0, -1.0])
        tail = points[-1] + line[1:] @ np.stack([run, out, down])
        bent = _rounded(np.vstack([points[-3:], tail]))
        return replace(last, tube=replace(last.tube, points=np.vstack([points[:-3], bent])), cut=(last.cut[0], True))


def _rounded(points: np.ndarray) -> np.ndarray:
    """Corners cut twice (Chaikin 1974), the ends kept."""
    for _ in range(2):
        a, b = points[:-1], points[1:]
        cut = np.stack([0.75 * a + 0.25 * b, 0.25 * a + 0.75 * b], axis=1).reshape(-1, 3)
        points = np.vstack([points[:1], cut[1:-1], points[-1:]])
    return points
