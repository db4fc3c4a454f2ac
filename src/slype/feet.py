"""What is worked on the lower ends, in space: the foot border below a wooden board. Level 6.

A foot is a border like any other, worked with the board turned over: so it is laid out as one that begins at the
underside, goes the other way round, and grows downward.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from .boards import BoardLaid, lay_board
from .lay import Laid
from .paths import border_runs
from .tubes import Curve, border_curves


def foot_curves(laid: Laid) -> list[Curve]:
    """The spokes' way through the board and their lower ends in the foot border; none where the base is woven."""
    board = lay_board(laid)
    if board is None:
        return []
    worked = _worked(laid, board)
    curves = [curve for run in border_runs(worked) for curve in border_curves(worked, run)]
    return [_through(board, curve) for curve in curves] + [_below(board, curve) for curve in curves]


def _worked(laid: Laid, board: BoardLaid) -> Laid:
    """The foot as a border on a basket that has nothing else."""
    design = replace(laid.design, border=laid.design.base.foot)
    return replace(laid, design=design, top_s=0.0, border=board.foot, border_spacing_mm=board.holes.pitch_mm)


def _through(board: BoardLaid, curve: Curve) -> Curve:
    name = curve.name.replace("border end", "spoke") + ", through the board"
    s = np.linspace(0.0, -board.thickness_mm, 9)
    return replace(curve, name=name, role="spoke", where="foot", u=np.full(9, curve.u[0]), s=s, n=np.zeros(9))


def _below(board: BoardLaid, curve: Curve) -> Curve:
    # The board is in the way of ends that would be tucked down beside a spoke: they stay below it.
    risen = np.maximum.accumulate(curve.s) > curve.thick_mm / 2
    down = np.where(risen, np.maximum(curve.s, curve.thick_mm / 2), curve.s)
    name, u = curve.name.replace("border", "foot"), 2 * curve.u[0] - curve.u
    return replace(curve, name=name, where="foot", u=u, s=-board.thickness_mm - down)
