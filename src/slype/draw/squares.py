"""The plain colour chart: one square for each spoke and row, for counting at the bench.

Rows are drawn from the bottom up as they are woven, spokes as seen from outside. A square is what is seen of one
stroke; of a wale, whose strokes hide each other's ends, it stands between spokes, where the stroke lies in front. A bar
is a spoke that shows. Spokes are numbered, and spaces in rings between them; each row has a box to tick.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..colour import hex_of, label_colour
from ..lay.chart import Seen, letters_for, seen_rows
from ..lay.values import BandLaid
from ..plans.planning import Plan
from ..words import listed, say
from .hatching import ruled, rules

WIDE, HIGH, APART = 6.0, 5.0, 3.0  # one square, and the space between bands, in mm of the drawing
MOST_SPOKES, MOST_ROWS = 24, 70
MOST_SHEET_SPOKES, MOST_SHEET_ROWS = 32, 240
"""On paper a chart is as wide as the page: more spokes than these would be too small to count by."""
A_LITTLE_WIDER = 4
"""So many more are shown where another band begins there; squares stay larger than LEAST."""
PAGE_WIDE_MM, PAGE_HIGH_MM = 174.0, 218.0
"""Room for the chart on a page of A4 or Letter, below its heading."""
MOST_STARTS = 4
"""So many new starts of a band are told with their spaces; all whose space is shown have an arrow."""
LARGEST, LEAST = 1.1, 0.7
"""Scales on paper: squares of 6.6 mm are large enough for anyone, and in smaller than 4.2 mm no letter can be read."""
SEAM = 4
"""So many spokes before space 1 a chart begins that has not room for all: where rounds close, most goes wrong."""
TYPE = '<g font-family="Libertinus Serif, DejaVu Serif, serif" fill="#333333" font-size="{size}">'
FOOT, LABELS, LABELS_GROWN = 17.5, 30.0, 38.0  # below the squares for numbers and notes, beside them for the bands

Drawing = tuple[str, tuple[float, float, float, float]]


@dataclass(frozen=True)
class _Rows:
    """Rows of one band that stand together: those from number `first` (from 1) on."""

    band: BandLaid
    first: int
    cells: list[Seen]

    @property
    def last(self) -> int:
        return self.first + len(self.cells) - 1

    @property
    def starts(self) -> dict[int, int]:
        """By the rows of these, from 1, that begin a new start of the band, or the band, the space from which its first
        stroke is made, from 0."""
        return {row: space for row, space in _starts(self.band).items() if self.first <= row <= self.last}

    @property
    def gaps(self) -> int:
        """Before how many of these rows, but the first, there is room for an arrow."""
        return sum(row > self.first for row in self.starts)


def squares(plan: Plan, most: int | None = None) -> Drawing:
    """(drawing, box) of the side's bands, `most` spokes wide from the start line (24 unless told)."""
    rows, shown = _rows(plan, MOST_ROWS), min(plan.design.top_ends, most or MOST_SPOKES)
    return _piece(plan, rows, shown, _left_out(plan, rows, shown))


@dataclass(frozen=True)
class ChartPiece:
    """A piece of the chart that fits on a page: its drawing, how wide it is on paper, and which bands it holds, in
    words."""

    drawing: Drawing
    wide_mm: float
    bands: str


def squares_by_page(plan: Plan) -> list[ChartPiece]:
    """The chart as large as a page allows, and in as few pieces as can be read, from the first row up.

    A band is only divided where it alone is higher than a page, after a fifth row.
    """
    every, (shown, lead) = _rows(plan, MOST_SHEET_ROWS), _width(plan)
    wide = shown * WIDE + (LABELS_GROWN if len(plan.design.tiers("side")) > 1 else LABELS)
    largest = min(LARGEST, PAGE_WIDE_MM / wide)
    scales = [scale for k in range(20) if (scale := largest * (1 - 0.02 * k)) >= min(LEAST, largest)]
    tries = [_by_page(every, int((PAGE_HIGH_MM / scale - FOOT - 1) / HIGH)) for scale in scales]
    fewest = min(map(len, tries))
    scale, pieces = next((scale, found) for scale, found in zip(scales, tries, strict=True) if len(found) == fewest)
    note = _left_out(plan, every, shown, lead)
    return [
        ChartPiece(_piece(plan, piece, shown, "" if k else note, lead), wide * scale, _in_words(piece))
        for k, piece in enumerate(pieces)
    ]


def _width(plan: Plan) -> tuple[int, int]:
    """How many spokes wide a chart on paper is, and how many of them stand before space 1: so that as many bands as can
    be begin on it."""
    shown = min(plan.design.top_ends, MOST_SHEET_SPOKES)
    if shown == plan.design.top_ends or len(plan.design.tiers("side")) > 1:
        return shown, 0
    best, fewest = (shown, 0), len(plan.laid.side) + 1
    for wide in range(shown, min(plan.design.top_ends, shown + A_LITTLE_WIDER) + 1):
        missed = [sum(_arrow_at(band, _starts(band)[1], wide, lead) is None for band in plan.laid.side)
                  for lead in range(wide)]  # fmt: skip
        lead = min(range(wide), key=lambda lead: (missed[lead], abs(lead - SEAM)))
        if missed[lead] < fewest:
            best, fewest = (wide, lead), missed[lead]
    return best


def _not_shown(plan: Plan) -> str:
    """`The chart leaves out spokes 8 to 16 ...`; "" where it shows all."""
    (shown, lead), ends = _width(plan), plan.design.top_ends
    if shown == ends or len(plan.design.tiers("side")) > 1:
        return ""
    first, last = shown - lead + 1, ends - lead
    which = f"{{spokes}} {first} to {last}" if first < last else f"{{spoke}} {first}"
    return say(f"The chart leaves out {which}: go on there with the same strokes.", plan.design.wording)


def reading(plan: Plan) -> list[str]:
    """What a reader of the chart must know of this basket's: which bands it leaves out, where squares lie over gaps."""
    out = []
    base = [str(band.index + 1) for band in plan.laid.base]
    if base:
        verb = "is" if len(base) == 1 else "are"
        out.append(f"{'Band' if len(base) == 1 else 'Bands'} {listed(base)} {verb} in the base and not on the chart.")
    if plan.laid.side:
        width = _width(plan)
        on: list[str] = []
        off: list[str] = []
        again: list[str] = []
        for band in plan.laid.side:
            first, *later = _starts(band).items()
            found = off if _arrow_at(band, first[1], *width) is None else on
            found.append(f"band {band.index + 1} in space {first[1] + 1}")
            again += _started_anew(band, later)
        if on:
            begins = [space for band in plan.laid.side for space in list(_starts(band).values())[1:]
                      if _arrow_at(band, space, *width) is not None]  # fmt: skip
            new = ", and of each new start that is shown" if begins else ""
            out.append(f"A black arrow stands at the space of a band's first stroke{new}.")
            out.append("It points to where the next stroke begins.")
            out.append(say("The square of that first stroke lies further to the {forward}: over what it passes in "
                           "front of.", plan.design.wording, plan.design.hand))  # fmt: skip
            out.append(f"First strokes: {'; '.join(on)}.")
        out += again
        if off:
            out.append(f"Of some bands the chart leaves out that space: {'; '.join(off)}.")
        out += [say(f"In band {band.index + 1} each next stroke is made a space to the {{back}}, as its arrow points. "
                    f"Its weavers are set in from space {band.band.start % band.spaces + 1} on.", hand=plan.design.hand)
                for band in plan.laid.side if band.band.weave.turns == "back"]  # fmt: skip
    out += [rest] if (rest := _not_shown(plan)) else []
    if any(_bars(plan, band) for band in plan.laid.side):
        out.append(say("A bar is a place where the {spoke} shows.", plan.design.wording))
    over = [str(band.index + 1) for band in plan.laid.side if _between(plan, band)]
    if over:
        most = max(over for band in plan.laid.side if _between(plan, band) for over, _ in band.band.weave.cycle)
        said = (
            f"In {'band' if len(over) == 1 else 'bands'} {listed(over)} a square stands over the gap between two "
            "{spokes}. It is a stroke in front of both"
            + (", or of these and more" if most > 2 else "")
            + ". Find it by the numbers left and right of it."
        )
        out.append(say(said, plan.design.wording))
    across = [str(band.index + 1) for band in plan.laid.side if _across_the_start(band)]
    if across:
        out.append(f"In {'band' if len(across) == 1 else 'bands'} {listed(across)} each row of the chart begins at the "
                   "arrow. A stroke across that line counts with the row below in the steps.")  # fmt: skip
    return [*out, *_over_middle(plan)]


def _started_anew(band: BandLaid, later: list[tuple[int, int]]) -> list[str]:
    """In which rows a band starts anew, and from which space (from 0), by these (row, space)."""
    if not later:
        return []
    rows, spaces = ([str(each[k] + k) for each in later[:MOST_STARTS]] for k in (0, 1))
    one, more = len(rows) == 1, " and so on" if len(later) > MOST_STARTS else ""
    told = ", ".join if more else listed
    return [f"Band {band.index + 1} starts anew in {'row' if one else 'rows'} {told(rows)}{more}, "
            f"from {'space' if one else 'spaces'} {told(spaces)}{more}."]  # fmt: skip


def _across_the_start(band: BandLaid) -> bool:
    """True where one weaver comes round in front of the place where its row began, so that its stroke there is drawn in
    the row above the one in which it is told."""
    cycle = band.band.weave.cycle
    return (len(band.colours) == 1 and band.band.weave.turns != "back" and max(over for over, _ in cycle) > 1
            and band.spaces % sum(over + under for over, under in cycle) != 0)  # fmt: skip


def _over_middle(plan: Plan) -> list[str]:
    """Where a square stands over one spoke, and its stroke lies in front of those beside it too."""
    found: dict[int, list[str]] = {}
    for band in plan.laid.side:
        most = max(over for over, _ in band.band.weave.cycle)
        wide = max(b - a for a, b, _ in seen_rows(plan.laid, band)[0])
        if most > 2 and most % 2 and wide < most - 0.5 and not _between(plan, band):
            found.setdefault(most, []).append(str(band.index + 1))
    out = []
    for many, bands in found.items():
        which = f"In {'band' if len(bands) == 1 else 'bands'} {listed(bands)}"
        out.append(say(f"{which} a square stands over the middle one of the {many} {{spokes}} that its stroke passes.",
                       plan.design.wording))  # fmt: skip
    return out


def _between(plan: Plan, band: BandLaid) -> bool:
    """True where squares of a band begin or end in the middle of a spoke."""
    return any(
        abs(edge % 1.0 - 0.5) < 0.25 for row in seen_rows(plan.laid, band)[:1] for a, b, _ in row for edge in (a, b)
    )


def _bars(plan: Plan, band: BandLaid) -> bool:
    """True where spokes show between the strokes of a band."""
    row = seen_rows(plan.laid, band)[0]
    return sum(b - a for a, b, _ in row) < band.ends - 0.5


def _by_page(every: list[_Rows], room: int) -> list[list[_Rows]]:
    """Rows for each page of so many, bands kept together where they can be."""
    pieces: list[list[_Rows]] = []
    for rows in every:
        for part in _divided(rows, room - 2):
            taken = sum(_tall(each) + APART / HIGH for each in pieces[-1]) if pieces else room
            if taken + _tall(part) > room:
                pieces.append([])
            pieces[-1].append(part)
    return pieces


def _tall(rows: _Rows) -> float:
    """How high they are, in squares."""
    return len(rows.cells) + rows.gaps * APART / HIGH


def _rows(plan: Plan, most: int) -> list[_Rows]:
    """The first `most` rows of the side, band by band."""
    out, left = [], most
    for band in plan.laid.side:
        cells = seen_rows(plan.laid, band)[:left]
        left -= len(cells)
        if cells:
            out.append(_Rows(band, 1, cells))
    return out


def _divided(rows: _Rows, most: int) -> list[_Rows]:
    """The rows in parts of a multiple of five that fit on a page, about as high as each other."""
    if _tall(rows) <= most:
        return [rows]
    count = math.ceil(_tall(rows) / most)
    each = 5 * math.ceil(len(rows.cells) / count / 5)
    while True:
        parts = [_Rows(rows.band, 1 + i, rows.cells[i : i + each]) for i in range(0, len(rows.cells), each)]
        if each <= 5 or max(map(_tall, parts)) <= most:  # gaps for new starts may lie close
            return parts
        each -= 5


def _in_words(piece: list[_Rows]) -> str:
    said = []
    for rows in piece:
        part = "" if len(rows.cells) == rows.band.rows else f", rows {rows.first} to {rows.last}"
        said.append(f"band {rows.band.index + 1}{part}")
    return listed(said)


def _piece(plan: Plan, parts: list[_Rows], shown: int, note: str, lead: int = 0) -> Drawing:
    """`shown` spokes wide, of which `lead` stand before space 1."""
    design = plan.design
    left_handed = design.hand == "left"
    letters = {name: letter.upper() for name, letter in letters_for(design).items()}
    out, words = [], [TYPE.format(size=3.6)]
    y = 0.0
    grows = len(design.tiers("side")) > 1
    for part in parts:
        floor, starts = y, part.starts
        for number, row in enumerate(part.cells, start=part.first):
            if number in starts:
                y -= APART if number > part.first else 0.0
                words += _begin(part.band, starts[number], shown, left_handed, y, lead)
            y -= HIGH
            # A band on fewer ends keeps to the side of space 1.
            skip = part.band.ends - shown + lead if left_handed else -lead
            out += _drawn_row(plan, letters, part.band.ends, row, (skip, skip + shown), y)
            words.append(_box(shown * WIDE + 3.0, y + HIGH / 2))
            words.append(f'<text x="-2" y="{y + 3.8:.1f}" text-anchor="end">{number}</text>')
        on = f", on {part.band.ends}" if grows else ""
        words.append(
            f'<text x="{shown * WIDE + 6:.1f}" y="{(y + floor) / 2 + 1.3:.1f}">band {part.band.index + 1}{on}</text>'
        )
        y -= APART
    if note:
        words.append(f'<text x="0" y="14.6">{note}</text>')
    for i in range(shown):
        spoke = ((shown - i - 1 if left_handed else i) - lead) % design.top_ends + 1
        words.append(f'<text x="{(i + 0.5) * WIDE:.1f}" y="5" text-anchor="middle">{spoke}</text>')
    for i in range(shown + 1):  # a whole ring has space 1 at both its sides: where reading begins, and where it closes
        space = ((shown - i if left_handed else i) - lead) % design.top_ends  # the space at this line, from 0
        words.append(_space(i * WIDE, space + 1))
    body = '<g stroke="#3a2a1a" stroke-width="0.2">' + "".join(out) + "</g>" + "".join(words) + "</g>"
    beside = LABELS_GROWN if grows else LABELS
    return body, (-9, y - 1, shown * WIDE + beside, -y + (FOOT if note else FOOT - 5))


def _left_out(plan: Plan, shown_rows: list[_Rows], shown: int, lead: int = 0) -> str:
    """What the chart does not show, in words."""
    design = plan.design
    ends, in_all = design.top_ends, sum(band.rows for band in plan.laid.side)
    which = f"the first {shown}" if not lead else f"{ends - lead + 1} to {ends} and 1 to {shown - lead}"
    out = [say(f"{which} of {ends} {{spokes}}", design.wording)] if shown < ends else []
    if len(design.tiers("side")) > 1:  # where ends are added, all above are numbered anew
        out = [say(f"in each band the first {shown} {{spokes}} after space 1", design.wording)]
    rows = sum(len(each.cells) for each in shown_rows)
    return listed([*out, *([f"the first {rows} of {in_all} rows"] if rows < in_all else [])])


def _box(x: float, y: float) -> str:
    """A box to tick when the row is done."""
    return (f'<path d="M{x - 1.3:.1f} {y - 1.3:.1f}h2.6v2.6h-2.6z" fill="none" stroke="#333333" '
            'stroke-width="0.25"/>')  # fmt: skip


def _begin(band: BandLaid, space: int, shown: int, left_handed: bool, floor: float, lead: int) -> list[str]:
    """An arrow below the space from which the first stroke of a band or of a new start is made, the way in which the
    next ones follow; none where that is not shown."""
    start = _arrow_at(band, space, shown, lead)
    if start is None:
        return []
    x, way = ((shown - start) * WIDE, -1.0) if left_handed else (start * WIDE, 1.0)
    way = -way if band.band.weave.turns == "back" else way
    return [f'<path d="M{x:.1f} {floor + 0.4:.1f}v2.2l{2.6 * way:.1f} -1.1z" fill="#000000"/>']


def _arrow_at(band: BandLaid, space: int, shown: int, lead: int) -> int | None:
    """How many spaces from the side of the chart a stroke from a space is made, None where it is left out: at the very
    edge the arrow would point out of the chart."""
    start = (space + lead) % band.spaces
    on = 0 < start <= shown if band.band.weave.turns == "back" else start < shown
    return start if on or shown >= band.spaces else None


def _starts(band: BandLaid) -> dict[int, int]:
    """By the row, from 1, that begins a band, or a new start in it: the space, from 0, from which its first stroke is
    made, of a weave worked backwards not that in which its first weaver is set in."""
    out = {}
    for (row, *_), (_, trace) in zip(band.segments, band.traces(), strict=True):
        first = (trace.stroke == trace.stroke.min()) & (trace.step == 0)
        out[row + 1] = int(trace.spoke[first][0]) % band.spaces
    return out


def _space(x: float, number: int) -> str:
    """A space's number in a ring, below the line that stands for it."""
    return (
        f'<circle cx="{x:.1f}" cy="8.6" r="2" fill="none" stroke="#333333" stroke-width="0.2"/>'
        f'<text x="{x:.1f}" y="9.5" text-anchor="middle" font-size="2.5">{number}</text>'
    )


def _drawn_row(
    plan: Plan, letters: dict[str, str], ends: int, row: Seen, shown: tuple[int, int], y: float
) -> list[str]:
    """A row of strokes and of the spokes that show between them; `shown` (from, to) spokes."""
    low, high = shown
    around = [(a + turn, b + turn, colours) for a, b, colours in row for turn in (-ends, 0, ends)]
    seen = sorted((max(a, low), min(b, high), colours) for a, b, colours in around if b > low and a < high)
    out = []
    for j in range(low, high if high > ends > high - low else min(high, ends)):
        if not any(a <= j + 0.5 <= b for a, b, _ in seen):
            out.append(_bare(plan, (j - low) * WIDE, y))
    for a, b, colours in seen:
        out.append(_square(plan, letters, colours, (a - low) * WIDE, y, (b - a) * WIDE))
    return out


def _bare(plan: Plan, x: float, y: float) -> str:
    """A spoke that shows."""
    design = plan.design
    spoke = design.palette.get(design.spokes.colour) or hex_of(design.spokes.colour)
    bar = f'<rect x="{x + WIDE * 0.4:.1f}" y="{y:.1f}" width="{WIDE * 0.2:.1f}" height="{HIGH}" fill="{spoke}"/>'
    return f'<rect x="{x:.1f}" y="{y:.1f}" width="{WIDE}" height="{HIGH}" fill="#ffffff"/>{bar}'


def swatch(plan: Plan, colour: str) -> str:
    """A colour as the chart has it, for its key, as stand-alone SVG."""
    palette, (wide, high) = plan.design.palette, (7.0, 3.4)
    fill = palette[colour]
    lines = rules(ruled(palette)[colour], (0.0, 0.0, wide, high), fill)
    return (f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}mm" height="{high}mm">'
            f'<rect width="{wide}" height="{high}" fill="{fill}" stroke="#333333" stroke-width="0.25"/>{lines}'
            "</svg>")  # fmt: skip


def _square(plan: Plan, letters: dict[str, str], cell: tuple[str, ...], x: float, y: float, wide: float) -> str:
    palette, part, out = plan.design.palette, HIGH / len(cell), []
    ways = ruled(palette)
    for k, colour in enumerate(reversed(cell)):  # the uppermost strand is drawn first
        fill = palette.get(colour) or hex_of(colour)
        out.append(f'<rect x="{x:.1f}" y="{y + k * part:.2f}" width="{wide:.1f}" height="{part:.2f}" fill="{fill}"/>')
        if ways.get(colour):
            out.append(rules(ways[colour], (x, y + k * part, wide, part), fill))
        if len(letters) > 1 and part >= 2.4 and wide >= 0.45 * WIDE:
            # A letter too, for prints without colour and for eyes that see two colours as one.
            out.append(
                f'<text x="{x + wide / 2:.1f}" y="{y + (k + 0.5) * part + 0.8:.2f}" text-anchor="middle" '
                f'stroke="none" font-family="Libertinus Serif, DejaVu Serif, serif" font-size="2.4" '
                f'fill="{label_colour(fill)}">{letters[colour]}</text>'
            )
    return "".join(out)
