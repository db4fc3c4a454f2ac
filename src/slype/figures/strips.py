"""The wall laid flat as strips: strokes as bars over standing spokes, for troubles and for the glossary of moves."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from ..colour import hex_of, label_colour
from ..lay.chart import letters_for
from ..lay.values import BandLaid
from ..teach.step.bench import Bench
from ..teach.troubles import ROWS, SPOKES, Trouble
from ..weave.by_hand import Stroked
from ..words import escape
from .flat import marks
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
    low = _window(trouble, band.spaces)
    left_handed = bench.design.hand == "left"
    for k, (strokes, shades, words) in enumerate(
        ((trouble.right, trouble.colours[0], "right"), (trouble.wrong, trouble.colours[1], "wrong"))
    ):
        body = _panel(bench, strokes, shades, low, band, colour, trouble.at if k else -1)
        if k and trouble.shows is not None:
            body += _ringed(trouble.shows, low, band.spaces, left_handed)
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


def _window(trouble: Trouble, spaces: int) -> int:
    """The first spoke shown: so that what is wrong lies in the middle."""
    shown = trouble.shows or (0, trouble.right[0].begin, 0)
    return (shown[1] - SPOKES // 2 + 2) % spaces


def _x(place: float, left_handed: bool) -> float:
    """Where a place lies on the drawing, in spokes from its first one."""
    return (SPOKES - place) * WIDE if left_handed else place * WIDE


def _turns(begin: int, over: int, low: int, spaces: int) -> list[float]:
    """Where a stroke begins on the drawing, each time that it is seen there."""
    found = [(begin % spaces) + turn - low for turn in (-spaces, 0, spaces)]
    return [a for a in found if a + over >= -1 and a <= SPOKES + 1]


def _panel(bench: Bench, strokes: Sequence[Stroked], shades: Sequence[tuple[str, ...]], low: int, band: BandLaid,
           colour: bool, at: int) -> str:  # fmt: skip
    """Spokes and the strokes on them, each with the colours of its reeds as the chart has them."""
    letters = {name: letter.upper() for name, letter in letters_for(bench.design).items()}
    letters = letters if len({name for each in shades for name in each}) > 1 else {}
    left_handed, weave = bench.design.hand == "left", band.band.weave
    out = [
        f'<path d="M{_x(i + 0.5, left_handed):.1f} {-ROWS * HIGH - 4:.1f}V1" stroke="{ink}" stroke-width="{wide:.1f}"/>'
        for i in range(SPOKES) for ink, wide in (("#8a8178", SPOKE), ("#f4efe6", SPOKE - 0.7))
    ]  # fmt: skip
    together = Counter((each.row, each.begin) for each in strokes if each.over)
    met: Counter[tuple[int, int]] = Counter()
    for i, each in sorted(enumerate(strokes), key=lambda pair: _painted(pair, weave.reverse)):
        if not each.over:
            continue
        # Two that go on from one space lie over each other: each is drawn, as thick as there is room for it.
        share = together[each.row, each.begin]
        aside = (met[each.row, each.begin] - (share - 1) / 2) * BAR / share
        met[each.row, each.begin] += 1
        climbs = RISE if weave.turns == "stroke" else 0.0  # what goes round alone lies level
        rise = -climbs if weave.reverse[each.row % len(weave.reverse)] else climbs
        y = -each.row * HIGH - HIGH / 2 - aside
        for a in _turns(each.begin, each.over, low, band.spaces):
            out.append(_bar(bench, (a, a + each.over), y, rise, BAR / share, shades[each.weaver], letters, colour,
                            1.6 if i == at else 0.7))  # fmt: skip
    return "".join(out)


def _bar(bench: Bench, along: tuple[float, float], y: float, rise: float, thick: float, reeds: tuple[str, ...],
         letters: dict[str, str], colour: bool, edge: float) -> str:  # fmt: skip
    """One stroke from one place to another: its outline, and a strip for each of its reeds, from the bottom up."""
    palette, left_handed = bench.design.palette, bench.design.hand == "left"
    a, b = along
    ends = a + 0.08, a + 0.4, (a + b) / 2, b - 0.4, b - 0.08
    x = [_x(each, left_handed) for each in ends]

    def path(up: float) -> str:
        level = y - up
        return (f"M{x[0]:.1f} {level + rise:.1f}C{x[1]:.1f} {level:.1f} {x[1]:.1f} {level:.1f} {x[2]:.1f} {level:.1f}"
                f"S{x[3]:.1f} {level:.1f} {x[4]:.1f} {level - rise:.1f}")  # fmt: skip

    many, out = len(reeds), []
    strip = (thick - 0.7) / many
    cap = "round" if many == 1 else "butt"
    out.append(f'<path d="{path(0.0)}" stroke="{INK}" stroke-width="{thick + edge - 0.7:.1f}" stroke-linecap="round"/>')
    for k, name in enumerate(reeds):
        fill = palette.get(name) or hex_of(name)
        fill = fill if colour else grey(fill)
        up = (k - (many - 1) / 2) * strip
        out.append(f'<path d="{path(up)}" stroke="{fill}" stroke-width="{strip:.2f}" stroke-linecap="{cap}"/>')
        if letters and strip > 1.5:
            out.append(
                f'<text x="{x[2]:.1f}" y="{y - up + 0.28 * min(strip, 3.9):.1f}" text-anchor="middle" '
                f'font-size="{0.82 * min(strip, 3.9):.1f}" font-family="{marks.FONT}" '
                f'fill="{label_colour(fill)}">{letters[name]}</text>'
            )
    return "".join(out)


def _ringed(shown: tuple[int, int, int], low: int, spaces: int, left_handed: bool) -> str:
    """A ring round where a slip shows (row, first spoke, how many), dark on white."""
    row, begin, over = shown
    out = []
    for a in _turns(begin, over, low, spaces):
        box = f'cx="{_x(a + over / 2, left_handed):.1f}" cy="{-row * HIGH - HIGH / 2:.1f}" ' \
              f'rx="{over * WIDE / 2 + 2.2:.1f}" ry="{BAR / 2 + 2.0:.1f}" fill="none"'  # fmt: skip
        out += [f'<ellipse {box} stroke="{ink}" stroke-width="{wide}"/>'
                for ink, wide in (("#ffffff", 2.2), ("#000000", 1.0))]  # fmt: skip
    return "".join(out)


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
