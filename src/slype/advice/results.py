"""Every distinct result of one band: over neighbouring counts of ends, orders of its colours, and starts.

Two results are the same when turning the basket makes one the other. So an order of the colours counts once for every
look it gives, orders that differ only in which weaver starts count as one, and where the band starts matters only
against the coloured band next to it.

Theory of starts: let the look repeat every p spaces round the basket and its neighbour's edge every q. Turned together
by q the neighbour is as it was and the band has moved on by q; so starts p or q apart give one result, and there are
gcd(p, q) of them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import islice
from typing import Any

from ..design.counts import check_counts
from ..design.values import Band, Blocks, Design, Spokes
from ..errors import DesignError, SlypeError
from ..form.tiers import FEWEST_ENDS, MOST_ENDS
from ..lay.laying import lay
from ..lay.values import TIGHTEST_RATIO, BandLaid, Laid
from ..weave.counts import CountLine, line_of, orders_of
from ..weave.effects import Effect, weaver_colours, with_blocks
from ..weave.swaps import best_shift
from ..weave.trace import cells, trace
from ..words import listed, say, several

MOST_STARTS = 6
"""Where more starts than this differ, nothing lines up with anything, and only the band's own start is offered."""

Columns = tuple[tuple, ...]  # for every space round, what is seen there row by row


@dataclass(frozen=True, eq=False)
class Sample:
    """What a picture of an option is drawn from: the basket `laid` cut down to this band and the coloured one that it
    stands on or that stands on it, from the lower up; `band` says which of the two it is."""

    laid: Laid
    band: int


@dataclass(frozen=True, eq=False)
class Option:
    """One result. `ends` standing ends where the band is worked; `colours` and `start` (from 1) as the file has them;
    `effect` outside, and in `words` for the design's hand.

    `holds` False where the wall would fall open, and `why` its reason, or what the count does; `spoils` a sentence
    where the change of ends would hurt the rest of the design, else "". `changes` are what to set in the design file:
    `{"set": [path], "to": value}`, bands counted from 0. `is_current` for the design as it is.
    """

    ends: int
    colours: tuple[str, ...]
    start: int
    effect: Effect
    words: str
    holds: bool
    why: str
    spoils: str
    is_current: bool
    changes: tuple[dict[str, object], ...]
    look: Sample


def wall(design: Design, band_index: int, around: int = 4, most: int = 60) -> tuple[Option, ...]:
    """Every distinct result of a band on as many ends as now and up to `around` more or fewer, in order of ends.

    Where there are more than `most`, those on nearer counts are kept, and of each count every order before any other
    start. Raises DesignError where there is no such band, Unweavable where the design itself cannot be woven.
    """
    if not 0 <= band_index < len(design.bands):
        raise DesignError(f"there is no band {band_index + 1}.", design.name, f"It has {len(design.bands)}.")
    now = design.ends_at(band_index)
    lay(design)  # refused here if at all
    found: list[tuple[tuple[int, int, int, int], Option]] = []
    for ends in _counts(design, band_index, around):
        for order, options in enumerate(_on(design, band_index, ends, most)):
            found += [((abs(ends - now), nth > 0, order, nth), option) for nth, option in enumerate(options)]
    kept = sorted(found, key=lambda each: each[0])[:most]
    return tuple(option for _, option in sorted(kept, key=lambda each: (each[1].ends, each[0][2], each[0][3])))


MOST_ORDERS = 12
CHECK_ROWS = (2, 3, 4, 6, 8)
"""Heights of checks that are offered, in rows (common practice, no source)."""


def checks(design: Design, band_index: int, around: int = 4) -> tuple[Option, ...]:
    """Checks that the band can show: its colours in upright lines that change places every few rows.

    On as many ends as now, or where none of its orders stands in lines there on the nearest count that holds and spoils
    nothing. Raises as `wall` does.
    """
    band, now = design.bands[band_index], design.ends_at(band_index)
    plain = replace_band(design, band_index, blocks=None)
    lines: list[Option] = []
    for ends in sorted(_counts(design, band_index, around), key=lambda count: (abs(count - now), count)):
        found = [starts[0] for starts in _on(plain, band_index, ends, MOST_ORDERS)]
        lines = [each for each in found if each.effect.effect == "upright lines" and each.holds and not each.spoils]
        if lines:
            break
    out = []
    for line in lines:
        spaces = band.spaces(line.ends)
        shift = best_shift(weaver_colours(band.weave, spaces, line.colours, band.strands))
        checked = [_checked(design, band_index, line, Blocks(rows, shift)) for rows in CHECK_ROWS if shift]
        out += [option for option in checked if option is not None]
    return tuple(out)


def _counts(design: Design, index: int, around: int) -> range:
    """Counts of ends where a band is worked, as now and up to `around` more or fewer, that a basket may have."""
    band, now = design.bands[index], design.ends_at(index)
    key = _ends_key(design, band)
    more = now - (design.spokes.ends_at_base if key == "base_ends" else design.spokes.ends)  # added on the way
    most = MOST_ENDS - (design.top_ends - now if key == "ends" else 0)
    return range(max(FEWEST_ENDS + more, now - around), min(most, now + around) + 1)


def _checked(design: Design, index: int, line: Option, blocks: Blocks) -> Option | None:
    """The line's order of colours in blocks; None where the band is too low for two of them."""
    band = design.bands[index]
    changed = replace_band(
        _with_ends(design, index, line.ends), index, colours=line.colours, start=line.start - 1, blocks=blocks
    )
    try:
        laid = lay(changed)
    except SlypeError:
        return None
    mine = laid.bands[index]
    if mine.rows < 2 * blocks.rows:
        return None
    effect = with_blocks(line.effect, blocks.rows, blocks.shift)
    changes = _changes(design, index, line.ends, line.colours, line.start - 1)
    if blocks != band.blocks:
        to = {"rows": blocks.rows, "shift": blocks.shift}
        changes = (*changes, {"set": ["band", index, "blocks"], "to": to})
    return replace(
        line,
        effect=effect,
        words=effect.words(design.hand),
        is_current=not changes,
        changes=changes,
        look=Sample(replace(laid, bands=(mine,)), 0),
    )


def _on(design: Design, index: int, ends: int, most: int) -> list[list[Option]]:
    """The results on one count of ends: for every order that looks different, its starts."""
    band = design.bands[index]
    changed = _with_ends(design, index, ends)
    spaces = band.spaces(ends)
    changed = replace_band(changed, index, start=band.start % spaces)
    spoils = "" if ends == design.ends_at(index) else _spoils(design, changed, index)
    try:
        laid = lay(changed)
    except SlypeError:  # another band stops the whole: this one is looked at by itself
        by_itself = replace(changed.bands[index], add=0, on_curves=False)
        spokes = _counted(changed.spokes, _ends_key(changed, by_itself), ends)
        alone = replace(changed, bands=(by_itself,), spokes=spokes, bye_spokes=None, foot=None)
        try:
            laid = lay(alone)
        except SlypeError:
            return []
    mine = next(i for i, each in enumerate(laid.bands) if each.index == index) if laid.design is changed else 0
    out, seen = [], set()
    for colours in islice(orders_of(band.colours, band.weave), most):
        line = _line(band.weave, ends, colours, spaces)
        if line.outside is None:
            continue
        columns = columns_of(_recoloured(laid.bands[mine], colours))
        turned = least_turn(columns)
        if turned not in seen:
            seen.add(turned)
            out.append(_starts(design, laid, mine, index, columns, line, spoils))
    return out


def _counted(spokes: Spokes, key: str, ends: int) -> Spokes:
    """The spokes with another count under `key`, "ends" or "base_ends"."""
    count: dict[str, Any] = {key: ends}
    return replace(spokes, **count)


def _starts(
    design: Design, laid: Laid, mine: int, index: int, columns: Columns, line: CountLine, spoils: str
) -> list[Option]:
    """One look with every start that stands differently on the coloured band next to it."""
    band, first = design.bands[index], laid.bands[mine].band.start
    spaces, neighbour = len(columns), _neighbour(laid, mine)
    seen = line.outside
    assert seen is not None, "what cannot be worked was passed over"
    shifts = 1
    if neighbour is not None:
        edge = columns_of(neighbour, slice(-1, None) if neighbour.index < laid.bands[mine].index else slice(0, 1))
        shifts = math.gcd(_repeat(columns), _repeat(edge))
        shifts = shifts if shifts <= MOST_STARTS else 1
    adjacent = neighbour is not None and abs(neighbour.index - laid.bands[mine].index) == 1
    shown = neighbour is not None and (adjacent or seen.effect != "plain")
    out = []
    for shift in range(shifts):
        start = (first + shift) % spaces
        coloured = _recoloured(laid.bands[mine], line.colours, start)
        pair = [coloured]
        if neighbour is not None and shown:
            pair = sorted([neighbour, coloured], key=lambda each: each.index)
        effect = seen
        if band.blocks:
            effect = with_blocks(effect, band.blocks.rows, band.blocks.shift)
        changes = _changes(design, index, line.ends, line.colours, start)
        out.append(
            Option(
                line.ends, line.colours, start + 1, effect, effect.words(design.hand), line.holds, line.why, spoils,
                not changes, changes, Sample(replace(laid, bands=tuple(pair)), pair.index(coloured)),
            )
        )  # fmt: skip
    return out


@lru_cache(maxsize=4096)
def _line(weave, ends: int, colours: tuple[str, ...], spaces: int) -> CountLine:
    return line_of(weave, ends, colours, spaces)


def _neighbour(laid: Laid, mine: int) -> BandLaid | None:
    """The next band below that shows more than one colour, or else the next above, on the same spokes."""
    band = laid.bands[mine]
    for each in (*reversed(laid.bands[:mine]), *laid.bands[mine + 1 :]):
        if each.band.where == band.band.where and each.effect.effect != "plain":
            return each if each.spaces == band.spaces else None
    return None


# Looks ---------------------------------------------------------------------------------------------------------


def _recoloured(band: BandLaid, colours: tuple[str, ...], start: int | None = None) -> BandLaid:
    """The same asked in other colours, or from another start."""
    asked = replace(band.band, colours=colours, start=band.band.start if start is None else start)
    if asked == band.band:
        return band
    return replace(band, band=asked, colours=weaver_colours(asked.weave, band.spaces, colours, asked.strands))


def columns_of(band: BandLaid, rows: slice = slice(None)) -> Columns:
    """Colours seen outside, (spaces,) of (rows,) of strands from the bottom up."""
    found = _cells(band.band.weave, band.spaces, tuple(band.segments))[rows]
    return tuple(
        tuple(tuple(colour for weaver in row[space] for colour in band.colours[weaver]) for row in found)
        for space in range(band.spaces)
    )


@lru_cache(maxsize=256)
def _cells(weave, spaces: int, segments: tuple[tuple[int, int, int], ...]) -> tuple[tuple[tuple[int, ...], ...], ...]:
    """Weavers on the outside of every spoke, row by row."""
    return tuple(
        tuple(tuple(cell) for cell in row)
        for _, rows, start in segments
        for row in cells(trace(weave, spaces, rows, start), front=True)
    )


def least_turn(columns: Columns) -> Columns:
    """The same for all looks that turning the basket makes one."""
    names = {column: i for i, column in enumerate(sorted(set(columns)))}
    numbers = [names[column] for column in columns]
    best = min(range(len(numbers)), key=lambda k: numbers[k:] + numbers[:k])
    return columns[best:] + columns[:best]


def _repeat(columns: Columns) -> int:
    """Spaces after which a look repeats all the way round."""
    return next(n for n in range(1, len(columns) + 1) if columns[n:] + columns[:n] == columns)


# Changes -------------------------------------------------------------------------------------------------------


def _ends_key(design: Design, band: Band) -> str:
    return "base_ends" if band.where == "base" and design.spokes.inserted else "ends"


def _with_ends(design: Design, index: int, ends: int) -> Design:
    """The design with so many ends where a band is worked: as many are added on the way as before."""
    key, spokes = _ends_key(design, design.bands[index]), design.spokes
    begun = (spokes.ends_at_base if key == "base_ends" else spokes.ends) + ends - design.ends_at(index)
    return replace(design, spokes=_counted(spokes, key, begun))


def replace_band(design: Design, index: int, **given) -> Design:
    """The design with some values of one band changed."""
    bands = list(design.bands)
    bands[index] = replace(bands[index], **given)
    return replace(design, bands=tuple(bands))


def _changes(design: Design, index: int, ends: int, colours: tuple[str, ...], start: int) -> tuple[dict, ...]:
    band, out = design.bands[index], []
    if ends != design.ends_at(index):
        begun = getattr(_with_ends(design, index, ends).spokes, _ends_key(design, band))
        out.append({"set": ["spokes", _ends_key(design, band)], "to": begun})
    if colours != band.colours:
        out.append({"set": ["band", index, "colours"], "to": list(colours)})
    if start != band.start:
        out.append({"set": ["band", index, "start"], "to": start + 1})
    return tuple(out)


def _spoils(before: Design, changed: Design, index: int) -> str:
    """What another count of ends does to the rest of the design, the worst first; "" where nothing."""
    ends = changed.ends_at(index)
    try:
        check_counts(changed)
        now, was = lay(changed), lay(before)
    except SlypeError as trouble:
        return f"With {several(ends, 'end')}: {trouble.where + ': ' if trouble.where else ''}{trouble.message}"
    sentences = []
    for band, old in zip(now.bands, was.bands, strict=True):
        name = f"band {band.index + 1} ({band.band.weave.named(changed.wording)})"
        if band.index != index and old.locked and not band.locked:
            sentences.append(f"{name} falls open")
        elif float(band.ratio.max()) >= TIGHTEST_RATIO > float(old.ratio.max()):
            sentences.append(say("{spokes} stand too close for ", changed.wording) + name)
    if changed.top_ends < changed.border.smallest_ends <= before.top_ends:
        sentences.append(say("the {border} needs {n} ends", changed.wording, n=changed.border.smallest_ends))
    return f"With {several(ends, 'end')}, {listed(sentences)}." if sentences else ""


# In words ------------------------------------------------------------------------------------------------------


def in_words(design: Design, options: tuple[Option, ...]) -> list[str]:
    """The wall for those who cannot see it: one line for each option, in the same order."""
    out = []
    for option in options:
        now = " (as it is now)" if option.is_current else ""
        colours = ", ".join(option.colours if len(set(option.colours)) > 1 else option.colours[:1])
        trouble = "" if option.holds else f" Not to be used: {option.why}."
        more = f" {option.spoils}" if option.spoils else ""
        out.append(
            f"{several(option.ends, 'end')}, {colours}, from space {option.start}{now}: {option.words}.{trouble}{more}"
        )
    return out
