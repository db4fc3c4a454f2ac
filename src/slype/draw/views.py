"""Pictures by name of the view: line drawings for paper, painted dots for the screen, flat charts.

Views: "outside", "inside", "above" and "under" (the whole basket, drawn or painted), "unrolled" and "unrolled-inside"
(the wall laid flat, seen from that face), "squares" (a plain chart to count by), "whole" (outside and charts on one
page). In the flat views a strand is cut into half spaces and painted from the far side to the near one: what is seen is
decided by the trace.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from ..colour import hex_of, shade
from ..lay.values import Laid
from ..offers import SOLID_VIEWS, VIEWS
from ..plans.planning import Plan
from ..rest.curves import all_curves
from ..space import assembly
from ..surface.added_ends import along_spoke, among_last_ends, aside_mm, bye_starts_mm, ends_by_tier
from ..surface.curve import Curve, Tube
from ..surface.runs import weaver_runs
from ..words import escape, worded
from . import painted
from .camera import of_picture
from .lines import HAND, PAGE, Detail, drawing, drawn, looked_at
from .squares import squares, squares_by_page

LINE_MM = 0.28  # outline of a strand: fine enough for a picture 10 cm wide, dark enough to print
BARE = "#d9cfbf"  # behind the flat wall, where light shows through
OVERLAP_MM = 0.15
FLAT_MM = 0.03  # finer than a printed dot


def curves(plan: Plan) -> list[Curve] | None:
    """Curves of the relaxed reeds where the plan has them; None leaves the drawing to stack its own."""
    return None if plan.at_rest is None else all_curves(plan.at_rest)


@dataclass
class _Ink:
    """One layer of paint at a depth: outlines first, then fills by colour and width."""

    outlines: list[str]
    fills: dict[tuple[str, float], list[str]]


class _Sheet:
    """Collects strokes by depth, then writes them from far to near."""

    def __init__(self) -> None:
        self.layers: dict[float, _Ink] = defaultdict(lambda: _Ink([], defaultdict(list)))
        self.wide: dict[tuple[float, float], list[str]] = defaultdict(list)

    def stroke(self, points: str, colour: str, width: float, depth: float) -> None:
        self.wide[(depth, width)].append(points)
        self.layers[depth].fills[(colour, width)].append(points)

    def written(self) -> str:
        out = []
        for depth in sorted(self.layers):
            for (at, width), paths in sorted(self.wide.items()):
                if at == depth:
                    out.append(_path("".join(paths), "#3a2a1a", width, "butt"))
            for (colour, width), paths in sorted(self.layers[depth].fills.items()):
                together = "".join(paths)
                inner = max(width - 2 * LINE_MM, width * 0.5)
                out.append(_path(together, colour, inner, "butt"))
                out.append(_path(together, shade(colour, 1.10), inner * 0.4, "butt"))
        return "\n".join(out)


def _path(d: str, colour: str, width: float, cap: str) -> str:
    return f'<path d="{d}" stroke="{colour}" stroke-width="{width:.2f}" stroke-linecap="{cap}"/>'


def _lines(x: np.ndarray, y: np.ndarray, key: np.ndarray):
    """Neighbouring half spaces with one key, as one SVG line: yields (key, path).

    x, y (pieces, points) mm on paper, key (pieces, k).

    Each line runs a little into its neighbours so that no light shows where two shades meet; points that lie straight
    between their neighbours are left out, which halves the drawing.
    """
    if not len(key):
        return
    keep = _bent(x, y)[:, :-1]
    points = [f"{a:.1f} {b:.1f}" for a, b in zip(x[:, :-1][keep].tolist(), y[:, :-1][keep].tolist(), strict=True)]
    first = np.concatenate([[0], np.cumsum(keep.sum(axis=1))]).tolist()
    start_x, start_y = _beyond(x[:, 0], y[:, 0], x[:, 1], y[:, 1])
    end_x, end_y = _beyond(x[:, -1], y[:, -1], x[:, -2], y[:, -2])
    breaks = np.flatnonzero(np.any(key[1:] != key[:-1], axis=1)) + 1
    keys = key.tolist()
    for i, j in pairwise([0, *breaks.tolist(), len(key)]):
        middle = "".join("L" + point for point in points[first[i] + 1 : first[j]])
        yield keys[i], f"M{start_x[i]:.1f} {start_y[i]:.1f}{middle}L{end_x[j - 1]:.1f} {end_y[j - 1]:.1f}"


def _beyond(x: np.ndarray, y: np.ndarray, from_x: np.ndarray, from_y: np.ndarray) -> tuple[list[float], list[float]]:
    """Points OVERLAP_MM past (x, y), coming from (from_x, from_y)."""
    dx, dy = x - from_x, y - from_y
    more = OVERLAP_MM / np.maximum(np.hypot(dx, dy), 1e-6)
    return (x + dx * more).tolist(), (y + dy * more).tolist()


def _bent(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Which points of every piece to draw: its ends, and those off the line between what stands beside them."""
    keep = np.ones(x.shape, bool)
    step = 1
    while 2 * step < x.shape[1]:  # every second point first, then every fourth where those beside it went
        inner = np.arange(step, x.shape[1] - step, 2 * step)
        a, b = inner - step, inner + step
        dx, dy = x[:, b] - x[:, a], y[:, b] - y[:, a]
        off = np.abs(dx * (y[:, inner] - y[:, a]) - dy * (x[:, inner] - x[:, a])) / np.maximum(np.hypot(dx, dy), 1e-9)
        alone = ~(keep[:, inner - 1] & (step > 1)) & ~(keep[:, inner + 1] & (step > 1))
        keep[:, inner] = (off > FLAT_MM) | ~alone
        step *= 2
    return keep


def _line(x: np.ndarray, y: np.ndarray) -> str:
    return "M" + "L".join(f"{a:.1f} {b:.1f}" for a, b in zip(x.tolist(), y.tolist(), strict=True))


def _document(body: str, box: tuple[float, float, float, float], title: str, text: str) -> str:
    x, y, w, h = box
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{x:.1f} {y:.1f} {w:.1f} {h:.1f}" '
        f'width="{w:.1f}mm" height="{h:.1f}mm" role="img" aria-labelledby="t d">'
        f'<title id="t">{escape(title)}</title><desc id="d">{escape(text)}</desc>'
        f'<g fill="none" stroke-linejoin="round">\n{body}\n</g></svg>\n'
    )


def svg(
    plan: Plan, view: str = "whole", most_spokes: int | None = None, hatched: bool = False, detail: Detail = PAGE
) -> str:
    """A picture as stand-alone SVG, mm as its unit. Raises ValueError for an unknown view.

    `most_spokes` cuts the unrolled views to so many spokes from the start; `hatched` draws a view of SOLID_VIEWS in
    hatchings instead of colours, and `detail` says how finely.
    """
    body, box = _drawn(plan, view, most_spokes, hatched, detail)
    return _document(body, box, _title(plan, view), describe(plan, view))


def framed(
    plan: Plan, view: str, detail: Detail, tubes: list[Tube]
) -> tuple[tuple[float, float, float, float], Callable[[], str]]:
    """The box of a picture of these `tubes`, one of SOLID_VIEWS, and what makes it: `svg`, for whoever lays out a page
    first."""
    found = looked_at(plan.laid, view, detail, None, tubes)

    def made() -> str:
        return _document(*drawn(plan.laid, *found, detail=detail), _title(plan, view), describe(plan, view))

    return found[1].box, made


def drawn_png(plan: Plan, view: str, width_px: int | None = None, hatched: bool = False) -> bytes:
    """The drawing `svg` as a PNG file. Raises DesignError for more dots than are kept in mind at once."""
    return drawn_twice(plan, view, width_px, hatched)[1]


def drawn_twice(plan: Plan, view: str, width_px: int | None = None, hatched: bool = False) -> tuple[str, bytes]:
    """What `svg` and `drawn_png` give of one drawing."""
    body, box = _drawn(plan, view, None, hatched, PAGE)
    wide = of_picture(width_px, box[3] / box[2])
    written = _document(body, box, _title(plan, view), describe(plan, view))
    return written, png(written, wide)


def _drawn(
    plan: Plan, view: str, most_spokes: int | None, hatched: bool, detail: Detail
) -> tuple[str, tuple[float, float, float, float]]:
    if view not in VIEWS or (hatched and view not in SOLID_VIEWS):
        raise ValueError(f"no view called {view}; known: {', '.join(SOLID_VIEWS if hatched else VIEWS)}")
    if view in SOLID_VIEWS:
        return drawing(plan.laid, view, hatched, detail, curves(plan))
    return _FLAT[view](plan, most_spokes)


def base_alone(plan: Plan) -> str:
    """The base alone, seen from below as it lies before its maker, as stand-alone SVG: nothing turned up yet."""
    so_far = assembly.base_alone(plan.laid, curves(plan))
    body, box = drawing(plan.laid, "under", detail=HAND, made_so_far=so_far)
    return _document(body, box, f"{plan.design.title}, the base so far", describe(plan, "under"))


def chart_pages(plan: Plan) -> list[tuple[str, float, str]]:
    """The chart of squares in pieces of a page at most: stand-alone SVG, its width on paper in mm, the bands on it."""
    return [
        (_document(*each.drawing, _title(plan, "squares"), describe(plan, "squares")), each.wide_mm, each.bands)
        for each in squares_by_page(plan)
    ]


def painted_png(plan: Plan, view: str, width_px: int | None = None, tone: int = painted.TONE) -> bytes:
    """A view of SOLID_VIEWS painted in dots, as a PNG file. `tone` is the seed of natural variation, 0 for none."""
    words = {"Title": _title(plan, view), "Description": describe(plan, view)}
    return painted.png(painted.paint(plan.laid, view, width_px, tone, curves(plan)), words)


def _title(plan: Plan, view: str) -> str:
    return f"{plan.design.title}, {TITLES[view]}"


TITLES = {
    "whole": "from outside, with the wall unrolled",
    "outside": "from outside",
    "inside": "a look inside, at the far wall",
    "above": "from above, looking down into it",
    "under": "the base from below",
    "unrolled": "the wall unrolled, seen from outside",
    "unrolled-inside": "the wall unrolled, seen from inside",
    "squares": "a square for each stroke that is seen, row by row, from outside",
}


def describe(plan: Plan, view: str) -> str:
    """What the picture shows, in words, for those who cannot see it."""
    laid = plan.laid
    bands = laid.base if view == "under" else laid.base + laid.side if view == "above" else laid.side
    inside = view in ("unrolled-inside", "above", "inside")
    said = "; ".join(
        f"{band.rows} rows of {band.band.weave.named(plan.design.wording)} in "
        f"{', '.join(dict.fromkeys(band.band.colours))}, "
        f"{(band.effect_inside if inside else band.effect).words(plan.design.hand, inside)}"
        for band in bands
    )
    return worded(f"{TITLES[view][:1].upper()}{TITLES[view][1:]}. From the first row: {said}.", plan.design.wording)


# Unrolled ------------------------------------------------------------------------------------------------------


def _unrolled(plan: Plan, most: int | None, inside: bool = False) -> tuple[str, tuple[float, float, float, float]]:
    laid = plan.laid
    ends = laid.design.top_ends
    shown = min(ends, most or ends)
    spacing = 2 * math.pi * np.mean([band.radius.mean() for band in laid.side] or [laid.design.form.base_mm / 2]) / ends
    # Outside, a right-handed maker works towards the right; the other face or the other hand mirrors it.
    turn = 1.0 if (laid.design.hand == "right") != inside else -1.0
    sheet = _Sheet()
    palette = plan.design.palette
    for run in weaver_runs(laid, "side"):
        depth = np.round(run.n.mean(axis=1) * (-4 if inside else 4)) / 4
        tier = next(band.tier for band in laid.side if band.index == run.band)
        u = among_last_ends(laid, "side", tier, run.u.ravel(), run.s.ravel()).reshape(run.u.shape)
        trip = np.floor(u.mean(axis=1) / ends)  # a run goes on from one edge of the chart at the other
        u = u - trip[:, None] * ends
        for k, colour in enumerate(run.colours):
            lift = (k - (len(run.colours) - 1) / 2) * run.thick_mm
            x = turn * np.clip(u, 0, shown) * spacing
            key = np.stack([depth, trip, u.mean(axis=1) < shown], axis=1)
            for (at, _, seen), path in _lines(x, -(run.s + lift), key):
                if seen:
                    sheet.stroke(path, palette.get(colour) or hex_of(colour), run.thick_mm, at)
    stand, high, bye_spokes = laid.design.spokes.reed.diameter_mm, laid.top_s, laid.design.bye_spokes
    colour = palette.get(laid.design.spokes.colour) or hex_of(laid.design.spokes.colour)
    for top, u, s in _standing(laid):
        if top > shown:
            continue
        for k in range(laid.design.spokes.per_end):
            x = turn * (u * spacing + aside_mm(laid, k, s))
            path = "L".join(f"{a:.1f} {-b:g}" for a, b in zip(x[:-1], np.round(s[:-1], 1), strict=True))
            sheet.stroke(f"M{path}L{x[-1]:.1f} {-high - 6:.1f}", colour, stand, 0.0)
        if bye_spokes is not None:
            from_s = max(0.0, bye_starts_mm(laid) - bye_spokes.insertion_mm)
            at = np.r_[from_s, s[s > from_s]]
            x = turn * (np.interp(at, s, u) * spacing + aside_mm(laid, laid.design.spokes.per_end, at))
            path = "L".join(f"{a:.1f} {-b:.1f}" for a, b in zip(x, at, strict=True))
            path += f"L{x[-1]:.1f} {-high - 6:.1f}" if bye_spokes.to_border else ""
            sheet.stroke(
                f"M{path}",
                palette.get(bye_spokes.colour) or hex_of(bye_spokes.colour),
                bye_spokes.reed.diameter_mm,
                0.0,
            )
    wide = shown * spacing
    left = 0.0 if turn > 0 else -wide
    body = (
        f'<rect x="{left:.1f}" y="{-high - 4:.1f}" width="{wide:.1f}" height="{high + 4:.1f}" fill="{BARE}"/>'
        + sheet.written()
        + _numbers(laid, shown, spacing, turn)
    )
    return body, (left - 14, -high - 8, wide + 28, high + 14 + 1.4 * _number_mm(wide))


def _standing(laid: Laid) -> Iterator[tuple[float, np.ndarray, np.ndarray]]:
    """(place at the top, places u, heights s) of every spoke, as few points as it needs."""
    for tier, numbers in ends_by_tier(laid, "side"):
        foot = max(0.0, laid.tier_start_mm("side", tier) - laid.design.spokes.insertion_mm) if tier else -2.0
        s = np.linspace(foot, laid.top_s, 200 if len(laid.design.tiers("side")) > 1 or laid.design.bye_spokes else 2)
        u = along_spoke(laid, "side", tier, numbers, s)
        near = np.zeros(len(s) - 2, bool)
        if laid.design.bye_spokes is not None:
            near = np.abs(s[1:-1] - bye_starts_mm(laid)) < 20.0  # it makes room there
        keep = np.r_[True, (np.abs(np.diff(u, 2)) > 1e-9) | near, True]
        yield float(u[-1]), u[keep], s[keep]


def _numbers(laid: Laid, shown: int, spacing: float, turn: float) -> str:
    """Spaces along the foot, counted from 1 in the direction of work, and where each band ends up the sides."""
    size = _number_mm(shown * spacing)
    out = [f'<g fill="#333333" font-family="Libertinus Serif, DejaVu Serif, serif" font-size="{size:.2f}">']
    feet = laid.design.foot_ends
    at = among_last_ends(laid, "side", 0, np.arange(feet, dtype=float), np.zeros(feet))
    every = math.ceil(1.7 * size / (spacing * laid.design.top_ends / feet))
    for space in range(0, feet, every):
        if at[space] >= shown:
            break
        out.append(
            f'<text x="{turn * at[space] * spacing:.1f}" y="{4 + size:.1f}" text-anchor="middle">{space + 1}</text>'
        )
    right = max(turn * shown * spacing, 0.0)
    for band in laid.side:
        out.append(
            f'<text x="{right + 3:.1f}" y="{-(band.start_s + band.end_s) / 2 + size / 3:.1f}">{band.rows}</text>'
            f'<path d="M{right:.1f} {-band.end_s:.1f}h6" stroke="#333333" stroke-width="0.3"/>'
        )
    return "".join(out) + "</g>"


def _number_mm(wide: float) -> float:
    """Size of the numbers beside a wall `wide` mm: as large on paper however wide it is."""
    return max(5.0, 0.0135 * wide)


# All on one page ----------------------------------------------------------------------------------------------


def _whole(plan: Plan, most: int | None) -> tuple[str, tuple[float, float, float, float]]:
    """The basket from outside above, the two charts below at one width."""
    side, (x, y, w, h) = drawing(plan.laid, "outside", detail=HAND._replace(line=PAGE.line), curves=curves(plan))
    width = 260.0
    size = min(1.0, width / w)
    left = (width - w * size) / 2
    parts = [f'<g transform="translate({left:.1f} 0) scale({size:.4f}) translate({-x:.1f} {-y:.1f})">{side}</g>']
    at = h * size + 8
    for inside in (False, True):
        flat, (fx, fy, fw, fh) = _unrolled(plan, most, inside)
        scale = width / fw
        parts.append(
            f'<text x="4" y="{at + 5:.1f}" fill="#333333" font-family="Libertinus Serif, DejaVu Serif, serif" '
            f'font-size="6">{"Inside" if inside else "Outside"}</text>'
        )
        parts.append(
            f'<g transform="translate(0 {at + 8:.1f}) scale({scale:.4f}) translate({-fx:.1f} {-fy:.1f})">{flat}</g>'
        )
        at += 8 + fh * scale + 4
    return "".join(parts), (0, 0, width, at)


_FLAT = {
    "whole": _whole,
    "unrolled": _unrolled,
    "unrolled-inside": lambda made, most: _unrolled(made, most, inside=True),
    "squares": squares,
}


def flat(plan: Plan, view: str, most_spokes: int | None = None) -> tuple[str, tuple[float, float, float, float]]:
    """(body of an SVG, box) of a flat view, mm."""
    return _FLAT[view](plan, most_spokes)


def png(picture: str, width_px: int = 1600, ground: str = "white") -> bytes:
    """Render an SVG from `svg` to PNG, `width_px` wide, on white; on nothing with the `ground` "none"."""
    import typst

    side = 600.0  # pt; any width does, the resolution follows from it
    source = (
        f"#set page(width: auto, height: auto, margin: 0pt, fill: {ground})\n"
        f'#image(bytes(sys.inputs.picture), format: "svg", width: {side}pt)'
    )
    return typst.compile(source.encode(), format="png", ppi=width_px / side * 72, sys_inputs={"picture": picture})
