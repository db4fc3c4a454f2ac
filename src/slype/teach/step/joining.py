"""Joining a new length: where joins fall, how one is made, and what helps where a weaver runs out sooner or snaps."""

from __future__ import annotations

from ...lay.gauge import TUCK_MM
from ...lay.joins import CLEAR_SPACES, Join, least_apart
from ...lay.values import BandLaid
from ...plans.bundles import WEAVER_STEP_MM
from ...plans.piece import round_up
from ...tell.lists import first_up
from ...tell.moments import moments_of_joins
from ...words import several
from .bench import Bench
from .values import BEFORE, Draft, Drawing, Due, Slip, Table, due


def join(bench: Bench, band: BandLaid, chapter: str) -> Draft:
    at = bench.laid.bands.index(band)
    joins = bench.plan.joins[at].joins
    draft = Draft(chapter, "Join a new length", band.band.where, band=band.index)
    tuck, half = bench.about(TUCK_MM), bench.about(TUCK_MM / 2)
    one = bench.passes(band)[0]
    side = "on the far side" if band.band.where == "base" else "inside"
    draft.does = [
        "You need this in the next step, each time a weaver runs out or snaps.",
        *_where_joined(bench, band, draft),
        *_first_behind(bench, band),
        f"Stop when the old weaver lies {side} behind its {one}.",
        f"Cut it off {half} past that {one}.",
        f"Lay the next piece {'beside it, further out' if band.band.where == 'base' else 'above it'}, behind the same "
        f"{one}.",
        bench.tell("Begin it {half} to the {back} of that {one}.", one=one, half=half),
        f"So the two lie double for {tuck}, half of it on each side of the {one}.",
        bench.tell("The old tail points to the {forward}, the new one to the {back}."),
        *_all_together(bench, band),
        "Go on with the new length in the same stroke.",
    ]
    for join in joins:
        draft.count("join", join.weaver + 1, join.row + 1, join.spoke + 1)
    draft.looks = [f"{'On the underside' if band.band.where == 'base' else 'From outside'} no join shows: both tails "
                   f"lie {side}."]  # fmt: skip
    draft.slips = [Slip("The new length pulls out.", "Draw it back and leave a longer tail behind."),
                   *cut_short(bench, band)]  # fmt: skip
    found = moments_of_joins(bench.order, list(joins))
    if found:
        moment, join = min(found.items())
        draft.first = draft.beyond = bench.part(band.band.where, band.index).first
        face = "the far side" if band.band.where == "base" else side
        spoke = join.spoke + 1
        draft.count("joined behind", join.weaver + 1, spoke)
        about = f"From {face}, behind {one} {spoke}: the old weaver, pale, and the new length, dark, lie side by side."
        told = f"First join, behind {one} {spoke}, from {face}, where left and right change places: new one dark."
        draft.drawings = [Drawing(moment, moment + 1, told, about, "inside", "none", False, join=join.weaver)]
    draft.why = [("Why not all at one place?", "Joins above each other make a weak, thick line.")]
    return draft


def _all_together(bench: Bench, band: BandLaid) -> list[str]:
    """How reeds that are worked as one are joined."""
    many, shades = band.band.strands, set(sum(band.colours, ()))
    if many == 1:
        return []
    order = ", in their order of {colour}" if len(shades) > 1 else ", each above its own"
    return [bench.tell(f"Join {'both' if many == 2 else f'all {many}'} {{reed}}s at the same {{one}}{order}.",
                       one=bench.passes(band)[0])]  # fmt: skip


MOST_JOINS = 40
"""Joins told place by place; of more, so many, and how far on the others are."""


# Too short, snapped ----------------------------------------------------------------------------------------------


SNAPPED = "snapped"
"""What the mistake is called that every band tells of."""


def cut_short(bench: Bench, band: BandLaid) -> list[Slip]:
    """What helps where a weaver runs out sooner than planned, or snaps; in short where an earlier band of the base or
    of the side says the same. A join lies as all do, behind the first that a stroke goes behind (common practice, no
    source)."""
    alike = next(each for each in bench.laid.bands if each.band.where == band.band.where
                 and _joined_alike(each) == _joined_alike(band))  # fmt: skip
    joined = bool(bench.plan.joins[bench.laid.bands.index(band)].joins)
    seen = "A weaver runs out sooner, or snaps." if joined else "A weaver runs out, or snaps."
    one, half = bench.passes(band)[0], bench.about(TUCK_MM / 2)
    behind = _its_first(bench, band)
    if band is not alike:
        told = f"draw it back until its tail lies behind {behind}. Lay a spare length in there.{_after_spare(joined)}"
        return [Slip(seen, told, SNAPPED, alike.index)]
    back = f"Draw it back until its tail lies behind {behind}, {half} past it. Take back first what was woven since."
    if max(under for _, under in band.band.weave.cycle) > 1:
        first = bench.order.behind(bench.acts(bench.part(band.band.where, band.index), "stroke")[0])
        back += f" In stroke 1 that is {one} {int(first[0]) + 1}."
    above = "further out" if band.band.where == "base" else "above it"
    laid_in = "Join a spare length there." + _after_spare(joined) if joined else bench.tell(
        "Lay a spare length {above} there, begun {half} to the {back} of that {one}.", above=above, half=half, one=one)
    return [Slip(seen, " ".join((back, laid_in, *_goes_on_so(bench, band))), SNAPPED)]


def _after_spare(joined: bool) -> str:
    """With what a weaver goes on that was to be joined further on, once its spare length has run out."""
    return " When that runs out, go on with its next piece." if joined else ""


def _joined_alike(band: BandLaid) -> tuple[object, ...]:
    """What decides how a weaver of a band is joined."""
    weave = band.band.weave
    return (band.band.group > 1, tuple(under for _, under in weave.cycle), band.band.strands, weave.turns == "back",
            len(set(weave.reverse)) > 1)  # fmt: skip


def _its_first(bench: Bench, band: BandLaid) -> str:
    """Behind which of those that a stroke goes behind a new length is laid."""
    (one, many), under = bench.passes(band), {each for _, each in band.band.weave.cycle}
    if under == {1}:
        return f"a {one}"
    return f"the first of its {under.pop()} {many}" if len(under) == 1 else f"the first {one} of a stroke"


def _first_behind(bench: Bench, band: BandLaid) -> list[str]:
    """Behind which one a join lies, where a stroke goes behind several."""
    many, under = bench.passes(band)[1], {each for _, each in band.band.weave.cycle}
    if under == {1}:
        return []
    so = f"A stroke goes behind {under.pop()} {many}" if len(under) == 1 else f"Some strokes go behind several {many}"
    return [f"{so}: join behind the first that it comes to."]


def _goes_on_so(bench: Bench, band: BandLaid) -> list[str]:
    """What else is to be known of a new length: how it lies to other weavers, where one of several reeds snaps, or
    where a weaver in every space is too short to come to its next turn."""
    (one, _), weave, many = bench.passes(band), band.band.weave, band.band.strands
    out = []
    if len(set(weave.reverse)) > 1:
        out.append("Then lead it under the others or over them, as its row goes.")
    if many > 1:
        out.append(bench.tell("Where only one of its {many} {reed}s snaps, join that one alone, in its own place "
                              "among them.", many=many))  # fmt: skip
    if weave.turns == "back":
        out += [f"Is it too short to come behind its next {one}? Push it in at the space where it hangs.",
                f"Put a spare length through there above it, its tail behind the {one} before that space."]  # fmt: skip
    return out


# Where joins fall ------------------------------------------------------------------------------------------------


def _where_joined(bench: Bench, band: BandLaid, into: Draft) -> list[str | Due]:
    found = joins_of(bench, band)
    shown = found if len(found) <= MOST_JOINS else found[: MOST_JOINS // 2]
    told = due(BEFORE, "Joins fall about here:", *_by_weaver(bench, band, shown), tabled=True)
    into.table = _joins_table(bench, band, shown)
    much = [f"There are about {len(found)} joins in this band."] if len(shown) > 4 else []
    rest = [f"The other {len(found) - len(shown)} follow at like distances."] if len(shown) < len(found) else []
    return [*much, *told, *rest, *SOONER, *_apart(bench, band)]


SOONER = ("Does your weaver not reach so far? Join it a stroke sooner: these places are a guide.",)
IN_A_LINE = 3
"""Joins told in one sentence, at most."""
IN_A_TABLE = 12
"""Joins in one line of their table, at most."""


def _joins_table(bench: Bench, band: BandLaid, shown: list[Join]) -> Table:
    """The joins of a band, a column for each, in the order in which they are made, each with the length that is laid in
    there."""
    one, rows = bench.passes(band)[0], list[tuple[str, ...]]()
    for at in range(0, len(shown), IN_A_TABLE):
        here = shown[at : at + IN_A_TABLE]
        blank = ("",) * (min(len(shown), IN_A_TABLE) - len(here) if at else 0)
        rows.append(("Row", *(str(join.row + 1) for join in here), *blank))
        rows.append((f"Behind {one}", *(str(join.spoke + 1) for join in here), *blank))
        if len(band.colours) > 1:
            rows.append(("Weaver", *(str(join.weaver + 1) for join in here), *blank))
        rows.append(("Next piece", *(piece_told(bench, join.next_mm) for join in here), *blank))
    return Table("The table says about where joins fall, and which piece goes on there.", (), tuple(rows))


def _apart(bench: Bench, band: BandLaid) -> list[str]:
    """How far apart joins are kept: as the plan has them, and no further than it asks for; nothing where it has two
    beside each other, as it must with a weaver in every space."""
    one, many = bench.passes(band)
    clear = min(CLEAR_SPACES, least_apart(bench.plan.joins[bench.laid.bands.index(band)], band))
    if clear < 2:
        return []
    return [f"Let two joins in one row, or in a row and the one below, lie at least {several(clear, one, many)} apart.",
            "Would it fall nearer? Join sooner."]  # fmt: skip


def _by_weaver(bench: Bench, band: BandLaid, shown: list[Join]) -> list[str]:
    """Joins of a band, lines for each weaver: in which row, behind which spoke, and with which length it goes on."""
    one, lines = bench.passes(band)[0], dict[int, list[str]]()
    for join in shown:
        next_piece = piece_told(bench, join.next_mm)
        lines.setdefault(join.weaver, []).append(f"row {join.row + 1} behind {one} {join.spoke + 1}, next {next_piece}")
    out = []
    for weaver, places in sorted(lines.items()):
        who = f"{bench.weaver(band, weaver)}: " if len(band.colours) > 1 else ""
        runs = [places[at : at + IN_A_LINE] for at in range(0, len(places), IN_A_LINE)]
        out += [first_up(f"{who}{'; '.join(run)}.") for run in runs]
    return out


def piece_told(bench: Bench, mm: float) -> str:
    """A weaver's piece as it is cut, and listed."""
    return bench.cut(round_up(mm, WEAVER_STEP_MM[bench.design.units]))


def joins_of(bench: Bench, band: BandLaid) -> list[Join]:
    """Every join of a band, in the order in which they are made."""
    found = moments_of_joins(bench.order, list(bench.plan.joins[bench.laid.bands.index(band)].joins))
    return [found[m] for m in sorted(found)]


def joined_behind(bench: Bench, band: BandLaid) -> list[tuple[int, str]]:
    """(row from 1, `behind spoke 10`, with the weaver where there are several) of every join of a band, in order."""
    one, several_of = bench.passes(band)[0], len(band.colours) > 1
    return [(join.row + 1, f"behind {one} {join.spoke + 1}" + (f" (weaver {join.weaver + 1})" if several_of else ""))
            for join in joins_of(bench, band)]  # fmt: skip


def joins_marked(bench: Bench, band: BandLaid) -> list[tuple[int, str]]:
    """At which rows a weaver is joined, for the boxes that are ticked."""
    rows = range(band.segments[0][0] + 1, band.segments[0][1] + 1)
    return [(row, "join") for row in dict.fromkeys(row for row, _ in joined_behind(bench, band)) if row in rows]


