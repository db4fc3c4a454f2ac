"""Advice on looks: cover, shape, firm rows, colours."""

from __future__ import annotations

import math
from collections.abc import Iterator

from ..colour import EYES, delta_e_2000, hard_to_tell_apart, hex_of, lab_from_rgb, rgb_of
from ..lay.values import Laid
from ..quantity import show_share
from .book import Offer, band_name, rule, shown
from .remedies import finer_reeds, firm_band, offer, with_rows_left_out

CLOSE_COLOUR, CLOSE_FOR_SOME = 8.0, 8.0
"""CIEDE2000 difference under which dyed reeds are easily mixed up at the bench (common practice, no source)."""
STEEP_FLARE = math.radians(40)
"""Lean, rad, beyond which rows slide up instead of packing (common practice, no source)."""
WALL_SLACK = 0.06
"""Woven height over drawn wall, less one, that nobody minds (common practice, no source)."""
WALL_STEP_MM = 12.7
"""Difference of wall and base, in diameter, that the turn takes up (common practice, no source)."""
COVERED = 0.95
"""Share of a spoke that is covered from which on nobody sees the rest: at rest, reeds of a firm wale leave a fiftieth
between them that stacked ones do not (common practice, no source)."""
LONG_PAIRING = 6
"""Rows of pairing from which closer packing shows on a ruler (common practice, no source)."""


@rule(
    "spokes will show",
    "note",
    "on the {face} the weavers cover {cover} of each {spoke}; the rest of it shows.",
    "Packed rows lie one thickness apart at every crossing, and only some of the strands lie on each face.",
    "Stain the {spokes} to match, or use a wale where they should not show.",
    "derived",
)
def _cover(laid, joins):
    for band in laid.side:
        for face, cover in zip(("outside", "inside"), band.cover, strict=True):
            if cover < COVERED and face == "outside":
                yield band_name(band), {"face": face, "cover": show_share(cover)}


@rule(
    "woven height against wall",
    "warn",
    "the side bands stand {woven} high along the wall, the wall is {wall} long.",
    "Spoke lengths follow what is woven; the drawn wall only shapes it.",
    "Weave {rows}, or move the last point of the wall{to_height}.",
    "derived",
    button=True,
)
def _wall(laid, joins):
    wall = laid.design.form.wall_mm
    off = laid.top_s / wall - 1
    if laid.side and abs(off) > WALL_SLACK:
        offers = []
        for band in sorted(laid.side, key=lambda band: -band.height_mm)[:3]:
            rows = band.rows - round((laid.top_s - wall) / band.pitch_mm)
            block = band.band.blocks.rows if band.band.blocks else 1
            whole = round(rows / block) * block
            for n in dict.fromkeys((whole, rows)):
                if n > 0 and n != band.rows:
                    offers.append(offer("band", band.index, "rows", to=n, rows=f"{n} rows in {band_name(band)}"))
        yield (
            "wall",
            {
                "woven": shown(laid.design, laid.top_s),
                "wall": shown(laid.design, wall),
                "rows": "fewer rows" if off > 0 else "more rows",
                "to_height": "",
                "offers": (*offers, *_wall_as_woven(laid)),
            },
        )


def _wall_as_woven(laid: Laid) -> list[Offer]:
    """The offer to end the wall at the height at which the weaving ends."""
    design, form = laid.design, laid.design.form
    high, (before, _) = float(form.height(laid.top_s)), form.wall[-2]
    if high <= before:
        return []
    told = shown(design, high)
    return [offer("form", "wall", len(form.wall) - 1, 0, to=told, to_height=f' to "{told}"')]


@rule(
    "base bands against base",
    "warn",
    "the base bands end at {reached} across, the base is {base}.",
    "The side is reckoned from the size of the base.",
    "Say {until} in the last base band, or change the base.",
    "derived",
    button=True,
)
def _base(laid, joins):
    wide = laid.design.form.base_width_mm  # of an oval `until` is the width
    if not laid.base or abs(laid.base_reached_mm - wide) <= max(6.0, laid.base[-1].pitch_mm * 1.5):
        return
    last, base = laid.base[-1], shown(laid.design, wide)
    offers = [offer("band", last.index, "until", to=base, until=f'until = "{base}"')]
    rows = last.rows + round((wide - laid.base_reached_mm) / 2 / last.pitch_mm)
    if rows > 0:
        offers.append(offer("band", last.index, "rows", to=rows, until=f"rows = {rows}"))
    yield (
        "base",
        {
            "reached": shown(laid.design, laid.base_reached_mm),
            "base": base,
            "until": f'until = "{base}"',
            "offers": tuple(offers),
        },
    )


@rule(
    "no bottom",
    "warn",
    "nothing is woven in the base: between the {spokes} that cross there the basket has no bottom.",
    "The first rows of the base tie the cross and open the {spokes} out; without them the basket holds nothing.",
    "Begin with a base: {how}.",
    "practice",
)
def _bottom(laid, joins):
    design = laid.design
    if not laid.base and laid.side and not design.base.is_board:
        board, wide = 'a board (kind = "board" under [base])', shown(design, design.form.base_width_mm)
        woven = f'bands with where = "base" before the others, the last until = "{wide}", or {board}'
        yield "base", {"how": board if design.form.outline == "rectangle" else woven}


@rule(
    "wall begins away from the base",
    "warn",
    "the wall begins {start} across, the base is {base} across.",
    "The {spokes} turn up at the edge of the base, so the wall should begin there.",
    'Give the first point of the wall as ["0 in", "{base}"], or change the base.',
    "derived",
    button=True,
)
def _wall_start(laid, joins):
    form = laid.design.form
    if laid.side and not laid.design.base.is_board and abs(form.wall[0][1] - form.base_mm) > WALL_STEP_MM:
        show = laid.design
        base = shown(show, form.base_mm)
        offers = (offer("form", "wall", 0, to=["0 in", base]),) if form.is_round else ()
        yield "wall", {"start": shown(show, form.wall[0][1]), "base": base, "offers": offers}


@rule(
    "pairing packs closer",
    "note",
    "{rows} rows of {weave} are reckoned {height} high; packed hard they may stand up to an eighth lower.",
    "Two weavers cross in every space, and hard rods stand two thicknesses a row there; soaked {reed} flattens a "
    "little under packing, how much is not known.",
    "Measure as you go, and weave a row or two more if the wall is low.",
    "derived",
)
def _pairing(laid, joins):
    for band in laid.side:
        weave = band.band.weave
        if weave.turns == "stroke" and weave.weavers == 2 and band.rows >= LONG_PAIRING:
            height = shown(laid.design, band.height_mm)
            yield band_name(band), {"rows": band.rows, "weave": weave.name, "height": height}


@rule(
    "steep flare",
    "warn",
    "the wall leans {angle:.0f} degrees outward near the {place}.",
    "Rows slide up a steep flare and will not pack.",
    "Flare less, or weave that part as base.",
    "practice",
)
def _flare(laid, joins):
    for place, s in (("base", 0.0), ("mouth", laid.top_s)):
        lean = laid.design.form.lean(s)
        if lean > STEEP_FLARE:
            yield "wall", {"angle": math.degrees(lean), "place": place}


@rule(
    "no upsett",
    "warn",
    "the side does not begin with a wale.",
    "The first rows after the turn must hold every {spoke} upright; a wale of three or four weavers does.",
    "Begin the side with {rows} of three-rod wale{like}{also}.",
    "gill",
    button=True,
)
def _upsett(laid, joins):
    if laid.side and not laid.side[0].band.weave.is_wale:
        yield (
            band_name(laid.side[0]),
            {
                **{"rows": "two or three rows", "like": "", "also": ""},
                "offers": lambda: _firm(laid, 0, 3),
            },
        )


def _firm(laid: Laid, at: int, rows: int) -> Iterator[Offer]:
    """Offers to put rows of three-rod wale before the first side band (`at` 0) or after the last (-1), of that band's
    reed or of finer, so that the {spokes} are not finer than their weavers."""
    beside = laid.side[at]
    units, stand = laid.design.units, max(beside.stand_mm)
    own = beside.band.reed
    for reed in [own, *finer_reeds(own, 0.95 * stand, units)[:3]]:
        for many in dict.fromkeys((rows, max(1, rows - 1))):
            band = firm_band(reed, many, beside.ends)
            if band:
                told = "a row" if many == 1 else f"{many} rows"
                words = {"rows": told, "like": f" ({reed.key})" if reed.key else "", "also": ""}
                put_in = {"insert": ["band"], "at": beside.index - at, "value": band}
                yield from with_rows_left_out(laid, put_in, reed, many, **words)


@rule(
    "no firm row under the border",
    "note",
    "the last row before the {border} is not a wale.",
    "A row or two of wale keeps the weave from spreading while the {border} is drawn tight.",
    "Add {rows} of three-rod wale{like}{also}.",
    "practice",
    button=True,
)
def _last_row(laid, joins):
    if laid.side and not laid.design.border.is_open and not laid.side[-1].band.weave.is_wale:
        yield (
            band_name(laid.side[-1]),
            {
                **{"rows": "a row", "like": "", "also": ""},
                "offers": lambda: _firm(laid, -1, 1),
            },
        )


def _colour_pairs(laid: Laid):
    for band in laid.bands:
        names = list(dict.fromkeys(band.band.colours))
        for i, a in enumerate(names):
            for b in names[i + 1 :]:
                pair = [laid.design.palette.get(c) or hex_of(c) for c in (a, b)]
                plain = delta_e_2000(*(lab_from_rgb(rgb_of(colour)) for colour in pair))
                yield band, a, b, plain, hard_to_tell_apart(*pair)


@rule(
    "colours hard to tell apart",
    "warn",
    "{a} and {b} are hard to tell apart: they differ by {delta:.1f}, where 1 is just seen side by side "
    "and {most:.0f} is easily told at the bench.",
    "Wet {reed} is darker and closer still in {colour}.",
    "Choose {colours} further apart.",
    "sharma",
)
def _close_colours(laid, joins):
    for band, a, b, plain, _ in _colour_pairs(laid):
        if plain < CLOSE_COLOUR:
            yield band_name(band), {"a": a, "b": b, "delta": plain, "most": CLOSE_COLOUR}


@rule(
    "colours alike to some eyes",
    "note",
    "{a} and {b} are hard to tell apart for {eyes}: they differ by {delta:.1f}, where {most:.0f} is easily told.",
    "About one man in twelve sees some {colours} as one (figure from memory).",
    "Mark the bundles with a tag or knot, or choose a lighter and a darker {colour}.",
    "machado",
)
def _blind_colours(laid, joins):
    for band, a, b, plain, closeness in _colour_pairs(laid):
        if plain >= CLOSE_COLOUR and closeness.delta_e < CLOSE_FOR_SOME:
            yield (
                band_name(band),
                {"a": a, "b": b, "delta": closeness.delta_e, "most": CLOSE_FOR_SOME, "eyes": EYES[closeness.eyes]},
            )


TWIST_ROWS = 6
"""Rows of turn-taking strokes all one way from which an oval base winds (common practice, no source)."""


@rule(
    "oval base winds",
    "warn",
    "{rows} rows of the base are twisted all one way; on a long base that winds it like a propeller.",
    "Pairing and wales twist; round a circle the twist has nowhere to go, along straight sides it turns the ends up.",
    "Weave half of these rows reversed ({other}{like}), or with a single weaver.",
    "practice",
    button=True,
)
def _winds(laid, joins):
    if laid.design.form.is_round:
        return
    twists = {}
    for band in laid.base:
        weave = band.band.weave
        if weave.turns == "stroke":
            ways = [weave.reverse[row % len(weave.reverse)] for row in range(band.rows)]
            twists[band.index] = len(ways) - 2 * sum(ways)
    twist = sum(twists.values())
    if abs(twist) >= TWIST_ROWS:
        # Every second row of one band laid the other way takes its whole twist out.
        enough = [i for i, mine in twists.items() if abs(twist - mine) + 1 < TWIST_ROWS]
        yield (
            "base",
            {
                "rows": abs(twist),
                "other": "reverse pairing" if twist > 0 else "pairing",
                "like": "",
                "offers": tuple(
                    offer("band", i, "reverse", to="alternate", like=f'; in band {i + 1} reverse = "alternate" does so')
                    for i in enough
                ),
            },
        )


RULES = (
    _cover,
    _wall,
    _base,
    _bottom,
    _wall_start,
    _pairing,
    _flare,
    _upsett,
    _last_row,
    _close_colours,
    _blind_colours,
    _winds,
)
