"""The colour chart: what every row lays on every spoke, outside and inside. From the trace alone.

Spokes are numbered from the left as seen from outside: for a right-handed maker in the order of work, for a left-handed
one against it, so that the two hands' charts are mirror images.
"""

from __future__ import annotations

import numpy as np

from ..design.values import Design
from ..weave.trace import Trace, cells
from .values import BandLaid, Laid

Face = list[list[list[str]]]  # rows, from the first woven, of spokes, of colours from the bottom up


def faces(laid: Laid, band: BandLaid) -> tuple[Face, Face]:
    """(outside, inside) of one band: `[row][spoke]` lists colours bottom to top, empty where nothing is laid."""
    outside: Face = []
    inside: Face = []
    spread = np.repeat(np.arange(band.spaces), band.sizes)  # which group each end stands in
    for _, t in band.traces():
        for face, front in ((outside, True), (inside, False)):
            for row in cells(t, front):
                seen = [[colour for weaver in cell for colour in band.colours[weaver]] for cell in row]
                face.append([list(seen[group]) for group in spread])
    if laid.design.hand == "left":
        outside, inside = ([row[::-1] for row in face] for face in (outside, inside))
    return outside, inside


Seen = list[tuple[float, float, tuple[str, ...]]]  # what the eye sees in a row: from, to (spokes), colours from below


def seen_rows(laid: Laid, band: BandLaid) -> list[Seen]:
    """One band as the eye sees it from outside, row by row: (from, to, colours) of every stroke in front, in spokes.

    A stroke that lies alone on its spokes takes the width of all of them. Where a stroke begins in every space, as in
    wales, each is half hidden at both its ends, and what is seen of it is one spoke wide in its middle. Anything else
    is told spoke by spoke, the strands on each from the bottom up. Spokes count as in `faces`.
    """
    edges = np.r_[0, np.cumsum(band.sizes)].astype(float)
    left, out = laid.design.hand == "left", []
    for _, t in band.traces():
        cell = cells(t, True)
        for row in range(t.rows):
            strokes = _in_row(t, row, cell[row])
            begin, end = (_at(edges, [stroke[k] for stroke in strokes]) for k in (0, 1))
            found = [
                (a, b, band.colours[weaver]) for a, b, (_, _, weaver) in zip(begin, end, strokes, strict=True)
            ] or [
                (edges[j], edges[j + 1], tuple(colour for weaver in lie for colour in band.colours[weaver]))
                for j, lie in enumerate(cell[row]) if lie
            ]  # fmt: skip
            out.append([(band.ends - b, band.ends - a, c) if left else (a, b, c) for a, b, c in found])
    return out


def _in_row(t: Trace, row: int, cell: list[list[int]]) -> list[tuple[float, float, int]]:
    """(from, to, weaver) of the strokes of a row, in spaces; empty where strokes hide each other in no even way."""
    mine = np.flatnonzero((t.row == row) & t.front)
    if not len(mine):
        return []
    first = np.flatnonzero(np.r_[True, t.stroke[mine][1:] != t.stroke[mine][:-1]])
    many = np.diff(np.r_[first, len(mine)])
    begin, weaver = t.spoke[mine][first].astype(float), t.weaver[mine][first].tolist()
    if max(map(len, cell)) <= 1:
        return list(zip(begin.tolist(), (begin + many).tolist(), weaver, strict=True))
    if t.weave.turns == "stroke" and len(begin) == t.ends and len(set(begin.tolist())) == t.ends:
        middle = begin + many / 2
        return list(zip((middle - 0.5).tolist(), (middle + 0.5).tolist(), weaver, strict=True))
    return []


def _at(edges: np.ndarray, places: list[float]) -> list[float]:
    """Places counted in groups as ones counted in spokes; they may lie beyond the last."""
    rounds, parts = np.divmod(np.array(places, float), len(edges) - 1)
    at: list[float] = (rounds * edges[-1] + np.interp(parts, np.arange(len(edges)), edges)).tolist()
    return at


def letters_for(design: Design) -> dict[str, str]:
    """A letter for each colour name used: its own first letter where free."""
    out: dict[str, str] = {}
    spare = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789"
    for name in design.palette:
        wanted = [letter for letter in name.lower() + spare if letter.isascii() and letter.isalnum()]
        out[name] = next((letter for letter in wanted if letter not in out.values()), "*")
    return out
