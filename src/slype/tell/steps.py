"""The whole making, step by step, in words for a new student. From a plan to sentences, no page layout.

Everything is said for the design's hand, wording and units. The maker looks at the outside: for a base that is its
underside, held towards the maker. A right-handed maker works towards the right, which on the base is clockwise; a
left-handed maker works mirrored. Spaces are counted from 1 in the direction of work, and space 1 is one and the same
place from the first row to the last.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from ..lay.spacing import long_sticks
from ..lay.values import SPARE_MM
from ..order.course import Job, course
from ..plans.bundles import bundles
from ..plans.planning import Plan
from ..plans.times import border_seconds, foot_seconds, handle_seconds, pushing_in, seconds_of
from ..quantity import show_piece
from ..words import listed, several
from .added_ends import added_lines, added_title, bye_cut_lines, bye_lines
from .attachments import handle_lines, handle_title, seat_lines
from .bands import band_lines, band_minutes
from .bases import board_lines, clock, cross_title, foot_lines, held_told, lay_lines
from .bundled import weaver_lines
from .inserted import where_in
from .openings import OUTSIDE
from .strokes import AWAY, TRIM, border_lines
from .voice import band_title, piece_name, soaking_told, voice, worded


@dataclass(frozen=True)
class Step:
    """One step: `title`, its `lines`, the `band` of the basket it weaves (None where none), its expected `minutes`
    (None: not known), `rows` to tick off (of that band, or of a lid's)."""

    title: str
    lines: tuple[str, ...]
    band: int | None = None
    minutes: float | None = None
    rows: int = 0


def steps(plan: Plan) -> tuple[Step, ...]:
    """All steps in order of work."""
    out = []
    for job in course(plan.laid):
        if job.key not in TOLD:
            continue
        if job.of == "lid":
            # What is cut and soaked for it is told with the basket's, and both are dried together.
            assert plan.lid is not None, "it has this job"
            step = TOLD[job.key](plan.lid, job)
            out.append(replace(step, title=f"Lid: {step.title[:1].lower()}{step.title[1:]}", band=None))
        else:
            out.append(TOLD[job.key](plan, job))
    return tuple(out)


def _place(plan: Plan, job: Job) -> int:
    return next(i for i, band in enumerate(plan.laid.bands) if band.index == job.band)


def _band(plan: Plan, job: Job) -> Step:
    i = _place(plan, job)
    return Step(band_title(plan, i), tuple(band_lines(plan, i)), i, band_minutes(plan, i), plan.laid.bands[i].rows)


def _add(plan: Plan, job: Job) -> Step:
    i = _place(plan, job)
    return Step(added_title(plan, i), tuple(added_lines(plan, i)), None, dict(pushing_in(plan.laid, i))["add"] / 60)


def _bye(plan: Plan, job: Job) -> Step:
    seconds = dict(pushing_in(plan.laid, _place(plan, job)))["bye"]
    return Step(voice(plan.design)[0]("Add the bye-{spokes}"), tuple(bye_lines(plan)), None, seconds / 60)


def _foot(plan: Plan, _job: Job) -> Step:
    assert plan.foot is not None, "it has this job"
    return Step("Work the foot", tuple(foot_lines(plan)), None, foot_seconds(plan.foot) / 60)


def _handle(plan: Plan, job: Job) -> Step:
    each = next(one for one in plan.handles if one.index == job.row)
    title, lines = handle_title(plan.design, each), handle_lines(plan.design, each)
    return Step(title, tuple(lines), None, handle_seconds(plan.laid, each) / 60)


def _fit(plan: Plan, _job: Job) -> Step:
    assert plan.seat is not None, "it has this job"
    return Step("Fit the lid", tuple(seat_lines(plan.design, plan.seat)))


def _minutes(plan: Plan, key: str) -> float:
    return seconds_of(plan.time, key) / 60


def tools(plan: Plan) -> list[str]:
    """What lies on the bench beside the reed."""
    tell, _ = voice(plan.design)
    out = ["side cutters", "bodkin"]
    if plan.laid.side or not plan.design.border.is_open:
        out.append("round-nosed pliers")
    if plan.laid.side and plan.board is None:
        out.append("string")  # ties the tops when they are turned up
    if plan.board is not None:
        out += ["drill", *(["compasses"] if plan.design.form.is_round else []), "clamp", "sandpaper"]
    if plan.design.spokes.inserted or plan.design.base.kind == "pierced cross":
        out.append("sharp knife")
    pegs = "clothes pegs" if plan.design.wording == "uk" else "pegs (clothespins)"
    out += ["ruler and tape", "basin or bucket", "towel", "thread to mark space 1", pegs, "pencil"]
    dyed = {colour for band in plan.design.bands for colour in band.colours}
    tagged = ["bundles"]
    if len(dyed) > 1:
        tagged.append("{colours}")
    if any(weaver_lines(plan, each) for each in bundles(plan)):
        tagged.append("weavers")
    return [*out, tell(f"tags for {listed(tagged)}")]


# Before the first row ------------------------------------------------------------------------------------------


def _cuts(plan: Plan) -> list[str]:
    """What is cut to stand, piece by piece."""
    wording, units = plan.design.wording, plan.design.units
    return [
        f"Cut {piece.count} {piece_name(piece, wording)} of {piece.reed.named(wording)} ({piece.colour}), "
        f"{show_piece(piece.cut_mm, units)} long."
        for piece in plan.pieces
    ]


def _gather(plan: Plan, _job: Job) -> Step:
    tell, _ = voice(plan.design)
    lines = _cuts(plan)
    if plan.lid is not None:
        lines += [f"For the lid: {line[:1].lower()}{line[1:]}" for line in _cuts(plan.lid)]
    lines.append("Cut the weavers as the cut list says. Bundle them by band and start, and tie a label to each bundle.")
    if plan.design.spokes.inserted:
        lines.append(tell("Cut one end of each side {spoke} to a long slant, the slype. " + AWAY))
    return Step("Gather and cut", tuple(lines))


def _soak(plan: Plan, _job: Job) -> Step:
    tell, _ = voice(plan.design)
    lines = [f"{line}." for line in soaking_told(plan)]
    lines.append(
        tell(
            "Use cool water, and soak only the {reed} you will use next. Wrap it in a damp towel; dip it when it dries."
        )
    )
    return Step("Soak", tuple(lines), None, max(soak.minutes[1] for _, soak in plan.soaking))


def _long_sticks(plan: Plan) -> Step:
    """The sticks of a base that is not round."""
    tell, spokes = voice(plan.design)[0], plan.design.spokes
    along, sticks = long_sticks(plan.design), spokes.ends_at_base // 2
    one, many = ("base stick", "base sticks") if spokes.inserted else (tell("{spoke}"), tell("{spokes}"))
    way = clock(plan.design)
    lines = [
        f"Mark the middle of each {one}.",
        f"Lay the {several(along, f'long {one}', f'long {many}')} flat, side by side.",
        f"Lay the {several(sticks - along, f'short {one}', f'short {many}')} across them, evenly along the straight "
        "part, as many to one side of the middle as to the other.",
        f"Count: {spokes.ends_at_base} ends stand out all round, those of the long ones fanning at the two round ends.",
        held_told(plan.design),
        f"Space 1 is in the middle of the long side that is at the top; the next follow {way}. Tie a thread there.",
    ]
    if not plan.laid.base:
        lines.append(f"No rows are woven on the {plan.design.flat_part}: go straight on.")
    return Step("Lay the long and the short sticks", tuple(lines), None, _minutes(plan, "begin"))


def _cross(plan: Plan, _job: Job) -> Step:
    if plan.board is not None:
        return Step(cross_title(plan), tuple(board_lines(plan)), None, _minutes(plan, "begin"))
    if not plan.design.form.is_round:
        return _long_sticks(plan)
    tell, spokes = voice(plan.design)[0], plan.design.spokes
    ends = spokes.ends_at_base
    paired = 1 if spokes.inserted else spokes.per_end
    one, many = ("base stick", "base sticks") if spokes.inserted else (tell("{spoke}"), tell("{spokes}"))
    lines = [f"Mark the middle of each full {one}."]
    half = f"half {one}"
    if paired > 1:
        half = f"bundle of half {many}"
        lines.append(f"Take the {many} in bundles of {paired}. From here on a bundle counts as one.")
        one, many = "bundle", "bundles"
    lines += lay_lines(plan, one, many, half)
    odd = plan.design.base.odd if ends % 2 else ""
    some = {"cut out": f"{ends + 1}, one of them to be cut out,", "added": f"{ends - 1}, and one place to be filled,"}
    lines.append(f"Count: {some.get(odd, f'{ends} ends')} stand out all round.")
    way = clock(plan.design)
    lines.append(held_told(plan.design))
    held = plan.design.arms
    arm = f"the arm that holds the {half}" if odd == "half" else "an arm"
    if odd != "half" and len(set(held)) > 1:
        arm = f"an arm with {held[0]} ends"
    lines.append(
        f"Tie a thread round the first end of {arm}, counting {way}: the space before it, at the corner of the "
        f"{tell('{cross}')}, is space 1. Count all spaces {way} from there."
    )
    if not plan.laid.base:
        lines.append(f"No rows are woven on the {plan.design.flat_part}: go straight on.")
    return Step(cross_title(plan), tuple(lines), None, _minutes(plan, "begin"))


def _insert(plan: Plan, _job: Job) -> Step:
    tell, long = voice(plan.design)
    spokes = plan.design.spokes
    ends = spokes.ends
    one = tell("side {spoke}") if spokes.per_end == 1 else tell("set of {n} side {spokes}", n=spokes.per_end)
    count = "Count: {total} {spokes} stand in {ends} places." if spokes.per_end > 1 else "Count: {ends} {spokes} stand."
    whose = "lid" if plan.design.of_lid else "base"
    lines = (
        f"Trim the {whose} sticks level with the edge of the {plan.design.flat_part}.",
        "Open the way beside each base stick with the bodkin, pushing away from you.",
        *where_in(plan.design, one),
        tell("Put the slype in first, the cut face to the stick, {deep} deep.", deep=long(spokes.insertion_mm)),
        tell(count, total=ends * spokes.per_end, ends=ends),
        "Tie the thread on again where space 1 was.",
    )
    return Step(tell("Insert the side {spokes}"), lines, None, _minutes(plan, "insert"))


def _turn_up(plan: Plan, _job: Job) -> Step:
    tell, spokes = voice(plan.design)[0], plan.design.spokes
    lines = [
        tell(
            "Soak the {spokes} where they will bend ({soak}), until they give without cracking.",
            soak=spokes.reed.soak().time,
        ),
        tell("Nip each {spoke} with round-nosed pliers close to the last row of the {of}.", of=plan.design.flat_part),
        tell(
            "Keep the {near} towards you and bend every {spoke} away from you. Hold them together with a tie or pegs "
            "until the first rows hold them.",
            near="top of the lid" if plan.design.of_lid else "underside of the base",
        ),
        tell(OUTSIDE),
    ]
    if spokes.per_end > 1:
        lines.append(tell("The {n} {spokes} of one place stand side by side and count as one.", n=spokes.per_end))
    return Step(tell("Turn up the {spokes}"), tuple(lines), None, _minutes(plan, "turn up"))


# The end -------------------------------------------------------------------------------------------------------


def _standing(plan: Plan) -> float:
    """Length of each end that a piece cut as the list says leaves above the last row, mm."""
    ends = 1 if plan.design.spokes.inserted or plan.board else 2
    return (plan.spokes.cut_mm - plan.spokes.length_mm) / ends + plan.laid.border.length_mm + SPARE_MM


def _border(plan: Plan, _job: Job) -> Step:
    tell, long = voice(plan.design)
    design, need = plan.design, plan.laid.border
    lines = [
        tell(
            "Measure: every end needs {about} above the last row, and {least} at the very least. As cut, about {cut} "
            "should stand there.",
            about=long(need.length_mm),
            least=long(need.range_mm[0]),
            cut=long(_standing(plan)),
        ),
        tell(
            "Soak the ends again ({soak}), until they bend without cracking.",
            soak=design.spokes.reed.soak().time,
        ),
        *bye_cut_lines(plan),
        *(worded(line, design.wording) for line in border_lines(design, flat=plan.laid.is_mat)),
    ]
    return Step(tell("Work the {border}"), tuple(lines), None, border_seconds(plan.laid) / 60)


def _finish(plan: Plan, _job: Job) -> Step:
    tell, _ = voice(plan.design, plan.laid.is_mat)
    lines = (
        tell(TRIM),
        "Shape the basket with your hands while it is damp, and set it on the table until it stands level.",
        "Dry it for a day or two in moving air, away from strong heat. Put it away only when it is dry to the core.",
    )
    trimming = _minutes(plan, "trim") + (_minutes(plan.lid, "trim") if plan.lid else 0.0)
    return Step("Trim, shape and dry", lines, None, trimming)


TOLD: Mapping[str, Callable[[Plan, Job], Step]] = MappingProxyType({
    "gather": _gather, "soak": _soak, "cross": _cross, "board": _cross, "insert": _insert, "turn": _turn_up,
    "add": _add, "bye": _bye, "base": _band, "side": _band, "border": _border, "foot": _foot, "handle": _handle,
    "fit": _fit, "finish": _finish,
})  # fmt: skip
"""How each job of the course is told here; space 1 is found with the cross, and tips are trimmed at the finish."""
