"""Handles: set in, wrapped or twisted, and the others like the first."""

from __future__ import annotations

from ..lay.attachments import HandleLaid
from ..order.course import Job
from ..plans.times import arch_seconds, handle_seconds
from ..reeds import Reed
from ..space.footholds import feet
from ..tell.attachments import (
    TRIED,
    cover_lines,
    handle_lines,
    handle_number,
    handle_title,
    prepare_lines,
    set_in_lines,
    standing_in,
)
from ..words import several
from .step.bench import Bench, numbers
from .step.values import Draft, Drawing, Slip, afterwards, ahead, sentences


def handle(bench: Bench, job: Job) -> list[Draft]:
    """One row of the design's handles: a step, or one to set the first in, one to wrap it, and one for any others."""
    each = next(one for one in bench.plan.handles if one.index == job.row)
    part = next(p for p in bench.order.parts if p.key == "handle" and p.row == each.index)
    if each.handle.wrap is not None and each.twist is None:
        out = _wrapped_handle(bench, each, part.beyond)
    else:
        out = [_of_handle(bench, each, handle_title(bench.design, each), part.first, part.beyond)]
        out[0].does = ahead(*sentences(*handle_lines(bench.design, each, _soaked(each), _feet_told(bench, each))))
        out[0].bundles = _bundles_of(bench, each.handle.core, each.handle.wrap)
        out[0].drawings = [_foot_drawn(bench, each, part.first), _done(out[0])]
        out[0].minutes = handle_seconds(bench.laid, each) / 60
    if each is bench.plan.handles[-1]:
        out[-1].does += afterwards(bench.tell("Take the thread off {spoke} 1."))
    return out


def _wrapped_handle(bench: Bench, each: HandleLaid, beyond: int) -> list[Draft]:
    """A handle with a core closely wrapped: its feet, its wrapping, and the others like it."""
    design, count = bench.design, each.handle.count
    arch, (feet_s, wrap_s) = bench.order.arches[each.index, 0], arch_seconds(bench.laid, each)
    one = each.handle.record.named(design.wording)
    which = f"the first {one}" if count > 1 else f"the {one}"
    number = handle_number(design, each)
    into = _of_handle(bench, each, f"Put in {which}{number}", arch.push[0], arch.wrap)
    into.does = ahead(*sentences(*prepare_lines(each, _soaked(each)),
                                 *set_in_lines(design, each, _feet_told(bench, each, 0), 1)))  # fmt: skip
    into.bundles = _bundles_of(bench, each.handle.core)
    into.drawings = [_foot_drawn(bench, each, arch.push[0]), _done(into)]
    into.minutes = feet_s / 60
    wrap = _of_handle(bench, each, f"Wrap {which}{number}", arch.wrap, arch.fasten + 1)
    begin = bench.tell("Begin at the foot beside {spoke} {n}.", n=each.feet(design.top_ends)[0][0] + 1)
    wrap.does = ahead(*sentences(begin, *cover_lines(design, each), TRIED))
    wrap.bundles = _bundles_of(bench, each.handle.wrap)
    wrap.looks = ["The turns lie close, side by side, and no core shows between them."]
    wrap.slips = [Slip("The core shows between two turns.", "Push the turns together along it, and go on closer.")]
    shown = arch.wrap + min(BEGUN_TURNS, arch.turns)
    told = f"After {several(shown - arch.wrap, 'turn')}."
    wrap.drawings = [
        Drawing(shown - 1, shown, told, f"{wrap.title}: the first turns lie close at one foot.", "finished", "none",
                False),
        _done(wrap),
    ]  # fmt: skip
    wrap.minutes = wrap_s / 60
    if count == 1:
        return [into, wrap]
    what = f"the other {one}" if count == 2 else f"the other {count - 1} {one}s"
    rest = _of_handle(bench, each, f"Put in and wrap {what}{number}", arch.fasten + 1, beyond)
    places = enumerate(each.feet(design.top_ends))
    rest.does = ahead(
        *(bench.tell("{nth} stands beside {spokes} {a} and {b}.", nth="It" if count == 2 else "The next", a=a + 1,
                     b=b + 1) for at, (a, b) in places if at),
        *(line for at in range(1, count) for line in _feet_told(bench, each, at)),
        "Do all as at the first: cut, push in, measure, wrap, and pull at it gently.",
    )  # fmt: skip
    rest.drawings = [_done(rest)]
    rest.minutes = (count - 1) * (feet_s + wrap_s) / 60
    return [into, wrap, rest]


BEGUN_TURNS = 12
"""So many turns of a wrapping are shown as its beginning."""


def _of_handle(bench: Bench, each: HandleLaid, title: str, first: int, beyond: int) -> Draft:
    """A step of a handle, with what it should look like and what may be wrong with an arch that stands."""
    over = bench.tell("{border}") if each.handle.record.at_side else "middle"
    many = len({int(arch) for arch in bench.order.block[first:beyond]}) > 1
    draft = Draft("Handles", title, "handle", first=first, beyond=beyond)
    draft.looks = [f"{'Each stands' if many else 'It stands'} upright over the {over}, and its feet do not move."]
    draft.slips = [Slip("It leans.", f"Bend the arch back over the {over} while it is damp; leave its feet as deep as "
                        "they are.")]  # fmt: skip
    draft.watch = ["Strength is not rated: nothing here carries a child, an animal or a load."]
    return draft


def _soaked(each: HandleLaid) -> str:
    """A bundle is told to be put in the water while there is time; here it is soaked."""
    what = standing_in(each)
    bends = "it" if what == "core" else "one"
    return f"Take the {what} out of the water when {bends} bends round a finger without cracking."


def _bundles_of(bench: Bench, *reeds: Reed | None) -> list[int]:
    return [bundle.number for bundle in bench.standing("handle") if bundle.reed in reeds]


def _foot_drawn(bench: Bench, each: HandleLaid, moment: int) -> Drawing:
    spoke = each.feet(bench.design.top_ends)[0][0] + 1
    deep = bench.tell("{deep} from the top of the {border}", deep=bench.long(each.depth_mm))
    return Drawing(
        moment, moment, bench.tell("A foot beside {spoke} {n}, {deep}.", n=spoke, deep=deep),
        bench.tell("From outside: a foot goes down beside {spoke} {n} in the wall, {deep}.", n=spoke, deep=deep),
        "foot", "none", False, handle=each.index)  # fmt: skip


def _done(draft: Draft) -> Drawing:
    return Drawing(draft.first, draft.beyond, "Done.", f"{draft.title}: done.", "finished", "none", False)


def _feet_told(bench: Bench, each: HandleLaid, arch: int | None = None) -> list[str]:
    """On which side of its spoke each foot goes down, as it is drawn: of all the handles, or of one `arch`."""
    ways, (one, many), out = {1: "{forward}", -1: "{back}"}, bench.upright, {}
    begins = [begin for at, (begin, _) in enumerate(each.feet(bench.design.top_ends)) if arch in (None, at)]
    stand = [foot for begin in begins for foot in feet(bench.laid, each, begin)]
    for side, way in ways.items():
        mine = sorted(int(foot.spoke) % bench.design.top_ends + 1 for foot in stand if foot.side == side)
        if mine:
            told = bench.tell(f"on the {way} of {'it' if len(mine) == 1 else 'each'}")
            out[mine[0]] = f"At {numbers(mine, one, many)} a foot goes down {told}, seen from outside, in the wall."
    return [out[first] for first in sorted(out)]
