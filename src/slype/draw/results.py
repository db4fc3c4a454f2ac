"""Small pictures of a band's results: what covers what outside, a few spokes wide and a few rows high.

Strands run through the stacked knots of the trace, as in the unrolled chart, but sideways the wall is drawn together so
that slants and lines show in a picture as wide as a thumb. Painted from the inside out: what runs behind, the spokes,
what runs in front. Places are whole sevenths of a strand's thickness, so that a picture stays small.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from ..advice.results import Option, Sample
from ..colour import hex_of, shade
from ..lay.stacks import Start, starts
from ..lay.values import BandLaid, Laid
from ..weave.trace import BACK

SPOKES, MOST_SPOKES, ROWS, NEXT = 12, 18, 16, 3
"""Spokes shown, as nearly as whole repeats of the colours make, and at most; rows, and rows of the coloured band next
to it."""
HIGH, LEAST_ROWS = 24, 4
"""Of thick rows fewer are shown: no higher than so many thicknesses, but never fewer than so many."""
LEFT_OUT = 2
"""Height of bare spokes, in thicknesses, where other bands lie between the two."""
UNIT = 7  # steps of the drawing in one thickness
CLOSEST, WIDEST = 2.4, 3.0
"""How far apart spokes are drawn, in thicknesses of a strand."""
DARK, BEHIND = "#33261a", 0.72
"""Between strands; how much darker what runs behind is."""
STRAND, SPOKE = 0.8, 0.9
"""Drawn width of strands and spokes, in their own thickness: the dark between them parts them."""
STRAIGHT = {True: 0.12 * UNIT, False: 0.35 * UNIT}
"""A knot less than so many steps off the line between its neighbours is left out: in front, and behind the spokes."""


@dataclass(frozen=True, eq=False)
class _Drawn:
    """What pictures of one look share but for the colours: `wide`, `tall`, the `paths` of every (outside?, band,
    weaver, strand), and how many `spokes`."""

    wide: int
    tall: int
    paths: dict[tuple[bool, int, int, int], str]
    spokes: int


def pictures(options: tuple[Option, ...] | list[Option]) -> list[str]:
    """One SVG for each option, alone or to put into a page: no ids, no scripts, no style but its own."""
    known: dict[tuple, _Drawn] = {}
    out = []
    for option in options:
        shown = spokes_shown(option)
        key = (
            shown,
            *(
                (b.band.weave, b.band.strands, b.spaces, b.band.start, b.rows, b.band.blocks, b.band.reed, b.index)
                for b in option.look.laid.bands
            ),
        )
        if key not in known:
            known[key] = _drawn(option.look, shown)
        out.append(_svg(option.look, known[key]))
    return out


def picture(option: Option) -> str:
    """One SVG."""
    return pictures([option])[0]


# Stacking ------------------------------------------------------------------------------------------------------


def _shortened(band: BandLaid, rows: int) -> BandLaid:
    """The first rows of a band."""
    return band if band.rows <= rows else replace(band, **{
        name: getattr(band, name)[:rows] for name in ("s", "radius", "spacing", "gap", "ratio", "take_up", "row_mm")
    })  # fmt: skip


def _rows(band: BandLaid) -> int:
    """How many rows of a band are shown."""
    least = LEAST_ROWS if band.band.blocks is None else 2 * band.band.blocks.rows  # a block and the next
    return int(np.clip(HIGH * band.band.reed.diameter_mm // band.pitch_mm, least, max(least, ROWS)))


def spokes_shown(option: Option) -> int:
    """How many spokes of the band are shown: whole repeats of its colours, where they repeat within so many."""
    band, period = option.look.laid.bands[option.look.band], option.effect.period
    whole = period * max(1, round(SPOKES / period))
    return min(band.spaces, whole if whole <= MOST_SPOKES else SPOKES)


def _drawn(look: Sample, shown: int) -> _Drawn:
    """The paths of all strands that are seen, past so many spokes."""
    bands, at = list(look.laid.bands), look.band
    if len(bands) > 1:  # of a band below its last rows are seen, of one above its first
        bands[1] = _shortened(bands[1], NEXT if at == 0 else _rows(bands[1]))
    else:
        bands[0] = _shortened(bands[0], _rows(bands[0]))
    small: Laid = replace(look.laid, bands=tuple(bands))
    mine = bands[at]
    mm, apart = mine.band.reed.diameter_mm / UNIT, _apart(mine) * UNIT
    # Seen from the far side of where the band begins, where its rows are level.
    first = mine.band.start + (mine.spaces - shown) // 2
    stacked = list(starts(small, mine.band.where))
    if bands[-1].index > bands[0].index + 1:  # what lies between the two is left out, and bare spokes show that
        stacked = [
            replace(start, height=start.height + LEFT_OUT * UNIT * mm * (start.band.index == bands[1].index))
            for start in stacked
        ]
    low, high = _seen(stacked, bands, at, mm)
    lines: dict[tuple[bool, int, int, int], list[str]] = defaultdict(list)
    for start in stacked:
        number = next(i for i, band in enumerate(bands) if band.index == start.band.index)
        thick = start.band.band.reed.diameter_mm / mm
        for weaver, x, y, side in _strands(start, mm, apart, first, shown):
            x = shown * apart - x if look.laid.design.hand == "left" else x
            for knots, outside in _runs(side):
                for k in range(start.band.band.strands):
                    lift = (k - (start.band.band.strands - 1) / 2) * thick
                    down = high - y[knots] - lift
                    if down.max() > -UNIT / 2 and down.min() < high - low + UNIT / 2:
                        lines[outside, number, weaver, k].append(_path(x[knots], down, STRAIGHT[outside]))
    paths = {key: "".join(lines[key]) for key in sorted(lines)}
    return _Drawn(round(shown * apart), round(high - low), paths, shown)


def _seen(stacked: list[Start], bands: list[BandLaid], at: int, mm: float) -> tuple[float, float]:
    """(lowest, highest) of what is shown, in steps: the band's rows and NEXT of the one next to it."""
    edges = {}
    for number, band in enumerate(bands):
        y = [start.height[start.kind <= BACK] / mm for start in stacked if start.band.index == band.index]
        edges[number] = (min(each.min() for each in y), max(each.max() for each in y))
    pitch = [band.pitch_mm / mm for band in bands]
    low, high = edges[at]
    if len(bands) > 1 and at == 0:
        low, high = max(low, high - _rows(bands[0]) * pitch[0]), min(edges[1][1], edges[1][0] + NEXT * pitch[1])
    elif len(bands) > 1:
        low = max(edges[0][0], edges[0][1] - NEXT * pitch[0])
    return float(low) - UNIT / 2, float(high) + UNIT / 2


def _apart(band: BandLaid) -> float:
    """How far apart spokes are drawn, in thicknesses: as they stand, but never so far that slants are lost."""
    return float(np.clip(band.spacing.mean() / band.band.reed.diameter_mm, CLOSEST, WIDEST))


def _strands(start: Start, mm: float, apart: float, first: int, shown: int):
    """(weaver, x, y, side) of the knots of every stretch of a weaver that runs past the spokes shown, in steps."""
    side, ends = start.side, start.trace.ends
    for weaver, sites in start.by_weaver():
        u, y, face = start.u[sites] - first, start.height[sites] / mm, side[sites]
        # Where a reed is set in it comes from behind the spoke before, and where it ends it goes behind the next.
        u, y, face = np.r_[u[0] - 0.5, u, u[-1] + 0.5], np.r_[y[0], y, y[-1]], np.r_[0.0, face, 0.0]
        for turn in range(int(u[0] // ends), int(u[-1] // ends) + 1):
            at = u - turn * ends
            low, high = max(at[0], 0.0), min(at[-1], float(shown))
            if low < high:
                here = np.r_[low, at[(at > low) & (at < high)], high]
                yield weaver, here * apart, np.interp(here, at, y), np.interp(here, at, face)


# Drawing -------------------------------------------------------------------------------------------------------


def _svg(look: Sample, drawn: _Drawn) -> str:
    design, bands = look.laid.design, look.laid.bands
    mine = bands[look.band]
    stand = design.spokes.stick_reed if mine.band.where == "base" else design.spokes.reed

    def colour_of(name: str) -> str:
        return design.palette.get(name) or hex_of(name)

    layers: dict[bool, dict[tuple[str, float], list[str]]] = {False: defaultdict(list), True: defaultdict(list)}
    for (outside, number, weaver, k), path in drawn.paths.items():
        thick = bands[number].band.reed.diameter_mm / mine.band.reed.diameter_mm * UNIT
        layers[outside][colour_of(bands[number].colours[weaver][k]), thick * STRAND].append(path)
    apart = _apart(mine) * UNIT
    bar = "".join(f"M{round((i + 0.5) * apart)} 0v{drawn.tall}" for i in range(drawn.spokes))
    wide = stand.diameter_mm / mine.band.reed.diameter_mm * UNIT * SPOKE
    body = [
        *(_stroke(paths, shade(colour, BEHIND), thick) for (colour, thick), paths in layers[False].items()),
        _stroke([bar], shade(colour_of(design.spokes.colour), 0.9), wide),
        *(_stroke(paths, colour, thick) for (colour, thick), paths in layers[True].items()),
    ]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {drawn.wide} {drawn.tall}">'
        f'<svg width="{drawn.wide}" height="{drawn.tall}"><path fill="{DARK}" d="M0 0h{drawn.wide}v{drawn.tall}H0z"/>'
        f'<g fill="none" stroke-linejoin="round" stroke-linecap="round">{"".join(body)}</g></svg></svg>'
    )


def _stroke(paths: list[str], colour: str, width: float) -> str:
    return f'<path stroke="{colour}" stroke-width="{width:.3g}" d="{"".join(paths)}"/>'


def _runs(side: np.ndarray) -> list[tuple[slice, bool]]:
    """(knots, outside?) of every stretch in front of spokes, and behind, from crossing to crossing."""
    cuts = [0, *(np.flatnonzero(side[1:-1] == 0) + 1).tolist(), len(side) - 1]
    return [(slice(a, b + 1), bool(side[a : b + 1].sum() > 0)) for a, b in pairwise(cuts)]


def _path(x: np.ndarray, y: np.ndarray, straight: float) -> str:
    """A line through knots in whole steps, each told from the last, but for knots less than `straight` off it."""
    xs, ys = x.tolist(), y.tolist()
    keep = [0]
    for i in range(1, len(xs) - 1):
        a = keep[-1]
        share = (xs[i] - xs[a]) / (xs[i + 1] - xs[a])
        if abs(ys[a] + share * (ys[i + 1] - ys[a]) - ys[i]) > straight:
            keep.append(i)
    keep.append(len(xs) - 1)
    at = [(round(xs[i]), round(ys[i])) for i in keep]
    moves = [f"{x1 - x0}{'' if y1 < y0 else ' '}{y1 - y0}" for (x0, y0), (x1, y1) in pairwise(at)]
    return f"M{at[0][0]} {at[0][1]}l" + "".join(
        move if i == 0 or move.startswith("-") else f" {move}" for i, move in enumerate(moves)
    )
