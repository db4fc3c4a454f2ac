"""The book's pane of baskets: the form for the one on the bench, what was made, and all that is known of one."""

from __future__ import annotations

from ...book import baskets, shelf
from ...book.learning import figures
from ...book.said import figure_shown
from ...book.store import Book, today
from ...quantity import show_run, show_time
from ..told.book import ActTold, FieldTold, PartOfBook
from .book_parts import MOST_SHOWN, OnBench, act, field, fold, form, lines, money_field, part, table

QUICK = ("row pitch", "height", "mouth", "border")
"""Quantities of figures that a ruler reads off the finished basket."""


def made(book: Book, on: OnBench) -> list[PartOfBook]:
    """The pane."""
    parts = []
    if on.plan is not None:
        words = (
            "Measure what is quick to measure, and leave the rest empty: one figure teaches something. A number alone "
        )
        words += f"is {'inches' if on.units == 'in' else 'centimetres'}."
        parts += [lines(words), _entry(book, on)]
    elif on.group is not None:
        parts.append(lines("A class lies on the bench. Come here from one of its baskets to enter that as made."))
    else:
        parts.append(lines("Come here from a basket on the bench to enter it as made."))
    found = on.made(book)[:MOST_SHOWN]
    if found:
        rows = [
            [each.made_on, each.title, each.maker, str(each.figures), show_time(each.seconds) if each.seconds else "",
             f"{each.currency or ''}{each.sold_for}" if each.sold_for else "",
             "teaches nothing" if each.left_out else each.note]
            for each in found
        ]  # fmt: skip
        head = ["Made", "Basket", "By", "Figures", "Time", "Brought", ""]
        parts += [part("heading", "Baskets made"), table(head, rows, (3, 4, 5), [_acts(each) for each in found])]
    return parts


def _acts(each: baskets.Made) -> list[ActTold]:
    teaches = act("take in", "Let it teach", of=each.id) if each.left_out else act("leave out", "Leave out", of=each.id)
    return [act("open", "Open", of=each.id), teaches, act("take back", "Take back", of=each.id)]


def _entry(book: Book, on: OnBench) -> PartOfBook:
    assert on.plan is not None, "asked of a basket"
    found = figures.can_measure(on.plan)
    quick = [each for each in found if each.quantity in QUICK]
    rest = [each for each in found if each.quantity not in QUICK]
    return form(
        f"{on.plan.design.title}, finished", "made", "Enter this basket",
        field("on", "day made", value=today()),
        field("maker", "made by", "Empty: you. Another maker's baskets teach slype that maker's hands.", on.maker),
        *(_figure(each, on) for each in quick),
        field("hours", "hours in all", "Like 4:30. A number alone is hours."),
        field("sold_for", "sold for"), money_field(book), field("note", "note"),
        fold(on.say("The {reed} it took"), "open"), *_reed(book, on),
        fold(on.say("More that can be measured: times, {reed}, fingers, tails")), *(_figure(each, on) for each in rest),
    )  # fmt: skip


def _figure(each: figures.Measurable, on: OnBench) -> FieldTold:
    alone = {"thickness": " A number alone is mm.", "take-up": f" A number alone is {_run(on)}."}.get(each.quantity, "")
    alone = " A number alone is minutes." if each.unit == "s" else alone
    hint = f"slype reckons {figure_shown(each, each.reckoned, on.units)}.{alone}"
    return field(f"figure {each.key}", label_of(each), hint)


def label_of(each: figures.Measurable) -> str:
    """What a figure is called in the form, where what the basket took in all is asked for too."""
    return each.key.replace("used of ", "in weavers alone: ", 1) if each.quantity == "take-up" else each.key


def _run(on: OnBench) -> str:
    return "feet" if on.units == "in" else "metres"


def _reed(book: Book, on: OnBench) -> list[FieldTold]:
    """What the basket used of each reed, and whether it comes off the shelf with the entry."""
    assert on.plan is not None, "asked of a basket"
    wanted = figures.reckoned_use(on.plan)
    lacks = ""
    try:
        shelf.gather(on.lots(book), wanted, "", on.units)
    except shelf.NotEnough as trouble:
        lacks = f"{trouble.message[:1].upper()}{trouble.message[1:].removesuffix(' Nothing was cut.')}"
    choices = [["yes", "comes off the shelf now"], ["no", "is off the shelf already, or never lay there"]]
    return [
        field("shelf", on.say("the {reed}"), lacks, "no" if lacks else "yes", choices),
        *(
            field(f"used {reed}, {colour}", f"{reed}, {colour}",
                  f"Empty: {show_run(mm, on.units)}, as slype reckons. A number alone is {_run(on)}.")
            for reed, colour, mm in wanted
        ),
    ]  # fmt: skip


def opened(book: Book, basket: str, on: OnBench) -> list[PartOfBook]:
    """All that was entered of one basket."""
    found = baskets.opened(book, basket)
    made = found.made
    parts = [part("heading", f"{made.title}, {made.made_on}{f', by {made.maker}' if made.maker else ''}")]
    if found.figures:
        rows = []
        for name, quantity, measured, reckoned in found.figures:
            of = figures.Measurable(name, quantity, reckoned, "s" if quantity == "stroke time" else "mm")
            rows.append([name or quantity, *(figure_shown(of, mm, on.units) for mm in (measured, reckoned))])
        parts.append(table(["Figure", "Measured", "slype reckoned"], rows, (1, 2)))
    if found.used:
        rows = [
            [reed, colour, show_run(mm, on.units), show_run(left, on.units) if left else ""]
            for reed, colour, mm, left in found.used
        ]
        head = [on.say("The {reed} it took"), on.say("{colour}").capitalize(), "Length", "Left over"]
        parts.append(table(head, rows, (2, 3)))
        parts.append(lines("It came off the shelf with this entry." if found.off_shelf else "It came off no shelf."))
    said = [f"{part}: {show_time(seconds)}" for part, seconds in found.hours]
    said += [f"Brought {made.currency or ''}{made.sold_for}"] if made.sold_for else []
    said += [made.note] if made.note else []
    said += [f"Photograph: {name}" for name in found.photographs]
    away = act("take away", "Its design, as it was woven", path=f"book/paper?kind=toml&basket={basket}")
    return [*parts, lines(*said), part("buttons", acts=[[away]])]
