"""What is done when the weaving is: trimming, foot, handles, lid, and the finish."""

from __future__ import annotations

from ..borders.rows import trimmed_on
from ..order.course import Job
from ..plans.times import foot_seconds, handle_seconds, seconds_of
from ..tell.attachments import handle_lines, handle_title, seat_lines
from ..tell.bases import foot_lines
from ..tell.strokes import AWAY, TRIM
from .bench import Bench
from .border import tip_long
from .values import Draft, Drawing, Due, Slip, ahead, how, sentences


def foot(bench: Bench, _job: Job) -> list[Draft]:
    assert bench.plan.foot is not None, "it has this job"
    parts = [part for part in bench.order.parts if part.of == "foot"]
    draft = Draft("The foot", "Work the foot", parts[0].key, ahead(*sentences(*foot_lines(bench.plan))), "foot",
                 first=parts[0].first, beyond=parts[-1].beyond)  # fmt: skip
    draft.bundles = [each.number for each in bench.standing("foot")]
    draft.minutes = foot_seconds(bench.plan.foot) / 60
    draft.looks = ["The basket stands level on its foot."]
    draft.slips = [Slip("It rocks.", "Press it down where it is high, while it is damp, and trim long tips.")]
    draft.drawings = [
        Drawing(draft.first, draft.beyond, "The foot.", "The foot below the basket, dark.", "finished", "none", False)
    ]
    return [draft]


def handle(bench: Bench, job: Job) -> list[Draft]:
    """One row of the design's handles."""
    each = next(one for one in bench.plan.handles if one.index == job.row)
    part = next(p for p in bench.order.parts if p.key == "handle" and p.row == each.index)
    title = handle_title(bench.design, each)
    draft = Draft("Handles", title, "handle", ahead(*sentences(*handle_lines(bench.design, each))), first=part.first,
                 beyond=part.beyond)  # fmt: skip
    draft.bundles = [bundle.number for bundle in bench.standing("handle") if bundle.reed in
                    (each.handle.core, each.handle.wrap)]  # fmt: skip
    draft.minutes = handle_seconds(bench.laid, each) / 60
    draft.looks = ["It stands upright over the middle, and its feet do not move."]
    draft.slips = [Slip("It leans.", "Draw out the foot it leans to, and push it in deeper.")]
    first = bench.order.arches[each.index, 0].push
    draft.drawings = [
        Drawing(first[0], first[1] + 1, "Both feet in.", f"{title}: both feet pushed in.", "finished", "none", False),
        Drawing(part.first, part.beyond, "Done.", f"{title}: done.", "finished", "none", False),
    ]
    draft.watch = ["Strength is not rated: nothing here carries a child, an animal or a load."]
    return [draft]


def seat(bench: Bench, _job: Job) -> list[Draft]:
    """Trying the lid on."""
    assert bench.plan.seat is not None, "it has this job"
    part = bench.part("fit")
    draft = Draft("The lid", "Fit the lid", "fit", ahead(*sentences(*seat_lines(bench.design, bench.plan.seat))),
                 first=part.first, beyond=part.beyond)  # fmt: skip
    draft.looks = ["It sits level and comes off without force."]
    draft.slips = [Slip("It rocks.", "Bend it gently while it is damp, and try again.")]
    draft.drawings = [Drawing(part.beyond, part.beyond, "The lid is on.", "The basket with its lid on.", "finished",
                             "none", False)]  # fmt: skip
    return [draft]


def finish(bench: Bench, _job: Job) -> list[Draft]:
    tell = bench.tell
    draft = Draft("Finish", "Shape and dry", "finish", [
        "Dip the basket again, and shape it with your hands while it is damp.",
        "Set it on the table: press it until it stands level.",
        "Dry it for a day or two in moving air, away from strong heat.",
        "Put it away only when it is dry to the core.",
    ])  # fmt: skip
    draft.looks = [tell("It stands level, and its {border} runs level all round.")]
    draft.slips = [Slip("It smells musty later.", "It was put away damp. Dry it in sun and wind, and air it.")]
    last = len(bench.order)
    draft.first = draft.beyond = last
    draft.drawings = [Drawing(last, last, "The finished basket.", "The finished basket from outside.", "finished",
                             "none", False)]  # fmt: skip
    return [draft]


# Trimmed -------------------------------------------------------------------------------------------------------


SLANT = "The long side of the slant lies against the weaving; the cut face looks up to the mouth."
"""See `space.cuts`."""


def _trimmed(bench: Bench) -> list[str | Due]:
    """In which order all is trimmed, and how long the border's tips stay."""
    tell, border = bench.tell, bench.design.border
    out: list[str | Due] = [*ahead("Let the basket dry until it no longer drips or feels cold.",
                                   tell("Take the thread off {spoke} 1.")), AWAY,
                            *sentences(tell(TRIM)), *how(*_tails_cut(bench))]  # fmt: skip
    slant = [SLANT] if bench.laid.side else []
    if border.is_open:
        return [
            *out,
            *how(*slant),
            f"Push all arches down to one height, {bench.long(bench.laid.border_height_mm)} above the last row.",
            tell("Leave the tips where they are pushed in, each on the {back} of its {spoke}."),
        ]
    return [*out, *how(
        tell("Then trim the {border}: go round it on the {side}, from {spoke} 1 on.", side=trimmed_on(border)),
        tell("Cut each tip on the slant, {long} past the last {spoke} it passed.", long=tip_long(bench)),
        *slant,
    )]  # fmt: skip


def _tails_cut(bench: Bench) -> list[str]:
    """How long weavers' tails stay, as they are drawn (common practice, no source)."""
    tell, woven = bench.tell, bench.laid.bands
    if not woven or not bench.laid.side:
        return []
    base, side = (
        [bench.long(sum(band.tail_rests_mm for band in bands) / len(bands))] if bands else []
        for bands in ([band for band in bench.laid.base if band.band.group == 1], bench.laid.side)
    )
    other = [f"On the floor it is {base[0]}."] if base and base != side else []
    reach = ["Reach those on the floor through the mouth, with the points of the side cutters."] if base else []
    return [tell("Cut each tail half-way to the next {spoke}."),
            tell("That is about {long} past the one it lies behind.", long=side[0]), *other, *reach]  # fmt: skip


def trim(bench: Bench, _job: Job) -> list[Draft]:
    tell, part = bench.tell, bench.part("trim")
    draft = Draft(tell("The {border}"), "Trim", "trim", first=part.first, beyond=part.beyond)
    draft.minutes = seconds_of(bench.plan.time, "trim") / 60
    draft.does = _trimmed(bench)
    draft.looks = ["No tip catches a finger; none is so short that it slips out."]
    draft.slips = [Slip("A tip slips off what it rests on.", "It was cut too short. Push a scrap in beside it.")]
    about = tell("The top of the basket from inside: no tail is longer than half-way to the next {spoke}.")
    draft.drawings = [Drawing(part.beyond, part.beyond, "Trimmed, from inside: small ovals are cut tails.", about,
                              "inside", "none", False)]  # fmt: skip
    draft.watch = ["Glasses on: cut tips fly."]
    return [draft]
