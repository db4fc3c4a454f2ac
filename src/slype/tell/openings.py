"""What a student is told at the head of a part of the work: how to hold it, what to soak, what counts as one.

A moment is one move; what goes for all moves of its part is said once, with the first of them (or, when something is
turned over for what comes next, with the last). The sentences are those of the steps.
"""

from __future__ import annotations

from ..borders.rows import Border
from ..borders.sentences import before
from ..design.values import Design
from ..lay.courses import goes_on
from ..lay.values import BandLaid, Laid
from ..order.kinds import ACTS, Moments, WorkPart
from ..words import listed, several
from .bands import groups_in_words
from .bases import BOARD_OVER, FOOT_TURNED, board_back, foot_nip, held_told
from .strokes import AWAY, passed, space_of
from .voice import voice

OUTSIDE = "From here on the outside faces you, and you work towards the {forward}. Space 1 is the same as before."
"""Said once the spokes are turned up, here and in `steps`."""


def opening(design: Design, laid: Laid, order: Moments, moment: int, of: str, stepped: bool = False) -> str:
    """What is said before a moment's own sentence; empty but at the first moment of a part. `of` "foot" of a foot.
    `stepped` where the steps of the teaching are read beside the moves: what they say is not said again."""
    part = order.parts[order.part[moment]]
    act = ACTS[order.act[moment]]
    if act == "foot" and part.key == "board":
        assert design.base.foot is not None, "a board has a foot border"
        first = moment == part.first or ACTS[order.act[moment - 1]] != "foot"
        return _joined(design, BOARD_OVER, *_nipped(design.base.foot, "board")) if first else ""
    if moment != part.first:
        return ""
    lines: list[str] = []
    if stepped and not of and part.key in ("base", "side", "border"):
        if part.band is None:
            return ""
        at = next(i for i, each in enumerate(laid.bands) if each.index == part.band)
        board = [board_back(design)] if at == 0 and design.base.is_board else []
        return _joined(design, *board, *drawn_back(laid.bands[at], laid.bands[at - 1] if at else None,
                                                    _stood(design, laid.bands[at])))
    if part.key in ("base", "side") and part.band is not None:
        at = next(i for i, each in enumerate(laid.bands) if each.index == part.band)
        if at == 0 and part.key == "base":
            lines.append(held_told(design))
        if at == 0 and design.base.is_board:
            lines.append(board_back(design))
        if of != "foot":
            lines += _groups_told(design, laid.bands[at], laid.bands[at - 1] if at else None)
        lines += _rounds_told(design, laid.bands[at], order, part)
    elif part.key == "insert" and of == "foot":
        lines.append(FOOT_TURNED)
    elif part.key == "border":
        lines += _nipped(design.border, "last row") if of == "foot" else before(design.border)
        lines += [AWAY] if design.border.is_open else []
    return _joined(design, *lines)


def _stood(design: Design, band: BandLaid) -> str:
    """What stands where a band is woven, several."""
    return "sticks" if design.spokes.inserted and band.band.where == "base" else "{spokes}"


def _groups_told(design: Design, band: BandLaid, before: BandLaid | None) -> list[str]:
    """What counts as one in a band, where that is not as it was in the band before; and where weavers that go on from
    there come out now, for their last strokes were made over the old groups."""
    where, stood = band.band.where, _stood(design, band)
    changed = before is not None and before.band.where == where and before.sizes != band.sizes
    lines: list[str] = []
    fresh = before is None or before.band.where != where
    if band.band.group > 1 and (fresh or changed):
        opened = f"Open the {stood} out into smaller groups. " if changed else ""
        lines.append(f"{opened}Take the {stood} together in {groups_in_words(band.sizes)}, from space 1 on. Each group "
                     "counts as one.")  # fmt: skip
    elif changed:
        lines.append(f"Open the {stood} out singly and evenly, like the rays of a star, as you weave.")
    return lines + drawn_back(band, before, stood)


def drawn_back(band: BandLaid, before: BandLaid | None, stood: str) -> list[str]:
    """Where weavers that go on over other groups come out now, for their last strokes were made over the old ones;
    `stood` what stands there, several."""
    many = len(band.colours)
    if before is None or before.band.where != band.band.where or before.sizes == band.sizes or many < 2:
        return []
    if not goes_on(before, band):
        return []
    places = [str((band.band.start + k) % band.spaces + 1) for k in range(1, many)]
    gap = f"{space_of(band)}{'s' if many > 2 else ''} {listed(places)}"
    which, its = ("Weaver 2", "its") if many == 2 else (f"Weavers 2 to {many}", "their")
    first, come = _from_where(band, before, stood), "comes" if many == 2 else "come"
    if not first:
        return [f"{which} now {come} out at {gap}: draw {its} last stroke back as far as that."]
    return [*first, f"{which} then {come} out at {gap}."]


def _from_where(band: BandLaid, before: BandLaid, stood: str) -> list[str]:
    """Between which ends each weaver hangs that is drawn back, and between which it comes out then; nothing where there
    are many."""
    old, new = ([sum(each.sizes[:k]) for k in range(each.spaces)] for each in (before, band))
    start, many, ends = band.band.start % band.spaces, len(band.colours), band.ends
    if new[start] not in old or many > MOST_DRAWN_BACK:
        return []
    hung, out = old.index(new[start]), []
    for k in range(1, many):
        was, comes = old[(hung + k) % before.spaces], new[(start + k) % band.spaces]
        if was != comes:
            out.append(f"Weaver {k + 1} hangs between {stood} {(was - 1) % ends + 1} and {was % ends + 1}; draw it "
                       f"back to between {(comes - 1) % ends + 1} and {comes % ends + 1}.")  # fmt: skip
    return out


MOST_DRAWN_BACK = 4
"""Of so many weavers it is told, one by one, from where to where each is drawn back."""


def _rounds_told(design: Design, band: BandLaid, order: Moments, part: WorkPart) -> list[str]:
    """What counts as a stroke where a weaver goes on round by itself, and how many take it once round."""
    weave, many = band.band.weave, len(band.colours)
    if weave.turns != "round":
        return []
    own = slice(part.first, part.beyond)
    counts = sorted(set(order.strokes[own][order.act[own] == ACTS.index("stroke")].tolist()))
    one, more = passed(design, band)
    over, under = weave.cycle[0]
    move = f"in front of {several(over, one, more)}, behind {under}"
    if len(weave.cycle) > 1:
        move = "once in front and once behind"
    takes = " or ".join(map(str, counts[:: max(1, len(counts) - 1)]))
    round_ = "Once round" if many == 1 else f"Once round with {'both' if many == 2 else f'all {many}'}"
    return [f"Here one stroke is: {move}. {round_} takes {takes} of them and is one row."]


def _nipped(border: Border, of: str) -> list[str]:
    return [] if border.is_open else [foot_nip(of)]


def _joined(design: Design, *lines: str) -> str:
    tell, _ = voice(design)
    return " ".join(map(tell, lines))
