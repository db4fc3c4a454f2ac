"""Borders written as rows: what each end does, how long it must be, how the border closes.

A border is a list of rows. In each row every standing end in turn makes the same move: legs ("behind 1", "over 3")
and then a finish: "out" (left outside), "in" (left inside), "down" (tucked down and trimmed). After each row all ends
have moved on by the same count, so one end tells the whole border. A row that begins with the ends lying inside is
worked on the inside: there "over" means on the inner face, "behind" on the outer.

Length of one end = path round the ring + bends + what the fingers need + tail.
"""

from __future__ import annotations

import itertools
import math
import re
from dataclasses import dataclass

from ..errors import DesignError, Unweavable
from ..quantity import MM_PER_IN
from ..rods import stack

FINGERS, FINGERS_RANGE = 8.0, (0.0, 12.0)
"""Length that the fingers hold to draw the last ends tight, in thicknesses of the reed, and its range: fine reed lies
closer and is drawn with less. None is left in a published list of through-spokes (Gill, whose spoke lists hold the bare
border only at their shortest); an inch and a half on thick reed is what many leave (common practice, no source)."""
TAIL = 4.0
"""Length that must lie past the last spoke before trimming, in thicknesses (common practice, no source)."""
INSERTION_MM = 1.0 * MM_PER_IN
"""How far the end of an open border is pushed down below the edge. Source: White, open border 1, "at least an inch"."""
BEND_THICKNESSES = 1.5
"""Radius of an end's first bend, in its own thicknesses (common practice, no source)."""
OPEN_RISE = 1 / 3
"""Rise of a scallop over its span (common practice, no source); between OPEN_RISE_RANGE a maker may choose."""
OPEN_RISE_RANGE = (1 / 4, 1 / 2)
LONGEST_MOVE = 12
MOST_MOVES = 8  # of one end in one row

_LEG = re.compile(r"(?P<face>behind|over|in front of|front of|under|before)\s+(?P<count>\d+)", re.IGNORECASE)
_FINISHES = ("out", "in", "down")


@dataclass(frozen=True)
class Row:
    """One move: `legs` of (over?, spokes passed) and the `finish` (out, in or down)."""

    legs: tuple[tuple[bool, int], ...]
    finish: str

    @property
    def reach(self) -> int:
        """Spokes passed."""
        return sum(count for _, count in self.legs)

    def words(self) -> str:
        """`behind 1 and out`."""
        legs = ", ".join(f"{'over' if over else 'behind'} {count}" for over, count in self.legs)
        return f"{legs} and {self.finish}"


@dataclass(frozen=True)
class Rods:
    """Order of a rod border: `down` ends first, each behind `behind` and out; then the left-hand end that waits goes in
    front of what is down and of `front` that stand.

    With `back_rods` it goes on behind `behind` and out, and the next upright lies down beside it, as its back rod;
    without, it goes in there and rests, and the next upright lies down by itself. Raises DesignError for no border.
    """

    down: int
    front: int = 1
    behind: int = 1
    back_rods: bool = True

    def __post_init__(self) -> None:
        if not (1 <= self.down <= 8 and 0 <= self.front <= 6 and 1 <= self.behind <= 4):
            raise DesignError("a rod border lays 1 to 8 ends down first, past few others.", "border")
        if self.behind >= self.down + self.front:
            raise DesignError(
                f"an end that goes behind {self.behind} is past the next upright already.", "border",
                "Lay more ends down first.",
            )  # fmt: skip

    @property
    def least_ends(self) -> int:
        """On fewer the first end does not find the uprights it goes past."""
        return self.down + self.front + self.behind

    @property
    def span(self) -> int:
        """Spokes between an end and the furthest that its moves have to do with."""
        return self.down + self.front + 2 * self.behind


@dataclass(frozen=True)
class Plait:
    """Order of a plaited border: `pairs` groups plaited along the edge, each reed going round `rounds` times."""

    pairs: int = 3
    rounds: int = 2

    def __post_init__(self) -> None:
        if self.pairs != 3 or not 1 <= self.rounds <= 2:
            raise DesignError("a plaited border has three groups of one reed or two.", "border")

    @property
    def reach_of_a_round(self) -> int:
        """Spokes an end passes until it is outside again: every group has its turn once in so many."""
        return self.pairs

    @property
    def least_ends(self) -> int:
        """As many as one end passes, and its own."""
        return self.pairs * self.rounds + 1

    @property
    def span(self) -> int:
        """Spokes between an end and the furthest that its moves have to do with."""
        return self.pairs * self.rounds


@dataclass(frozen=True)
class Border:
    """A border as rows that one end makes; worked one end at a time, row after row, unless `order` says else."""

    rows: tuple[Row, ...]
    order: Rods | Plait | None = None

    @property
    def is_open(self) -> bool:
        """One single sweep to a place beside or before a later spoke leaves arches: an open (scalloped) border."""
        return self.order is None and len(self.rows) == 1 and len(self.rows[0].legs) == 1

    @property
    def reach(self) -> int:
        """Spokes that each end passes, all rows together."""
        return sum(row.reach for row in self.rows)

    @property
    def smallest_ends(self) -> int:
        """Smallest count on which no end meets itself: every site of one end must be a different place."""
        ends = 3 if self.order is None else max(3, self.order.least_ends)
        while not _sites_differ(self, ends):
            ends += 1
        return ends

    def worked_inside(self, row: int) -> bool:
        """Whether a row (from 0) is worked on the inside: the row before left its ends there."""
        return 0 < row <= len(self.rows) and self.rows[row - 1].finish == "in"

    def words(self) -> str:
        """The rows, joined."""
        return "; then ".join(row.words() for row in self.rows)


@dataclass(frozen=True)
class Need:
    """Length one end needs above the last row, mm, in parts: (name, mm, why, source). `range_mm` least and most."""

    parts: tuple[tuple[str, float, str, str], ...]
    range_mm: tuple[float, float]

    @property
    def length_mm(self) -> float:
        """Sum of the parts."""
        return sum(part[1] for part in self.parts)


def parse_row(text: object, where: str = "") -> Row:
    """Read `behind 1 out`, `over 3 in`, `behind 1 over 2 down`.

    Raises DesignError naming `where` for anything else.
    """
    if not isinstance(text, str):
        raise DesignError(f"a row of a border is text, not {text!r:.40}.", where, 'Write it like "behind 1 out".')
    plain = text.lower().replace(",", " ").replace(" and ", " ").strip()
    legs: list[tuple[bool, int]] = []
    at = 0
    while (found := _LEG.match(plain, at)) is not None:
        count = int(found["count"][:4])
        if not 1 <= count <= LONGEST_MOVE:
            raise DesignError(f'"{text}": a move passes 1 to {LONGEST_MOVE} spokes, not {found["count"][:8]}.', where)
        if len(legs) == MOST_MOVES:
            raise DesignError(
                f'"{text[:40]}…" is more than an end does in one row.', where, f"At most {MOST_MOVES} moves."
            )
        legs.append((found["face"].lower() not in ("behind", "under"), count))
        at = found.end()
        at += len(plain[at:]) - len(plain[at:].lstrip())
    finish = plain[at:].strip()
    if not legs or finish not in _FINISHES:
        shown = text if len(text) <= 40 else text[:40] + "…"
        raise DesignError(
            f'I cannot read the border row "{shown}".',
            where,
            'Write "behind" or "over", how many spokes, and then "out", "in" or "down", '
            'like "behind 1 out" or "over 3 in".',
        )
    return Row(tuple(legs), finish)


def parse_border(rows: object, where: str = "border") -> Border:
    """A border from a list of row texts, or from one text with commas or semicolons between rows."""
    if isinstance(rows, str):
        rows = _split_rows(rows)
    if not isinstance(rows, list | tuple) or not rows:
        raise DesignError(
            "a border needs at least one row.", where, 'For example rows = ["behind 1 out", "over 2 down"].'
        )
    if len(rows) > 8:
        raise DesignError(f"{len(rows)} rows is more than a border holds.", where, "At most 8.")
    parsed = tuple(parse_row(row, f"{where}, row {i}") for i, row in enumerate(rows, start=1))
    for i, row in enumerate(parsed[:-1], start=1):
        if row.finish == "down":
            raise DesignError(
                "only the last row can tuck the ends down.", f"{where}, row {i}", 'Finish it "out" or "in".'
            )
    return Border(parsed)


def _split_rows(text: str) -> list[str]:
    """Split at each finish: a comma may also stand between two legs of one row."""
    pieces, row = [], ""
    for piece in re.split(r"[,;]|\bthen\b", text, flags=re.IGNORECASE):
        row = f"{row} {piece}".strip()
        if row and row.lower().split()[-1] in _FINISHES:
            pieces.append(row)
            row = ""
    return [*pieces, row] if row else pieces


def path_of_end(border: Border) -> list[tuple[int, bool, int]]:
    """Sites of the end of spoke 0: (row, outside?, spoke passed, counted from its own)."""
    at, sites, inside = 1, [], False
    for i, row in enumerate(border.rows):
        for over, count in row.legs:
            sites += [(i, over != inside, at + step) for step in range(count)]
            at += count
        inside = row.finish == "in"
    return sites


def _sites_differ(border: Border, ends: int) -> bool:
    places = [spoke % ends for _, _, spoke in path_of_end(border)]
    return len(set(places)) == len(places) and 0 not in places


def crossings(border: Border) -> int:
    """How often an end passes through the wall; a standing end's first bend to either side costs none."""
    sides = []
    for i, row in enumerate(border.rows):
        sides += [outside for j, outside, _ in path_of_end(border) if j == i]
        if row.finish != "down":
            sides.append(row.finish == "out")
    return sum(a != b for a, b in itertools.pairwise(sides))


def border_need(border: Border, spacing_mm: float, spoke_mm: float, per_end: int = 1) -> Need:
    """Length of one end above the last row, mm.

    Spokes are `spoke_mm` thick, `per_end` of them side by side, the ends `spacing_mm` apart.

    Closed borders: the end runs half a spacing from its own spoke to the next space and then one spacing for every
    spoke it passes; each passage through the wall adds the crimp of a springy rod round a spoke of its own size.
    Open borders: an arch from the spoke to the space it goes in at, plus the push-down. Raises Unweavable when the
    spokes stand so close that an end cannot pass between them.
    """
    # Reeds of one end lie side by side: they take up room between the ends but bend as single reeds.
    gap = spacing_mm - (per_end - 1) * spoke_mm
    ratio = 2 * spoke_mm / max(gap, 1e-9)
    if ratio >= stack.JAM_RATIO:
        raise Unweavable(
            "the spokes stand so close that they leave no room for an end between them.",
            "border",
            "Use fewer ends, a wider mouth or finer spokes.",
        )
    span = (border.reach + 0.5) * spacing_mm
    if border.is_open:
        low, middle, high = (
            stack.arch_length(span, span * rise) for rise in (OPEN_RISE_RANGE[0], OPEN_RISE, OPEN_RISE_RANGE[1])
        )
        open_parts = (
            ("arch", middle, f"from its own spoke past {border.reach} in an arch a third as high as wide", "practice"),
            ("pushed down", INSERTION_MM, "the end goes down beside a spoke by an inch", "white"),
        )
        return Need(open_parts, (low + INSERTION_MM, high + INSERTION_MM))
    crimp = float(stack.springy_crimp(ratio)) * gap * crossings(border)
    # The end leaves its spoke in a quarter circle, above the last row.
    bend = math.pi / 2 * BEND_THICKNESSES * spoke_mm
    parts = (
        ("path", span, f"half a space and then past {border.reach} spokes", "derived"),
        ("bends", crimp + bend, f"the first bend and {crossings(border)} passages through the wall", "derived"),
        ("fingers", FINGERS * spoke_mm, "what the fingers hold to draw the last ends tight", "practice"),
        ("tail", TAIL * spoke_mm, "rests past the last spoke until it is trimmed", "practice"),
    )
    bare = sum(part[1] for part in parts) - FINGERS * spoke_mm
    least, most = (bare + held * spoke_mm for held in FINGERS_RANGE)
    return Need(parts, (least, most))


def trimmed_on(border: Border) -> str:
    """The side on which the tips rest and are trimmed: outside or inside; pushed in, not trimmed, in an open border.

    An end that finishes out or in rests there; one that is tucked down, on the face that its last leg ran along.
    """
    if border.is_open:
        return "pushed in"
    sides = {"out": "outside", "in": "inside"}
    finish = border.rows[-1].finish
    if finish in sides:
        return sides[finish]
    over = border.rows[-1].legs[-1][0]
    inside = len(border.rows) > 1 and border.rows[-2].finish == "in"
    return "inside" if over == inside else "outside"


def row_tips(border: Border) -> str:
    """Where the tips of a border worked row by row rest, and how to trim them."""
    if border.is_open:
        return "Push all arches down to one height, and leave the tips where they are pushed in."
    side = trimmed_on(border)
    if border.rows[-1].finish == "down":
        return f"The tips lie down on the {side}; trim them below the edge once the border is dry."
    return f"The tips rest {side}; trim them on the slant so that each still lies against the next spoke."
