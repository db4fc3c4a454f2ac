"""What is worked below the base, in space: the foot border of a board, and the foot of a woven base.

A foot is a border like any other, worked with the board turned over: so it is laid out as one that begins at the
underside, goes the other way round, and grows downward. Its first end is that of spoke 1, its second that of the last
spoke, and so on back to spoke 2. Below a woven base it is a small basket of its own, turned over
as a whole.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import numpy as np

from ..lay.boards import BoardLaid, lay_board
from ..lay.feet import lay_foot
from ..lay.values import Laid
from ..order.kinds import Moments
from ..order.loose_ends import hanging_of
from ..order.times import when_of
from ..surface.added_ends import ends_by_tier
from ..surface.curve import OF_FOOT, OWN, Curve, Tube, end_named, of_other
from ..surface.runs import border_runs
from ..surface.standing import spoke_curves
from ..surface.woven import border_curves, stacked_curves
from .tubes import tube


def foot_curves(laid: Laid) -> list[Curve]:
    """The spokes' way through the board and their lower ends in the foot border; none where the base is woven."""
    board = lay_board(laid)
    if board is None:
        return []
    worked = foot_alone(laid)
    assert worked is not None, "it stands on a board"
    through, below = [], []
    # Ends that are added up the side are counted with the others there, and do not come through the board.
    stands = [end for end, (tier, _) in enumerate(ends_by_tier(laid, "side")) if tier == 0]
    for run in border_runs(worked):
        for k, curve in enumerate(border_curves(worked, run, "foot end")):
            if laid.foot_ends:
                u, s, n = laid.foot_ends[run.weaver * len(worked.design.top_reeds) + k]
                curve = replace(curve, u=u, s=s, n=n)
            spoke = end_named(worked, OWN.spoke, run.weaver, k)
            goes_through = _through(board, curve, f"{spoke}, through the board")
            through.append(replace(goes_through, upright=("", stands[run.weaver], k)))
            own = -run.weaver % worked.design.foot_ends  # the spoke whose lower end it is
            lower = _below(board, curve, end_named(worked, "foot end", own, k))
            below.append(replace(lower, upright=("", stands[own], k)))
    return through + below


def foot_alone(laid: Laid) -> Laid | None:
    """The foot of a board as a border on a basket that has nothing else; None where the base is woven."""
    board = lay_board(laid)
    if board is None:
        return None
    # Ends that are added up the side, and bye-spokes, do not come through the board.
    bands = tuple(replace(band, add=0) for band in laid.design.bands)
    foot = laid.design.base.foot
    assert foot is not None, "a board has a foot border"
    design = replace(laid.design, border=foot, bands=bands, bye_spokes=None)
    return replace(laid, design=design, bands=(), top_s=0.0, border=board.foot, border_spacing_mm=board.holes.pitch_mm,
                   bowed={})  # fmt: skip


def _through(board: BoardLaid, curve: Curve, name: str) -> Curve:
    s = np.linspace(0.0, -board.thickness_mm, 9)
    return replace(curve, name=name, role="spoke", where="foot", u=np.full(9, curve.u[0]), s=s, n=np.zeros(9))


def _below(board: BoardLaid, curve: Curve, name: str) -> Curve:
    # The board is in the way of ends that would be tucked down beside a spoke: they stay below it.
    risen = np.maximum.accumulate(curve.s) > curve.thick_mm / 2
    down = np.where(risen, np.maximum(curve.s, curve.thick_mm / 2), curve.s)
    u = 1.0 - curve.u
    return replace(curve, name=name, where="foot", u=u, s=-board.thickness_mm - down)


def foot_tubes(laid: Laid, order: Moments | None = None) -> list[Tube]:
    """The foot below a woven base: its ends, each beside its spoke, their rows and their border; none without one. With
    their times where an `order` of work is given."""
    foot = lay_foot(laid)
    if foot is None:
        return []
    alone = foot.laid
    thick = (foot.foot.reed.diameter_mm + laid.design.spokes.reed.diameter_mm * laid.design.spokes.per_end) / 2
    beside = thick * foot.ends / (2 * np.pi * float(alone.design.form.radius(0.0)))
    when = None if order is None else partial(when_of, order.others["foot"])
    out = []
    for curve in [*spoke_curves(alone, OF_FOOT), *stacked_curves(alone, OF_FOOT)]:
        times = None if when is None else (lambda _, of=curve: when(of))  # told before it stands aside
        out.append(tube(alone, replace(curve, u=curve.u - beside), times))
    out = out if order is None else hanging_of(order.others["foot"], out)
    # Half a turn, not a mirror image: the basket was set on its rim to work it.
    return [replace(each, points=each.points * [1.0, -1.0, -1.0], **of_other("foot", each)) for each in out]
