"""Rows counted along a line of a photograph, from the rhythm of its brightness.

Theory
1. Woven rows are light on their backs and dark between: along a line square to them brightness beats once a row. The
   line is averaged over a narrow strip, its slow changes (shadow, colour) taken out, and its strongest beat found in
   the discrete Fourier transform, windowed and interpolated (parabola through the peak; Smith and Serra 1987).
2. Twice and half are the usual mistakes: a beat of half the rate that is nearly as strong is preferred to its double.
3. `clear` is the share of all beating that lies in that beat and its multiples: below LEAST_CLEAR no count is told.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ...errors import DesignError

STRIP_PX = 9
SAMPLES = 1024
FEWEST, MOST = 3.0, 200.0
"""Rows that can be told along one line."""
LEAST_CLEAR = 0.35
NEARLY = 0.5


@dataclass(frozen=True)
class Counted:
    """Rows along a line, whole and part, and how `clear` (0 to 1) their rhythm is."""

    rows: float
    clear: float

    @property
    def sure(self) -> bool:
        """True when the rhythm is clear enough to be told."""
        return self.clear >= LEAST_CLEAR


def count_rows(grey: np.ndarray, a: tuple[float, float], b: tuple[float, float]) -> Counted:
    """Rows between two pixels (x, y) of a picture (rows, columns). Raises DesignError for points out of it."""
    high, wide = grey.shape
    for x, y in (a, b):
        if not (0 <= x <= wide - 1 and 0 <= y <= high - 1):
            raise DesignError("this point lies outside the photograph.", "rows")
    if np.hypot(b[0] - a[0], b[1] - a[1]) < 4 * FEWEST:
        raise DesignError("the line is too short to count along.", "rows", "Click points further apart.")
    beats = np.abs(np.fft.rfft(_levelled(_along(grey, a, b)) * np.hanning(SAMPLES), 4 * SAMPLES)) ** 2
    per = np.arange(len(beats)) / 4  # beats along the line
    held = np.where((per >= FEWEST) & (per <= MOST), beats, 0.0)
    peak = int(np.argmax(held))
    if held[peak] <= 1e-9:
        return Counted(0.0, 0.0)
    half = round(peak / 2)
    near = slice(max(0, half - 3), half + 4)
    if held[near].max() > NEARLY * held[peak]:
        peak = near.start + int(np.argmax(held[near]))
    rows = (peak + _between(beats, peak)) / 4
    told = sum(held[max(0, round(4 * k * rows) - 6) : round(4 * k * rows) + 7].sum() for k in (1, 2, 3))
    return Counted(rows, float(min(1.0, told / held.sum())))


def _along(grey: np.ndarray, a: tuple[float, float], b: tuple[float, float]) -> np.ndarray:
    """Brightness along the line (SAMPLES,), averaged over the strip."""
    t = np.linspace(0, 1, SAMPLES)
    along = np.array([b[0] - a[0], b[1] - a[1]])
    across = np.array([-along[1], along[0]]) / np.hypot(*along)
    lines = []
    for off in np.arange(STRIP_PX) - STRIP_PX // 2:
        x = np.clip(a[0] + t * along[0] + off * across[0], 0, grey.shape[1] - 1)
        y = np.clip(a[1] + t * along[1] + off * across[1], 0, grey.shape[0] - 1)
        x0, y0 = np.minimum(x.astype(int), grey.shape[1] - 2), np.minimum(y.astype(int), grey.shape[0] - 2)
        fx, fy = x - x0, y - y0
        upper = grey[y0, x0] * (1 - fx) + grey[y0, x0 + 1] * fx
        lower = grey[y0 + 1, x0] * (1 - fx) + grey[y0 + 1, x0 + 1] * fx
        lines.append(upper * (1 - fy) + lower * fy)
    return np.mean(lines, axis=0)


def _levelled(line: np.ndarray) -> np.ndarray:
    """The line without its slow changes: less a cubic through it."""
    t = np.linspace(-1, 1, len(line))
    return line - np.polynomial.polynomial.polyval(t, np.polynomial.polynomial.polyfit(t, line, 3))


def _between(beats: np.ndarray, peak: int) -> float:
    """Where between its neighbours the top of a peak lies, -1/2 to 1/2."""
    if not 0 < peak < len(beats) - 1:
        return 0.0
    low, mid, high = np.log(beats[peak - 1 : peak + 2] + 1e-30)
    bend = low - 2 * mid + high
    return 0.0 if bend >= 0 else float(np.clip((low - high) / (2 * bend), -0.5, 0.5))
