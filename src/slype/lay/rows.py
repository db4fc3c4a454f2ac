"""How many rows a band has, and where each lies: by a count, a height, or how far the band goes.

Rows are told as (count, way s along the base or wall of each row's middle (rows,) mm, radius there (rows,) mm).
"""

from __future__ import annotations

import numpy as np

from ..design.values import Band, Design
from ..errors import Place, Unweavable
from ..quantity import show_length
from . import gauge
from .pitch import steady_rows


def _rows_in(height_mm: float, pitch: float) -> int:
    """Rows that come nearest to a height; at least one."""
    return max(1, round(height_mm / pitch))


def _rows_told(band: Band, pitch: float) -> int:
    """Rows of a band that says a count of them or a height."""
    if band.rows:
        return band.rows
    assert band.height_mm is not None, "every band says how far it goes"
    return _rows_in(band.height_mm, pitch)


def base_rows(design: Design, index: int, band: Band, start_s: float, pitch: float, place: Place):
    """Rows of a base band from `start_s` on. Raises Unweavable where its diameter is passed already."""
    if band.until_mm is not None:
        room = band.until_mm / 2 - start_s
        if room <= 0:
            raise Unweavable(
                f"the base is already {show_length(2 * start_s, design.units)} across before this band, more than its "
                f"until = {show_length(band.until_mm, design.units)}.",
                place,
                "Use fewer rows before it or a larger diameter.",
            )
        rows = _rows_in(room, pitch)
    else:
        rows = _rows_told(band, pitch)
    s = start_s + (np.arange(rows) + 0.5) * pitch
    return rows, s, design.form.base_radius(s)


def side_rows(design: Design, index: int, band: Band, start_s: float, pitch: float, place: Place):
    """Rows of a side band from `start_s` on. Raises Unweavable where no wall is left for it."""
    if band.to_top:
        later = sum(fixed_height(design, i, other) for i, other in design.bands_at("side") if i > index)
        room = design.form.wall_mm - start_s - later
        if room < pitch / 2:
            most = _blame_the_highest(design, index)
            raise Unweavable(
                "there is no wall left for this band below the top: the others stand "
                f"{show_length(start_s + later, design.units)} high{' by your measure' if design.gauge else ''}"
                f"{most}, the wall is {show_length(design.form.wall_mm, design.units)}.",
                place,
                "Raise the wall, weave fewer rows, or use finer reed.",
            )
        rows = _rows_in(room, pitch)
    elif band.until_mm is not None:
        room = design.form.along_to(band.until_mm) - start_s
        if room < pitch / 2:
            raise Unweavable(
                f"the side already stands {show_length(float(design.form.height(start_s)), design.units)} high before "
                f"this band, and its until = {show_length(band.until_mm, design.units)} leaves no room for a row.",
                place,
                "Say a greater height, or use fewer rows before it.",
            )
        rows = _rows_in(room, pitch)
    else:
        rows = _rows_told(band, pitch)
    s = start_s + (np.arange(rows) + 0.5) * pitch
    return rows, s, np.maximum(design.form.radius(s), 1.0)


def _blame_the_highest(design: Design, to_top: int) -> str:
    """The highest band of the side beside the one that goes to the top, as an aside. Raises Unweavable, at that band,
    where it alone stands higher than the wall."""
    high = {i: fixed_height(design, i, band) for i, band in design.bands_at("side") if _tells_its_height(band)}
    most = max(high, key=high.__getitem__, default=None)
    if most is None:
        return ""
    if high[most] <= design.form.wall_mm:
        return f" (band {most + 1} alone {show_length(high[most], design.units)})"
    rows = design.bands[most].rows
    raise Unweavable(
        f"{'a row stands' if rows == 1 else f'{rows} rows stand' if rows else 'it stands'} "
        f"{show_length(high[most], design.units)} high{' by your measure' if design.gauge else ''}, the wall is "
        f"{show_length(design.form.wall_mm, design.units)}: there is no wall left for band {to_top + 1} above.",
        design.at("band", most, "rows" if rows else "height"), "Weave fewer rows, raise the wall, or use finer reed.",
    )  # fmt: skip


def _tells_its_height(band: Band) -> bool:
    return not band.to_top and band.until_mm is None


def fixed_height(design: Design, index: int, band: Band) -> float:
    """What a band is high that says so itself; mm."""
    if band.to_top:
        raise Unweavable(
            'two bands say until = "top".', design.at("band", index, "until"),
            "Only one can fill what is left of the wall: give this one rows.",
        )  # fmt: skip
    if band.until_mm is not None:
        raise Unweavable(
            "it goes to a height of the wall, above a band that fills what is left of it.",
            design.at("band", index, "until"),
            "Give one of the two rows or a height of its own.",
        )
    pitch = steady_rows(band.weave, band.spaces(design.ends_at(index))).pitch * band.reed.diameter_mm
    packs = gauge.row_pitch(design, band, pitch)
    pitch *= packs.times if packs else 1.0
    return _rows_told(band, pitch) * pitch
