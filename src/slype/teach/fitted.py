"""A board with its foot; and what is done when the weaving is: trimming, foot, handles, lid, and the finish."""

from __future__ import annotations

from itertools import groupby

from ..borders.rows import trimmed_on
from ..borders.work import comes_below, goes_under
from ..lay.attachments import HandleLaid
from ..order.course import Job
from ..plans.times import arch_seconds, board_foot_seconds, foot_seconds, handle_seconds, seconds_of
from ..reeds import Reed
from ..space.footholds import feet
from ..tell.attachments import (
    TRIED,
    cover_lines,
    handle_lines,
    handle_title,
    prepare_lines,
    seat_lines,
    set_in_lines,
    standing_in,
)
from ..tell.bases import (
    BOARD_OVER,
    FOOT_DRAWN_CLOSE,
    board_foot_lines,
    board_foot_trim,
    drilling_lines,
    first_on_board,
    foot_lines,
    foot_nip,
    pushed_up,
)
from ..tell.moments import Narration, border_move
from ..tell.strokes import AWAY, TRIM
from ..tell.voice import base_across
from ..words import several
from .bench import Bench, numbers
from .border import lifted_told, tip_long
from .ending import ended_in, joins_of
from .values import Draft, Drawing, Due, Slip, Tail, afterwards, ahead, how, sentences
from .weaving import is_folded


def board(bench: Bench, _job: Job) -> list[Draft]:
    """Marking out, drilling, spokes, and the foot border row by row."""
    tell, part, made = bench.tell, bench.part("board"), bench.plan.board
    assert made is not None, "there is that part of the work"
    ready = Draft("The board", "Mark and drill the board", "board", first=part.first, beyond=part.first)
    ready.does = [*sentences(*drilling_lines(bench.plan))]
    ready.does[:0] = ahead(*_board_needed(bench))
    ready.looks = [f"{made.holes.count} holes stand evenly round the board."]
    ready.slips = [
        Slip("The marks do not close to an even last gap.", "Change the step a very little and mark anew.")
        if bench.design.form.is_round else
        Slip("A mark lies off the line.", "Lay the template on again, its middle lines on those of the board.")
    ]  # fmt: skip
    ready.watch = ["The template is a sheet of its own: slype sheet, with --for board, writes it.",
                   "Print it at full size."]  # fmt: skip
    seen = f"The board from above with its {made.holes.count} holes, numbered from the first the way of the work."
    ready.drawings = [Drawing(part.first, part.first, "The board from above.", seen, "board", "none", False)]
    moves = bench.acts(part, "foot")
    draft = Draft("The board", tell("Set the {spokes}"), "board", first=part.first,
                  beyond=min(moves, default=part.beyond))  # fmt: skip
    draft.bundles = [each.number for each in bench.standing("begin")]
    foot_minutes = board_foot_seconds(bench.laid) / 60
    draft.minutes = seconds_of(bench.plan.time, "begin") / 60 - foot_minutes
    others = board_foot_lines(bench.plan)[1:]
    thread = tell(f"Tie a thread round {first_on_board(bench.design)}: it is {{spoke}} 1. The space before it is space "
                  "1. With the outside towards you, count {spokes} from there towards the {forward}.")  # fmt: skip
    taken = (bench.take(each) for each in bench.standing("begin"))
    draft.does = ahead(*taken, *sentences(pushed_up(bench.plan), thread))
    draft.looks = [tell("{n} {spokes} stand evenly round the board.", n=made.holes.count)]
    draft.slips = [Slip(tell("A {spoke} is stiff in its hole."), "Wet it there, and push it with a twist.")]
    draft.count("ends", 0, made.holes.count)
    about = tell("The board with its {spokes} in their holes, from outside.")
    draft.drawings = [Drawing(part.first, draft.beyond, tell("All {spokes} in their holes."), about, "whole", "first",
                              False)]  # fmt: skip
    feet = _foot_of_board(bench, moves, others)
    for each in feet:
        each.minutes = foot_minutes / len(feet)
    return [ready, draft, *feet]


def _board_needed(bench: Bench) -> list[str]:
    """The board, and the template that its holes are marked by."""
    form, thick = bench.design.form, bench.long(bench.design.base.thickness_mm)
    ends = "" if form.is_round else ", its ends half round" if form.outline == "oval" else ""
    return [f"You need a board {base_across(bench.design)}, {thick} thick{ends}.",
            "Lay its template on the board: your teacher has it, printed at full size."]  # fmt: skip


def _foot_of_board(bench: Bench, moves: list[int], others: list[str]) -> list[Draft]:
    """A foot border below a board: row by row as its ends are led; else, of one worked in another order, in the lines
    that any is told in."""
    border, tell = bench.design.base.foot, bench.tell
    assert border is not None, "a board has a foot border"
    if border.is_open or border.order is not None:
        draft = Draft("The board", "Work the foot", "board", ahead(*sentences(*others)), first=moves[0],
                      beyond=moves[-1] + 1)  # fmt: skip
        return [_foot_done(bench, draft, moves)]
    rows = [list(run) for _, run in groupby(moves, key=lambda m: int(bench.order.row[m]))]
    out = [_foot_row(bench, row, at, len(rows)) for at, row in enumerate(rows)]
    before = [BOARD_OVER, foot_nip("board"), tell("Keep the outside towards you, and work towards the {forward}."),
              tell("Below the board numbers run backwards: after {spoke} 1 comes {n}, then {m}.",
                   n=bench.design.foot_ends, m=bench.design.foot_ends - 1)]  # fmt: skip
    out[0].does[:0] = ahead(*sentences(*before))
    out[-1].does += afterwards(*sentences(*(tell(line) for line in (FOOT_DRAWN_CLOSE, *board_foot_trim()))))
    _foot_done(bench, out[-1], moves)
    return out


def _foot_row(bench: Bench, row: list[int], at: int, rows: int) -> Draft:
    """One row of a foot border below a board: its first moves, its middle, its close."""
    tale, one = Narration(bench.plan, bench.laid, bench.order), bench.tell("{spoke}")
    draft = Draft("The board", f"The foot, row {at + 1}" if rows > 1 else "The foot", "board", first=row[0],
                  beyond=row[-1] + 1)  # fmt: skip
    ends, border = bench.design.foot_ends, bench.design.base.foot
    assert border is not None, "a board has a foot border"
    found = {m: goes_under(border, ends, int(bench.order.end[m]), at) for m in row}
    below = {m: comes_below(border, ends, int(bench.order.end[m]), at) for m in row if not any(found.values())}
    told, closing = row[:3], [m for m in row if found[m] or below.get(m)]
    middle = [m for m in row if m not in told and m not in closing]
    under = {each for m in closing for each in found[m] or below[m]}
    lifted = [-each % ends + 1 for each in sorted(under)]
    if at:
        draft.does += ahead(bench.tell("Go round once more, from {spoke} 1 on; every {spoke} lies outside now."),
                            bench.tell("A bent {spoke} counts where it comes out of the board."))
    if lifted:
        draft.does += ahead(f"Leave {numbers(lifted, one, f'{one}s')} loose enough to lift.")
    draft.does += sentences(*(border_move(tale, m) for m in told))
    if middle:
        first, last = (-int(bench.order.end[m]) % ends + 1 for m in (middle[0], middle[-1]))
        draft.does.append(f"Do the same with {one} {first}, and so on back to {one} {last}." if first != last else
                          f"Do the same with {one} {first}.")  # fmt: skip
    for m in (m for m in closing if m not in told):
        lies = [-each % ends + 1 for each in sorted(found[m] or below[m])]
        draft.does.append(lifted_told(lies, one, f"{one}s"))
        draft.does += sentences(border_move(tale, m, lifting=False))
    draft.looks = [f"Every {one} lies outside, like the one before it."]
    draft.slips = [Slip("There is a gap in the row.", f"A {one} was passed by. Go back to it.")]
    about = "The board turned over, from outside, the foot below it pointing up."
    draft.drawings = [Drawing(told[0], told[-1] + 1, f"The first {several(len(told), 'move')}, the board turned over.",
                              about, "near", "none")]  # fmt: skip
    draft.drawings.append(Drawing(row[-1], row[-1] + 1, "The last move.", about, "near", "none"))
    return draft


def _foot_done(bench: Bench, draft: Draft, moves: list[int]) -> Draft:
    draft.looks = ["The foot lies close below the board, and the tray stands level on it."]
    draft.slips = [Slip("The tray rocks on its foot.", "Press the foot down where it is high, and trim long tips.")]
    if not draft.drawings:
        about = bench.tell("The board with its {spokes} in their holes and the short ends worked below it.")
        draft.drawings = [Drawing(moves[0], moves[-1] + 1, "The foot is worked.", about, "whole", "none", False)]
    return draft


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
    number = f" (handle {each.index + 1})" if len(design.handles) > 1 else ""
    into = _of_handle(bench, each, f"Put in {which}{number}", arch.push[0], arch.wrap)
    into.does = ahead(*sentences(*prepare_lines(each, _soaked(each)),
                                 *set_in_lines(design, each, _feet_told(bench, each, 0), 1)))  # fmt: skip
    into.bundles = _bundles_of(bench, each.handle.core)
    into.drawings = [_foot_drawn(bench, each, arch.push[0]), _done(into)]
    into.minutes = feet_s / 60
    wrap = _of_handle(bench, each, f"Wrap {which}{number}", arch.wrap, arch.fasten + 1)
    wrap.does = ahead(*sentences(*cover_lines(design, each), TRIED))
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


def seat(bench: Bench, _job: Job) -> list[Draft]:
    """Trying the lid on."""
    assert bench.plan.seat is not None, "it has this job"
    part = bench.part("fit")
    lines = sentences("If they have dried, dip basket and lid.", *seat_lines(bench.design, bench.plan.seat))
    draft = Draft("The lid", "Fit the lid", "fit", ahead(*lines), first=part.first, beyond=part.beyond)
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


def _border_trimmed(bench: Bench) -> list[str | Due]:
    """Where the border is trimmed, and how long its tips stay."""
    tell, border = bench.tell, bench.design.border
    slant = [SLANT] if bench.laid.side else []
    if border.is_open:
        return [
            *how(*slant),
            tell("Push all arches down to one height, {high} {above} the last row.",
                 high=bench.long(bench.laid.border_height_mm)),
            tell("Leave the tips where they are pushed in, each on the {back} of its {spoke}."),
        ]
    return [AWAY, *how(
        tell("Go round the {border} on {side}, from {spoke} 1 on.", side=tell(f"{{the {trimmed_on(border)}}}")),
        tell("Cut each tip on the slant, {long} past the last {spoke} it passed.", long=tip_long(bench)),
        *slant,
    )]  # fmt: skip


def _tails_cut(bench: Bench) -> list[str]:
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
    other = [f"On the floor it is {base[0]}."] if walled and base != side else []
    reach = ["Reach those on the floor through the mouth, with the points of the side cutters."] if walled else []
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
            out.append(f"In band {at + 1} tails lie behind whole groups.")
        out += _each_cut("Cut first tails behind the middle of a group", "group", first)
        out += _each_cut("Cut last tails where they went in", "group space", last)
    return out


def _each_cut(how: str, one: str, found: dict[int, int]) -> list[str]:
    """How tails are cut, and at which `one` (a group or its space) that of each weaver, from 0; of many, how alone."""
    told = [f"weaver {weaver + 1} at {one} {found[weaver]}" for weaver in sorted(found)]
    if len(told) > 2:
        return [f"{how}."]
    return [f"{how}: {', '.join(told)}."] if told else []


def tails_cut(bench: Bench) -> tuple[Tail, ...]:
    """One tail of each kind on the wall, as its band has it: of the last band that ends its weavers and sets them in
    anew, and of a join."""
    order, out = bench.order, []
    single = [band for band in bench.laid.side if band.band.group == 1 and not band.band.blocks]
    for band in single[-1:]:
        at, part = bench.laid.bands.index(band) + 1, bench.part("side", band.index)
        for kind, verb, act in (("ended", "ended", "end"), ("set in", "set in", "set in")):
            for m in bench.acts(part, act)[:1]:
                held = order.tail_behind(m)[0] + 1 if act == "end" else (int(order.space[m]) - 1) % band.spaces + 1
                which = bench.numbered(band, int(order.weaver[m]))
                out.append(Tail(kind, f"{verb}: {which}, band {at}", held, band.spaces))
    joined = next((band for band in single[::-1] if joins_of(bench, band)), None)
    if joined is not None:
        at, (row, spoke, _) = bench.laid.bands.index(joined) + 1, joins_of(bench, joined)[0]
        out.append(Tail("joined", f"joined: row {row}, band {at}", spoke, joined.spaces))
    return tuple(out)


def trim(bench: Bench, _job: Job) -> list[Draft]:
    """The tails that weavers left, then the tips of the border."""
    tell, part, design = bench.tell, bench.part("trim"), bench.design
    dry = ahead("Let the basket dry until it no longer drips or feels cold.", "Wear glasses: cut tips fly.")
    all_s = seconds_of(bench.plan.time, "trim")
    tips = 0 if design.border.is_open else design.top_ends * len(design.top_reeds)
    tips_s = min(all_s, tips * bench.laid.design.pace.trim_seconds)
    cut, tails, out = _tails_cut(bench), tails_cut(bench), []
    if cut:
        draft = Draft(tell("The {border}"), "Trim the weavers' tails", "trim", first=part.first, beyond=part.first)
        slant = how(SLANT) if bench.laid.side else []
        draft.does = [*dry, AWAY, *sentences(tell(TRIM)), *slant, *how(*cut)]
        draft.looks = ["No tail stands out, and none has slipped in front of what held it."]
        draft.slips = [Slip("A tail slips out.", "It was cut too short. Push a scrap in beside it.")]
        if tails:
            each = "; ".join(tell(f"{tail.name}: behind {{spoke}} {tail.held}") for tail in tails)
            draft.drawings = [Drawing(part.first, part.first, "Where tails are cut, the wall looked at from above.",
                                      f"The wall cut across, inside above. {each}; the rest is cut off.", "tails",
                                      "none", False, tails=tails)]  # fmt: skip
        draft.minutes = (all_s - tips_s) / 60
        out.append(draft)
    draft = Draft(tell("The {border}"), tell("Trim the {border}"), "trim", first=part.first, beyond=part.beyond)
    draft.minutes = (tips_s if cut else all_s) / 60
    draft.does = [*([] if cut else dry), *_border_trimmed(bench)]
    if not bench.plan.handles:  # else spokes are counted once more
        draft.does += afterwards(tell("Take the thread off {spoke} 1."))
    draft.looks = ["No tip catches a finger; none is so short that it slips out."]
    draft.slips = [Slip("A tip slips out.", "It was cut too short. Push a scrap in beside it.")]
    about = tell("The top of the basket from inside: no tail is longer than half-way to the next {spoke}.")
    told = "Trimmed, from inside: small ovals are cut tails."
    if not bench.laid.side:
        told = "Trimmed, seen from the far side."
        about = "The edge from the far side: no tail stands out."
    draft.drawings = [Drawing(part.beyond - 1, part.beyond, told, about, "inside", "none", False)]
    return [*out, draft]
