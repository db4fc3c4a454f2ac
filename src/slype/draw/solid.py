"""The basket for the studio's moving picture: the middle line of every reed, as few points as an eye needs.

A maker changes a number and wants to see it at once, so all reeds are laid in space together, and points are left out
where a reed runs straight. The page makes round reeds of the lines itself. The file, little endian:

  bytes 0-3 "SLY1", then the header's length (uint32), the header (JSON in UTF-8, padded with spaces to whole fours),
  `points` float32 (k, 3) mm, z up from the base, and `when` float32 (k,), the moment at which each is laid.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from ..colour import hex_of
from ..lay.boards import lay_board
from ..lay.values import Laid
from ..order.kinds import APART, Moments
from ..order.loose_ends import Hanging, hanging, tail_lines
from ..order.moments import moments as moments_of
from ..order.times import standing, when_all
from ..rest.curves import all_curves
from ..space.apart import AtWork, Passing, at_work
from ..space.assembly import attached
from ..space.cuts import SLANT, alone, one_reed
from ..space.footholds import with_room
from ..space.lying import lying_flat
from ..space.plank import plank
from ..space.tails import all_left
from ..space.tubes import ReedCurves, all_reeds, given, reed_lines, tube
from ..surface.curve import Curve, Tube, firsts
from ..surface.woven import stacked_curves
from .hatching import HATCHES, hatches

if TYPE_CHECKING:
    from ..plans.planning import Plan

MAGIC = b"SLY1"
LONGEST = 3.2  # of a step along a reed, in its thicknesses, where it runs straight
BEND = 0.38  # rad a reed may turn within one step: with smooth normals it still looks round
SAME = 1e-6  # mm: two points this near are one

NEAR = 6  # points of a line next to its cut that its face may reach back over

LOOSE = ("weaver", "border")  # reeds that hang from the work while they wait


def solid(
    laid: Laid,
    curves: list[Curve] | None = None,
    revision: int = 0,
    form: str = "stacked",
    order: Moments | None = None,
    also: Sequence[Tube] = (),
    over: Sequence[Tube] = (),
    apart: AtWork | None = None,
) -> bytes:
    """The file's bytes. `curves` weavers and border ends to use in place of `woven.stacked_curves`.

    With the `order` of work every point has its moment, and the ends that wait above the last row stand there too, each
    until the border takes it, and what hangs from a reed that waits is told (`loose_ends`); without, all moments are 0.
    `also` tubes that go with the basket as they are, such as a foot; `over` those that hide its inside, handles and a
    lid: a page may leave them off. What is woven `apart`, by itself, is told how it goes back to where it is woven, and
    what passes there is there too. `revision` and `form`
    ("stacked" or "relaxed") go into the header as they are, so that a page knows what it shows.
    """
    curves = stacked_curves(laid) if curves is None else curves
    reeds = all_reeds(laid, curves)
    upright = standing(laid, order) if order else ()
    all_of_them = [*reeds, *((each.curve,) for each in upright)]
    times = when_all(order, [part for reed in all_of_them for part in reed]) if order else None
    lines = [line.T for line in reed_lines(laid, all_of_them, times)]
    if laid.given_way:
        lines[: len(reeds)] = [given(laid, reed[0].name, line.T).T for reed, line in zip(reeds, lines, strict=False)]
    for each, line in zip(upright, lines[len(reeds) :], strict=True):
        line[3] = each.appears
    hung = _hung(laid, reeds, lines, order)
    also = [*also, *over]
    hung |= {each.name: list(each.hangs) for each in also if each.hangs}
    own = [reed[0] for reed in reeds]
    flat = lying_flat(laid, own, lines, order) if order else []
    left = [Passing(*each) for each in all_left(laid, own, lines, order)] if order else []
    left += [Passing(*each, lies=True) for each in flat]
    left += apart.passing if apart else []  # last: a page leaves it off where the basket is shown
    lines += [_at(each.tube.points, each.appears) for each in left]
    lines[len(reeds) : len(reeds)] = [_timed(tube, len(order) if order else 0) for tube in also]
    shown: list[Curve | Tube] = [*(reed[0] for reed in reeds), *also, *(each.curve for each in upright)]
    vanish = [None] * len(shown[: len(reeds) + len(also)]) + [each.vanishes for each in upright]
    shown += [each.tube for each in left]
    vanish += [each.until for each in left]
    stay = len(lines) - len(left)
    every, ends = np.concatenate(lines, axis=1), np.cumsum([line.shape[1] for line in lines])
    tips = every[:3, np.stack([np.append(0, ends[:-1]), ends - 1], axis=1)].transpose(1, 2, 0)
    whole = _uncut(tips[:stay], np.array([each.thick_mm for each in shown[:stay]]))
    whole = np.concatenate([whole, np.tile([True, False], (len(left), 1))])
    held = {each.curve.name for each in upright if each.held} | {each.tube.name for each in left if each.held}
    lies = {each.tube.name for each in left if each.lies}
    points, sizes = _thinned(every, ends, np.array([each.thick_mm for each in shown]), whole)
    palette = laid.design.palette
    stays = points[:2, : int(sizes[: len(reeds) + len(also)].sum())]
    header = {
        "revision": revision,
        "form": form,
        "points": points.shape[1],
        "moments": len(order) if order else 0,
        "strands": _strands(
            shown,
            vanish,
            held,
            lies,
            hung,
            sizes,
            len(reeds) + len(also) - len(over),
            len(over),
            whole,
            one_reed(firsts(shown), tips),
        ),
        "apart": _apart(apart),
        "cut": {"slant": SLANT, "knife": round(float(points[2].max()) + 1.0, 2)},
        "tails": tail_lines(laid, order) if order else {},
        "palette": {name: palette.get(name) or hex_of(name) for name in dict.fromkeys(each.colour for each in shown)},
        "hatches": _hatches(palette),
        "board": _board(laid),
        "left": laid.design.hand == "left",
        "mouth": round(laid.mouth_mm, 2),
        "height": round(laid.finished_height_mm, 2),
        "across": round(float(np.ptp(stays, axis=1).max()), 2),
    }
    if header["board"]:
        header["across"] = max(header["across"], round(float(np.ptp(header["board"]["edge"], axis=0).max()), 2))
    return packed(header, points[:3].astype("<f4").T, points[3])


def _apart(apart: AtWork | None) -> dict[str, dict[str, object]]:
    """How what is woven apart was moved (mm) once it was turned over, and in which moment it is fitted, by its name."""
    if apart is None:
        return {}
    return {apart.of: {"at": np.round(apart.place, 3).tolist(), "fitted": apart.fitted}}


def _board(laid: Laid) -> dict[str, object] | None:
    """The outline of a board from above, mm, its thickness, and how far out the holes stand as a share of it."""
    board = plank(laid)
    if board is None:
        return None
    wide = np.linalg.norm(board.edge, axis=1).min()
    found = lay_board(laid)
    assert found is not None, "it stands in space"
    margin = found.holes.margin_mm
    return {
        "edge": np.round(board.edge, 1).tolist(),
        "thick": round(board.thickness_mm, 2),
        "wall": round(float(1 - margin / wide), 3),
    }


def solid_of(plan: Plan, revision: int = 0) -> bytes:
    """The file of a plan's basket with all that is fitted to it and its order of work; its reeds at rest where they are
    known."""
    laid = plan.laid
    found = None if plan.at_rest is None else all_curves(plan.at_rest)
    own = with_room(laid, stacked_curves(laid) if found is None else [curve for curve in found if not curve.of])
    order = moments_of(laid)
    also: list = []
    over: list = []
    apart = None
    if laid.design.handles or laid.design.lid or laid.design.foot or plan.board is not None:
        edge = [tube(laid, curve) for curve in own if curve.role == "border"]
        of_lid = [curve for curve in found or () if curve.of == "lid"] or None
        fitted = attached(laid, edge, of_lid, order)
        also, over = fitted.below, [*fitted.lid, *fitted.handles]
        apart = at_work(order, of_lid, fitted.lid, fitted.lid_mm) if fitted.lid else None
    return solid(laid, own, revision, "stacked" if found is None else "relaxed", order, also, over, apart)


def packed(header: dict, points: np.ndarray, when: np.ndarray) -> bytes:
    """Header, `points` (k, 3) mm and `when` (k,) as the file's bytes."""
    words = json.dumps(header, ensure_ascii=False, separators=(",", ":")).encode()
    words += b" " * (-len(words) % 4)
    return b"".join(
        (MAGIC, struct.pack("<I", len(words)), words, points.astype("<f4").tobytes(), when.astype("<f4").tobytes())
    )


def unpacked(raw: bytes) -> tuple[dict, np.ndarray, np.ndarray]:
    """(header, points (k, 3), when (k,)) of such a file; ValueError where it is none."""
    if raw[:4] != MAGIC:
        raise ValueError("these bytes are not a solid of slype's: they do not begin with SLY1")
    (size,) = struct.unpack("<I", raw[4:8])
    header = json.loads(raw[8 : 8 + size])
    count, at = header["points"], 8 + size
    points = np.frombuffer(raw, "<f4", 3 * count, at).reshape(-1, 3)
    return header, points, np.frombuffer(raw, "<f4", count, at + 12 * count)


# Reeds ---------------------------------------------------------------------------------------------------------


def _uncut(tips: np.ndarray, thick: np.ndarray) -> np.ndarray:
    """Where reeds go on as others, at their starts and their ends, (lines, 2); `tips` (lines, 2, 3)."""
    return ~alone(tips.reshape(-1, 3), np.repeat(thick, 2)).reshape(-1, 2)


def _timed(tube: Tube, done: int) -> np.ndarray:
    """Points (4, k) of a tube; where it has no times it is put on when all is `done`."""
    return _at(tube.points, float(done) if tube.when is None else tube.when)


def _at(points: np.ndarray, when: float | np.ndarray) -> np.ndarray:
    """Points (4, k) of a line (k, 3) and its times."""
    out = np.empty((4, len(points)))
    out[:3], out[3] = points.T, when
    return out


def _thinned(
    points: np.ndarray, ends: np.ndarray, thick: np.ndarray, whole: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """(points (4, k), how many of each line) with long steps where a line runs straight and short ones where it bends;
    and none over which the slanting face of a cut reaches back.

    `points` (4, k) of all lines one after another, which end before `ends` (lines,); `thick` (lines,) mm; `whole`
    (lines, 2) where they are not cut. Where a reed waits for later moments its point is there twice, with both times.
    """
    which = np.repeat(np.arange(len(ends)), np.diff(ends, prepend=0))
    inside = which[1:] == which[:-1]
    step = np.diff(points[:3])
    long = np.sqrt(_dot(step, step))
    twice = np.flatnonzero(inside & (long <= SAME))
    if twice.size:
        points, which = np.delete(points, twice + 1, axis=1), np.delete(which, twice + 1)
        inside, step = which[1:] == which[:-1], np.diff(points[:3])
        long = np.sqrt(_dot(step, step))
    long[~inside] = 1.0
    step /= long
    # A line is worth its length and its bends; of every whole of that it keeps one point. Half of a bend counts before
    # its corner and half after, so that the corner itself is kept as often as its neighbours.
    bend = np.arccos(np.minimum(np.maximum(_dot(step[:, 1:], step[:, :-1]), -1.0), 1.0)) / (2 * BEND)
    bend *= inside[1:] & inside[:-1]
    cost = np.where(inside, long / (LONGEST * thick)[which[1:]], 1.0)
    cost[:-1] += bend
    cost[1:] += bend
    total = np.floor(np.append(0.0, np.cumsum(cost)))
    moment = np.ceil(points[3])
    later = moment[1:] - 1  # the moment in which the next point is laid
    waits = inside & (later > moment[:-1])
    keep = np.append(True, total[1:] > total[:-1])
    keep[_near_cuts(points, which, thick, whole)] = False
    keep[1:] |= ~inside
    keep[:-1] |= ~inside | waits
    keep[-1] = True
    again = np.append(keep[:-1] & waits, False)
    kept = np.repeat(np.flatnonzero(keep), 1 + again[keep])
    second = np.flatnonzero(kept[1:] == kept[:-1]) + 1
    points, which = points[:, kept], which[kept]
    points[3, second] = later[kept[second]]
    return points, np.bincount(which, minlength=len(ends))


def _near_cuts(points: np.ndarray, which: np.ndarray, thick: np.ndarray, whole: np.ndarray) -> np.ndarray:
    """The numbers of the points that lie so near a cut that its face reaches back over them."""
    first = np.flatnonzero(np.append(True, which[1:] != which[:-1]))
    last = np.append(first[1:], len(which)) - 1
    tips, way = np.concatenate([first[~whole[:, 0]], last[~whole[:, 1]]]), np.array([1, -1])
    near = np.repeat(way, [(~whole[:, 0]).sum(), (~whole[:, 1]).sum()])[:, None] * np.arange(1, NEAR + 1)
    near = np.clip(tips[:, None] + near, 0, len(which) - 1)
    off = points[:3, near] - points[:3, tips, None]
    reach = 0.55 * SLANT * thick[which[tips]]
    close = (off * off).sum(axis=0) < (reach * reach)[:, None]
    return near[close & (which[near] == which[tips][:, None])]


def _dot(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Products of vectors (3, k)."""
    return np.einsum("ij,ij->j", a, b)


def _hung(laid: Laid, reeds: list[ReedCurves], lines: list[np.ndarray], order: Moments | None) -> dict[str, Hanging]:
    """What hangs from every weaver and border end while it waits, by its name."""
    if order is None:
        return {}
    loose = [(reed[0], line[3]) for reed, line in zip(reeds, lines, strict=False) if reed[0].role in LOOSE]
    curves, times = [curve for curve, _ in loose], [time for _, time in loose]
    return {curve.name: hung for curve, hung in zip(curves, hanging(laid, order, curves, times), strict=True)}


# Words ---------------------------------------------------------------------------------------------------------


def _strands(
    shown: list[Curve | Tube],
    vanish: list[float | None],
    held: set[str],
    lies: set[str],
    hung: dict[str, Hanging],
    sizes: np.ndarray,
    over_from: int,
    over: int,
    whole: np.ndarray,
    same: list[int],
) -> list[dict]:
    """What the page has to know of every reed; `over` of them from `over_from` on hide the inside, and `whole` (reeds,
    2) says where they go on as others and are not cut; `same` the number of the first that is a part of the same."""
    first = np.cumsum(np.r_[0, sizes[:-1]])
    return [
        {
            "name": each.name,
            "role": each.role,
            "band": _from_0(each.band),
            "weaver": _from_0(each.weaver),
            "reed": max(0, each.strand),
            "end": _from_0(each.end),
            "colour": each.colour,
            "first": start,
            "count": size,
            "thick": round(each.thick_mm, 3),
            "until": until,
            "over": over_from <= i < over_from + over,
            **({"hangs": hung[each.name]} if each.name in hung else {}),
            **({"same": same[i]} if same[i] != i else {}),
            **({"held": True} if each.name in held else {}),
            **({"lies": True} if each.name in lies else {}),
            **_woven_apart(each),
            **({"whole": on} if any(on) else {}),
        }
        for i, (each, until, start, size, on) in enumerate(
            zip(shown, vanish, first.tolist(), sizes.tolist(), whole.tolist(), strict=True)
        )
    ]


def _woven_apart(each: Curve | Tube) -> dict[str, dict[str, object]]:
    """What a reed is of that is woven apart, and the band of that."""
    if each.of not in APART:
        return {}
    return {"apart": {"of": each.of, "band": _from_0(each.own_band if isinstance(each, Tube) else each.band)}}


def _from_0(number: int) -> int | None:
    return None if number < 0 else number


def _hatches(palette: dict[str, str]) -> dict | None:
    """The hatching of every colour, as `hatching` has it; None where there are more colours than hatchings."""
    if len(palette) > len(HATCHES):
        return None
    return {
        name: {"words": hatch.words, "paper": hatch.paper, "marks": hatch.marks}
        for name, hatch in hatches(palette).items()
    }
