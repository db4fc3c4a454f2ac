"""The drawing that a step asks for, as stand-alone SVG."""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, partial

from ..draw.lines import HAND
from ..draw.views import curves, framed
from ..plans.planning import Plan
from ..space.footholds import feet
from ..teach.step.values import Drawing, Step
from ..tell.voice import voice
from ..words import escape
from .closeup import Scene, shot_of, shot_svg
from .flat.bends import WIDE, board_svg, crimped_svg, turned_svg
from .flat.sections import foot_svg, tails_svg
from .later import Later
from .making import Making
from .pen import Box, Inks, greyed

USUAL_MM = 62.0
"""How wide a drawing stands where nothing else is said."""


@dataclass(frozen=True, eq=False)
class Figures:
    """Draws the steps of one plan; `colour` False in greys. The basket in the making is worked out once."""

    plan: Plan
    colour: bool = True

    @cached_property
    def making(self) -> Making:
        return Making(self.plan.laid, curves(self.plan))

    @cached_property
    def of_lid(self) -> Figures:
        assert self.plan.lid is not None, "asked of a basket with a lid"
        return Figures(self.plan.lid, self.colour)

    @cached_property
    def known(self) -> dict[tuple[Drawing, int | None, float], Later]:
        """What has been asked for so far: versions of one handout share it."""
        return {}

    @cached_property
    def scenes(self) -> dict[Scene, tuple[Box, _Once]]:
        """The same of what is drawn: two steps may show one scene, as the finished basket."""
        return {}

    @cached_property
    def picture(self) -> Later:
        """The finished basket, as it stands on the first page; of a flat mat or lid from below."""
        view = "outside" if self.plan.laid.side else "under"
        box, draw = framed(self.plan, view, HAND, self.making.finished(view))
        return Later(_high(box), _Once(draw if self.colour else lambda: greyed(draw())))

    @cached_property
    def inks(self) -> Inks:
        return Inks(self.colour, self.plan.design.palette)

    def svg(self, step: Step, asked: Drawing, wide_mm: float = USUAL_MM) -> str:
        """One drawing of a step, to stand `wide_mm` wide on paper: what is written on it has its size there."""
        return self.later(step, asked, wide_mm).draw()

    def later(self, step: Step, asked: Drawing, wide_mm: float = USUAL_MM) -> Later:
        """The same, framed, and drawn when it is asked for; remembered then."""
        if step.of == "lid":
            return self.of_lid._later(step, asked, wide_mm)
        return self._later(step, asked, wide_mm)

    def _later(self, step: Step, asked: Drawing, wide_mm: float) -> Later:
        known = (asked, step.band, wide_mm)
        if known not in self.known:
            self.known[known] = self._framed(step, asked, wide_mm)
        return self.known[known]

    def _framed(self, step: Step, asked: Drawing, wide_mm: float) -> Later:
        laid, tell = self.plan.laid, voice(self.plan.design)[0]
        if asked.kind == "finished" and asked.beyond >= len(self.making.order) and laid.side:
            return self.picture
        if asked.kind == "turned":
            return _whole(asked, *turned_svg(laid, tell("{spoke} 1"), WIDE / wide_mm))
        if asked.kind == "board":
            return _whole(asked, *board_svg(laid, wide_mm))
        if asked.kind == "tails":
            faces = ("inside", "outside") if laid.side else ("far side", "top" if laid.design.of_lid else "underside")
            return _whole(asked, *tails_svg(asked.tails, laid.design.hand, WIDE / wide_mm, faces))
        if asked.kind == "foot":
            return _whole(asked, *self._foot(asked.handle, WIDE / wide_mm))
        if asked.kind == "nipped":
            return _whole(asked, *crimped_svg(laid, ("one jaw", "the other"), WIDE / wide_mm))
        scene = Scene(
            asked.first, asked.beyond, whole=asked.kind in ("whole", "above"), above=asked.kind == "above",
            finished=asked.kind == "finished", inside=asked.kind == "inside",
            arrow=asked.arrow, spaces=asked.spaces, mm=wide_mm,
            join=asked.join, fold=asked.fold, counted=asked.counted,
            band=None if asked.kind == "finished" else step.band,
        )  # fmt: skip
        if scene not in self.scenes:
            shot = shot_of(self.making, scene)
            self.scenes[scene] = shot.box, _Once(partial(shot_svg, self.making, scene, self.inks, shot))
        box, body = self.scenes[scene]
        return Later(_high(box), _Once(lambda: _document(asked.alt, body(), box)))


    def _foot(self, row: int, unit: float) -> tuple[str, Box]:
        """The first foot of a row of the design's handles."""
        laid, (tell, long) = self.plan.laid, voice(self.plan.design)
        each = next(one for one in self.plan.handles if one.index == row)
        begin = each.feet(self.plan.design.top_ends)[0][0]
        return foot_svg(laid, each, feet(laid, each, begin)[0], (tell("{border}"), long(each.depth_mm)), unit)


def _whole(asked: Drawing, body: str, box: Box) -> Later:
    """What is drawn at once, for that takes next to no time."""
    return Later(_high(box), lambda: _document(asked.alt, body, box))


class _Once:
    """Draws when it is first asked, and remembers the drawing and not what it was made of."""

    def __init__(self, draw: Callable[[], str]) -> None:
        self._draw: Callable[[], str] | None = draw
        self._drawn = ""

    def __call__(self) -> str:
        if self._draw is not None:
            self._drawn, self._draw = self._draw(), None
        return self._drawn


def _document(alt: str, body: str, box: Box) -> str:
    x, y, w, h = box
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{x:.1f} {y:.1f} {w:.1f} {h:.1f}" width="{w:.1f}mm" '
        f'height="{h:.1f}mm" role="img"><title>{escape(alt)}</title>'
        f'<g fill="none" stroke-linejoin="round">{body}</g></svg>'
    )


def _high(box: Box) -> float:
    """How high a drawing is, as a share of its width, to the tenths of a mm that it says."""
    return round(box[3], 1) / round(box[2], 1)


@functools.lru_cache(maxsize=4)
def figures_of(plan: Plan, colour: bool = True) -> Figures:
    """The drawings of a plan, remembered for its next version."""
    return Figures(plan, colour)
