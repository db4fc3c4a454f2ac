"""What `slype book` prints: the shelf, what was done to it, baskets made, what they teach. Nothing is reckoned here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..book.baskets import Made, Opened
from ..book.learning.figures import Measurable
from ..book.learning.gauge import Known, Measure, is_slip, kinds_of
from ..book.learning.swatches import ENDS, ROWS, Swatch
from ..book.makeable import Offer
from ..book.said import figure_shown, shown
from ..book.shelf import Act, Lot
from ..quantity import MM_PER_IN, show_length, show_run, show_time
from ..words import several
from .printed import Parts, columns, heading

QUANTITIES = {
    "row pitch": "How high your rows stand",
    "take-up": "How much reed your weavers use",
    "border": "How long an end your borders take",
    "thickness": "How thick your reed is",
    "stroke time": "How long your strokes take",
    "tails": "How long your tails are",
    "fingers": "What your fingers hold to draw a border tight",
}
RECKONED_MM = {"in": 10 * MM_PER_IN, "cm": 250.0}
"""What is learned is told for so much that slype reckons: ten inches, or 25 cm; of time an hour."""


def shelf(lots: Sequence[Lot], units: str) -> Parts:
    """Reed on the shelf, a row for each lot."""
    if not lots:
        return ["Nothing lies on the shelf. To put reed on it: slype book add"]
    table = columns("", "Reed", "Color" if units == "in" else "Colour", ">Left", ">Of", "Kind", "Dye lot", "From")
    for lot in lots:
        left, came = (shown(each, lot.unit, units) for each in (lot.amount, lot.came))
        table.add_row(lot.id[:6], lot.reed, lot.colour, left, came, lot.kind, lot.dye_lot, lot.supplier)
    return [table]


def acts(found: Sequence[Act]) -> Parts:
    """What was done to the shelf, the last first."""
    if not found:
        return ["Nothing was done to the shelf yet."]
    table = columns("", "When", "What", "For", "")
    for act in found:
        basket = f"{act.title}, {act.basket[:6]}" if act.basket else act.note
        table.add_row(act.id[:6], act.at[:16].replace("T", " "), act.said, basket, "taken back" if act.undone else "")
    return [table]


def measurable(found: Sequence[Measurable], in_all: Mapping[str, float], units: str) -> Parts:
    """What can be measured of a basket, and what slype reckons; of reed of which not all is weavers, how much `in_all`
    (mm by figure)."""
    table = columns("Figure", ">slype reckons")
    for each in found:
        table.add_row(each.key, figure_shown(each, each.reckoned, units))
    more = [f"{key} counts weavers alone; the whole basket takes {show_run(mm, units)}." for key, mm in in_all.items()]
    height = "2 1/8 in" if units == "in" else "5.4 cm"
    return [table, *([""] if more else []), *more, f'\nEnter one like this: --measured "height of band 1 = {height}"']


def baskets(found: Sequence[Made]) -> Parts:
    """Baskets made, the newest first."""
    if not found:
        return ["No basket is in the book yet. To enter one: slype book made DESIGN"]
    named = any(each.maker for each in found)
    table = columns("", "Made", "Basket", *(["Maker"] if named else []), ">Figures", ">Photos", ">Time", ">Brought", "")
    for each in found:
        brought = f"{each.currency or ''}{each.sold_for}" if each.sold_for else ""
        time = show_time(each.seconds) if each.seconds else ""
        note = "teaches nothing" if each.left_out else each.note
        table.add_row(
            each.id[:6], each.made_on, each.title, *([each.maker] if named else []), str(each.figures),
            str(each.photographs), time, brought, note,
        )  # fmt: skip
    return [table]


def opened(found: Opened, units: str) -> Parts:
    """One basket with all that was entered of it."""
    made = found.made
    brought = f"; brought {made.currency or ''}{made.sold_for}" if made.sold_for else ""
    parts: Parts = [f"{made.title}, made on {made.made_on}{f' by {made.maker}' if made.maker else ''}{brought}."]
    if made.note:
        parts.append(made.note)
    if found.figures:
        table = columns("Figure", ">Measured", ">slype reckoned")
        for name, quantity, measured, reckoned in found.figures:
            unit = "s" if quantity == "stroke time" else "mm"
            of = Measurable(name, quantity, reckoned, unit)
            table.add_row(name or quantity, *(figure_shown(of, value, units) for value in (measured, reckoned)))
        parts.append(table)
    if found.used:
        table = columns("Reed used", "Color" if units == "in" else "Colour", ">Length", ">Left over")
        for reed, colour, length, left in found.used:
            table.add_row(reed, colour, show_run(length, units), show_run(left, units) if left else "")
        parts += [table, "It came off the shelf with this entry." if found.off_shelf else "It came off no shelf."]
    for part, seconds in found.hours:
        parts.append(f"{part}: {show_time(seconds)}")
    parts += [f"Photograph: {name}" for name in found.photographs]
    return parts


def swatches(found: Sequence[Swatch], units: str) -> Parts:
    """Which swatch to weave, how, and what it will tell."""
    if not found:
        return ["This basket has no side to learn about."]
    now = show_length(found[0].now_mm, units, 16)
    height = show_length(found[0].height_mm, units)
    table = columns("Weave", "Reed", ">Then within", ">Narrower by")
    for each in found:
        table.add_row(each.weave, each.reed, show_length(each.then_mm, units, 16), f"{each.narrower:.0%}")
    return [
        f"The side is reckoned {height} high. As far as your book knows, yours will be within {now} of that, nineteen "
        "times in twenty. One of these, woven and measured, would tell more; the first tells most:",
        table,
        f"\nWeave {ROWS} rows of it on {ENDS} spokes that stand as far apart as in the basket. Soak, pack and pull as "
        "you always do. Measure the height when it is dry, the reed it took and the time, and enter it: slype book "
        f'swatch DESIGN --woven "{found[0].weave}, {found[0].reed}" --height … --used … --time …',
    ]


def makeable(found: Sequence[Offer], units: str) -> Parts:
    """What the shelf is enough for, with what would be used and left; then what is lacking for the rest."""
    parts: Parts = []
    for offer in found:
        size = "" if offer.size == 1.0 else f", at {offer.size:.0%} of its size"
        parts.append(heading(f"{offer.title} ({offer.name}){size}: {'yes' if offer.fits else 'not yet'}"))
        table = columns("Reed", "Color" if units == "in" else "Colour", ">Uses", ">Leaves", ">Longest piece")
        for need in offer.needs:
            left = show_run(need.left_mm, units) if need.enough else f"lacks {show_run(-need.left_mm, units)}"
            longest = show_length(need.longest_mm, units) if need.longest_mm else ""
            table.add_row(need.reed, need.colour, show_run(need.wanted_mm, units), left, longest)
        parts.append(table)
    return parts or ["None of the designs can be read and woven."]


def surprise(figure: Measurable, measured: float, units: str, basket: str) -> str:
    """A word on a figure far from what slype reckons; `basket` is the id of its entry."""
    said, reckoned = (figure_shown(figure, value, units) for value in (measured, figure.reckoned))
    return (
        f"{figure.key[:1].upper()}{figure.key[1:]}: you measured {said}, slype reckons {reckoned}. If that was a slip: "
        f"slype book take-back {basket[:6]}, and enter it again."
    )


def learned(known: dict[str, Known], measures: Sequence[Measure], units: str) -> Parts:
    """What baskets teach: for each quantity and what it was measured on, the middle and the range of 19 in 20."""
    parts: Parts = []
    for quantity, what in QUANTITIES.items():
        kinds = kinds_of(measures, quantity)
        if not kinds or not known[quantity].measures:
            continue
        base = 3600.0 if quantity == "stroke time" else RECKONED_MM[units]
        reckoned = _told(quantity, base, units)
        table = columns("Weave", "Reed", f">For {reckoned} reckoned", "Nineteen in twenty lie", ">Measured")
        for (weave, reed), many in kinds.items():
            found = known[quantity].estimate(weave, reed)
            low, high = (_told(quantity, base * each, units) for each in found.within())
            middle = _told(quantity, base * found.middle, units)
            table.add_row(weave or "all", reed or "all", middle, f"{low} to {high}", str(many))
        parts += [heading(what), table]
    slips = sum(map(is_slip, measures))
    if slips:
        said = "so far off that no hands give it: taken for a slip, teaching nothing."
        parts.append(f"\n{several(slips, 'figure')} {said}")
    return parts or ["Nothing was measured yet. What can be: slype book measurable DESIGN"]


def _told(quantity: str, value: float, units: str) -> str:
    return f"{value / 60:.0f} min" if quantity == "stroke time" else show_length(value, units)
