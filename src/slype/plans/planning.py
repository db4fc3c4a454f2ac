"""What to cut, weigh out, soak and allow time for. From laid numbers to a maker's lists, no drawing.

Every length opens into parts, each with its reason and source, and has an expected value and a range.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from ..advice.advise import WEIGHTS, Finding, advise
from ..advice.tried import of_lid, with_remedies
from ..design.values import Design
from ..lay import gauge
from ..lay.attachments import HandleLaid, lay_handles
from ..lay.boards import BoardLaid, lay_board
from ..lay.courses import Course, courses_of
from ..lay.feet import FootLaid, lay_foot
from ..lay.joins import Cut, Join, JoinPlan, plan_joins
from ..lay.laying import lay
from ..lay.lids import LidFit, fit_lid
from ..lay.values import Laid
from ..reeds import Reed, Soaking
from .fitted_pieces import foot_pieces, handle_pieces
from .gauged import as_woven
from .piece import Piece, check_pieces, cut_longer, spare_of
from .pieces import standing_pieces
from .times import Time, tasks

if TYPE_CHECKING:  # the compiled loops behind it are slow to load, and a plan without it needs none
    from ..rest.relax import AtRest


@dataclass(frozen=True)
class Strand:
    """One reed of one weaver through its band: rows, joins, and the ends to tuck where it is set in or ended there, of
    which `trimmed_mm` is cut off when the basket is done."""

    band: int
    weaver: int
    colour: str
    reed: Reed
    length_mm: float
    range_mm: tuple[float, float]
    trimmed_mm: float = 0.0


@dataclass(frozen=True)
class Amount:
    """Reed of one size and colour: `length_mm` woven in and cut, `mass_g`, and what to `buy_g` with the reserve."""

    reed: Reed
    colour: str
    length_mm: float
    mass_g: float
    buy_g: float

    @property
    def coils(self) -> float:
        """Coils to buy."""
        return self.buy_g / self.reed.coil_g


Pull = Mapping[tuple[bool, int], float]
"""How long the reeds are that weavers are cut from, mm: by (of the lid, course from 0)."""


@dataclass(frozen=True, eq=False)
class Plan:
    """Everything the handout and the shopping list say. `pieces` begins with the spokes; `at_rest` the relaxed basket
    that lengths and heights come from, None when they come from stacked cells; `first_time` True where what stands is
    cut to the longer figure of its range, for somebody's first basket; `pull` says which weavers come from other reeds
    than the design says."""

    design: Design
    laid: Laid
    pieces: tuple[Piece, ...]
    strands: tuple[Strand, ...]
    courses: tuple[Course, ...]
    cuts: tuple[Cut, ...]
    amounts: tuple[Amount, ...]
    joins: tuple[JoinPlan, ...]
    soaking: tuple[tuple[Reed, Soaking], ...]
    time: Time
    at_rest: AtRest | None = None
    board: BoardLaid | None = None
    handles: tuple[HandleLaid, ...] = ()
    lid: Plan | None = None
    seat: LidFit | None = None
    foot: FootLaid | None = None
    first_time: bool = False
    pull: Pull | None = None

    @cached_property
    def advice(self) -> tuple[Finding, ...]:
        """The basket's findings and its lid's, the gravest first. Reckoned when first asked for: every remedy is tried
        on a basket of its own, which takes longer than all else, and a picture or a student's sheet needs none."""
        own = {nth: mm for (lid, nth), mm in (self.pull or {}).items() if not lid}
        return tuple(_advice(self.laid, self.joins, self.at_rest, self.lid, own))

    @property
    def spokes(self) -> Piece:
        """The spokes that stand at the side."""
        return self.pieces[0]

    @property
    def all_joins(self) -> list[Join]:
        """Joins of all bands."""
        return [join for band in self.joins for join in band.joins]

    @property
    def finished_g(self) -> float | None:
        """What the basket weighs when it is done, dry and trimmed: the reed that is cut, less what is cut off. None on
        a board, whose wood is the maker's own."""
        if self.board is not None:
            return None
        both = (self,) if self.lid is None else (self, self.lid)
        pieces = [(p.reed, p.count * (p.cut_mm - p.length_mm + spare_of(p))) for each in both for p in each.pieces]
        tails = [(s.reed, s.trimmed_mm) for each in both for s in each.strands]
        off = sum(mm * reed.g_per_mm * gauge.thickness(self.design, reed) ** 2 for reed, mm in (*pieces, *tails))
        return sum(amount.mass_g for amount in self.amounts) - off

    @property
    def finish_mm(self) -> float:
        """Height of the side along the wall, top of the last row."""
        return self.laid.top_s


def reworded(made: Plan, **words: Any) -> Plan:
    """The same basket in another `hand`, `wording` or `units`; its reeds lie as they lay."""
    design = made.design.reworded(**words)
    if made.at_rest is None:
        return plan(design, None, made.first_time, made.pull)
    from ..rest.earlier import reworded as lying_as_before

    return plan(design, lying_as_before(made.at_rest, design), made.first_time, made.pull)


def plan(design: Design, at_rest: AtRest | None = None, first_time: bool = False, pull: Pull | None = None) -> Plan:
    """Work one design out from end to end; with `at_rest`, the same design relaxed, from its true lengths and heights.
    With `first_time` what stands is cut to the longer figure of its range; `pull` where weavers come from other reeds
    than the design says.

    Raises Unweavable when no hands could weave it.
    """
    laid = lay(design) if at_rest is None else as_woven(design, at_rest.laid)
    courses = courses_of(laid)
    own = {nth: mm for (lid, nth), mm in (pull or {}).items() if not lid}
    handles = lay_handles(laid)
    board = lay_board(laid)
    foot = lay_foot(laid)
    pieces = (*standing_pieces(laid, board), *foot_pieces(foot, design.units), *handle_pieces(laid, handles))
    check_pieces(design, pieces)
    planned, cuts = plan_joins(laid, courses, own, () if at_rest is None else at_rest.joins)
    joins = tuple(planned)
    if first_time:
        pieces = tuple(cut_longer(piece, design.units) for piece in pieces)
    strands = tuple(_strands(laid, courses, joins))
    seat = fit_lid(laid)
    lid = None if seat is None else plan(
        seat.design, None if at_rest is None else at_rest.lid, first_time,
        {(False, nth): mm for (of_lid, nth), mm in (pull or {}).items() if of_lid},
    )  # fmt: skip
    every_piece, every_strand = (pieces, strands) if lid is None else (pieces + lid.pieces, strands + lid.strands)
    taken = [*(piece.reed for piece in pieces), *(band.band.reed for band in laid.bands)]
    taken += [*(piece.reed for piece in every_piece), *(strand.reed for strand in every_strand)]
    reeds = {reed.key or f"{reed.diameter_mm:g}": reed for reed in taken}
    return Plan(
        design,
        laid,
        pieces,
        strands,
        tuple(courses),
        tuple(cuts),
        tuple(_amounts(design, every_piece, every_strand)),
        joins,
        tuple((reed, reed.soak()) for reed in reeds.values()),
        Time(
            sum(band.strokes for band in laid.bands),
            tasks(laid, courses, joins, handles, foot, None if lid is None else lid.time),
        ),
        at_rest,
        board,
        handles,
        lid,
        seat,
        foot,
        first_time,
        pull,
    )


def _advice(
    laid: Laid, joins: tuple[JoinPlan, ...], at_rest: AtRest | None, lid: Plan | None, pull: dict[int, float]
) -> list[Finding]:
    """The basket's findings and its lid's, the gravest first, with remedies that were tried.

    One basket has one answer: remarks on sizes are those of stacked rows, whether its reeds came to rest or not; what
    only reeds at rest can tell comes beside them.
    """
    stacked = laid
    if at_rest is not None:
        stacked = at_rest.stacked if laid.design.gauge is None else lay(laid.design)
        joins = tuple(plan_joins(stacked, courses_of(stacked), pull)[0])
    found = advise(stacked, joins) + ([] if at_rest is None else advise(laid, joins, at_rest=True))
    if lid is not None:
        found += of_lid(lid.advice)
    lid_stacked = None if lid is None else lid.laid if lid.at_rest is None else lid.at_rest.stacked
    tried = with_remedies(stacked, lid_stacked, found)
    return sorted(tried, key=lambda each: WEIGHTS.index(each.rule.weight))


def _strands(laid: Laid, courses: list[Course], joins: tuple[JoinPlan, ...]) -> list[Strand]:
    """Every reed of every weaver, band by band: its rows, its ends to tuck where it is set in or ended, its last
    stroke where that ends beyond the rows, its joins."""
    tucks = Counter(band for course in courses for band in (course.bands[0], course.bands[-1]))
    ended = {band.index: [course for course in courses if course.bands[-1] == band.index] for band in laid.bands}
    out = []
    for band, planned in zip(laid.bands, joins, strict=True):
        woven, (low, high) = float(band.row_mm.sum()), band.woven_range_mm()
        trimmed = tucks[band.index] * max(0.0, band.tail_mm - band.tail_rests_mm)
        for k, colours in enumerate(band.colours):
            mine = [join for join in planned.joins if join.weaver == k]
            last = sum(course.last_mm for course in ended[band.index])
            more = band.tail_mm * tucks[band.index] + sum(join.overlap_mm for join in mine) + last
            off = trimmed + sum(join.spare_mm for join in mine) + last
            off -= sum(course.past_mm(k) for course in ended[band.index])
            spread = low + more, high + more
            out += [Strand(band.index, k, colour, band.band.reed, woven + more, spread, off) for colour in colours]
    return out


def _amounts(design: Design, pieces: tuple[Piece, ...], strands: tuple[Strand, ...]) -> list[Amount]:
    """Totals by size and colour; bought for the longer end of every range, and a reserve on top."""
    reeds: dict[tuple[str, float, str], Reed] = {}
    used: dict[tuple[str, float, str], float] = defaultdict(float)
    most: dict[tuple[str, float, str], float] = defaultdict(float)
    for reed, colour, length, longest in [
        *((p.reed, p.colour, p.count * p.cut_mm, p.count * max(p.cut_mm, p.range_mm[1])) for p in pieces),
        *((s.reed, s.colour, s.length_mm, s.range_mm[1]) for s in strands),
    ]:
        key = (reed.key, reed.diameter_mm, colour)
        reeds[key] = reed
        used[key] += length
        most[key] += longest
    spare = 1 + design.pace.reserve
    return [
        Amount(
            reed, key[2], used[key], used[key] * reed.g_per_mm * thick, most[key] * reed.heavy_g_per_mm * spare * thick
        )
        for key, reed in sorted(reeds.items(), key=lambda item: (-item[0][1], item[0][2]))
        for thick in (gauge.thickness(design, reed) ** 2,)
    ]
