"""What colours do: upright lines, spirals, blocks, rings or speckle, read off the trace.

Nothing here knows the shift rule: the effect is found by looking at what lies on the spokes, row after row, and the
tests then prove that it obeys the rule.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ..errors import DesignError
from ..words import several
from .table import EVERY_END, Weave
from .trace import cells, trace

Rows = Sequence[Sequence[object]]
"""By row and end, what is compared: colours, or who lies there."""

EFFECTS = ("plain", "upright lines", "spiral", "blocks", "rings", "speckle")


@dataclass(frozen=True)
class Effect:
    """The effect of a band on one face.

    `effect` one of EFFECTS; `shift_per_row`: each row repeats the row below moved this many spaces back against the
    direction of work (modulo the number of weavers that take turns); `period`: spaces after which the colours repeat
    round the basket; `lean`: -1 climbs against the direction of work, +1 with it, 0 neither; `step` spaces of that
    climb per row ("blocks" that lean are seen as slanting lines, the others as checks). `block_rows`, `block_shift`:
    the weavers are ended after so many rows and set in so many spaces on. `along`: of "rings", each stroke shows all
    the colours, one above the other; else a row is of one colour all round.
    """

    effect: str
    shift_per_row: int
    period: int
    lean: int = 0
    step: int = 0
    block_rows: int = 0
    block_shift: int = 0
    along: bool = False

    def looks_like(self, other: Effect) -> bool:
        """True when the eye sees the same: lines, checks or a spiral that climbs alike, whatever its repeat."""
        mine, theirs = (
            (each.effect, each.lean, each.step, each.block_rows, each.block_shift) for each in (self, other)
        )
        return mine == theirs

    def words(self, hand: str = "right", inside: bool = False) -> str:
        """The effect as a sentence a maker reads, for the working hand and the face looked at."""
        name, more = self._told(hand, inside)
        return f"{name}: {more}" if more else name

    def named(self, hand: str = "right", inside: bool = False) -> str:
        """The effect as `words` has it, without how each row stands to the one below."""
        return self._told(hand, inside)[0]

    def _told(self, hand: str, inside: bool) -> tuple[str, str]:
        rightward = (hand == "right") != inside  # outside, a right-handed maker works towards the right
        side = "right" if (self.lean > 0) == rightward else "left"
        if self.effect == "spiral":
            return f"spirals that climb to the {side}", (
                f"each row lies {self.step} space{'s' * (self.step != 1)} further {side} than the row below, repeating "
                f"every {self.period} spaces"
            )
        if self.block_rows:
            return (
                f"upright lines for {several(self.block_rows, 'row')}, then moved on {self.block_shift} "
                f"space{'s' * (self.block_shift != 1)}: blocks {several(self.block_rows, 'row')} high",
                "",
            )
        if self.effect == "blocks" and self.lean:
            return f"slanting lines that climb to the {side}", (
                f"each row stands {several(self.period // 2, 'space')} further on than the row below, and each stroke "
                "goes on where one like it ended"
            )
        if self.along:
            return "every stroke alike, striped along its length", ""
        if self.effect == "blocks":
            return "small checks", f"each row stands {several(self.period // 2, 'space')} further on than the row below"
        name = {
            "plain": "one colour all over",
            "upright lines": f"upright lines, repeating every {self.period} spaces",
            "rings": "level rings, the same all the way round",
            "speckle": "a speckle without lines",
        }[self.effect]
        return name, ""


def weaver_colours(
    weave: Weave, ends: int, colours: tuple[str, ...], strands: int = 1, where: str = ""
) -> tuple[tuple[str, ...], ...]:
    """Colours of each weaver's strands, bottom to top: one tuple per weaver.

    One colour serves all. Otherwise give one per weaver, or one per strand of every weaver; a weave with a weaver in
    every space repeats the list round. Raises DesignError when the number of colours fits none of these.
    """
    weavers = weave.count(ends)
    if len(colours) == 1:
        return ((colours[0],) * strands,) * weavers
    if weave.weavers == EVERY_END:
        return tuple((colours[k % len(colours)],) * strands for k in range(weavers))
    if len(colours) == weavers:
        return tuple((colour,) * strands for colour in colours)
    if len(colours) == weavers * strands:
        return tuple(tuple(colours[k * strands : (k + 1) * strands]) for k in range(weavers))
    many = f"{weavers} weaver{'s' * (weavers != 1)}" + (f" of {strands} strands" if strands > 1 else "")
    right = "Give " + " or ".join(map(str, colours_that_fit(weavers, strands))) + "."
    raise DesignError(f"{len(colours)} colours for {many}.", where, right)


def colours_that_fit(weavers: int, strands: int) -> list[int]:
    """How many colours may be given: one for all, one per weaver, or one per strand of every weaver."""
    return sorted({1, weavers, weavers * strands})


def in_two(weave: Weave, spaces: int, strands: int, own: str, second: str) -> tuple[str, ...] | None:
    """Colours of a band half of whose reeds are in a `second` colour; None where it has only one reed to colour."""
    if weave.weavers == EVERY_END:
        return own, second
    many = max(colours_that_fit(weave.count(spaces), strands))
    return (own,) * (many - many // 2) + (second,) * (many // 2) if many > 1 else None


def effect_of(weave: Weave, ends: int, colours: tuple[tuple[str, ...], ...], inside: bool = False) -> Effect:
    """The effect of a long band of `weave` on `ends` ends, its weavers coloured as `weaver_colours` gives."""
    rows = max(6, 2 * len(weave.reverse) + 2)
    t = trace(weave, ends, rows)
    by_trip = weave.turns != "back"
    # Trips round start and end raggedly, so the first and last are left out.
    stream = cells(t, front=not inside, by_trip=by_trip)[1:-1]
    # Where rows twist both ways in turn, the same two colours swap places on a spoke; that is texture, not effect.
    arrange = sorted if len(set(weave.reverse)) > 1 else list
    seen = [tuple(tuple(arrange([colour for k in cell for colour in colours[k]])) for cell in row) for row in stream]
    who = [tuple(tuple(sorted(cell)) for cell in row) for row in stream]
    shift = _shift(who, wraps=not by_trip)
    if len({colour for row in seen for cell in row for colour in cell}) <= 1:
        return Effect("plain", shift or 0, 1)
    if len({cell for row in seen for cell in row if cell}) == 1:
        return Effect("rings", shift or 0, 1, along=True)
    period = _period(seen, ends, wraps=not by_trip)
    moved = _shift(seen, wraps=not by_trip)
    if period == 1:
        return Effect("rings", shift or 0, 1)
    if period is None or moved is None or (by_trip and period > weave.reach):
        # With more weavers than a stroke passes several lie on a spoke, near the start in another order than elsewhere:
        # one above the other either way, the eye sees the same colours there.
        seen = [tuple(tuple(sorted(cell)) for cell in row) for row in seen]
        period, moved = _period(seen, ends, wraps=not by_trip), _shift(seen, wraps=not by_trip)
        if period == 1:
            return Effect("rings", shift or 0, 1)
    if period is None or moved is None:
        return Effect("speckle", shift or 0, period or ends)
    moved %= period
    if moved == 0:
        return Effect("upright lines", shift or 0, period)
    if weave.weavers == EVERY_END and (weave.reach + moved) % period == 0 and 2 * weave.reach <= period:
        # Each weaver goes on where its last stroke ended, a row higher, and the eye goes with it.
        return Effect("spiral", shift or 0, period, 1, weave.reach)
    if 2 * moved == period:
        deep = len(stream[0][ends // 2])
        alike = len(set(weave.reverse)) <= 1  # rows that twist both ways in turn slant both ways
        lean = _lean_of_strokes(stream[0], ends // 2) if alike and (deep - moved) % period == 0 else 0
        return Effect("blocks", shift or 0, period, lean, deep * abs(lean))
    back = moved < period - moved
    return Effect("spiral", shift or 0, period, -1 if back else 1, moved if back else period - moved)


def _lean_of_strokes(row: list[list[int]], j: int) -> int:
    """Whether strokes over several spokes rise with the direction of work (+1) or against it (-1), looked at on spoke
    `j` of a row of the trace; 0 where each passes only one spoke.

    Where rows move by half a repeat and that is as long as a stroke, the next stroke of a colour begins where the last
    one ends, a row higher, and the eye sees one slanting line. (Derived, and looked at in drawings. The handbooks name
    lines and checks for pairing alone, where no stroke slants: Turner, figs. 7 and 8.)
    """
    lowest = row[j][0]
    ways = [way for way in (1, -1) if lowest in row[(j + way) % len(row)][1:]]
    return ways[0] if len(ways) == 1 else 0


def with_blocks(effect: Effect, rows: int, shift: int) -> Effect:
    """The effect when weavers are ended after `rows` rows and set in `shift` spaces on: lines that jump are blocks."""
    if effect.effect != "upright lines" or shift % effect.period == 0:
        return effect
    return replace(effect, effect="blocks", block_rows=rows, block_shift=shift)


def _at(rows: Rows, r: int, j: int, wraps: bool) -> object:
    """The cell j spaces on from the start of row r: round again in the same row, or on into the next."""
    ends = len(rows[0])
    return rows[r][j % ends] if wraps else rows[r + j // ends][j % ends]


def _period(rows: Rows, ends: int, wraps: bool) -> int | None:
    """Smallest repeat round the basket, or None when the colours never repeat within one row."""
    length = ends if wraps else ends * (len(rows) - 1)
    for period in range(1, ends):
        if wraps and ends % period:
            continue
        if all(_at(rows, 0, j, wraps) == _at(rows, 0, j + period, wraps) for j in range(length - period * (not wraps))):
            return period
    return None


def _shift(rows: Rows, wraps: bool) -> int | None:
    """Smallest s with next row at j equal to this row at j + s, all the way round; None when there is none."""
    ends = len(rows[0])
    for shift in range(ends):
        if all(_at(rows, 1, j, wraps) == _at(rows, 0, j + shift, wraps) for j in range(ends)):
            return shift
    return None
