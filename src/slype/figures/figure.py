"""The drawing that a step asks for, as stand-alone SVG."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from functools import cached_property
from xml.sax.saxutils import escape

from ..draw.lines import HAND
from ..draw.views import curves, svg
from ..plans.planning import Plan
from ..teach.values import Drawing, Step
from ..tell.voice import voice
from .bends import WIDE, board_svg, crimped_svg, turned_svg
from .closeup import Scene, scene_svg
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
    def drawn(self) -> dict[tuple[Drawing, int | None, float], str]:
        """What has been drawn so far: versions of one handout share it."""
        return {}

    @cached_property
    def scenes(self) -> dict[Scene, tuple[str, Box]]:
        """The same of what is drawn: two steps may show one scene, as the finished basket."""
        return {}

    @cached_property
    def picture(self) -> str:
        """The finished basket, as it stands on the first page; of a flat mat or lid from below."""
        found = svg(self.plan, "outside" if self.plan.laid.side else "under", detail=HAND)
        return found if self.colour else greyed(found)

    @cached_property
    def inks(self) -> Inks:
        return Inks(self.colour, self.plan.design.palette)

    def svg(self, step: Step, asked: Drawing, wide_mm: float = USUAL_MM) -> str:
        """One drawing of a step, to stand `wide_mm` wide on paper: what is written on it has its size there."""
        if step.of == "lid":
            return self.of_lid._svg(step, asked, wide_mm)
        return self._svg(step, asked, wide_mm)

    def _svg(self, step: Step, asked: Drawing, wide_mm: float) -> str:
        known = (asked, step.band, wide_mm)
        if known in self.drawn:
            return self.drawn[known]
        scene = Scene(
            asked.first, asked.beyond, whole=asked.kind in ("whole", "above"), above=asked.kind == "above",
            finished=asked.kind == "finished", inside=asked.kind == "inside",
            arrow=asked.arrow, spaces=asked.spaces, mm=wide_mm,
            join=asked.join, fold=asked.fold, band=None if asked.kind == "finished" else step.band,
        )  # fmt: skip
        laid, tell = self.plan.laid, voice(self.plan.design)[0]
        if asked.kind == "finished" and asked.beyond >= len(self.making.order) and laid.side:
            self.drawn[known] = self.picture
            return self.picture
        if asked.kind == "turned":
            body, (x, y, w, h) = turned_svg(laid, tell("{spoke} 1"), WIDE / wide_mm)
        elif asked.kind == "board":
            body, (x, y, w, h) = board_svg(laid, wide_mm)
        elif asked.kind == "nipped":
            body, (x, y, w, h) = crimped_svg(laid, ("one jaw", "the other"), WIDE / wide_mm)
        else:
            if scene not in self.scenes:
                self.scenes[scene] = scene_svg(self.making, scene, self.inks)
            body, (x, y, w, h) = self.scenes[scene]
        self.drawn[known] = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{x:.1f} {y:.1f} {w:.1f} {h:.1f}" width="{w:.1f}mm" '
            f'height="{h:.1f}mm" role="img"><title>{escape(asked.alt)}</title>'
            f'<g fill="none" stroke-linejoin="round">{body}</g></svg>'
        )
        return self.drawn[known]


@functools.lru_cache(maxsize=4)
def figures_of(plan: Plan, colour: bool = True) -> Figures:
    """The drawings of a plan, remembered for its next version."""
    return Figures(plan, colour)
