"""What is done when the weaving is: trimming, the lid set on, the finish."""

from __future__ import annotations

from ..borders.rows import trimmed_on
from ..lay.values import BandLaid
from ..order.course import Job
from ..plans.times import seconds_of
from ..tell.attachments import (
    seat_lines,
)
from ..tell.strokes import AWAY, TRIM
from .ending import ended_in
from .setting_in import is_folded
from .step.bench import Bench
from .step.border_moves import tip_long
from .step.joining import joins_of
from .step.values import Draft, Drawing, Due, Slip, Tail, afterwards, ahead, how, sentences


def seat(bench: Bench, _job: Job) -> list[Draft]:
    """Trying the lid on."""
    assert bench.plan.seat is not None, "it has this job"
    part = bench.part("fit")
    dipped = "wet the sides of the basket, and dip the lid" if bench.design.base.is_board else "dip basket and lid"
    lines = sentences(f"If they have dried, {dipped}.", *seat_lines(bench.design, bench.plan.seat))
    draft = Draft("The lid", "Fit the lid", "fit", ahead(*lines), first=part.first, beyond=part.beyond)
    draft.looks = ["It sits level and comes off without force."]
    draft.slips = [Slip("It rocks.", "Bend it gently while it is damp, and try again.")]
    draft.drawings = [Drawing(part.beyond, part.beyond, "The lid is on.", "The basket with its lid on.", "finished",
                             "none", False)]  # fmt: skip
    return [draft]


BOARD_DRY = "Keep the board out of the water: soaked, it swells and warps."
"""Common practice, no source."""


def finish(bench: Bench, _job: Job) -> list[Draft]:
    tell, wet = bench.tell, ["Dip the basket again, and shape it with your hands while it is damp."]
    if bench.design.base.is_board:
        wet = [tell("Wet the sides and the {border} again with a sponge, and shape them while they are damp."),
               BOARD_DRY]
    draft = Draft("Finish", "Shape and dry", "finish", [
        *wet,
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


CUT_SHORT = "It was cut too short. Push a scrap in beside it."
SLANT = "The long side of the slant lies against the weaving; the cut face looks up to the mouth."
"""See `space.cuts`."""


def _border_trimmed(bench: Bench) -> list[str | Due]:
    """Where the border is trimmed, and how long its tips stay."""
    tell, border = bench.tell, bench.design.border
    if border.is_open:
        return [
            tell("Push all arches down to one height, {high} {above} the last row.",
                 high=bench.long(bench.laid.border_height_mm)),
            tell("Leave the tips where they are pushed in, each on the {back} of its {spoke}."),
        ]
    slant = [SLANT] if bench.laid.side else []
    return [AWAY, *how(
        tell("Go round the {border} on {side}, from {spoke} 1 on.", side=tell(f"{{the {trimmed_on(border)}}}")),
        tell("Cut each tip on the slant, {long} past the last {spoke} it passed.", long=tip_long(bench)),
        *slant,
    )]  # fmt: skip


def _tails_told(bench: Bench) -> list[str]:
    """Where weavers' tails are cut, as they are drawn (common practice, no source): nothing where there are none."""
    tell, woven = bench.tell, bench.laid.bands
    if not woven:
        return []
    base, side = (
        [bench.long(sum(band.tail_rests_mm for band in bands) / len(bands))] if bands else []
        for bands in ([band for band in bench.laid.base if band.band.group == 1], bench.laid.side)
    )
    if not base and not side:
        return _behind_groups(bench)
    walled = base and side
    other = [f"On the base it is about {base[0]}.", "Half-way is less there towards the middle."] if walled else []
    reach = ["Reach those on the base through the mouth, with the points of the side cutters."] if walled else []
    joined = [tell("The two tails of a join stay behind the {spoke} of the join. Cut each on its own side of it.")] \
        if any(each.joins for each in bench.plan.joins) else []  # fmt: skip
    return sentences(tell("Cut each tail half-way to the next {spoke}."),
                     tell("That is about {long} past the one that it must stay behind.", long=(side or base)[0]),
                     *other, *_which_passed(bench), *joined, *_behind_groups(bench), *reach)  # fmt: skip


def _which_passed(bench: Bench) -> list[str]:
    """Behind which a tail must stay, and on which side of it: by the next number, for whoever looks at the inside finds
    left and right changed."""
    tell, order, last = bench.tell, bench.order, bench.laid.bands[-1]
    ended = bench.acts(bench.part(last.band.where, last.index), "end")
    out = [tell("Where a weaver was ended, its tail stays behind the {spoke} that its step names{or_else}.",
                or_else="" if _lies_behind(bench) else " as passed"),
           tell("The {spokes} that it runs on past do not hold it. Cut it before the next higher number.")]  # fmt: skip
    if ended and last.band.group == 1 and not last.band.blocks:
        held = order.tail_behind(ended[0])[0]
        which = bench.weaver(last, int(order.weaver[ended[0]]))
        out.append(tell("So {which} of band {band} is cut between {spokes} {m} and {n}.", which=which,
                        band=bench.laid.bands.index(last) + 1, m=held + 1, n=(held + 1) % last.spaces + 1))  # fmt: skip
    return [*out, tell("Where one was set in, its tail stays behind the {spoke} before its space."),
            "Cut that one before the next lower number."]  # fmt: skip


def _lies_behind(bench: Bench) -> bool:
    """True where a weaver is ended that has not just come out from behind what it lies behind."""
    order = bench.order
    ends = (m for part in order.parts if not part.of for m in bench.acts(part, "end"))
    return any(not order.tail_behind(m)[1] for m in ends)


def _behind_groups(bench: Bench) -> list[str]:
    """Where tails are cut that lie behind whole groups, as they are drawn (common practice, no source)."""
    out, order = [], bench.order
    for at, band in enumerate(bench.laid.bands):
        if band.band.group == 1:
            continue
        part = bench.part(band.band.where, band.index)
        begun = [] if is_folded(bench, band) else bench.acts(part, "set in")
        first = {int(order.weaver[m]): (int(order.space[m]) - 1) % band.spaces + 1 for m in begun}
        last = {int(order.weaver[m]): ended_in(bench, band, m) for m in bench.acts(part, "end")}
        if first or last:
            out.append(f"In band {at + 1} tails lie behind what was a whole group there.")
        amid = {weaver: _amid(bench, band, group) for weaver, group in first.items()}
        went_in = {weaver: _between(bench, band, sum(band.sizes[: space - 1])) for weaver, space in last.items()}
        out += _each_cut("Cut first tails behind the middle of a group", amid)
        out += _each_cut("Cut last tails where they went in", went_in)
    return out


def _amid(bench: Bench, band: BandLaid, group: int) -> str:
    """The middle of a group, from 1, by what stands singly now: `at spoke 3`, or `between spokes 2 and 3`."""
    first, size = sum(band.sizes[: group - 1]), band.sizes[group - 1]
    return f"at {bench.stood[0]} {first + size // 2 + 1}" if size % 2 else _between(bench, band, first + size // 2)


def _between(bench: Bench, band: BandLaid, at: int) -> str:
    """The gap before number `at`, from 0, of what stands singly: `between spokes 4 and 5`."""
    return f"between {bench.stood[1]} {(at - 1) % band.ends + 1} and {at % band.ends + 1}"


def _each_cut(how: str, found: dict[int, str]) -> list[str]:
    """How tails are cut, and where that of each weaver, from 0; of many, how alone."""
    told = [f"weaver {weaver + 1} {found[weaver]}" for weaver in sorted(found)]
    if len(told) > 2:
        return [f"{how}."]
    return [f"{how}: {', '.join(told)}."] if told else []


def tails_cut(bench: Bench) -> tuple[Tail, ...]:
    """One tail of each kind on the wall, or in what has none, as its band has it: of the last band that ends its
    weavers, of the last that sets them in anew, and of a join."""
    order, out = bench.order, []
    bands = bench.laid.side or bench.laid.base
    single = [band for band in bands if band.band.group == 1 and not band.band.blocks]
    for band in single[-1:]:
        at, part = bench.laid.bands.index(band) + 1, bench.part(band.band.where, band.index)
        for kind, verb, act in (("ended", "ended", "end"), ("set in", "set in", "set in")):
            for m in bench.acts(part, act)[:1]:
                held = order.tail_behind(m)[0] + 1 if act == "end" else (int(order.space[m]) - 1) % band.spaces + 1
                which = bench.numbered(band, int(order.weaver[m]))
                out.append(Tail(kind, f"{verb}: {which}, band {at}", held, band.spaces))
    joined = next((band for band in single[::-1] if joins_of(bench, band)), None)
    if joined is not None:
        at, first = bench.laid.bands.index(joined) + 1, joins_of(bench, joined)[0]
        out.append(Tail("joined", f"joined: row {first.row + 1}, band {at}", first.spoke + 1, joined.spaces))
    return tuple(out)


def trim(bench: Bench, _job: Job) -> list[Draft]:
    """The tails that weavers left, then the tips of the border."""
    tell, part, design = bench.tell, bench.part("trim"), bench.design
    dry = ahead("Let the basket dry until it no longer drips or feels cold.", "Wear glasses: what is cut off flies.")
    all_s = seconds_of(bench.plan.time, "trim")
    tips = 0 if design.border.is_open else design.top_ends * len(design.top_reeds)
    tips_s = min(all_s, tips * bench.laid.design.pace.trim_seconds)
    cut, tails, out = _tails_told(bench), tails_cut(bench), []
    if cut:
        draft = Draft(tell("The {border}"), "Trim the weavers' tails", "trim", first=part.first, beyond=part.first)
        slant = how(SLANT) if bench.laid.side else []
        draft.does = [*dry, AWAY, *sentences(tell(TRIM)), *slant, *how(*cut)]
        draft.looks = ["No tail stands out, and none has slipped in front of what held it."]
        draft.slips = [Slip("A tail slips out.", CUT_SHORT)]
        if tails:
            each = "; ".join(tell(f"{tail.name}: behind {{spoke}} {tail.held}") for tail in tails)
            seen = ("the wall looked at from above", "wall cut across, inside above") if bench.laid.side else \
                ("seen edge on", "rows cut across, the far side above")  # fmt: skip
            discs = f"a disc is a {(bench.upright if bench.laid.side else bench.stood)[0]} cut across"
            draft.drawings = [Drawing(part.first, part.first, f"Where tails are cut, {seen[0]}: {discs}.",
                                      f"The {seen[1]}. {each}; the rest is cut off.", "tails",
                                      "none", False, tails=tails)]  # fmt: skip
        draft.minutes = (all_s - tips_s) / 60
        out.append(draft)
    does = "Level the {border}" if design.border.is_open else "Trim the {border}"  # nothing is cut of an open one
    draft = Draft(tell("The {border}"), tell(does), "trim", first=part.first, beyond=part.beyond)
    draft.minutes = (tips_s if cut else all_s) / 60
    draft.does = [*([] if cut else dry), *_border_trimmed(bench)]
    if not bench.plan.handles:  # else spokes are counted once more
        draft.does += afterwards(tell("Take the thread off {spoke} 1."))
    draft.looks = ["No tip catches a finger; none is so short that it slips out."]
    draft.slips = [Slip("A tip slips out.", CUT_SHORT)]
    if design.border.is_open:
        high = bench.long(bench.laid.border_height_mm)
        draft.looks = [tell("All arches stand {high} high, and no tip slips out.", high=high)]
        draft.slips = [Slip("A tip slips out.", "It was not pushed in deep enough. Push it deeper.")]
    about = tell("The top of the basket from inside: no tail is longer than half-way to the next {spoke}.")
    outside = not design.border.is_open and trimmed_on(design.border) == "outside"
    tips_too = "" if outside or design.border.is_open else " and tips"
    told, kind = f"Trimmed, from inside: small ovals are cut tails{tips_too}.", "inside"
    if bench.laid.side and outside:
        if out:  # cut tails are seen from inside, cut tips are not
            out[0].drawings.append(Drawing(part.beyond - 1, part.beyond, told, about, kind, "none", False))
        kind, told = "near", "Trimmed, from outside."
        about = tell("The {border} from outside: no tip stands out past the last {spoke} that it passed.")
    if not bench.laid.side:  # of a flat one the tips lie on the side that is worked from
        told, kind = "Trimmed.", "near"
        about = tell("The edge, flat on the table: no tip stands out past the last {spoke} that it passed.")
    draft.drawings = [Drawing(part.beyond - 1, part.beyond, told, about, kind, "none", False)]
    return [*out, draft]
