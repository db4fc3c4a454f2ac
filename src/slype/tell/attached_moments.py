"""What is fitted to a basket, moment by moment, in sentences: handles foot by foot and turn by turn, a lid.

The sentences are those of the steps (`tell.attachments`), shared out over the moments they belong to.
"""

from __future__ import annotations

from ..lay.attachments import HandleLaid, lengths_of
from ..lay.lids import fit_lid
from ..order.kinds import Covered
from ..words import say
from .attachments import (
    COUNTED,
    NEW_LENGTH,
    RODS_END,
    TRIED,
    WRAP_ENDS,
    measured_told,
    prepare_lines,
    pushed_told,
    rods_in_told,
    seat_lines,
    twisted_told,
    wrapped_told,
)
from .voice import voice


def _handle(tale, moment: int) -> tuple[HandleLaid, Covered, str]:
    """The handle of a moment, the moments of its arch, and what it is called at the head of a sentence."""
    order = tale.order
    row, arch = int(order.row[moment]), int(order.block[moment])
    each = tale.handles[row]
    name = each.handle.record.named(tale.design.wording)
    many = len(each.feet(tale.design.top_ends))
    which = f"{name.capitalize()} {arch + 1} of {many}" if many > 1 else name.capitalize()
    return each, order.arches[row, arch], which


def _push_in(tale, moment: int) -> str:
    design, (each, covered, which) = tale.design, _handle(tale, moment)
    spoke, (one, other) = int(tale.order.end[moment]) + 1, covered.push
    rope, arch = other > one + 1, int(tale.order.block[moment])
    ends = "the ends of its rods" if rope else "one end of its core" if each.handle.cores == 1 else "its cores' ends"
    if moment == other:
        ends = "the other ends" if rope or each.handle.cores > 1 else "the other end"
    lines = [pushed_told(design, each, f"{{spoke}} {spoke}", ends)]
    if moment == one and arch == 0 and not tale.stepped:  # a step says so before it, and its bundle lies in the water
        lines = [*prepare_lines(each), say(COUNTED, design.wording, design.hand), *lines]
    if moment == other:
        lines.append(measured_told(design, each))
        lines += [TRIED] if covered.fasten < 0 else []
    return f"{which}, {'first' if moment == one else 'second'} foot: {lowered(' '.join(lines))}"


def _rods(tale, moment: int) -> str:
    each, _, which = _handle(tale, moment)
    return f"{which}: {lowered(rods_in_told(each))}."


def _wrap(tale, moment: int) -> str:
    design, (each, covered, which) = tale.design, _handle(tale, moment)
    turn, turns, tell = moment - covered.wrap, covered.turns, voice(design)[0]
    head = f"{which}, turn {turn + 1} of {turns}: "
    if each.twist is not None:
        if turn == 0:
            return head + lowered(twisted_told(design, each))
        them = "the rod" if each.twist.rods == 1 else "all the rods"
        return head + tell(f"{them} once round towards the {{forward}}, side by side.")
    if turn == 0:
        return head + lowered(wrapped_told(design, each))
    lengths = lengths_of(each)
    new = f" {NEW_LENGTH}" if turn in {round(turns * k / lengths) for k in range(1, lengths)} else ""
    return f"{head}close against the one before.{new}"


def _fasten(tale, moment: int) -> str:
    each, _, which = _handle(tale, moment)
    done = WRAP_ENDS if each.twist is None else RODS_END.replace("there", "beside the other foot")
    return f"{which}: {lowered(done)} {TRIED}"


def _fit(tale, moment: int) -> str:
    seat = fit_lid(tale.laid)
    assert seat is not None, "a lid is set on where there is one"
    return f"Set the lid on. {' '.join(seat_lines(tale.design, seat))}"


def lowered(line: str) -> str:
    return line[:1].lower() + line[1:]


SENTENCES = {"push in": _push_in, "rods": _rods, "wrap": _wrap, "fasten": _fasten, "fit": _fit}
"""By what a moment is, how it is told: each takes what is said of a basket (`tell.moments`) and a moment from 0."""
