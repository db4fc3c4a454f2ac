"""Pictures and solids of a plan, by name of the view and kind of file."""

from __future__ import annotations

from typing import Literal

from ..errors import DesignError
from ..offers import FLAT_VIEWS, SOLID_VIEWS, VIEWS
from ..plans.planning import Plan


def needs_settling(view: str) -> bool:
    """True where reeds at rest look other than stacked ones: not in the flat views, which tell of strokes alone."""
    return view not in FLAT_VIEWS


def picture(
    plan: Plan,
    view: str = "outside",
    kind: Literal["svg", "png"] = "svg",
    width: int | None = None,
    hatched: bool = False,
    tone: int | None = None,
) -> bytes:
    """A drawing (SVG, for paper) or a painting (PNG, `width` dots across, 1600 where there is room) of one view; see
    docs/guide.md for the views.

    Hatched pictures are drawings, whatever their kind. `tone` is the seed by which painted reeds differ, 0 for not at
    all. Raises DesignError for a view or kind that there is not, more colours than hatchings or too many dots.
    """
    from ..draw import views
    from ..draw.hatching import HATCHES

    if kind not in ("svg", "png"):
        raise DesignError(f'"{str(kind)[:20]}" is no kind of picture.', "kind", 'Say "svg" or "png".')
    if view not in VIEWS:
        raise DesignError(f'there is no view "{str(view)[:40]}".', "view", f"One of {', '.join(VIEWS)}.")
    if hatched and view not in SOLID_VIEWS:
        raise DesignError(f'the view "{view}" has no hatchings.', "hatch", f"One of {', '.join(SOLID_VIEWS)} has them.")
    if hatched and len(plan.design.palette) > len(HATCHES):
        raise DesignError(
            f"{len(plan.design.palette)} colours are more than can be told apart by hatching.",
            "hatch",
            f"At most {len(HATCHES)}.",
        )
    if kind == "png" and view in SOLID_VIEWS and not hatched:
        return views.painted_png(plan, view, width, **({} if tone is None else {"tone": tone}))
    if kind == "png":
        return views.drawn_png(plan, view, width, hatched)
    return views.svg(plan, view, hatched=hatched).encode("utf-8")


def every_kind(plan: Plan, view: str) -> dict[str, bytes]:
    """What `picture` gives of one view, by kind; what is drawn in both kinds is drawn once."""
    from ..draw import views

    if view in SOLID_VIEWS:
        return {"svg": picture(plan, view, "svg"), "png": picture(plan, view, "png")}
    svg, png = views.drawn_twice(plan, view)
    return {"svg": svg.encode("utf-8"), "png": png}


def solid(plan: Plan) -> bytes:
    """The basket in space, every strand by its name, in metres: a glTF 2.0 file in its binary form (.glb)."""
    from ..draw.glb import glb
    from ..draw.views import curves

    return glb(plan.laid, curves(plan))
