"""Pushing side spokes in, turning up, and adding spokes on the way."""

from __future__ import annotations

from ..lay.values import BandLaid
from ..order.course import Job
from ..plans.times import pushing_in, seconds_of
from ..tell.added_ends import added_lines, added_title, bye_lines
from ..tell.openings import OUTSIDE
from ..tell.strokes import AWAY
from ..tell.voice import soak_words
from .bench import Bench
from .values import Draft, Drawing, Slip, afterwards, ahead, sentences


def insert(bench: Bench, _job: Job) -> list[Draft]:
    """Pushing the side spokes in beside the base sticks."""
    tell, long, spokes = bench.tell, bench.long, bench.design.spokes
    part = bench.part("insert")
    draft = Draft(tell("The side {spokes}"), tell("Insert the side {spokes}"), "insert", first=part.first,
                 beyond=part.beyond)  # fmt: skip
    draft.minutes = seconds_of(bench.plan.time, "insert") / 60
    found = bench.standing("insert")
    draft.bundles = [each.number for each in found]
    ends, base = spokes.ends, spokes.base_ends
    one = tell("side {spoke}") if spokes.per_end == 1 else tell("set of {n} side {spokes}", n=spokes.per_end)
    draft.does = [
        *ahead(
            AWAY,
            "Trim the base sticks level with the edge of the base.",
            *(bench.take(each) for each in found),
            "Keep the underside towards you, space 1 at the top.",
            "Open the way beside a base stick with the bodkin. Push away from you.",
        ),
        tell("Push a {one} in, slype first, {deep} deep.", one=one, deep=long(spokes.insertion_mm)),
        "Its flat side lies to the stick.",
        *_where_in(bench, ends, base, one),
        *afterwards(tell("Count: {n} {spokes} stand out.", n=ends * spokes.per_end), *_first_inserted(bench)),
    ]
    draft.count("ends", 0, ends)
    draft.looks = [tell("{Spokes} stand out all round, and none can be pulled out easily.")]
    draft.slips = [Slip(tell("A {spoke} slides out."), "Push it in again deeper, and a little to one side.")]
    about = tell("The base from below with {n} side {spokes} pushed in, numbered.", n=ends * spokes.per_end)
    draft.drawings = [
        Drawing(part.first, part.first + min(3, ends), "The first ones go in.", tell("Three side {spokes} pushed in."),
                "near", "first"),
        Drawing(part.beyond - 1, part.beyond, "All are in.", about, "whole", "first", False),
    ]  # fmt: skip
    draft.watch = ["A bodkin slips: nobody's hand lies in front of it."]
    return [draft]


def _first_inserted(bench: Bench) -> list[str]:
    """Which of the pushed-in ones is the first, and where space 1 is then."""
    tell = bench.tell
    return [tell("Tie the thread to the first {spoke} after space 1: it is {spoke} 1."),
            tell("Count {spokes} and spaces from there, the same way round as before.")]  # fmt: skip


def _where_in(bench: Bench, ends: int, base: int, one: str) -> list[str]:
    tell = bench.tell
    if ends == 2 * base:
        return ["Do so on each side of every base stick end."]
    if ends == 2 * base - 1:
        return ["Do so on each side of every base stick end.", f"Only the last stick gets a single {one}."]
    if ends == base:
        return [tell("Do so beside every base stick end, always on its {forward}-hand side.")]
    if base < ends < 2 * base:
        return ["Do so beside every base stick end.", f"Spread {ends - base} more evenly, on the other sides."]
    return [f"Spread {ends} places evenly over the {base} base stick ends."]


def turn_up(bench: Bench, _job: Job) -> list[Draft]:
    """Nipping and bending every spoke up."""
    tell, spokes, part = bench.tell, bench.design.spokes, bench.part("turn")
    draft = Draft(tell("Turn up the {spokes}"), tell("Turn up the {spokes}"), "turn", first=part.first,
                 beyond=part.beyond)  # fmt: skip
    draft.minutes = seconds_of(bench.plan.time, "turn up") / 60
    draft.does = [
        *ahead(tell("Soak the {spokes} where they will bend: {soak}.",
                    soak=soak_words(spokes.reed.soak().words).split(",")[0]),
               "Keep the underside of the base towards you."),
        tell("Nip each {spoke} flat with round-nosed pliers, close to the last row of the base."),
        "Hold the pliers flat: one jaw on the underside, one on the far side.",
        tell("Bend every {spoke} away from you, round that nip."),
        *afterwards(tell("Tie the tops of the {spokes} loosely together with string."),
                    tell("Now set it down: underside on the table, {spokes} up, space 1 in front of you."),
                    *sentences(tell(OUTSIDE))),
    ]  # fmt: skip
    if spokes.per_end > 1:
        draft.does += afterwards(tell("The {n} {spokes} of one place count as one.", n=spokes.per_end))
    draft.count("ends", 0, bench.design.foot_ends)
    draft.looks = [tell("All {n} {spokes} stand up, like a cage; the base is their floor.", n=bench.design.foot_ends)]
    draft.slips = [
        Slip(tell("A {spoke} cracks at its bend."), "Cut it off and push a new one in beside its stump."),
        Slip(tell("You bent them towards you."), "Bend them back: the side you saw so far will be the outside below."),
    ]
    about = tell("The {spokes} stand up all round, seen from outside, space 1 in front.")
    draft.drawings = [
        Drawing(part.first, part.first + 1, "From the side: nip it, then bend it up round the nip.",
                tell("A {spoke} from the side: jaws nip it from both faces, close to the base; then it is bent up."),
                "turned", "none", False),
        Drawing(part.beyond, part.beyond, "All stand, space 1 in front.", about, "whole", "first", False),
    ]  # fmt: skip
    draft.watch = ["Everyone has turned the basket the same way: outside towards them."]
    draft.why = [
        (tell("Why nip the {spokes}?"), "A nip makes a sharp bend; without it the edge of the base goes round.")
    ]
    return [draft]


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
