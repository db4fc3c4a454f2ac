"""What is fitted to the basket, and its finish: foot, handles, lid."""

from __future__ import annotations

from ..order.course import Job
from ..plans.times import foot_seconds, handle_seconds
from ..tell.attachments import handle_lines, handle_title, seat_lines
from ..tell.bases import foot_lines
from .bench import Bench
from .values import Draft, Drawing, Slip, ahead, sentences


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
        "Shape the basket with your hands while it is damp; dip it again where it is dry.",
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
