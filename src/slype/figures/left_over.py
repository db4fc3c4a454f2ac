"""What of a border's end hangs over until it is trimmed off."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..borders.rows import Border, trimmed_on
from ..surface.curve import Tube

LEFT_OVER = ", left over"
"""In the name of what hangs over."""


def hangs_over(end: Tube, long: float, border: Border) -> Tube:
    """What of a border's end lies past its tip: on with its run, springing away from the wall and down (a picture's
    convention)."""
    tip, run = end.points[-1], end.points[-1] - end.points[max(0, len(end.points) - 4)]
    run = run / max(float(np.linalg.norm(run)), 1e-9)
    away = tip * [1, 1, 0] / max(float(np.hypot(*tip[:2])), 1e-9)
    away = away if trimmed_on(border) == "outside" else -away
    share = np.linspace(0.0, 1.0, 12)[:, None]
    hop = run * (1 - 0.5 * share) + (0.45 * away + np.array([0.0, 0.0, -0.35])) * share
    points = tip + np.vstack([np.zeros(3), np.cumsum((hop[1:] + hop[:-1]) / 2, axis=0)]) * long / 11
    return replace(end, name=f"{end.name}{LEFT_OVER}", points=points, when=None)
