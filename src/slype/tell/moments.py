"""One moment of the work in a sentence, and all of them in the promised form.

Said for the design's hand and wording, with what `strokes` and `bands` say of the same moves; spokes and spaces
count from 1 in the direction of work, as in the steps.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cached_property
from itertools import groupby

from ..borders.meetings import only_tip, threads
from ..borders.rows import INSERTION_MM
from ..borders.sentences import tips
from ..borders.work import tuck
from ..design.values import Design
from ..form.tiers import Tier
from ..lay.attachments import HandleLaid, lay_handles
from ..lay.joins import Join
from ..lay.values import BandLaid, Laid
from ..order.kinds import ACTS, OTHERS, Moments, Other, WorkPart
from ..order.moments import laid_first
from ..plans.planning import Plan
from ..words import listed, of_a_lid, say, several
from .attached_moments import SENTENCES, lowered
from .attachments import handle_title
from .bands import join_words, strand_colours
from .bases import foot_trim
from .openings import OUTSIDE, opening
from .strokes import AWAY, FACES, LEAVE, TRIM, passed, space_of, stroke_told, tucked
from .voice import length_by_eye, title_of_band, worded


def sentence(of: Plan | Design, laid: Laid, order: Moments, number: int) -> str:
    """What the hands do in one moment, in a sentence or two for a new student.

    `of` a plan, whose joins are then told too, or a design; its hand, wording and units are used. `number` counts from
    1: after it that many moments are done. Raises ValueError for a number that is none.
    """
    if not 1 <= number <= len(order):
        raise ValueError(f"moments are numbered 1 to {len(order)}, not {number}")
    return _sentence(Narration(of, laid, order), number - 1)


def sentences(of: Plan | Design, laid: Laid, order: Moments) -> list[str]:
    """Every moment told, in order: what `sentence` says of each, at once."""
    tale = Narration(of, laid, order)
    return [_sentence(tale, moment) for moment in range(len(order))]


def moves_alone(of: Plan | Design, laid: Laid, order: Moments) -> list[str]:
    """Every moment told without its count (row 3, stroke 7 of 32) and without what the steps of the teaching say before
    it, for a page that shows both beside it."""
    tale = Narration(of, laid, order, stepped=True)
    return [_sentence(tale, moment) for moment in range(len(order))]


class Narration:
    """What every sentence draws on; `stepped` where counts and the steps of the teaching stand beside it."""

    def __init__(self, of: Plan | Design, laid: Laid, order: Moments, part: str = "", stepped: bool = False) -> None:
        self.laid, self.order, self.of, self.part, self.stepped = laid, order, of, part, stepped
        self.design, self.joins = (of.design, of.all_joins) if isinstance(of, Plan) else (of, [])

    @cached_property
    def others(self) -> dict[str, Narration]:
        """What is said of a foot and of a lid, each a basket of its own."""
        own = {"lid": self.of.lid if isinstance(self.of, Plan) else None}
        return {
            name: Narration(own.get(name) or each.laid.design, each.laid, each.order, name, self.stepped)
            for name, each in self.order.others.items()
        }

    @cached_property
    def handles(self) -> tuple[HandleLaid, ...]:
        return lay_handles(self.laid)

    @cached_property
    def joined(self) -> dict[int, Join]:
        return moments_of_joins(self.order, self.joins)

    @cached_property
    def threads(self) -> dict[str, Mapping[tuple[int, int], tuple[int, ...]]]:
        """What the last ends of the border and of a foot are led under."""
        design = self.design
        asked = {"border": (design.border, design.top_ends), "foot": (design.base.foot, design.foot_ends)}
        return {
            act: threads(border, ends) if border is not None else {}
            for act, (border, ends) in asked.items()
        }

    def band(self, moment: int) -> BandLaid:
        return next(band for band in self.laid.bands if band.index == self.order.band[moment])

    def colour(self, moment: int) -> str:
        return strand_colours(self.order.colours[self.order.colour[moment]])


def _sentence(tale: Narration, moment: int) -> str:
    if tale.order.of[moment] >= 0:
        name = OTHERS[tale.order.of[moment]]
        line = _sentence(tale.others[name], moment - tale.order.others[name].first)
        line = of_a_lid(line) if name == "lid" else line
        return f"{name.capitalize()}{',' if line.startswith('Row ') else ':'} {lowered(line)}"
    tell = {"stroke": _stroke, "set in": _set_in, "end": _end, "stick": _stick, "border": border_move,
            "foot": border_move, "add": _add, "bye": _bye, **SENTENCES}  # fmt: skip
    line = tell.get(ACTS[tale.order.act[moment]], _plain)(tale, moment)
    if not tale.stepped and (count := _count(tale, moment)):
        line = f"{count}: {lowered(line)}"
    before = opening(tale.design, tale.laid, tale.order, moment, tale.part, tale.stepped)
    return f"{before} {line}" if before else line


def _count(tale: Narration, moment: int) -> str:
    """`Row 3, stroke 7 of 32` of what is worked in rows, else empty."""
    order, act = tale.order, ACTS[tale.order.act[moment]]
    if act not in ("stroke", "border", "foot"):
        return ""
    move = "stroke" if act == "stroke" else "move"
    count = f"row {int(order.row[moment]) + 1}, {move} {int(order.stroke[moment]) + 1} of {int(order.strokes[moment])}"
    return f"Foot, {count}" if act == "foot" else count.capitalize()


# Weavers -------------------------------------------------------------------------------------------------------


def _stroke(tale: Narration, moment: int) -> str:
    design, order, band = tale.design, tale.order, tale.band(moment)
    row = int(order.row[moment])
    begun = band.segments[int(order.block[moment])][0]
    colour, before = tale.colour(moment), moment - 1
    goes_on = ACTS[order.act[before]] == "stroke" and order.band[before] == order.band[moment]
    named = f" (now {colour})" if goes_on and order.colour[before] != order.colour[moment] else f" ({colour})"
    line = stroke_told(
        band, row - begun, int(order.weaver[moment]), named, int(order.space[moment]), order.in_front(moment),
        order.behind(moment),
    )  # fmt: skip
    one, many = passed(design, band)
    line = say(line, design.wording, design.hand, one=one, many=many)
    if band.band.weave.turns == "back" and order.stroke[moment] >= order.strokes[moment] - band.band.weave.reach:
        line += " Two hang there: lift the upper one, which this row has moved already; the lower one goes below it."
    joined = f" A join falls in this stroke: {join_words(design.units)}." if moment in tale.joined else ""
    return line + joined


def moments_of_joins(order: Moments, joins: list[Join]) -> dict[int, Join]:
    """The stroke in which each of these joins falls, by its moment (from 0)."""
    return {int(order.by_weaver[join.band, join.block, join.weaver, "stroke"][join.stroke]): join for join in joins}


def _set_in(tale: Narration, moment: int) -> str:
    design, laid, order, band = tale.design, tale.laid, tale.order, tale.band(moment)
    block, weaver, space = (int(a[moment]) for a in (order.block, order.weaver, order.space))
    colour, many = tale.colour(moment), len(band.colours)
    which = f"weaver {weaver + 1} of {many}" if many > 1 else "the weaver"
    begin = ""
    if block and weaver == 0:
        assert band.band.blocks is not None, "a second block"
        shift = band.band.blocks.shift
        where = f"{several(shift, 'space')} further on" if shift else "in the same spaces"
        begin = f"Row {int(order.row[moment]) + 1}: the block is done; begin again {where}. "
    known = {c for before in laid.bands[: laid.bands.index(band)] for strands in before.colours for c in strands}
    known |= {c for strands in band.colours[:weaver] for c in strands} if not block else {*sum(band.colours, ())}
    new = " A new {colour}." if known and not set(band.colours[weaver]) <= known else ""
    tuck = length_by_eye(design, band.tail_mm)
    line = f"{begin}Put {which} ({colour}) through {space_of(band)} {space + 1}, from the front; leave a tail "
    line += f"{tucked(band)}, {tuck} long.{new}"
    return say(line, design.wording, design.hand)


def _end(tale: Narration, moment: int) -> str:
    design, order, band = tale.design, tale.order, tale.band(moment)
    weaver, colour = int(order.weaver[moment]), tale.colour(moment)
    many = len(band.colours)
    which = f"weaver {weaver + 1} of {many}" if many > 1 else "the weaver"
    held, out = order.tail_behind(moment)
    one, space = passed(design, band)[0], (held + 1 if out else held) % int(order.spaces[moment]) + 1
    if many > MOST_NUMBERED and out:  # nobody knows any more which was which
        which = f"the weaver in {space_of(band)} {space}"
    line = (
        f"{'Draw' if out else 'Lead'} {which} ({colour}) {'back ' if out else ''}in at {space_of(band)} {space}: it "
        f"stays {tucked(band)}, behind {one} {held + 1}; keep a tail of {length_by_eye(design, band.tail_mm)} and "
        "cut off the rest."
    )
    return say(line, design.wording, design.hand)


MOST_NUMBERED = 8
"""Weavers that are still told by their number when they are ended."""


# Sticks and spokes ---------------------------------------------------------------------------------------------


def _stick(tale: Narration, moment: int) -> str:
    design, order = tale.design, tale.order
    spokes, stick = design.spokes, int(order.end[moment])
    ends, many, kind = order.stick_ends[stick], len(order.stick_ends), design.base.kind
    one = "base stick" if spokes.inserted else say("{spoke}", design.wording)
    stood = "stick" if spokes.inserted else say("{spoke}", design.wording)
    if not spokes.inserted and spokes.per_end > 1:
        one = say("bundle of {n} {spokes}", design.wording, n=spokes.per_end)
    if len(ends) == 1:
        where = "in the slits" if kind == "pierced cross" else "beside the upper ones"
        return f"Lay the half {one}, {stick + 1} of {many}, {where}: later its end counts as {stood} {ends[0] + 1}."
    across = stick >= laid_first(tale.laid)
    flat, over = {
        "pierced cross": ("split in the middle", "through the slits of the others"),
        "interlaced": ("beside the others of its way", "over and under the others, with its set"),
    }.get(kind, ("flat", "across the first ones"))
    told = listed_ends(ends)
    return f"Lay {one} {stick + 1} of {many} {over if across else flat}: later its ends count as {stood}s {told}."


def listed_ends(ends: tuple[int, ...]) -> str:
    """Ends counted from 1: `3 and 19`."""
    return listed([str(end + 1) for end in ends])


def _plain(tale: Narration, moment: int) -> str:
    design, order = tale.design, tale.order
    spokes, end = design.spokes, int(order.end[moment])
    one = "{spoke}" if spokes.per_end == 1 else f"the {spokes.per_end} {{spokes}} of place"
    of = f"{end + 1} of {design.foot_ends}"
    if tale.part == "foot":
        line = {
            "insert": f"Push foot end {of} in beside its {{spoke}} at the edge of the base, its slype first.",
            "trim": f"{TRIM} {foot_trim('basket')} {AWAY}",
        }[ACTS[order.act[moment]]]
        return say(line, design.wording, design.hand)
    base = design.flat_part
    line = {
        "hole": f"Push {one} {of} up through its hole in the board.",
        "insert": f"Push side {one} {of} in beside a base stick, its slype first."
        if spokes.per_end == 1
        else f"Push {one} {of} in beside a base stick, their slypes first.",
        "turn": f"Turn up {one} {of}: nip it close to the last row of the {base} and bend it away from you."
        if spokes.per_end == 1
        else f"Turn up {one} {of}: nip them close to the last row of the {base} and bend them away from you.",
        "trim": f"{TRIM} {worded(tips(design.border), design.wording)} {AWAY}",
    }[ACTS[order.act[moment]]]
    if ACTS[order.act[moment]] == "turn" and end + 1 == design.foot_ends and not tale.stepped:
        line = f"{line} {OUTSIDE}"
    return say(line, design.wording, design.hand, tale.laid.is_mat)


def _add(tale: Narration, moment: int) -> str:
    design, order, band = tale.design, tale.order, tale.band(moment)
    spokes, end, stands = design.spokes, int(order.end[moment]), design.tiers(band.band.where)[band.tier]
    one = "added {spoke}" if spokes.per_end == 1 else "the {each} added {spokes} of place"
    nth = sum(stands.new[: end + 1])
    hand = "{forward}" if _follows(stands, end) else "{back}"
    return say(
        f"Push in {one} {{nth}} of {{many}} beside {{spoke}} {{beside}}, on its {hand}-hand side: it counts as "
        "{number} from now on.",
        design.wording, design.hand, each=spokes.per_end, nth=nth, many=stands.added,
        beside=stands.came[end] + 1, number=end + 1,
    )  # fmt: skip


def _follows(stands: Tier, end: int) -> bool:
    """True when the end that an added one is pushed in beside has a lower number than it."""
    old = next(i for i, (came, new) in enumerate(zip(stands.came, stands.new, strict=True))
               if came == stands.came[end] and not new)  # fmt: skip
    return old < end


def _bye(tale: Narration, moment: int) -> str:
    design, end = tale.design, int(tale.order.end[moment])
    assert design.bye_spokes is not None, "one is pushed in"
    where = "down into the upsett" if design.bye_spokes.in_upsett else "in at the edge of the base"
    return say(
        f"Push bye-{{spoke}} {{n}} of {{many}} {where} beside its {{spoke}}, on the {{forward}}-hand side.",
        design.wording, design.hand, n=end + 1, many=tale.band(moment).ends,
    )  # fmt: skip


# Border --------------------------------------------------------------------------------------------------------


def border_move(tale: Narration, moment: int, lifting: bool = True) -> str:
    """How an end of a border or foot is led. `lifting` False: what it goes under at the close is told already."""
    design, order = tale.design, tale.order
    act = ACTS[order.act[moment]]
    border = design.base.foot if act == "foot" else design.border
    assert border is not None, "a board has a foot border"
    passes = order.passes[moment]
    end, stage = passes[0].end, passes[0].stage
    inside = stage > 0 and border.rows[stage - 1].finish == "in"
    if act == "foot":  # below a board it goes the other way round: see `space.feet`
        passes = tuple(replace(p, spoke=-p.spoke % design.foot_ends) for p in passes)
    own = -end % design.foot_ends if act == "foot" else end
    one = "end" if tale.part == "foot" else "{spoke}"
    legs: list[str] = []
    for outside, run in groupby(passes, key=lambda p: p.outside):
        spokes = tuple(p.spoke for p in run)
        noun = "" if legs else f" {one}" if len(spokes) == 1 else f" {_many(one)}"
        legs.append(f"{FACES[inside][outside != inside]}{noun} {listed_ends(spokes)}")
    mine = order.by_end[act, end]
    begins = moment == mine[0] and end >= 0
    done = [m for m in mine if order.row[m] == stage][-1] == moment
    finish = f", and {_left(design, act, end, stage)}" if done else ""
    which = f"{one} {own + 1}" if end >= 0 else f"extra {{reed}} {-end}"
    move = f"Bend {which} down towards the {{forward}}," if begins else f"Take {which} on"
    lifted = tale.threads[act].get((end, stage), ()) if done else ()
    if act == "foot":
        lifted = tuple(-each % design.foot_ends for each in lifted)
    under = ""
    if lifted and lifting:
        first = f"{one} {lifted[0] + 1}" if len(lifted) == 1 else f"{_many(one)} {listed_ends(lifted)}"
        them = "it" if len(lifted) == 1 else "them"
        under = f" Lift {first} and lead {which} under {them}."
        if only_tip(border, design.foot_ends if act == "foot" else design.top_ends, end, stage):
            finish, under = f". Lift {first}, and {_tip_left(design, act, (end, stage), which, them)}", ""
    line = f"{move} {', then '.join(legs)}{finish}.{under}"
    return say(line, design.wording, design.hand, act == "border" and tale.laid.is_mat)


def _left(design: Design, act: str, end: int, stage: int) -> str:
    """What is done with an end that has finished its row."""
    if act == "border" and design.border.is_open:
        beside = (end + 1 + design.border.reach) % design.top_ends + 1
        deep = length_by_eye(design, INSERTION_MM)
        return f"push its tip {deep} deep down beside {{spoke}} {beside}, on its {{back}} side"
    found = _tucked(design, act, end, stage)
    if found is None:
        border = design.base.foot if act == "foot" else design.border
        assert border is not None, "a board has a foot border"
        return LEAVE[border.rows[stage].finish]
    space, over = found
    return f"tuck it down at space {space + 1}" + ("" if over is None else f", under {{spoke}} {over + 1}")


def _tip_left(design: Design, act: str, move: tuple[int, int], which: str, them: str) -> str:
    """What is done with a tip that at the close goes under others; `move` its end and row."""
    found, tip = _tucked(design, act, *move), f"the tip of {which}"
    if found is None:
        return f"lead {tip} under {them}; {_left(design, act, *move)}"
    return f"tuck {tip} down at space {found[0] + 1} under {them}"


def _tucked(design: Design, act: str, end: int, stage: int) -> tuple[int, int | None] | None:
    """Where an end is tucked down in this row, and under which (`borders.work.tuck`); None where it is not."""
    if act != "border" or stage < len(design.border.rows) - 1:
        return None
    return tuck(design.border, design.top_ends, end)


def _many(one: str) -> str:
    return "{spokes}" if one == "{spoke}" else f"{one}s"


# The promised form ---------------------------------------------------------------------------------------------

TITLES = {
    "cross": "Lay the {cross}",
    "board": "Set the {spokes} in the board",
    "insert": "Insert the side {spokes}",
    "turn": "Turn up the {spokes}",
    "bye": "Add the bye-{spokes}",
    "border": "Work the {border}",
    "trim": "Trim",
    "fit": "Fit the lid",
}
FOOT_TITLES = {"insert": "push in its ends", "border": "work its {border}", "trim": "trim"}


def _title_of_other(other: Other, part: WorkPart) -> str:
    """A part of a foot or a lid, as the steps call it."""
    design = other.laid.design
    if other.of == "foot":
        title = FOOT_TITLES.get(part.key) or other.laid.bands[0].band.weave.named(design.wording)
        return f"Foot: {say(title, design.wording, design.hand)}"
    own = next(each for each in other.order.parts if (each.key, each.band) == (part.key, part.band))
    return f"Lid: {lowered(title_of_part(design, other.laid, other.order, own))}"


def title_of_part(design: Design, laid: Laid, order: Moments, part: WorkPart) -> str:
    """What a part of the work is called."""
    if part.of:
        return _title_of_other(order.others[part.of], part)
    key, band = part.key, part.band
    if key == "handle":
        assert part.row is not None, "its row is which handle"
        return handle_title(design, lay_handles(laid)[part.row])
    if key == "add":
        assert band is not None, "added before a band"
        many = design.bands[band].add * design.spokes.per_end
        return say(
            "Add {many}",
            design.wording,
            many=several(many, *(say(w, design.wording) for w in ("{spoke}", "{spokes}"))),
        )
    if key in TITLES:
        return say(TITLES[key], design.wording, design.hand)
    at = next(i for i, each in enumerate(laid.bands) if each.index == band)
    return title_of_band(design, laid, at)
