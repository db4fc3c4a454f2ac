"""How ends stand: in groups and singly on a base, pushed in at its edge, turned up, added, ready for the border."""

from __future__ import annotations

from itertools import groupby

from ..borders.sentences import SOAK_AGAIN, SOAK_FLAT, bend_above, bent_how
from ..lay.values import SPARE_MM, BandLaid
from ..order.course import Job
from ..plans.piece import longer_mm, spare_of
from ..plans.times import pushing_in, seconds_of
from ..quantity import MM_PER_IN
from ..surface.sticks import even_from
from ..tell.added_ends import added_lines, added_title, bye_cut_lines, bye_lines
from ..tell.bases import clock_above
from ..tell.inserted import where_in
from ..tell.lists import thin_long
from ..tell.openings import OUTSIDE, drawn_back
from ..tell.strokes import AWAY
from ..words import listed, several
from .step.bench import Bench
from .step.values import IN_BASIN, Draft, Drawing, Slip, afterwards, ahead, how, sentences
from .stroke import draft_of


def insert(bench: Bench, _job: Job) -> list[Draft]:
    """Pushing the side spokes in beside the base sticks."""
    tell, long, spokes = bench.tell, bench.long, bench.design.spokes
    part = bench.part("insert")
    draft = Draft(tell("The side {spokes}"), tell("Insert the side {spokes}"), "insert", first=part.first,
                 beyond=part.beyond)  # fmt: skip
    draft.minutes = seconds_of(bench.plan.time, "insert") / 60
    found = bench.standing("insert")
    draft.bundles = [each.number for each in found]
    ends = spokes.ends
    one = tell("side {spoke}") if spokes.per_end == 1 else tell("set of {n} side {spokes}", n=spokes.per_end)
    draft.does = [
        *ahead(
            AWAY,
            "Take the thread off stick 1. Tie it round the last row, at space 1.",
            "Trim the base sticks level with the edge of the base.",
            *(bench.take(each) for each in found),
            "Keep the underside towards you, space 1 at the top.",
            "Open the way beside a base stick with the bodkin. Push away from you.",
        ),
        *how(*where_in(bench.design, one),
             tell("Each goes in slype first, {deep} deep, the cut face to the stick.",
                  deep=long(spokes.insertion_mm))),
        *afterwards(tell("Count: {n} {spokes} stand out.", n=ends * spokes.per_end), *_first_inserted(bench)),
    ]  # fmt: skip
    draft.count("ends", 0, ends)
    draft.looks = [tell("{Spokes} stand out all round, and none can be pulled out easily.")]
    draft.slips = [Slip(tell("A {spoke} slides out."), "Push it in again deeper, and a little to one side.")]
    about = tell("The base from below with {n} side {spokes} pushed in, numbered.", n=ends * spokes.per_end)
    draft.drawings = [
        Drawing(part.first, part.first + min(3, ends), "The first ones go in.", tell("Three side {spokes} pushed in."),
                "near", "first"),
        Drawing(part.beyond - 1, part.beyond, "All are in, the last one dark.", about, "whole", "first", False),
    ]  # fmt: skip
    draft.watch = ["A bodkin slips: nobody's hand lies in front of it."]
    return [draft]


def _first_inserted(bench: Bench) -> list[str]:
    """Which of the pushed-in ones is the first, and where space 1 is then."""
    tell = bench.tell
    return [tell("Tie the thread to the first {spoke} after space 1: it is {spoke} 1."),
            tell("Count {spokes} and spaces from there, the same way round as before.")]  # fmt: skip


def turn_up(bench: Bench, _job: Job) -> list[Draft]:
    """Nipping and bending every spoke up."""
    tell, spokes, part = bench.tell, bench.design.spokes, bench.part("turn")
    draft = Draft(tell("Turn up the {spokes}"), tell("Turn up the {spokes}"), "turn", first=part.first,
                 beyond=part.beyond)  # fmt: skip
    draft.minutes = seconds_of(bench.plan.time, "turn up") / 60
    draft.does = [
        *ahead(tell("Soak the {spokes} where they will bend: {soak}.",
                    soak=spokes.reed.soak().time),
               tell("Lay the base in the basin, until water covers its edge and {much} of every {spoke}.",
                    much=bench.about(WET_MM)),
               "Is the basin too narrow? Stand the base on its edge, and turn it on when that part is soaked.",
               slot=IN_BASIN),
        *ahead("Keep the underside of the base towards you."),
        *how(tell("Nip each {spoke} flat with round-nosed pliers, close to the last row of the base."),
             "Squeeze from both faces: one jaw on the underside, one on the far side."),
        tell("Bend every {spoke} away from you, round that nip."),
        *afterwards(tell("Tie the tops of the {spokes} loosely together with string."),
                    "Turn the base until space 1 is at the top.",
                    tell("Lean its top edge towards you and set it down: underside on the table, {spokes} up."),
                    "Space 1, which was at the top, is now in front of you.",
                    tell("Slide the thread up {spoke} 1, clear of the rows; do so again whenever they come near it."),
                    *sentences(tell(OUTSIDE)), f"Seen from above you work {clock_above(bench.design)}."),
    ]  # fmt: skip
    if spokes.per_end > 1:
        draft.does += afterwards(tell("The {n} {spokes} of one place count as one.", n=spokes.per_end))
    draft.count("ends", 0, bench.design.foot_ends)
    draft.looks = [tell("All {n} {spokes} stand up, like a cage; the base is their floor.", n=bench.design.foot_ends)]
    draft.slips = [
        _cracked(bench),
        Slip("You bent them towards you.", "Bend them back: the underside, which faces you, must stay outside."),
    ]
    about = tell("The {spokes} stand up all round, seen from outside, space 1 in front.")
    draft.drawings = [
        Drawing(part.first, part.first + 1,
                "Seen edge on, as if it lay on the table. 1: nip it. 2: bend it up round the nip.",
                tell("A {spoke} from the side: jaws nip it from both faces, close to the base; then it is bent up."),
                "turned", "none", False),
        Drawing(part.beyond, part.beyond, "All stand, space 1 in front.", about, "whole", "first", False),
    ]  # fmt: skip
    draft.watch = ["Everyone has turned the basket the same way: outside towards them."]
    draft.why = [
        (tell("Why nip the {spokes}?"), "A nip makes a sharp bend; without it the edge of the base goes round.")
    ]
    return [draft]


WET_MM = MM_PER_IN
"""How much of every spoke is soaked beyond the edge where it turns up (common practice, no source)."""
STUMP_MM = 50.8
"""How deep a new one is pushed in beside the stump of a cracked one, on the side to which the work goes (common
practice, no source)."""


def _cracked(bench: Bench) -> Slip:
    long = STUMP_MM + bench.laid.top_s + bench.laid.border.length_mm + SPARE_MM
    return Slip(bench.tell("A {spoke} cracks, here or while you weave."),
                bench.tell("Cut it off. Open the weave with a bodkin beside its stump, on its {forward}. Push one at "
                           "least {long} long in there, {deep} deep; it takes its number. Nip it too, before you bend "
                           "it up.", long=bench.cut(long), deep=bench.about(STUMP_MM)))  # fmt: skip


def pushed_in(bench: Bench, job: Job) -> list[Draft]:
    """What is pushed in before a band: more ends ("add"), or bye-spokes ("bye")."""
    at = next(i for i, each in enumerate(bench.laid.bands) if each.index == job.band)
    band, adds = bench.laid.bands[at], job.key == "add"
    title = added_title(bench.plan, at) if adds else bench.tell("Add the bye-{spokes}")
    lines = added_lines(bench.plan, band.index) if adds else bye_lines(bench.plan)
    part = bench.part(job.key, band.index)
    draft = Draft(title, title, part.key, ahead(*sentences(*lines)), band=band.index, first=part.first,
                  beyond=part.beyond)  # fmt: skip
    draft.minutes = dict(pushing_in(bench.laid, at))[job.key] / 60
    draft.bundles = [each.number for each in bench.standing("add", band.index)]
    draft.count("ends", 0, band.ends)
    draft.looks = [_new_ones(bench, band, adds)]
    draft.slips = [Slip("You lose count.", "Begin again at space 1 and put a peg on every new one.")]
    draft.drawings = [Drawing(part.first, part.beyond, title + ".", f"{title}: the new ones are dark.", "near")]
    return [draft]


def _new_ones(bench: Bench, band: BandLaid, adds: bool) -> str:
    if adds:
        return bench.tell("{n} {spokes} stand, each new one close to an old one.", n=band.ends)
    return bench.tell("A bye-{spoke} stands close beside every {spoke}.")


# In groups, singly ------------------------------------------------------------------------------------------------


def grouped(bench: Bench, band: BandLaid, before: BandLaid | None, chapter: str) -> list[Draft]:
    """Taking the ends in groups, or opening them out."""
    was = before.band.group if before is not None and before.band.where == band.band.where else 0
    group, part = band.band.group, bench.part(band.band.where, band.index)
    if group == was or (group == 1 and was < 2):
        return []
    one, many_of = _singles(bench, band)
    title = f"Take the {many_of} in groups" if group > 1 else f"Open the {many_of} out"
    draft = draft_of(bench, band, chapter, title)
    draft.first = draft.beyond = part.first
    way = bench.tell("from space 1 on")
    if group > 1:
        sizes = list(band.sizes)
        if was > group:
            draft.does.append("Open the old groups out into smaller ones.")
        first = 0
        for size, run in groupby(sizes):
            many = len(list(run))
            if size == 1:
                draft.does.append(f"{one.capitalize()} 1 stands alone: it counts as a group of its own.")
            elif many == 1:
                draft.does.append(f"Take {many_of} {first + 1} to {first + size} together: they are a group.")
            else:
                next_ones, where = ("next ", "") if first else ("", f", {way}")
                groups = several(many, "group")
                draft.does.append(f"Take the {next_ones}{many_of} together in {groups} of {size}{where}.")
            first += size * many
        draft.does += [
            "Each group counts as one.",
            f"The gap before a group has its number: group spaces 1 to {len(sizes)}.",
            "Group space 1 is space 1.",
        ]
        draft.does += _half_told(bench, band) if not was else []
        draft.count("groups", 0, *sizes)
        draft.looks = [f"{several(len(sizes), 'group')}: weave over a whole group as if it were one {one}."]
        draft.slips = [
            Slip(f"A group has a {one} too many.", f"Count: the groups hold {_sizes_told(sizes)}, from space 1.")
        ]
        draft.why = [("Why in groups?", f"So near the middle single {many_of} stand too close for a weaver to pass.")]
        about = f"The underside, space 1 at the top, with group spaces 1 to {len(sizes)} numbered."
    else:
        even = even_from(bench.laid, band) if bench.design.form.is_round and band.band.where == "base" else None
        draft.does = [
            f"From now on every {one} counts by itself.",
            *_parted(max(before.sizes) if before is not None else 0, many_of),
            "In row 1 open each gap just so far that the weaver passes.",
            _open_further(even),
            f"Count spaces anew from space 1: there are {band.spaces}.",
            *_spaces_now(before),
        ]
        draft.count("spaces", 0, band.spaces)
        widest = "" if even == 1 else "; those between the old groups are still the widest"
        draft.looks = [f"A gap shows between every two {many_of}{widest}."]
        if even:
            draft.count("even by row", 0, even)
        draft.slips = [
            Slip(f"Two {many_of} stay close together.", "Press them apart with a bodkin before the weaver passes.")
        ]
        draft.why = [("Why only now?", f"Further out there is room between single {many_of}.")]
        about = f"The underside, space 1 at the top, with all {band.spaces} spaces between single {many_of}."
    back = drawn_back(band, before, many_of)
    if back:
        draft.does += sentences(*back)
        draft.slips.append(Slip("After one stroke two weavers come out in one place.",
                                "Weaver 2 was not drawn back: take the stroke back, and do it."))  # fmt: skip
    stand = draft.title + "." if group > 1 else "As they stand once they are opened out."
    draft.drawings = [Drawing(part.first, part.first, stand, about, "whole", "all", False)]
    return [draft]


MOST_OPENED = 6
"""Groups whose spaces are told by their new numbers when they are opened out."""


def _spaces_now(before: BandLaid | None) -> list[str]:
    """Which spaces the group spaces become once every end counts by itself."""
    if before is None or not 2 < before.spaces <= MOST_OPENED:
        return []
    now = [1 + sum(before.sizes[:k]) for k in range(before.spaces)]
    old = listed([str(k) for k in range(2, before.spaces + 1)])
    return [f"Group spaces {old} are now spaces {listed([str(each) for each in now[1:]])}."]


def _half_told(bench: Bench, band: BandLaid) -> list[str]:
    """Where the short inner end of a half spoke lies: beside the end across from its neighbour's."""
    base, found = bench.design.base, bench.order.stick_ends
    half = next((ends[0] for ends in found if len(ends) == 1), None)
    if half is None or base.odd != "half" or band.band.where != "base":
        return []
    beside = half - 1 if half else half + 1
    across = next((a if b == beside else b for a, b in (ends for ends in found if len(ends) == 2)
                   if beside in (a, b)), None)  # fmt: skip
    if across is None:
        return []
    one, last = bench.stood[0], -1
    for group, size in enumerate(band.sizes, start=1):
        last += size
        if across <= last:
            return [f"The short end of the half {one} lies beside {one} {across + 1}: weave it with group {group}.",
                    "Do not count it, and do not open it out."]  # fmt: skip
    return []


def _parted(most: int, many_of: str) -> list[str]:
    """In which order the ends of a group of `most` are bent apart (common practice, no source)."""
    if most <= 2:
        return [f"Bend the two {many_of} of each group apart, towards the wide gaps."]
    return [f"First bend the outer {many_of} of each group apart, towards the wide gaps.", "Then part the inner ones."]


def _open_further(even: int | None) -> str:
    """How fast ends are opened out: by which row they stand evenly."""
    if even == 1:
        return "From row 1 on they stand evenly, like the rays of a star."
    by = f"by row {even} they" if even else "in the end they"
    return f"Part them a little more in every row: {by} stand evenly, like the rays of a star."


def _singles(bench: Bench, band: BandLaid) -> tuple[str, str]:
    """What stands where a band is woven, one and several, without regard to groups."""
    return bench.stood if band.band.where == "base" else bench.upright


def _sizes_told(sizes: list[int]) -> str:
    return listed([str(size) for size in sizes]) if len(sizes) <= 8 else f"{sizes[0]} and then {sizes[-1]} each"


# Made ready for the border -----------------------------------------------------------------------------------------


def _standing_mm(bench: Bench) -> float:
    """What should stand above the last row of a spoke as it is listed."""
    plan = bench.plan
    over = plan.spokes.cut_mm - plan.spokes.length_mm + spare_of(plan.spokes)
    return over / _ends_each(bench) + bench.laid.border.length_mm


def _ends_each(bench: Bench) -> int:
    """How many ends one spoke has above the last row."""
    return 1 if bench.design.spokes.inserted or bench.plan.board else 2


MADE_READY = "Make the {spokes} ready"
"""Title of the step at whose end it is told how a spoke is changed for a new one."""


def made_ready(bench: Bench, chapter: str) -> Draft:
    """Measuring, soaking and nipping all that stands above the last row."""
    tell, long, design, need = bench.tell, bench.long, bench.design, bench.laid.border
    part = bench.part("border")
    draft = Draft(chapter, tell(MADE_READY), "border", first=part.first, beyond=part.first)
    draft.does = [
        *(["Untie the string at the top."] if bench.is_tied else []),
        tell("Measure each {spoke}: {least} should {stand above} the last row, or more.", least=long(need.range_mm[0])),
        tell("Replace one that is shorter: how is told at the end of this step."),
        "All others are good.",
        *_as_cut(bench),
        *([AWAY] if design.border.is_open else []),
        *_cut_to_length(bench),
        *(tell(line) for line in bye_cut_lines(bench.plan)),
        *sentences(tell(SOAK_FLAT if bench.laid.is_mat else SOAK_AGAIN),
                   f"That takes about {design.spokes.reed.soak().time}.", tell(bent_how(design.border))),
        *_nip_high(bench), *_jaws(bench),
    ]
    if len(design.top_reeds) > 1:
        draft.does.append(tell("The {n} {spokes} of one place move together, side by side.", n=len(design.top_reeds)))
    draft.looks = [tell("All {n} {spokes} stand wet and even.", n=design.top_ends)]
    draft.slips = [Slip(tell("A {spoke} is shorter than {least}, or cracks now or in the {border}.",
                            least=long(need.range_mm[0])),
                       tell("Open the weave with a bodkin beside it, on its {forward}. Push a new one, {long} long, "
                            "{deep} deep in there; cut the old one off. In the {border} lead it first as the old one "
                            "lay, then go on.",
                            long=bench.cut(need.length_mm + _last_band_mm(bench)),
                            deep=long(_last_band_mm(bench))))]  # fmt: skip
    draft.count("ends", 0, design.top_ends)
    about = tell("The finished weaving {from outside}, {n} {spokes} standing {above} the last row.", n=design.top_ends)
    draft.drawings = [Drawing(part.first, part.first, tell("Before the {border}."),
                             about, "whole", "first", False)]  # fmt: skip
    if not design.border.is_open:
        told = tell("Where to nip: one jaw on each side, {high}. Dashed: as it will lie.", high=_bends_at(bench))
        draft.drawings.insert(0, Drawing(part.first, part.first, told, tell(
            "A {spoke} {above} the last row: jaws nip it from left and right; pale, how it will bend down."),
            "nipped", "none", False))  # fmt: skip
    return draft


def _as_cut(bench: Bench) -> list[str]:
    """What is found there of what was cut as listed, and of what was cut longer for a first basket."""
    tell, plan = bench.tell, bench.plan
    more = (longer_mm(plan.spokes, bench.design.units) - plan.spokes.cut_mm) / _ends_each(bench)
    stands = _standing_mm(bench)
    if plan.first_time:
        return [tell("As cut for a first basket, about {much} stands there.", much=bench.long(stands))]
    longer = ""
    if plan.spokes.share is None and more > 0:
        longer = f"; for a first basket {bench.long(stands + more)}"
    return [tell("About {much} stands there as listed{longer}.", much=bench.long(stands), longer=longer)]


def _cut_to_length(bench: Bench) -> list[str]:
    """How long ends of an open border are cut, which takes up no more than it is told."""
    if not bench.design.border.is_open:
        return []
    return [bench.tell("Now cut every {spoke} that is longer to {about} {above} the last row.",
                       about=bench.long(bench.laid.border.length_mm))]  # fmt: skip


def _last_band_mm(bench: Bench) -> float:
    """How deep a new one is pushed down before the border: as the last band is high, and a thumb's breadth at least
    (common practice, no source)."""
    woven = bench.laid.side
    return max(MM_PER_IN, woven[-1].end_s - woven[-1].start_s if woven else 0.0)


def _bends_at(bench: Bench) -> str:
    high = bend_above(bench.design.border)
    return bench.tell(f"{'just' if high < 1 else f'{high:g} thicknesses'} {{above}} the last row")


def _nip_high(bench: Bench) -> list[str]:
    """How high above the last row an end is nipped, as it is measured, where that is more than just above it."""
    high = bend_above(bench.design.border)
    if bench.design.border.is_open or high < 1:
        return []
    long = thin_long(bench.design, high * bench.design.border_reed_mm)
    return [bench.tell("That is about {long} {above} it.", long=long)]


def _jaws(bench: Bench) -> list[str]:
    """How pliers are held where an end will bend sideways (common practice, no source)."""
    if bench.design.border.is_open:
        return []
    return [bench.tell("Hold the pliers {upright}: one jaw to the left of the {spoke}, one to the right.")]
