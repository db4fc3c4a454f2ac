"""Everything that stands before a maker's eyes: the basket with its handles on and its lid in place, as tubes.

A lid is a basket of its own: its reeds are laid out as any basket's, turned over, and set down on its seat.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import partial
from itertools import zip_longest

import numpy as np

from ..form.bases import raised_mm
from ..lay.attachments import lay_handles
from ..lay.lids import LidFit, fit_lid, lid_laid
from ..lay.values import Laid
from ..order.kinds import Moments
from ..order.loose_ends import hanging_of
from ..order.times import when, when_of
from ..surface.curve import Curve, Tube, named_of, of_other
from ..surface.standing import by_beginning, split_curves, spoke_curves, stick_curves
from ..surface.woven import stacked_curves
from .arches import handle_tubes
from .feet import foot_curves, foot_tubes
from .footholds import with_room
from .tubes import given, tube, tubes

LOOKS_IN = ("inside",)
"""Views into the basket: lid and handles would stand between its far wall and the eye, and are left off."""


def whole(
    laid: Laid, curves: list[Curve] | None = None, view: str = "", lines: list[np.ndarray] | None = None
) -> list[Tube]:
    """Every reed of the basket, its handles and its lid in space, in a steady order; less for a `view` into it.

    `curves` and `lines` as in `tubes.tubes`; those `of` the lid are the lid's.
    """
    own = stacked_curves(laid) if curves is None else [curve for curve in curves if not curve.of]
    basket = tubes(laid, with_room(laid, own), lines=lines)
    return basket + attachments(laid, basket, [curve for curve in curves or () if curve.of == "lid"], view)


STUB_MM = 24.0
"""How much of a stick is drawn beyond a base that still lies flat."""


def base_alone(laid: Laid, curves: list[Curve] | None = None) -> list[Tube]:
    """The base before anything turns up or is pushed in beside its sticks: its bands, and its sticks lying flat, with a
    stub of each beyond the edge. `curves` as in `tubes.tubes`."""
    own = stacked_curves(laid) if curves is None else [curve for curve in curves if not curve.of]
    # As `all_reeds` joins them: each stick with the spoke that it runs on as.
    uprights = [] if laid.design.spokes.inserted else by_beginning(spoke_curves(laid))[0]
    sticks = [
        _stub(tube(laid, stick, moved=None if spoke is None else _of_spoke(laid, stick, spoke)))
        for stick, spoke in zip_longest(stick_curves(laid), uprights)
    ]
    halves = [tube(laid, half) for half in split_curves(laid)]
    return [*halves, *sticks, *(tube(laid, each) for each in own if each.where == "base" and each.role == "weaver")]


def _of_spoke(laid: Laid, stick: Curve, spoke: Curve) -> np.ndarray | None:
    """How far a stick gives way that runs on up the wall as that spoke, for each of its points."""
    moved = laid.given_way.get(spoke.name)
    if moved is None:
        return None
    reach = np.minimum(np.arange(len(stick.u)), len(moved) - 1)
    return moved[reach]


def _stub(stick: Tube) -> Tube:
    """The stick running on straight beyond its outer end; the halves of a split one end where they are whole again."""
    points = stick.points if np.hypot(*stick.points[0, :2]) < np.hypot(*stick.points[-1, :2]) else stick.points[::-1]
    way = points[-1] - points[max(0, len(points) - 4)]
    way = way * [1, 1, 0] / max(float(np.hypot(*way[:2])), 1e-6)
    more = points[-1] + way * np.linspace(0, STUB_MM, 9)[1:, None]
    return replace(stick, points=np.vstack([points, more]))


def attachments(
    laid: Laid,
    basket: list[Tube],
    of_lid: list[Curve] | None = None,
    view: str = "",
    order: Moments | None = None,
) -> list[Tube]:
    """What goes with the tubes of a basket: its foot, its lid on its seat, its handles; with their times where the
    basket's `order` of work is given."""
    if view in LOOKS_IN:
        return _below(laid, order)
    found = attached(laid, basket, of_lid, order)
    return [*found.below, *found.lid, *found.handles]


@dataclass(frozen=True, eq=False)
class Attached:
    """What goes with the tubes of a basket, part by part; `lid_mm` (3,): the lid was turned `OVER`, and then moved so
    far."""

    below: list[Tube]
    lid: list[Tube]
    handles: list[Tube]
    lid_mm: np.ndarray


def attached(
    laid: Laid, basket: list[Tube], of_lid: list[Curve] | None = None, order: Moments | None = None
) -> Attached:
    """What `attachments` has."""
    fit = fit_lid(laid)
    lid, place = ([], np.zeros(3)) if fit is None else _lid_tubes(laid, basket, fit, of_lid or None, order)
    return Attached(_below(laid, order), _given(laid, lid), _given(laid, handle_tubes(laid, order)), place)


def _below(laid: Laid, order: Moments | None) -> list[Tube]:
    """What goes through a board and below it, or the foot of a woven base."""
    when_below = None if order is None else partial(when, order)
    bare = replace(laid, given_way={})  # they give way as drawn, all together
    return _given(laid, [*(tube(bare, curve, when_below) for curve in foot_curves(laid)), *foot_tubes(laid, order)])


def _given(laid: Laid, found: list[Tube]) -> list[Tube]:
    return [replace(each, points=given(laid, each.name, each.points)) for each in found]


OVER = np.array([1.0, -1.0, -1.0])
"""Half a turn about the x axis, as a foot and a lid are turned over: not a mirror image."""


def _lid_tubes(
    laid: Laid, basket: list[Tube], fit: LidFit, curves: list[Curve] | None, order: Moments | None
) -> tuple[list[Tube], np.ndarray]:
    """The lid, its outside up, where it comes to sit on these tubes, and how far it is moved there (3,) mm."""
    alone = lid_laid(laid)
    assert alone is not None, "it fits, so it was laid"
    own = tubes(alone, curves, None if order is None else partial(when_of, order.others["lid"]))
    own = own if order is None else hanging_of(order.others["lid"], own)
    turned = [
        replace(each, name=named_of("lid", each.name), points=each.points * OVER, **of_other("lid", each))
        for each in own
    ]
    place = _lid_place(laid, basket, fit, turned)
    return [replace(each, points=each.points + place) for each in turned], place


BESIDE_MM = 30.0
"""Between the basket and a lid that lies beside it."""
BESIDE_BOW = math.radians(55.0)
"""Where such a lid lies beside a bow, round from the right: to the right of one who looks at the bow's broad side, as
pictures do (to the left of what left hands make)."""


def _lid_place(laid: Laid, basket: list[Tube], fit: LidFit, lid: list[Tube]) -> np.ndarray:
    """(3,) mm: how far the lid, turned over at the table's height, is moved to its seat. One that handles keep from
    going on lies on the table beside the basket."""
    if fit.rests_mm is not None or not lay_handles(laid):
        return np.array([0.0, 0.0, _seat_height(laid, basket, fit, lid)])
    form, thick = laid.design.form, laid.design.spokes.reed.diameter_mm
    wide = float(form.sides(np.linspace(0.0, laid.top_s, 50))[0].max()) / 2 + 2 * thick
    reach = wide + BESIDE_MM + max(float(np.hypot(*each.points[:, :2].T).max()) + each.thick_mm / 2 for each in lid)
    low = min(float(each.points[:, 2].min()) - each.thick_mm / 2 for each in lid)
    way = BESIDE_BOW if laid.design.has_bow else 0.0
    across = -reach if laid.design.hand == "left" else reach  # all that left hands make is the mirror image
    return np.array([across * math.cos(way), reach * math.sin(way), -raised_mm(laid.design.base, thick) - low])


def _seat_height(laid: Laid, basket: list[Tube], fit: LidFit, lid: list[Tube]) -> float:
    """How high the lid, turned over at the table's height, must be lifted: until it touches the border, or where the
    wall holds one that goes inside."""
    if fit.rests_mm is not None:
        return float(laid.design.form.height(laid.top_s)) + laid.border_height_mm - fit.rests_mm
    top = max(float(each.points[:, 2].max()) + each.thick_mm / 2 for each in basket if each.role == "border")
    low = 0.0
    for each in lid:
        away = np.hypot(each.points[:, 0], each.points[:, 1])
        here = (away > fit.mouth.opening_mm / 2) & (away < fit.mouth.outside_mm / 2)
        if here.any():
            low = min(low, float(each.points[here, 2].min()) - each.thick_mm / 2)
    return top - low
