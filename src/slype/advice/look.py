"""Advice on looks: cover, shape, firm rows, colours."""

from __future__ import annotations

import math

from ..colour import EYES, delta_e_2000, hard_to_tell_apart, hex_of, lab_from_rgb, rgb_of
from ..lay.laying import Laid
from .book import band_name, rule, shown
from .remedies import changes_found, firm_band, set_change, set_to

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
    "on the {face} the weavers cover {cover:.0%} of each {spoke}; the rest of it shows.",
    "Packed rows lie one thickness apart at every crossing, and only some of the strands lie on each face.",
    "Stain the {spokes} to match, or use a wale where they should not show.",
    "derived",
)
def _cover(laid, joins):
    for band in laid.side:
        for face, cover in zip(("outside", "inside"), band.cover, strict=True):
            if cover < COVERED and face == "outside":
                yield band_name(band), {"face": face, "cover": cover}


@rule(
    "woven height against wall",
    "warn",
    "the side bands stand {woven} high along the wall, the wall is {wall} long ({off:+.0%}).",
    "Spoke lengths follow what is woven; the drawn wall only shapes it.",
    "Change the rows to about {rows} in {band}, or move the last point of the wall.",
    "derived",
    set_to("rows", "band", "{index}", "rows"),
)
def _wall(laid, joins):
    wall = laid.design.form.wall_mm
    off = laid.top_s / wall - 1
    if laid.side and abs(off) > WALL_SLACK:
        tall = max(laid.side, key=lambda band: band.height_mm)
        yield (
            "wall",
            {
                "woven": shown(laid.design, laid.top_s),
                "wall": shown(laid.design, wall),
                "off": off,
                "rows": max(1, tall.rows - round((laid.top_s - wall) / tall.pitch_mm)),
                "band": band_name(tall),
                "index": tall.index,
            },
        )


@rule(
    "base bands against base",
    "warn",
    "the base bands end at {reached} across, the base is {base}.",
    "The side is reckoned from the size of the base.",
    "Say {until} in the last base band, or change the base.",
    "derived",
    changes_found,
)
def _base(laid, joins):
    wide = laid.design.form.base_width_mm  # of an oval `until` is the width
    if not laid.base or abs(laid.base_reached_mm - wide) <= max(6.0, laid.base[-1].pitch_mm * 1.5):
        return
    last, base = laid.base[-1], shown(laid.design, wide)
    key, to = "until", base
    if last.band.until_mm is not None and abs(last.band.until_mm - wide) < WALL_STEP_MM:
        # It says so already, and its reeds at rest lie closer or wider than rows simply stacked.
        key, to = "rows", max(1, last.rows + round((wide - laid.base_reached_mm) / 2 / last.pitch_mm))
    yield (
        "base",
        {
            "reached": shown(laid.design, laid.base_reached_mm),
            "base": base,
            "until": f'{key} = "{to}"' if key == "until" else f"{key} = {to}",
            "changes": (set_change("band", last.index, key, to=to),),
        },
    )


@rule(
    "wall begins away from the base",
    "warn",
    "the wall begins {start} across, the base is {base} across.",
    "The {spokes} turn up at the edge of the base, so the wall should begin there.",
    'Give the first point of the wall as ["0 in", "{base}"], or change the base.',
    "derived",
    changes_found,
)
def _wall_start(laid, joins):
    form = laid.design.form
    if laid.side and not laid.design.base.is_board and abs(form.wall[0][1] - form.base_mm) > WALL_STEP_MM:
        show = laid.design
        base = shown(show, form.base_mm)
        changes = (set_change("form", "wall", 0, to=["0 in", base]),) if form.is_round else ()
        yield "wall", {"start": shown(show, form.wall[0][1]), "base": base, "changes": changes}


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
    "Begin the side with two or three rows of three-rod wale.",
    "gill",
    changes_found,
)
def _upsett(laid, joins):
    if laid.side and not laid.side[0].band.weave.is_wale:
        yield band_name(laid.side[0]), {"changes": _firm(laid, 0, 3)}


def _firm(laid: Laid, at: int, rows: int) -> tuple[dict[str, object], ...]:
    """The change that puts rows of three-rod wale before the first side band (`at` 0) or after the last (-1)."""
    beside = laid.side[at]
    band = firm_band(beside.band.reed, rows, beside.ends)
    return ({"insert": ["band"], "at": beside.index - at, "value": band},) if band else ()


@rule(
    "no firm row under the border",
    "note",
    "the last row before the {border} is not a wale.",
    "A row or two of wale keeps the weave from spreading while the {border} is drawn tight.",
    "Add a row of three-rod wale.",
    "practice",
    changes_found,
)
def _last_row(laid, joins):
    if laid.side and not laid.design.border.is_open and not laid.side[-1].band.weave.is_wale:
        yield band_name(laid.side[-1]), {"changes": _firm(laid, -1, 1)}


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
    "{a} and {b} differ by only {delta:.1f} (CIEDE2000).",
    "Wet {reed} is darker and closer still in {colour}.",
    "Choose {colours} further apart.",
    "sharma",
)
def _close_colours(laid, joins):
    for band, a, b, plain, _ in _colour_pairs(laid):
        if plain < CLOSE_COLOUR:
            yield band_name(band), {"a": a, "b": b, "delta": plain}


@rule(
    "colours alike to some eyes",
    "note",
    "{a} and {b} differ by only {delta:.1f} (CIEDE2000) to {eyes}.",
    "About one man in twelve sees some {colours} as one (figure from memory).",
    "Mark the bundles with a tag or knot, or choose a lighter and a darker {colour}.",
    "machado",
)
def _blind_colours(laid, joins):
    for band, a, b, plain, closeness in _colour_pairs(laid):
        if plain >= CLOSE_COLOUR and closeness.delta_e < CLOSE_FOR_SOME:
            yield band_name(band), {"a": a, "b": b, "delta": closeness.delta_e, "eyes": EYES[closeness.eyes]}


TWIST_ROWS = 6
"""Rows of turn-taking strokes all one way from which an oval base winds (common practice, no source)."""


@rule(
    "oval base winds",
    "warn",
    "{rows} rows of the base are twisted all one way; on a long base that winds it like a propeller.",
    "Pairing and wales twist; round a circle the twist has nowhere to go, along straight sides it turns the ends up.",
    "Weave half of these rows reversed ({other}{like}), or with a single weaver.",
    "practice",
    set_to("reverse", "band", "{index}", "reverse"),
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
                "like": f'; in band {enough[0] + 1} reverse = "alternate" does so' if enough else "",
                "reverse": "alternate",
                "index": enough[0] if enough else None,
            },
        )


LIGHT, LOOSE_SHARE = 0.1, 0.3
"""Share of a band that light passes through, and of places where its reeds hardly press, from which it is worth saying
(common practice, no source)."""


@rule(
    "light shows",
    "note",
    "light passes through {light:.0%} of this band, at rest and unpacked by hand.",
    "Between rows of two or more weavers the reeds cross and stand apart in every space.",
    "Pack it harder, or weave it with a single weaver or a wale; where light is wanted, leave it.",
    "derived",
)
def _light(laid, joins):
    for band in laid.bands:
        if band.at_rest is not None and band.at_rest.light > LIGHT:
            yield band_name(band), {"light": band.at_rest.light}


@rule(
    "lies loose",
    "note",
    "at {loose:.0%} of the {spokes} it passes, the {reed} of this band hardly presses; most in row {row} at {spoke} "
    "{number}.",
    "Where a weaver passes several {spokes} on one side, only the outer ones hold it: the rows above must.",
    "Pack these rows well, and put a firm row above.",
    "derived",
)
def _loose(laid, joins):
    for band in laid.bands:
        said = band.at_rest
        if said is not None and said.loose > LOOSE_SHARE:
            yield (
                band_name(band),
                {
                    "loose": said.loose,
                    "row": said.loosest.row + 1,
                    "number": said.loosest.spoke + 1,
                },
            )
