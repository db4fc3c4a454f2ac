"""The maker's book as the studio's page shows it: panes ready to show.

Everything is opened, done and closed in one answer, so that no window holds the book. What is shown is worded here and
in the modules beside (baskets, what they teach, classes), what is typed is read in `book_acts`; the page draws and
sends back.
"""

from __future__ import annotations

from collections.abc import Callable

from ...book import shelf
from ...book.learning.swatches import ENDS, ROWS, swatches
from ...book.place import place
from ...book.said import shown
from ...book.store import Book, today
from ...book.year.accounts import others, year_of
from ...book.year.papers import NO_ADVICE, summary
from ...book.year.papers import money as shown_money
from ...errors import SlypeError
from ...quantity import show_length
from ...reeds import REEDS
from ..told.book import BookTold, PaneOfBook, PartOfBook
from .book_baskets import made
from .book_classes import held_classes
from .book_learned import gauge
from .book_parts import MOST_SHOWN, OnBench, act, field, form, lines, money_field, part, table


def look(text: str, name: str) -> BookTold:
    """The whole book; `text` the design or class on the bench, "" for none."""
    on = OnBench(text, name)
    with Book(place()) as book:
        return told(book, on)


def told(book: Book, on: OnBench) -> BookTold:
    """The open book, pane by pane."""
    on.afresh()
    panes: list[tuple[str, str, Callable[[Book, OnBench], list[PartOfBook]]]] = [
        ("shelf", "Shelf", _shelf), ("made", "Baskets", made), ("gauge", "Your measure", gauge),
        ("make", "What can I make?", _make), ("swatch", "Swatch", _swatch),
        ("photo", "Photograph", lambda _book, _on: []), ("class", "Classes", held_classes), ("year", "Year", _year),
    ]  # fmt: skip
    ready: list[PaneOfBook] = [{"key": key, "title": title, "parts": _shown(of, book, on)} for key, title, of in panes]
    return {
        "place": book.path or "on a server",
        "basket": on.title,
        "units": on.units,
        "maker": on.maker,
        "year": str(on.year or ""),
        "kept": [[each.id, f"{each.title}, {each.made_on}"] for each in on.made(book)[:MOST_SHOWN]],
        "panes": ready,
    }


def _shown(of: Callable[[Book, OnBench], list[PartOfBook]], book: Book, on: OnBench) -> list[PartOfBook]:
    """A pane; one that cannot be shown says why, and hides neither the others nor what was just entered."""
    try:
        return of(book, on)
    except SlypeError as trouble:
        return [lines(str(trouble))]


def _shelf(book: Book, on: OnBench) -> list[PartOfBook]:
    lots = on.lots(book)
    head = ["Reed", on.say("{colour}").capitalize(), "Left", "Of", "Kind", "Dye lot", "From"]
    rows = [
        [lot.reed, lot.colour, *(shown(each, lot.unit, on.units) for each in (lot.amount, lot.came)), lot.kind,
         lot.dye_lot, lot.supplier]
        for lot in lots[:MOST_SHOWN]
    ]  # fmt: skip
    parts = [table(head, rows, (2, 3))] if rows else [lines("Nothing lies on the shelf yet.")]
    alone = f"A number alone is {'feet' if on.units == 'in' else 'metres'}"
    if lots:
        names = [[lot.id, f"{lot.reed}, {lot.colour}: {shown(lot.amount, lot.unit, on.units)}"] for lot in lots]
        what = [["cut", "cut from it"], ["back", "put back to it"], ["count", "it holds, counted anew"]]
        parts.append(
            form(
                "Cut, put back, count", "move", "Enter",
                field("lot", "from", choices=names), field("what", "what", choices=what),
                field("amount", "how much", f"{alone}; of a lot that is weighed, say a weight."),
                field("note", "what for"),
            )
        )  # fmt: skip
    length, weight = ("300 ft", "1 lb") if on.units == "in" else ("90 m", "500 g")
    parts.append(
        form(
            "Reed that came", "add", "Put on the shelf",
            field("reed", on.say("{reed}"), choices=[[key, key] for key in REEDS]),
            field("colour", on.say("{colour}"), value="natural"),
            field("amount", "how much", f"In all, like {length}, or by weight, like {weight}. {alone}."),
            field("kind", "kind", choices=[["coil", "coil"], ["offcuts", "offcuts"]]),
            field("cost", "cost"), money_field(book), field("supplier", "from whom"),
            field("dye_lot", "dye lot"), field("note", "note"),
        )
    )  # fmt: skip
    done = shelf.acts(book, 20)
    if done:
        rows = [[each.at[:16].replace("T", " "), each.said, each.title or each.note] for each in done]
        rows = [[*row, "taken back" if each.undone else ""] for row, each in zip(rows, done, strict=True)]
        acts = [[] if each.undone else [act("undo", "Put back its reed" if each.basket else "Take back", of=each.id)]
                for each in done]  # fmt: skip
        parts += [part("heading", "Done to the shelf"), table(["When", "What", "For", ""], rows, acts=acts)]
    return parts


def _make(book: Book, on: OnBench) -> list[PartOfBook]:
    if not on.lots(book):
        return [lines("Nothing lies on the shelf yet.")]
    words = "Every design on the bench and in its folders, at its own size, a little smaller or larger."
    return [lines(words), form("", "make", "Look through my designs")]


def _swatch(book: Book, on: OnBench) -> list[PartOfBook]:
    found = swatches(on.plan, on.known(book)) if on.plan else []
    if not found:
        return [lines("Come here from a basket with a side to see which few rows would teach most about it.")]
    now, high = (show_length(mm, on.units, 16) for mm in (found[0].now_mm, found[0].height_mm))
    rows = [[each.weave, each.reed, show_length(each.then_mm, on.units, 16), f"{each.narrower:.0%}"] for each in found]
    return [
        lines(
            f"The side is reckoned {high} high. As far as your book knows, yours will be within {now} of that, "
            "nineteen times in twenty. One of these, woven and measured, would tell more; the first tells most."
        ),
        table(["Weave", on.say("{reed}").capitalize(), "Then within", "Narrower by"], rows, (2, 3)),
        lines(
            on.say(
                f"Weave {ROWS} rows of it on {ENDS} {{spokes}} that stand as far apart as in the basket. Soak, pack "
                "and pull as you always do. Measure the height when it is dry, the {reed} it took and the time."
            )
        ),
        form(
            "A swatch that was woven", "swatch", "Enter this swatch",
            field("kind", "of what", choices=[[f"{e.weave}, {e.reed}", f"{e.weave}, {e.reed}"] for e in found]),
            field("height", "height", f"A number alone is {'inches' if on.units == 'in' else 'centimetres'}."),
            field("reed used", on.say("{reed} used"), f"A number alone is {'feet' if on.units == 'in' else 'metres'}."),
            field("time", "time", "Like 0:40. A number alone is minutes."), field("on", "day", value=today()),
        ),
    ]  # fmt: skip


def _year(book: Book, on: OnBench) -> list[PartOfBook]:
    year = year_of(book, on.year or int(today()[:4]))
    rows = [[what, shown_money(value, currency)] for what, currency, value in summary(year)]
    parts = [part("heading", f"{year.year}")]
    parts += [table(["", "Sum"], rows, (1,))] if rows else [lines("No money is in the book for this year yet.")]
    reeds = [
        [each.reed, *(shown(g, "g", on.units) for g in (each.bought_g, each.cut_g, each.missing_g))]
        for each in year.reeds
    ]
    if reeds:
        head = [on.say("{reed}").capitalize(), "Bought", "Cut", "Missing at counts"]
        parts.append(table(head, reeds, (1, 2, 3)))
    about = str(year.year)
    parts.append(
        part("buttons", rows=[], acts=[[
            act("take away", "Workbook for the accountant", path=f"book/paper?kind=xlsx&year={about}"),
            act("take away", "Page to print", path=f"book/paper?kind=html&year={about}&units={on.units}"),
            act("take away", "The whole book as plain files", path="book/paper?kind=zip"),
        ]])
    )  # fmt: skip
    parts.append(form("Another year", "which year", "Show", field("year", "year", value=about)))
    entry = form(
        "Other money", "money", "Enter", field("way", "it", choices=[["in", "came in"], ["out", "went out"]]),
        field("what", "what"), field("amount", "how much"), money_field(book), field("on", "day", value=today()),
    )  # fmt: skip
    rest = others(book, year.year)
    if rest:
        rows = [[each.day, each.what, shown_money(each.sum, each.currency)] for each in rest]
        acts = [[act("take money back", "Take back", of=each.id)] for each in rest]
        entry_and_list = [
            entry,
            part("heading", "Other money entered"),
            table(["Day", "What", "Sum"], rows, (2,), acts),
        ]
        return [*parts, *entry_and_list, lines(NO_ADVICE)]
    return [*parts, entry, lines(NO_ADVICE)]
