"""What to watch out for in a class as a whole: seats, reed, dye, hours, prices. Each with a remedy that helps."""

from __future__ import annotations

import math
from collections import defaultdict

from ..advice.advise import must_stop
from ..errors import Place
from ..quantity import show_cut, show_mass, show_piece
from ..words import listed, several
from .assigned import ReedCut
from .dyeing import Bath
from .finishing import CLEARING, WELCOME, Finish
from .money import Money
from .seats import Kit, seats_named
from .shopping import Line
from .values import WOVEN_BEFORE, Class, Remark


def findings(
    asked: Class,
    kits: tuple[Kit, ...],
    cuts: tuple[ReedCut, ...],
    lines: tuple[Line, ...],
    baths: tuple[Bath, ...],
    finish: Finish | None,
    sums: Money,
) -> tuple[Remark, ...]:
    """Everything worth telling, the gravest first."""
    units, wording = kits[0].seat.units, kits[0].seat.wording
    out = [
        *_baskets(kits), *_too_long(cuts, units, wording), *_pieces(asked, cuts, units, wording),
        *_hours(asked, kits, finish), *_dyes(baths, units), *_prices(lines, sums, wording),
    ]  # fmt: skip
    order = ("error", "stop", "warn", "note")
    return tuple(sorted(out, key=lambda each: order.index(each.weight)))


def _baskets(kits: tuple[Kit, ...]) -> list[Remark]:
    """Baskets that no hands could weave, and grave advice, once for all the seats it is about."""
    found: dict[tuple[str, str, str, str], list[int]] = defaultdict(list)
    for kit in kits:
        plan = kit.basket.plan
        stop = must_stop(plan.advice)
        for each in plan.advice:
            if each is stop:
                found["stop", f"this cannot be woven: {each.message}", each.where, each.remedy].append(kit.seat.number)
            elif each.rule.weight == "warn":
                found["warn", each.message, each.where, each.remedy].append(kit.seat.number)
    return [
        Remark(weight, message, Place(f"{seats_named(seats)}, {where}", ("class", "design")), remedy)
        for (weight, message, where, remedy), seats in found.items()
    ]


def _too_long(cuts: tuple[ReedCut, ...], units: str, wording: str) -> list[Remark]:
    """Pieces longer than every strand there is."""
    out = []
    for cut in cuts:
        longest = max((stock.length_mm for stock in cut.problem.stock), default=0.0)
        for mm, colour, many in cut.missing:
            why = f"the longest strand there is has {show_cut(longest, units, math.floor, 2)}."
            if mm <= longest:
                why = "too few strands are long enough."
            out.append(
                Remark(
                    "stop",
                    f"{several(many, 'piece')} of {show_piece(mm, units)} in {cut.reed.named(wording)} ({colour}) "
                    f"cannot be cut: {why}",
                    Place("cutting", ("pack",)),
                    "Say how long the strands of the packs are that you buy, or make the basket smaller.",
                )
            )
    return out


def _pieces(asked: Class, cuts: tuple[ReedCut, ...], units: str, wording: str) -> list[Remark]:
    """Pieces of weavers that come out shorter than the least, where no other cut helps."""
    out = []
    for cut in cuts:
        short = [mm for choice in cut.problem.choices for way in choice.ways for mm, _, _ in way if len(way) > 1]
        worst = min(short, default=asked.rules.least_mm)
        if worst < asked.rules.least_mm - 1e-6:
            out.append(
                Remark(
                    "note",
                    f"some weavers of {cut.reed.named(wording)} are joined with a piece of {show_piece(worst, units)}, "
                    f"shorter than the {show_piece(asked.rules.least_mm, units)} asked.",
                    Place("cutting", ("cutting", "least")), "Buy longer strands, or weave a row less or more there.",
                )
            )  # fmt: skip
    return out


def _hours(asked: Class, kits: tuple[Kit, ...], found: Finish | None) -> list[Remark]:
    longest = max(soak.minutes[1] for kit in kits for _, soak in kit.basket.plan.soaking)
    minutes = asked.teaching_minutes
    if minutes <= longest + WELCOME + CLEARING:
        return [
            Remark(
                "stop", f"the class has {minutes} minutes without breaks, and its reed soaks up to {longest:g}.",
                Place(f"{asked.name}, class, hours", ("class", "hours")),
                "Begin earlier or end later; reed soaked beforehand can wait damp.",
            )
        ]  # fmt: skip
    if found is None:
        return []
    many = len(found.seats)
    if found.usual == many:  # now and then one is late: that is no reason to change anything
        return []
    sure = "" if found.at_least == found.usual else f", {found.at_least} or more in nine of ten"
    said = f"of {several(many, 'student')} {found.usual} finish in time in the middle one of all classes{sure}."
    if found.better_prepared is not None:
        prepared, would = found.better_prepared
        remedy = f"With {WOVEN_BEFORE[prepared]} woven beforehand {would} would."
    elif found.usual_helped > found.usual:
        remedy = f"With one helper more {found.usual_helped} would."
    else:
        remedy = "Choose a smaller basket, a longer day, or stop the slow as the timetable says."
    return [Remark("warn", said, Place(f"{asked.name}, class, hours", ("class", "prepared")), remedy)]


def _dyes(baths: tuple[Bath, ...], units: str) -> list[Remark]:
    bare = [bath for bath in baths if bath.dye is None]
    if not bare:
        return []
    reed = listed([f"{show_mass(bath.strands_g, units)} {bath.colour}" for bath in bare])
    said = f"Name the dye for {listed([bath.colour for bath in bare])}, or put reed of that colour on the shelf."
    bare_told = f"no dye is named for {reed}; no day is planned for dyeing it, and its dye is not counted."
    return [Remark("warn", bare_told, Place("dye", ("dye",)), said)]


def _prices(lines: tuple[Line, ...], sums: Money, wording: str) -> list[Remark]:
    reeds = {f"reed {line.reed.key or line.reed.name}": line.reed.named(wording) for line in lines}
    names = [reeds.get(name, name) for name in sums.missing]
    if not names:
        return []
    said = "this has" if len(names) == 1 else "these have"
    return [
        Remark(
            "note", f"{said} no price and {'is' if len(names) == 1 else 'are'} not counted: {listed(names)}.",
            Place("prices", ("pack",) if all(name in reeds for name in sums.missing) else ("prices",)),
            "Give a price for each, or leave it so.",
        )
    ]  # fmt: skip
