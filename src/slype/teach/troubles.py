"""Troubles worked out for one basket: how five usual slips show in its own pattern, and how far back to unweave."""

from __future__ import annotations

from dataclasses import dataclass

from ..lay.values import BandLaid
from ..weave.by_hand import Stroked, strokes
from ..words import several
from .measures import ROWS, row_strokes
from .step.bench import Bench, numbers

SPOKES = 12
"""How much of the band is shown."""


@dataclass(frozen=True)
class Trouble:
    """One slip in band `band` (an index): `title`, how it is `seen`, how to `undo` it.

    `right`, `wrong`: strokes as they should be and as they are, of the first ROWS rows; `colours` of each weaver, right
    and wrong, of its reeds from the bottom up; `at` the stroke that is wrong, or -1.
    """

    band: int
    title: str
    seen: tuple[str, ...]
    undo: tuple[str, ...]
    right: tuple[Stroked, ...]
    wrong: tuple[Stroked, ...]
    colours: tuple[tuple[tuple[str, ...], ...], tuple[tuple[str, ...], ...]]
    at: int = -1
    alt: str = ""

    @property
    def doubled(self) -> bool:
        """True where two weavers come to lie on one spoke."""
        places = [(each.row, each.begin) for each in self.wrong if each.over]
        return len(set(places)) < len(places)

    @property
    def shows(self) -> tuple[int, int, int] | None:
        """(row, first spoke, how many) of where it first shows, counted on as `right` does: what is passed by, or the
        stroke that lies wrong or has another colour."""
        if self.at >= 0:
            right, wrong = self.right[self.at], self.wrong[self.at] if self.at < len(self.wrong) else None
            if wrong is None or not wrong.over:
                return right.row, right.begin, right.over
            if wrong.under > right.under:
                return wrong.row, wrong.begin + wrong.over, wrong.under
            return wrong.row, wrong.begin, wrong.over
        for right, wrong in zip(self.right, self.wrong, strict=False):
            lies = (right.begin, right.over) == (wrong.begin, wrong.over)
            if not lies or self.colours[0][right.weaver] != self.colours[1][wrong.weaver]:
                return wrong.row, wrong.begin, wrong.over
        return None


def troubled_band(bench: Bench) -> BandLaid | None:
    """The band to show slips in: of the side, with most colours, then with most rows; None where nothing is woven."""
    own = [band for band in bench.laid.side if band.rows >= 3] or list(bench.laid.side) or list(bench.laid.base)
    return max(own, key=lambda band: (len(set(band.colours)), min(band.rows, ROWS)), default=None)


def troubles(bench: Bench) -> tuple[Trouble, ...]:
    """The usual slips, in the order in which they happen most."""
    band = troubled_band(bench)
    if band is None:
        return ()
    rows = min(ROWS, band.rows if not band.band.blocks else band.segments[0][1])
    start = band.band.start
    right = strokes(band.band.weave, band.spaces, rows, start)
    shades = list(band.colours)
    at, joined = _middle(right, rows), joined_band(bench, band)
    out = [
        _wrong_stroke(bench, band, right, shades, rows, at, "missed"),
        _wrong_stroke(bench, band, right, shades, rows, at, "too far"),
    ]
    if len(set(shades)) > 1:
        out.append(_swapped(bench, band, right, shades))
    out.append(_start_off(bench, band, right, shades, rows))
    if joined is not None:
        rows = min(ROWS, joined.rows if not joined.band.blocks else joined.segments[0][1])
        right = strokes(joined.band.weave, joined.spaces, rows, joined.band.start)
        shades = list(joined.colours)
        out.append(_no_join(bench, joined, right, shades, rows, _middle(right, rows)))
    return tuple(out)


def joined_band(bench: Bench, shown: BandLaid) -> BandLaid | None:
    """A band of the side in which lengths are joined: the one that other slips are `shown` in where it is one; None
    where nothing is joined, and no join can be forgotten."""
    found = [band for band in bench.laid.side if bench.plan.joins[bench.laid.bands.index(band)].joins]
    return next((band for band in found if band is shown), next(iter(found), None))


def strokes_in_rows(bench: Bench) -> list[tuple[str, list[int]]]:
    """(strokes to a row, `8 or 9` where rows differ; numbers of the bands, from 1, that have so many), as the bands
    come: how far back a row is."""
    out: dict[str, list[int]] = {}
    for band in bench.laid.bands:
        out.setdefault(row_strokes(band, ""), []).append(band.index + 1)
    return list(out.items())


def _middle(right: list[Stroked], rows: int) -> int:
    """A stroke in the middle of what is shown, in the second row where there is one."""
    row = min(1, rows - 1)
    first = min(each.begin for each in right)
    mine = [i for i, each in enumerate(right) if each.row == row]
    return min(mine, key=lambda i: abs((right[i].begin - first) % max(1, len(mine)) - SPOKES // 2 + 1))


def _name(bench: Bench, band: BandLaid, spoke: int) -> str:
    return f"{bench.passes(band)[0]} {spoke % band.spaces + 1}"


def _wrong_stroke(bench, band, right, shades, rows, at, kind) -> Trouble:
    wrong = strokes(band.band.weave, band.spaces, rows, band.band.start, kind, at)
    one, space = bench.passes(band)[0], bench.space(band)
    draft = wrong[at]
    which = f"Stroke {_within(right, at)} of row {draft.row + 1}"
    if band.band.weave.turns == "round" and len(band.colours) > 1:  # each goes round by itself
        own = sum((each.row, each.weaver) == (draft.row, draft.weaver) for each in right[: at + 1])
        which = f"In row {draft.row + 1} stroke {own} of {bench.weaver(band, draft.weaver)}"
    came_out, should = draft.beyond % band.spaces + 1, right[at].beyond % band.spaces + 1
    if kind == "missed":
        title = f"Behind one {one} too many"
        missed = _name(bench, band, right[at].beyond)
        seen = [f"{which} went behind one too many: {missed} too."]
    else:
        title = f"A stroke in front of {draft.over}"
        seen = [f"{which} went in front of {draft.over}, not {draft.over - 1}."]
    if band.band.weave.turns == "stroke":
        seen.append(f"It comes out at {space} {came_out}, and {space} {should} before it stays empty.")
        if _meet(wrong, at):
            seen.append(f"One stroke later two weavers hang in {space} {came_out}.")
    elif band.band.weave.turns == "back":
        seen.append(f"Two weavers come out at {space} {came_out}; none at {space} {should}.")
    else:
        seen.append(f"From there on it goes behind where it should go in front. It comes out at {space} {came_out}.")
    per_row = sum(each.row == draft.row for each in right)
    undo = [
        "Seen at once: take back that one stroke.",
        f"Seen a row later: take back {several(per_row, 'stroke')}, to {space} {draft.begin % band.spaces + 1}.",
    ]
    return _made(bench, band, title, seen, undo, right, wrong, shades, shades, at)


def _meet(wrong: list[Stroked], at: int) -> bool:
    """True when the next stroke brings another weaver into the space of the wrong one."""
    return at + 1 < len(wrong) and wrong[at + 1].beyond == wrong[at].beyond


def _within(right: list[Stroked], at: int) -> int:
    """Number of a stroke in its row, from 1."""
    return sum(each.row == right[at].row for each in right[: at + 1])


def _swapped(bench, band, right, shades) -> Trouble:
    pair = next((k, k + 1) for k in range(len(shades) - 1) if shades[k] != shades[k + 1])
    other = list(shades)
    other[pair[0]], other[pair[1]] = shades[pair[1]], shades[pair[0]]
    places = [(band.band.start + k) % band.spaces + 1 for k in pair]
    names = [bench.colour(band, k) for k in pair]
    seen = [
        f"{names[1].capitalize()} was set in at {bench.space(band)} {places[0]}, {names[0]} at "
        f"{places[1]}.",
        bench.tell("The weave holds, but two {colours} have changed places in every row."),
    ]
    undo = [
        "Seen in row 1: take back to the start and change the two over.",
        bench.tell("Seen later: you may keep it; no one else knows the chart."),
    ]
    return _made(bench, band, bench.tell("Two weavers swapped"), seen, undo, right, right, shades, other, -1)


def _start_off(bench, band, right, shades, rows) -> Trouble:
    wrong = strokes(band.band.weave, band.spaces, rows, band.band.start + 1)
    start, many = band.band.start % band.spaces + 1, len(band.colours)
    which = "first weaver" if many > 1 else "weaver"
    seen = [
        f"The {which} was set in at {bench.space(band)} {start % band.spaces + 1}, not {start}.",
        "Every stroke lies one place on.",
    ]
    if len({colour for each in bench.laid.side for colour in each.band.colours}) > 1:  # else there is no chart
        seen.append("The pattern does not stand over the band below as the chart shows." if band.index else
                    "The chart is one off.")  # fmt: skip
    undo = [
        f"Seen before row 1 is done: draw {'the weavers' if many > 1 else 'the weaver'} out and set "
        f"{'them' if many > 1 else 'it'} in again.",
        _keep_it(bench, band),
    ]
    return _made(bench, band, "A start one space off", seen, undo, right, wrong, shades, shades, -1)


def _keep_it(bench: Bench, band: BandLaid) -> str:
    later = [each.index + 1 for each in bench.laid.bands if each.index > band.index]
    starts = len(band.segments)
    if starts > 1:
        mine = "start 2" if starts == 2 else f"starts 2 to {starts}"
        also = f" and {numbers(later, 'band', 'bands')}" if later else ""
        return f"Seen later: keep it, and set {mine}{also} one place on too."
    if not later:
        return "Seen later: keep it; no band follows that must fit."
    which = f"band {later[0]}" if len(later) == 1 else f"bands {later[0]} to {later[-1]}"
    return f"Seen later: keep it, and begin {which} one place on too."


def _no_join(bench, band, right, shades, rows, at) -> Trouble:
    wrong = strokes(band.band.weave, band.spaces, rows, band.band.start, "no join", at)
    where = f"{bench.space(band)} {right[at].begin % band.spaces + 1}"
    which = bench.weaver(band, right[at].weaver)
    seen = [f"Suppose {which} ran out in row {right[at].row + 1} at {where}, and no new length was laid in."]
    if len(shades) > 1:
        left = len(shades) - 1
        seen.append(f"From there on {several(left, 'weaver')} {'works' if left == 1 else 'work'} alone, and gaps show.")
    else:
        seen.append("The row stops there, and its tail works loose.")
    lies = _name(bench, band, right[at].begin - 1)
    undo = [f"Take back to {where}, until {which} lies behind {lies}.",
            "Join there, as the step on joins says."]  # fmt: skip
    title = f"A join forgotten, in band {band.index + 1}"
    return _made(bench, band, title, seen, undo, right, wrong, shades, shades, at)


def _made(bench, band, title, seen, undo, right, wrong, shades, other, at) -> Trouble:
    alt = f"{title}: {band.band.weave.named(bench.design.wording)}, right and wrong side by side. {' '.join(seen)}"
    return Trouble(band.index, title, tuple(seen), tuple(undo), tuple(right), tuple(wrong),
                   (tuple(shades), tuple(other)), at, alt)  # fmt: skip
