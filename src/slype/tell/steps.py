"""The whole making, step by step, in words for a new student. From a plan to sentences, no page layout.

Everything is said for the design's hand, wording and units. The maker looks at the outside: for a base that is its
underside, held towards the maker. A right-handed maker works towards the right, which on the base is clockwise; a
left-handed maker works mirrored. Spaces are counted from 1 in the direction of work, and space 1 is one and the same
place from the first row to the last.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from ..lay.attachments import handle_seconds
from ..lay.feet import foot_seconds
from ..lay.spacing import long_sticks
from ..plans.planning import SPARE_MM, Plan
from ..plans.times import border_seconds, pushing_in, seconds_of
from ..words import several
from .added_ends import added_lines, added_title, bye_cut_lines, bye_lines
from .attachments import handle_lines, handle_title, seat_lines
from .bands import band_lines, band_minutes
from .bases import board_lines, clock, cross_title, foot_lines, held_told, lay_lines
from .openings import OUTSIDE
from .strokes import AWAY, TRIM, border_lines
from .voice import band_title, piece_name, soak_words, soaking_told, voice, worded


@dataclass(frozen=True)
class Step:
    """One step: `title`, its `lines`, the `band` of the basket it weaves (None where none), its expected `minutes`
    (None: not known), `rows` to tick off (of that band, or of a lid's)."""

    title: str
    lines: tuple[str, ...]
    band: int | None = None
    minutes: float | None = None
    rows: int = 0


def steps(made: Plan) -> tuple[Step, ...]:
    """All steps in order of work."""
    return (_gather(made), _soak(made), *_making(made), *_lid(made), _finish(made))


def _making(made: Plan) -> list[Step]:
    """From the first sticks to the border and what is fitted to it."""
    laid = made.laid
    turn = [_insert(made)] if made.design.spokes.inserted else []  # a mat's border needs its side spokes too
    if laid.side and made.board is None:
        turn.append(_turn_up(made))
    handles = [
        Step(
            handle_title(made.design, each),
            tuple(handle_lines(made.design, each)),
            None,
            handle_seconds(laid, each) / 60,
        )
        for each in made.handles
    ]
    base, side = _bands(made, "base"), _bands(made, "side")
    foot = [Step("Work the foot", tuple(foot_lines(made)), None, foot_seconds(made.foot) / 60)] if made.foot else []
    return [_cross(made), *base, *turn, *side, _border(made), *foot, *handles]


def _bands(made: Plan, where: str) -> list[Step]:
    """Every band of the base or the side, and what is added before it."""
    (tell, _), out = voice(made.design), []
    for i, band in enumerate(made.laid.bands):
        if band.band.where != where:
            continue
        for what, seconds in pushing_in(made.laid, i):
            title, lines = (
                (added_title(made, i), added_lines(made, i))
                if what == "ends"
                else (tell("Add the bye-{spokes}"), bye_lines(made))
            )
            out.append(Step(title, tuple(lines), None, seconds / 60))
        out.append(Step(band_title(made, i), tuple(band_lines(made, i)), i, band_minutes(made, i), band.rows))
    return out


def _lid(made: Plan) -> list[Step]:
    """The lid's own steps, as those of any basket, and how it is fitted."""
    if made.lid is None:
        return []
    # What is cut and soaked for it is told with the basket's, and both are dried together.
    told = _making(made.lid)
    own = [replace(step, title=f"Lid: {step.title[:1].lower()}{step.title[1:]}", band=None) for step in told]
    return [*own, Step("Fit the lid", tuple(seat_lines(made.design, made.seat)))]


def _minutes(made: Plan, key: str) -> float:
    return seconds_of(made.time, key) / 60


def tools(made: Plan) -> list[str]:
    """What lies on the bench beside the reed."""
    tell, _ = voice(made.design)
    out = ["side cutters", "bodkin"]
    if made.laid.side or not made.design.border.is_open:
        out.append("round-nosed pliers")
    if made.board is not None:
        out += ["drill", "compasses", "clamp", "sandpaper"]
    if made.design.spokes.inserted or made.design.base.kind == "pierced cross":
        out.append("sharp knife")
    out += ["ruler and tape", "basin or bucket", "towel", "thread to mark space 1", "clothes pegs"]
    dyed = {colour for band in made.design.bands for colour in band.colours}
    return [*out, tell("tags for the {colours}")] if len(dyed) > 1 else out


# Before the first row ------------------------------------------------------------------------------------------


def _cuts(made: Plan) -> list[str]:
    """What is cut to stand, piece by piece."""
    (_, long), wording = voice(made.design), made.design.wording
    return [
        f"Cut {piece.count} {piece_name(piece, wording)} of {piece.reed.named(wording)} ({piece.colour}), "
        f"{long(piece.cut_mm)} long."
        for piece in made.pieces
    ]


def _gather(made: Plan) -> Step:
    tell, _ = voice(made.design)
    lines = _cuts(made)
    if made.lid is not None:
        lines += [f"For the lid: {line[:1].lower()}{line[1:]}" for line in _cuts(made.lid)]
    lines.append("Cut the weavers as the cut list says. Bundle them by band and start, and tie a label to each bundle.")
    if made.design.spokes.inserted:
        lines.append(tell("Cut one end of each side {spoke} to a long slant, the slype. " + AWAY))
    return Step("Gather and cut", tuple(lines))


def _soak(made: Plan) -> Step:
    tell, _ = voice(made.design)
    lines = [f"{line}." for line in soaking_told(made)]
    lines.append(
        tell(
            "Use cool water, and soak only the {reed} you will use next. Wrap it in a damp towel; dip it when it dries."
        )
    )
    return Step("Soak", tuple(lines), None, max(soak.minutes[1] for _, soak in made.soaking))


def _long_sticks(made: Plan) -> Step:
    """The sticks of a base that is not round."""
    tell, spokes = voice(made.design)[0], made.design.spokes
    along, sticks = long_sticks(made.design), spokes.ends_at_base // 2
    one, many = ("base stick", "base sticks") if spokes.inserted else (tell("{spoke}"), tell("{spokes}"))
    way = clock(made.design)
    lines = [
        f"Mark the middle of each {one}.",
        f"Lay the {several(along, f'long {one}', f'long {many}')} flat, side by side.",
        f"Lay the {several(sticks - along, f'short {one}', f'short {many}')} across them, evenly along the straight "
        "part, as many to one side of the middle as to the other.",
        f"Count: {spokes.ends_at_base} ends stand out all round, those of the long ones fanning at the two round ends.",
        held_told(made.design),
        f"Space 1 is in the middle of the long side that is at the top; the next follow {way}. Tie a thread there.",
    ]
    if not made.laid.base:
        lines.append("No rows are woven on the base: go straight on.")
    return Step("Lay the long and the short sticks", tuple(lines), None, _minutes(made, "begin"))


def _cross(made: Plan) -> Step:
    if made.board is not None:
        return Step(cross_title(made), tuple(board_lines(made)), None, _minutes(made, "begin"))
    if not made.design.form.is_round:
        return _long_sticks(made)
    tell, spokes = voice(made.design)[0], made.design.spokes
    ends = spokes.ends_at_base
    paired = 1 if spokes.inserted else spokes.per_end
    one, many = ("base stick", "base sticks") if spokes.inserted else (tell("{spoke}"), tell("{spokes}"))
    lines = [f"Mark the middle of each full {one}."]
    half = f"half {one}"
    if paired > 1:
        half = f"bundle of half {many}"
        lines.append(f"Take the {many} in bundles of {paired}. From here on a bundle counts as one.")
        one, many = "bundle", "bundles"
    lines += lay_lines(made, one, many, half)
    odd = made.design.base.odd if ends % 2 else ""
    some = {"cut out": f"{ends + 1}, one of them to be cut out,", "added": f"{ends - 1}, and one place to be filled,"}
    lines.append(f"Count: {some.get(odd, f'{ends} ends')} stand out all round.")
    way = clock(made.design)
    lines.append(held_told(made.design))
    held = made.design.arms
    arm = f"the arm that holds the {half}" if odd == "half" else "an arm"
    if odd != "half" and len(set(held)) > 1:
        arm = f"an arm with {held[0]} ends"
    lines.append(
        f"Tie a thread round the first end of {arm}, counting {way}: the space before it, at the corner of the "
        f"{tell('{cross}')}, is space 1. Count all spaces {way} from there."
    )
    if not made.laid.base:
        lines.append("No rows are woven on the base: go straight on.")
    return Step(cross_title(made), tuple(lines), None, _minutes(made, "begin"))


def _insert(made: Plan) -> Step:
    tell, long = voice(made.design)
    spokes = made.design.spokes
    ends, base = spokes.ends, spokes.base_ends
    one = tell("side {spoke}") if spokes.per_end == 1 else tell("set of {n} side {spokes}", n=spokes.per_end)
    if ends == 2 * base:
        where = "Push one {one} in on each side of every base stick end."
    elif ends == 2 * base - 1:
        where = "Push one {one} in on each side of every base stick end, but only one at the last."
    elif ends == base:
        where = "Push one {one} in beside every base stick end, always on its {forward}-hand side."
    elif base < ends < 2 * base:
        where = (
            "Push one {one} in beside every base stick end, and a second on the other side of {more} of them, spread "
            "evenly."
        )
    else:
        where = "Spread {ends} places evenly over the {base} base stick ends and push one {one} in at each."
    count = "Count: {total} {spokes} stand in {ends} places." if spokes.per_end > 1 else "Count: {ends} {spokes} stand."
    lines = (
        "Trim the base sticks level with the edge of the base.",
        "Open the way beside each base stick with the bodkin, pushing away from you.",
        tell(where, one=one, more=ends - base, ends=ends, base=base),
        tell("Put the slype in first, its flat side to the stick, {deep} deep.", deep=long(spokes.insertion_mm)),
        tell(count, total=ends * spokes.per_end, ends=ends),
        "Tie the thread on again where space 1 was.",
    )
    return Step(tell("Insert the side {spokes}"), lines, None, _minutes(made, "insert"))


def _turn_up(made: Plan) -> Step:
    tell, spokes = voice(made.design)[0], made.design.spokes
    lines = [
        tell(
            "Soak the {spokes} where they will bend ({soak}), until they give without cracking.",
            soak=soak_words(spokes.reed.soak().words).split(",")[0],
        ),
        tell("Nip each {spoke} with round-nosed pliers close to the last row of the base."),
        tell(
            "Keep the underside of the base towards you and bend every {spoke} away from you. Hold them together with "
            "a tie or pegs until the first rows hold them."
        ),
        tell(OUTSIDE),
    ]
    if spokes.per_end > 1:
        lines.append(tell("The {n} {spokes} of one place stand side by side and count as one.", n=spokes.per_end))
    return Step(tell("Turn up the {spokes}"), tuple(lines), None, _minutes(made, "turn up"))


# The end -------------------------------------------------------------------------------------------------------


def _standing(made: Plan) -> float:
    """Length of each end that a piece cut as the list says leaves above the last row, mm."""
    ends = 1 if made.design.spokes.inserted or made.board else 2
    return (made.spokes.cut_mm - made.spokes.length_mm) / ends + made.laid.border.length_mm + SPARE_MM


def _border(made: Plan) -> Step:
    tell, long = voice(made.design)
    design, need = made.design, made.laid.border
    lines = [
        tell(
            "Measure: every end needs {about} above the last row, and {least} at the very least. As cut, about {cut} "
            "should stand there.",
            about=long(need.length_mm),
            least=long(need.range_mm[0]),
            cut=long(_standing(made)),
        ),
        tell(
            "Soak the ends again ({soak}), until they bend without cracking.",
            soak=soak_words(design.spokes.reed.soak().words).split(",")[0],
        ),
        *bye_cut_lines(made),
        *(worded(line, design.wording) for line in border_lines(design)),
    ]
    return Step(tell("Work the {border}"), tuple(lines), None, border_seconds(made.laid) / 60)


def _finish(made: Plan) -> Step:
    tell, _ = voice(made.design)
    lines = (
        tell(TRIM),
        "Shape the basket with your hands while it is damp, and set it on the table until it stands level.",
        "Dry it for a day or two in moving air, away from strong heat. Put it away only when it is dry to the core.",
    )
    trimming = _minutes(made, "trim") + (_minutes(made.lid, "trim") if made.lid else 0.0)
    return Step("Trim, shape and dry", lines, None, trimming)
