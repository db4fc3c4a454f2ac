"""The wall laid flat as strips: strokes as bars over standing spokes, for troubles and for the glossary of moves."""

from __future__ import annotations

from collections import Counter
from xml.sax.saxutils import escape

from ..colour import hex_of, label_colour
from ..lay.chart import letters_for
from ..teach.bench import Bench
from ..teach.troubles import ROWS, SPOKES, Trouble
from ..weave.by_hand import Stroked
from . import marks
from .pen import INK, grey

WIDE, HIGH = 8.0, 6.4  # of a spoke's room and of a row, mm of the drawing
BAR = 4.6  # how thick a weaver is drawn
SPOKE = 2.6
RISE = 1.3  # how much a stroke climbs on its way


def trouble_svg(bench: Bench, trouble: Trouble, colour: bool = True) -> str:
    """Right and wrong side by side, as stand-alone SVG."""
    band = next(each for each in bench.laid.bands if each.index == trouble.band)
    panels, gap = [], 10.0
    wide, high = SPOKES * WIDE, ROWS * HIGH + 4
    first = _first_wrong(trouble)
    low = _window(trouble, first, band.spaces)
    left_handed = bench.design.hand == "left"
    for k, (strokes, shades, words) in enumerate(
        ((trouble.right, trouble.colours[0], "right"), (trouble.wrong, trouble.colours[1], "wrong"))
    ):
        body = _panel(bench, strokes, shades, low, band.spaces, band.index, colour, left_handed,
                      trouble.at if k else -1, first if k else -1)  # fmt: skip
        shift = k * (wide + gap)
        panels.append(
            f'<g transform="translate({shift:.1f} 0)"><clipPath id="p{k}">'
            f'<rect x="0" y="{-high:.1f}" width="{wide:.1f}" height="{high + 1:.1f}"/></clipPath>'
            f'<g clip-path="url(#p{k})">{body}</g>'
            + _numbers(low, band.spaces, left_handed)
            + marks.word(wide / 2, 12.0, words, 1.7)
            + "</g>"
        )
    box = (-1.0, -high - 1, 2 * wide + gap + 2, high + 16.5)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box[0]:.1f} {box[1]:.1f} {box[2]:.1f} {box[3]:.1f}" '
        f'width="{box[2]:.1f}mm" height="{box[3]:.1f}mm" role="img"><title>{escape(trouble.alt)}</title>'
        f'<g fill="none" stroke-linejoin="round">{"".join(panels)}</g></svg>'
    )


def _first_wrong(trouble: Trouble) -> int:
    """Number of the first stroke that shows otherwise than it should: by where it lies, or by its colour."""
    if trouble.at >= 0:
        return trouble.at
    for i, (right, wrong) in enumerate(zip(trouble.right, trouble.wrong, strict=False)):
        lies = (right.begin, right.over) == (wrong.begin, wrong.over)
        if not lies or trouble.colours[0][right.weaver] != trouble.colours[1][wrong.weaver]:
            return i
    return -1


def _window(trouble: Trouble, first: int, spaces: int) -> int:
    """The first spoke shown: so that the stroke that is wrong `first` lies in the middle."""
    return (trouble.right[max(first, 0)].begin - SPOKES // 2 + 2) % spaces


def _panel(bench, strokes, shades, low, spaces, of, colour, left_handed, at, first) -> str:
    palette = bench.design.palette
    letters = {name: letter.upper() for name, letter in letters_for(bench.design).items()}

    def x_of(place: float) -> float:
        return (SPOKES - place) * WIDE if left_handed else place * WIDE

    out = [
        f'<path d="M{x_of(i + 0.5):.1f} {-ROWS * HIGH - 4:.1f}V1" stroke="#8a8178" stroke-width="{SPOKE}"/>'
        f'<path d="M{x_of(i + 0.5):.1f} {-ROWS * HIGH - 4:.1f}V1" stroke="#f4efe6" stroke-width="{SPOKE - 0.7}"/>'
        for i in range(SPOKES)
    ]
    reverse = next(band for band in bench.laid.bands if band.index == of).band.weave.reverse
    together = Counter((each.row, each.begin) for each in strokes if each.over)
    met: Counter[tuple[int, int]] = Counter()
    rings = []
    for i, each in sorted(enumerate(strokes), key=lambda pair: _painted(pair, reverse)):
        if not each.over:
            continue
        # Two that go on from one space lie over each other: each is drawn, as thick as there is room for it.
        share = together[each.row, each.begin]
        aside = (met[each.row, each.begin] - (share - 1) / 2) * BAR / share
        met[each.row, each.begin] += 1
        rise = -RISE if reverse[each.row % len(reverse)] else RISE
        name = shades[each.weaver]
        shade = name.split(" with ")[0]
        fill = palette.get(shade) or hex_of(shade)
        fill = fill if colour else grey(fill)
        for turn in (-spaces, 0, spaces):
            a = (each.begin % spaces) + turn - low
            b = a + each.over
            if b < -1 or a > SPOKES + 1:
                continue
            y = -each.row * HIGH - HIGH / 2 - aside
            path = (
                f"M{x_of(a + 0.08):.1f} {y + rise:.1f}C{x_of(a + 0.4):.1f} {y:.1f} {x_of(a + 0.4):.1f} {y:.1f} "
                f"{x_of((a + b) / 2):.1f} {y:.1f}S{x_of(b - 0.4):.1f} {y:.1f} {x_of(b - 0.08):.1f} {y - rise:.1f}"
            )
            if i == first:
                rings.append(_ringed(x_of((a + b) / 2), y, each.over))
            ink = "#000000" if i == at else INK
            edge = 1.6 if i == at else 0.7
            out.append(
                f'<path d="{path}" stroke="{ink}" stroke-width="{BAR / share + edge - 0.7:.1f}" '
                'stroke-linecap="round"/>'
            )
            out.append(
                f'<path d="{path}" stroke="{fill}" stroke-width="{BAR / share - 0.7:.1f}" stroke-linecap="round"/>'
            )
            if len(letters) > 1:
                out.append(
                    f'<text x="{x_of((a + b) / 2):.1f}" y="{y + 1.1 / share:.1f}" text-anchor="middle" '
                    f'font-size="{3.2 / share**0.6:.1f}" '
                    f'font-family="{marks.FONT}" fill="{label_colour(fill)}">{letters[shade]}</text>'
                )
    return "".join([*out, *rings])


def _ringed(x: float, y: float, over: int) -> str:
    """A ring round a stroke in front of so many, dark on white."""
    box = f'cx="{x:.1f}" cy="{y:.1f}" rx="{over * WIDE / 2 + 2.2:.1f}" ry="{BAR / 2 + 2.0:.1f}" fill="none"'
    return "".join(f'<ellipse {box} stroke="{ink}" stroke-width="{wide}"/>'
                   for ink, wide in (("#ffffff", 2.2), ("#000000", 1.0)))  # fmt: skip


def _painted(pair: tuple[int, Stroked], reverse: tuple[bool, ...]) -> tuple[int, int]:
    """In a row an earlier stroke lies above a later one; in a reverse row below it (see `weave.trace`)."""
    i, each = pair
    return each.row, i if reverse[each.row % len(reverse)] else -i


def _numbers(low: int, spaces: int, left_handed: bool) -> str:
    out = []
    for i in range(SPOKES):
        place = (SPOKES - i - 0.5) if left_handed else i + 0.5
        out.append(marks.number(place * WIDE, 4.6, str((low + i) % spaces + 1), 1.5))
    return "".join(out)
