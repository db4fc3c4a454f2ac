"""What to cut, weigh out, soak and allow time for. From laid numbers to a maker's lists, no drawing.

Every length opens into parts, each with its reason and source, and has an expected value and a range.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from ..advice.advise import WEIGHTS, Finding, advise
from ..advice.tried import of_lid, with_remedies
from ..design.values import Design
from ..lay import gauge
from ..lay.attachments import HandleLaid, handle_pieces, lay_handles
from ..lay.boards import BoardLaid, lay_board, spoke_parts
from ..lay.courses import Course, courses_of
from ..lay.feet import FootLaid, foot_pieces, lay_foot
from ..lay.joins import OVERLAP_MM, Cut, Join, JoinPlan, plan_joins
from ..lay.laying import BASE_STICK_OVER_MM, HALF_SPOKE_MM, Laid, lay
from ..lay.lids import LidFit, fit_lid
from ..lay.limits import check_pieces
from ..lay.piece import SPARE_MM, LengthPart, Piece, cut_longer, piece_of
from ..lay.spacing import long_sticks
from ..reeds import Reed, Soaking
from .gauged import as_woven, ends_swing
from .times import Time, tasks

if TYPE_CHECKING:  # the compiled loops behind it are slow to load, and a plan without it needs none
    from ..rest.relax import AtRest

STICK_SPREAD_MM = gauge.Swing(-6.0, 12.0)
"""How much shorter or longer a base stick may be cut. Source: Gill's lists, "0 to 1 inch longer, usually 1/2"."""

_UP_BOTH = "both ends, along the wall to the top of the last row"


@dataclass(frozen=True)
class Strand:
    """One reed of one weaver through its band: rows, joins, and the ends to tuck where it is set in or ended there."""

    band: int
    weaver: int
    colour: str
    reed: Reed
    length_mm: float
    range_mm: tuple[float, float]


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
    advice: tuple[Finding, ...]
    at_rest: AtRest | None = None
    board: BoardLaid | None = None
    handles: tuple[HandleLaid, ...] = ()
    lid: Plan | None = None
    seat: LidFit | None = None
    foot: FootLaid | None = None
    first_time: bool = False
    pull: Pull | None = None

    @property
    def spokes(self) -> Piece:
        """The spokes that stand at the side."""
        return self.pieces[0]

    @property
    def all_joins(self) -> list[Join]:
        """Joins of all bands."""
        return [join for band in self.joins for join in band.joins]

    @property
    def finish_mm(self) -> float:
        """Height of the side along the wall, top of the last row."""
        return self.laid.top_s


def reworded(made: Plan, **words: Any) -> Plan:
    """The same basket in another `hand`, `wording` or `units`; its reeds lie as they lay."""
    design = made.design.reworded(**words)
    if made.at_rest is None:
        return plan(design, None, made.first_time, made.pull)
    from ..rest.relax import reworded as lying_as_before

    return plan(design, lying_as_before(made.at_rest, design), made.first_time, made.pull)


def plan(
    design: Design, at_rest: AtRest | None = None, first_time: bool = False, pull: Pull | None = None
) -> Plan:
    """Work one design out from end to end; with `at_rest`, the same design relaxed, from its true lengths and heights.
    With `first_time` what stands is cut to the longer figure of its range; `pull` where weavers come from other reeds
    than the design says.

    Raises Unweavable when no hands could weave it.
    """
    laid = lay(design) if at_rest is None else as_woven(design, at_rest.laid)
    courses = courses_of(laid)
    planned, cuts = plan_joins(laid, courses, {nth: mm for (lid, nth), mm in (pull or {}).items() if not lid})
    joins = tuple(planned)
    handles = lay_handles(laid)
    board = lay_board(laid)
    foot = lay_foot(laid)
    pieces = (*_pieces(laid, board), *foot_pieces(foot, design.units), *handle_pieces(laid, handles))
    check_pieces(design, pieces)
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
        tuple(_advice(laid, joins, at_rest, lid)),
        at_rest,
        board,
        handles,
        lid,
        seat,
        foot,
        first_time,
        pull,
    )


def _advice(laid: Laid, joins: tuple[JoinPlan, ...], at_rest: AtRest | None, lid: Plan | None) -> list[Finding]:
    """The basket's findings and its lid's, the gravest first, with remedies that were tried.

    One basket has one answer: remarks on sizes are those of stacked rows, whether its reeds came to rest or not; what
    only reeds at rest can tell comes beside them.
    """
    stacked = laid
    if at_rest is not None:
        stacked = at_rest.stacked if laid.design.gauge is None else lay(laid.design)
        joins = tuple(plan_joins(stacked, courses_of(stacked))[0])
    found = advise(stacked, joins) + ([] if at_rest is None else advise(laid, joins, at_rest=True))
    if lid is not None:
        found += of_lid(lid.advice)
    lid_stacked = None if lid is None else lid.laid if lid.at_rest is None else lid.at_rest.stacked
    tried = with_remedies(stacked, lid_stacked, found)
    return sorted(tried, key=lambda each: WEIGHTS.index(each.rule.weight))


def _pieces(laid: Laid, board: BoardLaid | None) -> list[Piece]:
    """What stands: the spokes, the base sticks, and what is added on the way up."""
    spokes = laid.design.spokes

    def piece(name: str, count: int, reed: Reed, parts: list[LengthPart], spread: gauge.Swing) -> Piece:
        share = laid.design.gauge.share if laid.design.gauge and spread is not STICK_SPREAD_MM else None
        return piece_of(name, count, reed, spokes.colour, parts, spread, laid.design.units, share)

    spread = ends_swing(laid)
    first, added = _first_pieces(laid, board, piece, spread), _added_pieces(laid, piece, spread)
    return [*first, *added, *_bye_pieces(laid, spread)]


def _first_pieces(laid: Laid, board: BoardLaid | None, piece, spread: gauge.Swing) -> list[Piece]:
    """What the basket begins with."""
    design, spokes, need = laid.design, laid.design.spokes, laid.border
    if board is not None:
        low, high = (mm - board.foot.length_mm for mm in board.foot.range_mm)
        both = gauge.Swing(spread.low + low, spread.high + high, spread.enough)
        return [piece("spoke", spokes.ends * spokes.per_end, spokes.reed, spoke_parts(laid, board), both)]
    if spokes.inserted:
        parts = [
            ("pushed in", spokes.insertion_mm, "beside the base stick, its slype included", "gill"),
            ("up the wall", laid.top_s, "along the wall to the top of the last row", "derived"),
            ("border", need.length_mm, "what one end needs above the last row", "derived"),
            ("to spare", SPARE_MM, "for an untrue cut", "practice"),
        ]
        sticks = [
            ("across the base", design.form.base_mm, "diameter of the base", "derived"),
            ("over the edge", BASE_STICK_OVER_MM, "base sticks stand out a little", "gill"),
        ]
        side = piece("side spoke", spokes.ends * spokes.per_end, spokes.reed, parts, spread)
        side = replace(side, use="insert")
        if not design.form.is_round:
            kinds = _both_ways(design, sticks, spokes.base_ends // 2)
            return [
                side,
                *(piece(f"{which} base stick", n, spokes.stick_reed, p, STICK_SPREAD_MM) for which, n, p in kinds),
            ]
        out = [side, piece("base stick", _full(design, spokes.base_ends), spokes.stick_reed, sticks, STICK_SPREAD_MM)]
        if spokes.base_ends % 2 and design.base.odd == "half":
            out.append(piece("half base stick", 1, spokes.stick_reed, _half(sticks), STICK_SPREAD_MM))
        if spokes.base_ends % 2 and design.base.odd == "added":
            more = ("over the edge", BASE_STICK_OVER_MM / 2, "base sticks stand out a little", "gill")
            out.append(piece("added stick", 1, spokes.stick_reed, [*_added(laid), more], STICK_SPREAD_MM))
        return out
    parts = [
        ("across the base", design.form.base_mm, "diameter of the base", "derived"),
        *([("up the wall", 2 * laid.top_s, _UP_BOTH, "derived")] if laid.top_s > 0 else []),  # a mat has no wall
        ("border", 2 * need.length_mm, "both ends, above the last row", "derived"),
        ("to spare", 2 * SPARE_MM, "both ends, for an untrue cut", "practice"),
    ]
    both = spread.times(2)
    if not design.form.is_round:
        kinds = _both_ways(design, parts, spokes.ends // 2)
        return [piece(f"{which} spoke", n * spokes.per_end, spokes.reed, p, both) for which, n, p in kinds]
    out = [piece("spoke", _full(design, spokes.ends) * spokes.per_end, spokes.reed, parts, both)]
    if spokes.ends % 2 and design.base.odd == "added":
        up = [(name, mm / 2, "its one end, " + why.split(", ", 1)[1], source) for name, mm, why, source in parts[1:]]
        out.append(piece("added spoke", spokes.per_end, spokes.reed, [*_added(laid), *up], spread))
    elif spokes.ends % 2 and design.base.odd == "half":
        out.append(piece("half spoke", spokes.per_end, spokes.reed, _half(parts), spread))
    return out


def _added_pieces(laid: Laid, piece, spread: gauge.Swing) -> list[Piece]:
    """Ends pushed in where a band begins, from their slypes to the tips of the border."""
    design, out = laid.design, []
    for where in ("base", "side"):
        for tier in design.tiers(where)[1:]:
            begins = next(band for band in laid.bands if band.index == tier.first).start_s
            parts = [("pushed in", design.spokes.insertion_mm, "beside another, its slype included", "gill")]
            if where == "base":
                edge = design.form.base_width_mm / 2
                parts.append(("to the edge", max(0.0, edge - begins), "from where it is added to the edge", "derived"))
                begins = 0.0
            if laid.top_s > 0:
                why = "along the wall from where it is added to the top of the last row"
                parts.append(("up the wall", laid.top_s - begins, why, "derived"))
            parts += [
                ("border", laid.border.length_mm, "what one end needs above the last row", "derived"),
                ("to spare", SPARE_MM, "for an untrue cut", "practice"),
            ]
            assert tier.first is not None, "added before a band"
            name = f"band {tier.first + 1}: added spoke"
            more = piece(name, tier.added * design.spokes.per_end, design.spokes.reed, parts, spread)
            out.append(replace(more, use="add", band=tier.first))
    return out


def bye_depth_mm(laid: Laid) -> float:
    """How deep bye-spokes are pushed in: no deeper than the upsett goes, if that is where they stand."""
    bye_spokes = laid.design.bye_spokes
    assert bye_spokes is not None, "asked of a basket that has them"
    begins = next(band.start_s for band in laid.bands if band.index == bye_spokes.first)
    return min(bye_spokes.insertion_mm, begins) if bye_spokes.in_upsett else bye_spokes.insertion_mm


def _bye_pieces(laid: Laid, spread: gauge.Swing) -> list[Piece]:
    """One bye-spoke for every end of the side, to the border's tips or only to the last row."""
    design, bye_spokes = laid.design, laid.design.bye_spokes
    if bye_spokes is None:
        return []
    begins = next(band.start_s for band in laid.bands if band.index == bye_spokes.first)
    where = "in the upsett, beside the spoke" if bye_spokes.in_upsett else "beside the spoke at the base's edge"
    parts = [
        (
            "pushed in",
            bye_depth_mm(laid),
            f"{where}, its slype included",
            "eb11" if bye_spokes.in_upsett else "practice",
        ),
        ("up the wall", laid.top_s - begins, "along the wall from there to the top of the last row", "derived"),
    ]
    if bye_spokes.to_border:
        parts.append(("border", laid.border.length_mm, "what one end needs above the last row", "derived"))
    else:
        spread = ends_swing(laid, border=False)
    parts.append(("to spare", SPARE_MM, "for an untrue cut", "practice"))
    one = piece_of(
        "bye-spoke", design.ends_at(bye_spokes.first), bye_spokes.reed, bye_spokes.colour, parts, spread, design.units,
        design.gauge.share if design.gauge else None,
    )  # fmt: skip
    return [replace(one, use="add", band=bye_spokes.first)]


def _both_ways(design: Design, parts: list[LengthPart], sticks: int) -> list[tuple[str, int, list[LengthPart]]]:
    """("long" or "short", how many, parts) of the sticks along and across a base that is not round."""
    along = long_sticks(design)
    length, width = design.form.base_length_mm, design.form.base_width_mm
    return [
        (which, count, [("across the base", across, f"{side} of the base", "derived"), *parts[1:]])
        for which, count, across, side in (("long", along, length, "length"), ("short", sticks - along, width, "width"))
        if count > 0
    ]


def _full(design: Design, ends: int) -> int:
    """Full spokes or sticks for so many ends: one more where the odd end is what is left of a full one."""
    return (ends + 1) // 2 if design.base.odd == "cut out" else ends // 2


def _added(laid: Laid) -> list[LengthPart]:
    """From where a single one is pushed in beside another, after the first band, to the edge of the base."""
    design = laid.design
    from_mm = laid.base[0].end_s if laid.base else laid.cross_mm
    return [
        ("pushed in", design.spokes.insertion_mm, "beside another, its slant included", "gill"),
        ("to the edge", max(0.0, design.form.base_mm / 2 - from_mm), "from the first band to the edge", "derived"),
    ]


def _half(parts: list[LengthPart]) -> list[LengthPart]:
    half = sum(part[1] for part in parts) / 2
    return [
        ("half a full one", half, "it runs from the middle out", "derived"),
        ("for binding", HALF_SPOKE_MM, "its end is bound into the cross", "white"),
    ]


def _strands(laid: Laid, courses: list[Course], joins: tuple[JoinPlan, ...]) -> list[Strand]:
    """Every reed of every weaver, band by band: its rows, its ends to tuck where it is set in or ended, its joins."""
    tucks = Counter(band for course in courses for band in (course.bands[0], course.bands[-1]))
    out = []
    for band, planned in zip(laid.bands, joins, strict=True):
        woven, (low, high) = float(band.row_mm.sum()), band.woven_range_mm()
        for k, colours in enumerate(band.colours):
            joined = sum(join.weaver == k for join in planned.joins)
            more = band.tail_mm * tucks[band.index] + OVERLAP_MM * joined
            for colour in colours:
                out.append(Strand(band.index, k, colour, band.band.reed, woven + more, (low + more, high + more)))
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
