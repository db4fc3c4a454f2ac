"""Rules of advice: what to watch out for, each with its number, its reason and a remedy. Level 6.

One record per rule in `RULES`. A rule's `look` yields what it finds as (where, values); its texts are filled with those
values and with the words of the chosen wording. "stop" means that no hands could weave it; "warn" that it will likely
disappoint; "note" that it is worth knowing.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from . import rods
from .border import crossings
from .colour import EYES, hard_to_tell_apart, hex_of
from .design import Design
from .errors import Unweavable
from .joins import JoinPlan, at_start_line, meeting
from .lay import TIGHTEST_RATIO, BandLaid, Laid
from .quantity import show_length
from .strokes import locked, trace
from .words import several

SPACING_MM = (12.7, 24.0)
"""Spacing of ends at the base's edge in Gill's and Shaw's baskets, 1/2 to 15/16 inch (source id: derived)."""
MOUTH_MM = 32.0
"""Beyond this the border's ends span too far to lie firm (common practice, no source)."""
WRAP_RATIO = 0.66
"""D/p from which a springy weaver must wrap round the spoke (derived from the bent rod)."""
EASY_BEND, HARD_BEND = 0.10, 0.25
"""Nominal bending strain r/R. Ordinary weaving reaches 0.10 to 0.25 and no published limit for soaked reed was found,
so these only compare a bend with what makers do daily (common practice, no source)."""
CLOSE_COLOUR, CLOSE_FOR_SOME = 8.0, 8.0
"""CIEDE2000 difference under which dyed reeds are easily mixed up at the bench (common practice, no source)."""
LONG_DAY_S = 6 * 3600.0
STEEP_FLARE = math.radians(40)
WALL_SLACK = 0.06


@dataclass(frozen=True)
class Rule:
    """One rule. `weight` stop, warn or note; `message`, `why` and `remedy` are templates for `words.say`."""

    key: str
    weight: str
    message: str
    why: str
    remedy: str
    source: str
    look: Callable[[Laid, tuple[JoinPlan, ...]], Iterator[tuple[str, dict[str, object]]]]


@dataclass(frozen=True)
class Finding:
    """A rule met in a design, `where`, its sentences filled in for the design's wording."""

    rule: Rule
    where: str
    message: str
    why: str
    remedy: str

    def as_json(self) -> dict[str, str]:
        """The promised form."""
        return {
            "rule": self.rule.key,
            "weight": self.rule.weight,
            "where": self.where,
            "message": self.message,
            "remedy": self.remedy,
            "why": self.why,
            "source": self.rule.source,
        }


RULES: dict[str, Rule] = {}


def rule(key: str, weight: str, message: str, why: str, remedy: str, source: str):
    """Register the decorated search as a rule."""

    def register(look):
        RULES[key] = Rule(key, weight, message, why, remedy, source, look)
        return look

    return register


def advise(laid: Laid, joins: tuple[JoinPlan, ...]) -> list[Finding]:
    """Everything the rules find, the gravest first, in order of work."""
    from .words import say

    design = laid.design
    out = []
    for each in RULES.values():
        for where, values in each.look(laid, joins):
            message, why, remedy = (
                say(text, design.wording, design.hand, **values) for text in (each.message, each.why, each.remedy)
            )
            out.append(Finding(each, where, message[:1].upper() + message[1:], why, remedy[:1].upper() + remedy[1:]))
    return sorted(out, key=lambda found: ("stop", "warn", "note").index(found.rule.weight))


def must_stop(findings: tuple[Finding, ...] | list[Finding]) -> Finding | None:
    """The first finding that makes the design unweavable."""
    return next((found for found in findings if found.rule.weight == "stop"), None)


def band_name(band: BandLaid) -> str:
    """`band 3 (pairing)`."""
    return f"band {band.index + 1} ({band.band.weave.name})"


def _show(design: Design, mm: float) -> str:
    return show_length(mm, design.units, 16)


# Weave against count -------------------------------------------------------------------------------------------


def counts_that_lock(band: BandLaid, near: int, most: int = 4) -> list[int]:
    """Counts nearest to `near` on which the band's weave holds every spoke on both sides."""
    good = []
    for count in sorted(range(max(3, near - 12), near + 13), key=lambda n: (abs(n - near), n)):
        try:
            if locked(trace(band.band.weave, count, 2 * band.band.weave.reach)):
                good.append(count)
        except Unweavable:
            continue
        if len(good) == most:
            break
    return sorted(good)


@rule(
    "weave does not lock",
    "stop",
    "on {count} {spokes}, {weave} passes some of them always on the same side.",
    "A {spoke} that is passed on one side only is not held; the wall falls open.",
    "Use {good} {spokes}, or another weave (two weavers chasing, or pairing).",
    "derived",
)
def _unlocked(laid, joins):
    for band in laid.bands:
        if not band.locked:
            good = ", ".join(map(str, counts_that_lock(band, band.spaces)))
            yield band_name(band), {"count": band.spaces, "weave": band.band.weave.name, "good": good or "more"}


@rule(
    "weaver cannot pass",
    "stop",
    "the {spokes} stand {gap} apart, which leaves no way through for this {reed} (thickness sum over gap {ratio:.2f}).",
    "A weaver must cross from one face to the other between two neighbouring {spokes}.",
    "Use fewer {spokes}, finer {reed}, or begin where the ring is wider.",
    "peirce",
)
def _jammed(laid, joins):
    for band in laid.bands:
        worst = band.ratio.argmax()
        # Over groups a weaver turns at the corners of the cross instead of squeezing between neighbours.
        if band.band.group == 1 and band.ratio[worst] >= TIGHTEST_RATIO:
            yield (
                band_name(band),
                {"gap": _show(laid.design, float(band.spacing[worst])), "ratio": float(band.ratio[worst])},
            )


@rule(
    "border too long for the count",
    "stop",
    "on {ends} {spokes} an end of this {border} comes round to itself; it takes {need} or more.",
    "Each end passes {reach} {spokes} in all and must lie in a new place at every step.",
    "Use a shorter {border} or at least {need} {spokes}.",
    "derived",
)
def _border_count(laid, joins):
    border, ends = laid.design.border, laid.design.spokes.ends
    if ends < border.smallest_ends:
        yield "border", {"ends": ends, "need": border.smallest_ends, "reach": border.reach}


@rule(
    "chasing on an odd count",
    "note",
    "{weave} is meant for even counts; on {count} one weaver alone would do.",
    "On an odd count a single weaver already alternates from row to row.",
    "Use randing, or keep it if you want the two {colours} to cross.",
    "gill",
)
def _odd_chase(laid, joins):
    for band in laid.bands:
        if band.band.weave.name == "chasing" and band.band.weave.cycle == ((1, 1),) and band.spaces % 2:
            yield band_name(band), {"weave": "chasing", "count": band.spaces}


@rule(
    "colours do not close",
    "warn",
    "{many} {colours} in turn do not go evenly into {count} spaces, so two that should not will meet.",
    "With a weaver in every space the {colour} order must close up round the basket.",
    "Use a count that {many} divides, or another {colour} order.",
    "derived",
)
def _colour_close(laid, joins):
    for band in laid.bands:
        many = len(band.band.colours)
        if band.band.weave.weavers == 0 and many > 1 and band.spaces % many:
            yield band_name(band), {"many": many, "count": band.spaces}


@rule(
    "groups do not come out even",
    "note",
    "{ends} {spokes} do not divide into groups of {group}; {odd} of the {count} groups will hold one more.",
    "Uneven groups open out unevenly.",
    "Choose a group that divides {ends}, or keep the odd one at the half {spoke}.",
    "derived",
)
def _uneven(laid, joins):
    for band in laid.bands:
        ends = laid.design.ends_at(band.band)
        if ends % band.band.group:
            yield (
                band_name(band),
                {"ends": ends, "group": band.band.group, "count": band.spaces, "odd": ends % band.spaces},
            )


@rule(
    "half spoke",
    "note",
    "{ends} is odd, so one half {spoke} is bound into the {cross} beside {full} full ones.",
    "A full {spoke} gives two ends; the odd one comes from a half.",
    "Cut the half one an inch longer than half a full one.",
    "white",
)
def _half(laid, joins):
    spokes = laid.design.spokes
    if spokes.ends_at_base % 2:
        yield "spokes", {"ends": spokes.ends_at_base, "full": spokes.ends_at_base // 2}


@rule(
    "more ends than the base carries",
    "warn",
    "{ends} side {spokes} beside {base} base ends is more than one on each side of every end.",
    "A base end has two sides to push a side {spoke} in beside.",
    "Give the base more sticks, or use {most} side {spokes} at most.",
    "gill",
)
def _too_many_inserted(laid, joins):
    spokes = laid.design.spokes
    if spokes.inserted and spokes.ends > 2 * spokes.base_ends:
        yield "spokes", {"ends": spokes.ends, "base": spokes.base_ends, "most": 2 * spokes.base_ends}


@rule(
    "blocks do not move",
    "warn",
    "starting {shift} spaces further on brings the same {colours} to the same {spokes}.",
    "The {colours} repeat every {period} spaces.",
    "Use a shift that {period} does not divide.",
    "derived",
)
def _idle_blocks(laid, joins):
    for band in laid.bands:
        blocks = band.band.blocks
        if blocks and band.effect.effect == "upright lines" and blocks.shift % band.effect.period == 0:
            yield band_name(band), {"shift": blocks.shift, "period": band.effect.period}


@rule(
    "last block is short",
    "note",
    "{rows} rows do not divide into blocks of {block}; the last block has {left}.",
    "A cut-off block looks like a slip.",
    "Weave {fit} rows.",
    "practice",
)
def _short_block(laid, joins):
    for band in laid.bands:
        blocks = band.band.blocks
        if blocks and band.rows % blocks.rows:
            yield (
                band_name(band),
                {
                    "rows": band.rows,
                    "block": blocks.rows,
                    "left": band.rows % blocks.rows,
                    "fit": max(blocks.rows, round(band.rows / blocks.rows) * blocks.rows),
                },
            )


# Spacing -------------------------------------------------------------------------------------------------------


def _places(laid: Laid) -> dict[str, float]:
    """Spacing of the side's ends, mm, at named places."""
    ends = laid.design.spokes.ends
    rings = {"base edge": laid.design.form.base_mm / 2}
    if laid.side:
        rings["turn"] = float(laid.side[0].radius[0])
        rings["widest"] = max(float(band.radius.max()) for band in laid.side)
    rings["mouth"] = laid.mouth_mm / 2
    return {place: 2 * math.pi * radius / ends for place, radius in rings.items()}


def _spacing_rule(place: str, wide: bool):
    limit = (MOUTH_MM if place == "mouth" else 1.25 * SPACING_MM[1]) if wide else SPACING_MM[0] * 0.8
    if place in ("base edge", "turn"):
        limit = SPACING_MM[1] if wide else SPACING_MM[0] * 0.9
    said = "far apart" if wide else "close"
    remedy = "Use about {better} ends" + (", or add ends." if wide else ", or finer {spokes}.")

    def look(laid, joins):
        spacing = _places(laid).get(place)
        if spacing is not None and (spacing > limit if wide else spacing < limit):
            middle = sum(SPACING_MM) / 2
            better = max(3, round(spacing * laid.design.spokes.ends / middle))
            yield (
                place,
                {
                    "spacing": _show(laid.design, spacing),
                    "low": _show(laid.design, SPACING_MM[0]),
                    "high": _show(laid.design, limit if wide else SPACING_MM[1]),
                    "better": better,
                },
            )

    rule(
        f"{said} at the {place}",
        "warn",
        "the {spokes} stand {spacing} apart at the "
        + place
        + "; "
        + ("up to {high} is handy there." if wide else "{low} to {high} is handy."),
        "Far apart, the weave is slack and the {border} spans too far."
        if wide
        else "Close together, the weavers bend hard and packing is slow.",
        remedy,
        "practice" if place in ("widest", "mouth") and wide else "derived",
    )(look)


for _place in ("base edge", "turn", "widest", "mouth"):
    _spacing_rule(_place, True)
    if _place != "widest":
        _spacing_rule(_place, False)


# Reed ----------------------------------------------------------------------------------------------------------


@rule(
    "spoke finer than weaver",
    "warn",
    "the {spokes} ({spoke_mm:.2f} mm) are not coarser than the weavers ({weaver_mm:.2f} mm).",
    "The weaver should bend round the {spoke}, not the {spoke} round the weaver; {spokes} are usually two numbers so.",
    "Use coarser {spokes} or a finer weaver.",
    "white",
)
def _fine_spokes(laid, joins):
    for band in laid.bands:
        spokes = laid.design.spokes
        stand = (spokes.stick_reed if band.band.where == "base" else spokes.reed).diameter_mm
        # Reeds worked or standing side by side count together: a pair holds against a weaver of one.
        if stand * math.sqrt(spokes.per_end * band.band.group) <= band.band.reed.diameter_mm:
            yield band_name(band), {"spoke_mm": stand, "weaver_mm": band.band.reed.diameter_mm}


@rule(
    "reed jumps",
    "note",
    "the {reed} changes from {a:.2f} to {b:.2f} mm between two neighbouring bands.",
    "A coarse row on fine ones rides up and leaves light.",
    "Put a firm row of a size between.",
    "practice",
)
def _jump(laid, joins):
    for a, b in pairwise(laid.side):
        thin, thick = sorted((a.band.reed.diameter_mm, b.band.reed.diameter_mm))
        if thick > 1.6 * thin:
            yield band_name(b), {"a": a.band.reed.diameter_mm, "b": b.band.reed.diameter_mm}


@rule(
    "weaver wraps the spokes",
    "warn",
    "thickness sum over gap is {ratio:.2f}; from about 0.66 the weaver wraps each {spoke} instead of resting on it.",
    "Reed forced round so short a bend packs badly and may crack.",
    "Fewer {spokes}, a finer weaver, or groups until the ring is wider.",
    "bisshopp",
)
def _wraps(laid, joins):
    for band in laid.bands:
        worst = float(band.ratio.max())
        if band.band.group == 1 and WRAP_RATIO < worst < TIGHTEST_RATIO:
            yield band_name(band), {"ratio": worst}


def bend_of(band: BandLaid) -> tuple[float, float]:
    """(tightest radius mm, nominal strain r/R) of a band's weavers; a true radius waits for the relaxed wall."""
    i = int(band.ratio.argmax())
    ratio = min(float(band.ratio[i]), TIGHTEST_RATIO)
    deep = band.band.reed.diameter_mm / ratio  # only the proportion matters below
    gap = float(band.spacing[i]) if band.band.group == 1 else deep
    radius = rods.tightest_bend(ratio, gap)
    return radius, band.band.reed.diameter_mm / 2 / radius


@rule(
    "hard bend",
    "warn",
    "the weavers bend to a radius of {radius:.1f} mm, a nominal strain of {strain:.0%}.",
    "Ordinary weaving bends {reed} by 10 to 25 %. There is no published limit for soaked {reed}: this only says that "
    "the bend is harder than makers usually ask.",
    "Soak longer, use finer {reed}, or stand the {spokes} wider.",
    "practice",
)
def _hard_bend(laid, joins):
    for band in laid.bands:
        radius, strain = bend_of(band)
        if band.band.group == 1 and strain > HARD_BEND:
            yield band_name(band), {"radius": radius, "strain": strain}


@rule(
    "usual bend",
    "note",
    "the weavers bend to a nominal strain of {strain:.0%}, as in ordinary weaving (10 to 25 %).",
    "No published limit for soaked {reed} was found; rattan stretches plastically when wet.",
    "Keep the {reed} damp while weaving.",
    "gu-zhang",
)
def _usual_bend(laid, joins):
    bends = [(bend_of(band)[1], band) for band in laid.bands if band.band.group == 1]
    if bends:
        strain, band = max(bends, key=lambda pair: pair[0])
        if EASY_BEND < strain <= HARD_BEND:
            yield band_name(band), {"strain": strain}


@rule(
    "border bends hard",
    "warn",
    "in the {border} the {spokes} bend between neighbours {spacing} apart, a nominal strain of {strain:.0%}.",
    "{Spokes} are thicker than weavers and bend less willingly; no published limit for soaked {reed} was found.",
    "Soak the standing ends well, crimp them with round-nosed pliers, or use finer {spokes}.",
    "practice",
)
def _border_bend(laid, joins):
    d = laid.design.spokes.reed.diameter_mm
    ratio = 2 * d / laid.border_spacing_mm
    if not laid.design.border.is_open and crossings(laid.design.border):
        strain = d / 2 / rods.tightest_bend(ratio, laid.border_spacing_mm)
        if strain > HARD_BEND:
            yield "border", {"spacing": _show(laid.design, laid.border_spacing_mm), "strain": strain}


@rule(
    "crimp at the turn",
    "note",
    "the {spokes} turn up through {angle:.0f} degrees at the edge of the base.",
    "A dry {spoke} snaps at a sharp turn.",
    "Soak the ends and nip each {spoke} flat with round-nosed pliers where it turns up.",
    "practice",
)
def _turn(laid, joins):
    if not laid.design.spokes.inserted and laid.side:
        yield "turn", {"angle": 90 - math.degrees(laid.design.form.lean(0.0))}


# Cover and shape -----------------------------------------------------------------------------------------------


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
            if cover < 0.99 and face == "outside":
                yield band_name(band), {"face": face, "cover": cover}


@rule(
    "woven height against wall",
    "warn",
    "the side bands stand {woven} high along the wall, the wall is {wall} long ({off:+.0%}).",
    "Spoke lengths follow what is woven; the drawn wall only shapes it.",
    "Change the rows to about {rows} in {band}, or move the last point of the wall.",
    "derived",
)
def _wall(laid, joins):
    wall = laid.design.form.wall_mm
    off = laid.top_s / wall - 1
    if laid.side and abs(off) > WALL_SLACK:
        tall = max(laid.side, key=lambda band: band.height_mm)
        yield (
            "wall",
            {
                "woven": _show(laid.design, laid.top_s),
                "wall": _show(laid.design, wall),
                "off": off,
                "rows": max(1, tall.rows - round((laid.top_s - wall) / tall.pitch_mm)),
                "band": band_name(tall),
            },
        )


@rule(
    "base bands against base",
    "warn",
    "the base bands end at {reached} across, the base is {base}.",
    "The side is reckoned from the size of the base.",
    'Say until = "{base}" in the last base band, or change the base.',
    "derived",
)
def _base(laid, joins):
    if laid.base and abs(laid.base_reached_mm - laid.design.form.base_mm) > max(6.0, laid.base[-1].pitch_mm * 1.5):
        yield (
            "base",
            {"reached": _show(laid.design, laid.base_reached_mm), "base": _show(laid.design, laid.design.form.base_mm)},
        )


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
)
def _upsett(laid, joins):
    if laid.side and "wale" not in laid.side[0].band.weave.name:
        yield band_name(laid.side[0]), {}


@rule(
    "no firm row under the border",
    "note",
    "the last row before the {border} is not a wale.",
    "A row or two of wale keeps the weave from spreading while the {border} is drawn tight.",
    "Add a row of three-rod wale.",
    "practice",
)
def _last_row(laid, joins):
    if laid.side and not laid.design.border.is_open and "wale" not in laid.side[-1].band.weave.name:
        yield band_name(laid.side[-1]), {}


# Colour --------------------------------------------------------------------------------------------------------


def _colour_pairs(laid: Laid):
    for band in laid.bands:
        names = list(dict.fromkeys(band.band.colours))
        for i, a in enumerate(names):
            for b in names[i + 1 :]:
                yield band, a, b, hard_to_tell_apart(*(laid.design.palette.get(c) or hex_of(c) for c in (a, b)))


@rule(
    "colours hard to tell apart",
    "warn",
    "{a} and {b} differ by only {delta:.1f} (CIEDE2000).",
    "Wet {reed} is darker and closer still in {colour}.",
    "Choose {colours} further apart.",
    "sharma",
)
def _close_colours(laid, joins):
    for band, a, b, closeness in _colour_pairs(laid):
        if closeness.delta_e < CLOSE_COLOUR and closeness.eyes == "normal":
            yield band_name(band), {"a": a, "b": b, "delta": closeness.delta_e}


@rule(
    "colours alike to some eyes",
    "note",
    "{a} and {b} differ by only {delta:.1f} (CIEDE2000) to {eyes} eyes.",
    "About one man in twelve sees some {colours} as one (figure from memory).",
    "Mark the bundles with a tag or knot, or choose a lighter and a darker {colour}.",
    "machado",
)
def _blind_colours(laid, joins):
    for band, a, b, closeness in _colour_pairs(laid):
        if closeness.delta_e < CLOSE_FOR_SOME and closeness.eyes != "normal":
            yield band_name(band), {"a": a, "b": b, "delta": closeness.delta_e, "eyes": EYES[closeness.eyes]}


# Joins and time ------------------------------------------------------------------------------------------------


@rule(
    "joins meet",
    "warn",
    "{pairs}: for example rows {row} and {next_row}, near space {space}.",
    "Joins side by side make a thick, weak place.",
    "Cut the first reeds to other lengths, or use longer ones.",
    "practice",
)
def _meet(laid, joins):
    for band, planned in zip(laid.bands, joins, strict=True):
        pairs = meeting(planned, band)
        if pairs:
            a, b = pairs[0]
            yield (
                band_name(band),
                {
                    "pairs": several(len(pairs), "pair of joins meets", "pairs of joins meet"),
                    "row": a.row + 1,
                    "next_row": b.row + 1,
                    "space": a.space + 1,
                },
            )


@rule(
    "join at the start line",
    "note",
    "{many} in the space where the band begins.",
    "The start is already the thickest place.",
    "Cut that weaver's first reed a hand's breadth shorter.",
    "practice",
)
def _start_line(laid, joins):
    for band, planned in zip(laid.bands, joins, strict=True):
        many = len(at_start_line(planned, band))
        if many:
            yield band_name(band), {"many": several(many, "join falls", "joins fall")}


@rule(
    "long work",
    "note",
    "about {hours:.1f} hours of weaving at the stated speed.",
    "Wet, gripping work strains hands, wrists and shoulders.",
    "Break every half hour, stretch, and spread it over two days; stop when it hurts.",
    "practice",
)
def _long(laid, joins):
    seconds = sum(band.strokes for band in laid.bands) / laid.design.pace.strokes_per_minute * 60
    if seconds > LONG_DAY_S:
        yield "time", {"hours": seconds / 3600}
