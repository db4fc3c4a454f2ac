"""Beginning a base, as lines of a handout: crosses pierced and interlaced, odd ends, boards."""

from __future__ import annotations

from dataclasses import replace

from ..design.values import Design
from ..form.bases import sticks_each_way
from ..lay.boards import BoardLaid
from ..plans.planning import Plan
from ..quantity import show_length, show_true
from ..words import listed, several
from .strokes import border_lines, stroke_lines
from .voice import voice, with_cm, worded


def cross_title(plan: Plan) -> str:
    """What the first step on the base is called."""
    tell, _ = voice(plan.design)
    kind = plan.design.base.kind
    return {
        "board": "Make the board ready",
        "pierced cross": tell("Pierce the {cross}"),
        "interlaced": tell("Interlace the {cross}"),
    }.get(kind, tell("Lay the {cross}"))


def lay_lines(plan: Plan, one: str, many: str, half: str) -> list[str]:
    """How the sticks of a round base come to hold each other; `one`, `many`, `half` what they are called."""
    tell, _ = voice(plan.design)
    base, ends = plan.design.base, plan.design.spokes.ends_at_base
    sticks = (ends + 1) // 2 if base.odd == "cut out" else ends // 2
    below, over = sticks_each_way(sticks, base.through)
    if not over:
        return []
    if base.kind == "pierced cross":
        lines = [
            tell(
                "Split {below} in the middle with the point of a knife, a slit as long as {over} are wide; rest {it} "
                "on the table and push away from you. Pass {over} through the slits, middle in middle. This is the "
                "{cross}; all of it lies flat.",
                below=several(below, one, many),
                over=several(over, one, many),
                it="it" if below == 1 else "each",
            )
        ]
    elif base.kind == "interlaced":
        lines = [
            tell(
                "Take the {many} in sets of {sets}, and lay {way} sets side by side one way. Weave {way} sets "
                "through them the other way, over one set and under the next, the next set under and over. Draw them "
                "close, middle on middle. This is the {cross}.",
                many=many,
                sets=base.sets,
                way=sticks // (2 * base.sets),
            )
        ]
    else:
        lines = [
            tell(
                "Lay {below} flat, side by side. Lay {across} over them, middle on middle. This is the {cross}.",
                below=several(below, one, many),
                across=over,
            )
        ]
    if ends % 2:
        lines.append(_odd(plan, one, half))
    return lines


def _odd(plan: Plan, one: str, half: str) -> str:
    """How the odd end comes about."""
    base = plan.design.base
    first = "where the first band ends" if plan.laid.base else "before the first row"
    if base.odd == "cut out":
        return (
            f"Take one end of a larger arm together with its neighbour, as one, from the start; {first}, cut it away "
            "close to the weave."
        )
    if base.odd == "added":
        return (
            f"One end more is added {first}: cut a short {one} on the slant and push it in beside an end of the ones "
            "on top. Mark that place, and count it as an end from the start."
        )
    through = (
        "in the slits beside the ones passed through" if base.kind == "pierced cross" else "beside the ones on top"
    )
    return f"Lay the {half} {through}, its inner end just past the middle, so that the first rows bind it in."


def clock(design: Design) -> str:
    """The direction of work on the base, as its underside faces the maker."""
    if design.hand == "right":
        return "clockwise"
    return "anticlockwise" if design.wording == "uk" else "counterclockwise"


def clock_above(design: Design) -> str:
    """The direction of work of an upright basket seen from above; of its base too, whose underside is woven."""
    if design.hand == "left":
        return "clockwise"
    return "anticlockwise" if design.wording == "uk" else "counterclockwise"


def held_told(design: Design) -> str:
    """How a woven base is held, and which way round it is worked."""
    return voice(design)[0](
        "Hold it with {near} towards you; the far side will be the inside. Work {clock}: along the top edge towards "
        "the {forward}.",
        near="what will be the top of the lid" if design.of_lid else "the underside",
        clock=clock(design),
    )


# Boards --------------------------------------------------------------------------------------------------------


def _board(plan: Plan) -> BoardLaid:
    assert plan.board is not None, "asked of a basket that stands on one"
    return plan.board


def board_fact(plan: Plan) -> str:
    """Holes, how far apart and how far in, in one line."""
    h, units = _board(plan).holes, plan.design.units
    margin = show_length(h.margin_mm, units, 16)
    apart = f"{show_true(h.pitch_mm, units)} apart along their line"
    if plan.design.form.is_round:
        apart = f"{show_true(h.chord_mm, units)} apart, straight from middle to middle, {h.angle_deg:.2f}° each"
    return f"{h.count} holes of {_drill(plan)}, {apart}; their middles lie {margin} from the edge"


def _drill(plan: Plan) -> str:
    h = _board(plan).holes
    return show_length(h.drill_mm, "in", 64) if plan.design.units == "in" else f"{h.drill_mm:g} mm"


BOARD_OVER = "Turn the board over, so that the short ends point up, and work the foot border with them."
FOOT_DRAWN_CLOSE = "Turn the board back, and pull every {spoke} up until the foot lies close."
"""Before its tips are trimmed: pulled later, they would slip out of the foot (common practice, no source)."""
_BOARD_BACK = (
    "Tie a thread round {first}: it is {{spoke}} 1. The space before it, counting towards the {{forward}}, is space 1. "
    "The outside faces you."
)


def board_back(design: Design) -> str:
    """What is said once a board lies with its outside to the maker, as a template."""
    return _BOARD_BACK.format(first=first_on_board(design))


def first_on_board(design: Design) -> str:
    """Which spoke of a board is the first, as a template has it: of a round one any (`space.tubes`)."""
    if design.form.is_round:
        return "one {spoke}"
    return "the first {spoke} past the middle of a long side, counted towards the {forward}"


def board_lines(plan: Plan) -> list[str]:
    """All that is done to a board, its spokes and its foot border."""
    return [*drilling_lines(plan), *board_foot_lines(plan)]


def drilling_lines(plan: Plan) -> list[str]:
    """Marking out and drilling a board."""
    design, h = plan.design, _board(plan).holes
    if design.form.is_round:
        ring = [
            f"Draw a circle {show_true(h.ring_mm, design.units)} across on the board, its line "
            f"{show_length(h.margin_mm, design.units, 16)} from the edge. Set the compasses to "
            f"{show_true(h.chord_mm, design.units)} and step off {h.count} places, {h.angle_deg:.2f}° each; they "
            "should close. A little too much in each step adds up: the printed template saves the stepping."
        ]
    else:
        ring = [
            "Draw a line all round the board, "
            f"{with_cm(design, show_length(h.margin_mm, design.units, 16), h.margin_mm)} from the edge, and mark "
            f"{h.count} places along it, {show_true(h.pitch_mm, design.units)} apart on the straights; round the "
            f"{'ends' if design.form.outline == 'oval' else 'corners'} go by the printed template."
        ]
    return [
        *ring,
        f"Clamp the board on waste wood and drill {_drill(plan)} holes, with glasses on and hair and sleeves tied "
        "back. The rules of the workshop go first. Sand the holes and the edge.",
    ]


def board_foot_lines(plan: Plan) -> list[str]:
    """Setting the spokes of a board in its holes, and the foot border."""
    tell, design = voice(plan.design)[0], plan.design
    assert design.base.foot is not None, "a board has a foot border"
    foot = replace(design, border=design.base.foot)
    return [
        f"{tell('Soak the {spokes}.')} {pushed_up(plan)}",
        BOARD_OVER,
        *_foot_lines(foot, "board", " ".join((FOOT_DRAWN_CLOSE, *board_foot_trim()))),
        *([tell(FOOT_DRAWN_CLOSE)] if foot.border.is_open else []),
        tell(board_back(design)),
    ]


def pushed_up(plan: Plan) -> str:
    """How the spokes of a board are set in its holes."""
    tell, long = voice(plan.design)
    per_end, below = plan.design.spokes.per_end, _board(plan).foot.length_mm
    many = tell("one {spoke}") if per_end == 1 else tell("{n} {spokes}", n=per_end)
    return tell("Push {many} up through every hole, so that {long} stands below the board.", many=many,
                long=with_cm(plan.design, long(below), below))  # fmt: skip


def _foot_lines(foot: Design, of: str, tips: str) -> list[str]:
    """A foot border, worked like any other but close to what lies above it; `tips` how it is trimmed."""
    tell = voice(foot)[0]
    lines = border_lines(foot) if foot.border.is_open else border_lines(foot, foot_nip(of), tell(tips))
    return [worded(line, foot.wording) for line in lines]


FOOT_TURNED = "Turn the basket upside down, the outside towards you; work towards the {forward}."


def foot_nip(of: str) -> str:
    """Where the ends of a foot border are nipped: close to the "board", or the "last row"."""
    return f"Nip each end with round-nosed pliers close to the {of}, where it will turn down."


def foot_trim(whole: str) -> str:
    """How the tips of a foot border are trimmed, below a "tray" or a "basket"."""
    return f"Trim the tips so that each rests on the next one, and the {whole} on all of them, level."


def board_foot_trim() -> tuple[str, ...]:
    """Trimming the foot of a board once its spokes are drawn up, and turning the board back."""
    return "Turn the board over once more.", foot_trim("tray"), "Turn the board back."


def foot_lines(plan: Plan) -> list[str]:
    """A foot below a woven base: its ends, its rows, its border."""
    tell, long = voice(plan.design)
    found = plan.foot
    assert found is not None, "asked of a basket that has one"
    band, alone = found.laid.bands[0], found.laid.design
    names = [" with ".join(dict.fromkeys(colours)) for colours in band.colours]
    which = names[0] if len(set(names)) == 1 else listed(names)
    lines = [
        tell(FOOT_TURNED),
        "Cut one end of each foot end to a long slant, the slype, away from you, and soak them.",
        tell(
            "Open the way beside every {spoke} at the edge of the base with the bodkin, pushing away from you, and "
            "push a foot end in, {deep} deep. Count: {count} stand.",
            deep=long(found.foot.insertion_mm),
            count=found.ends,
        ),
        tell(
            "Set {many} of {reed} ({colours}) in, one to a space, and weave {rows} close against the base. The stroke:",
            many=several(len(band.colours), "weaver"),
            reed=band.band.reed.named(alone.wording),
            colours=which,
            rows=f"{several(band.rows, 'row')} of {band.band.weave.named(alone.wording)}",
        ),
        *stroke_lines(alone, band),
        "Cut the weavers off inside, each behind an end.",
        *_foot_lines(alone, "last row", foot_trim("basket")),
        f"The foot stands {long(found.height_mm)} high. Set the basket on the table: if it rocks, press and trim where "
        "it is high, while all is damp.",
    ]
    return lines
