"""The book's pane of what baskets teach: a maker's measure, with ranges, and what it changes in one on the bench."""

from __future__ import annotations

from ...book import baskets
from ...book.learning import applied
from ...book.learning.gauge import Known, kinds_of
from ...book.store import Book
from ...design.file.reader import parse
from ...errors import SlypeError
from ...plans.gauged import changed
from ...plans.planning import plan
from ...tell.gauged import gauge_rows, long_enough
from ...words import several
from ..told.book import PartOfBook
from .book_parts import OnBench, act, form, lines, part, table

LEARNED = {
    "row pitch": "How high your rows stand", "take-up": "How much reed your weavers use",
    "border": "How long an end your borders take", "fingers": "What your fingers hold",
    "thickness": "How thick your reed is", "stroke time": "How long your bands take",
    "tails": "How long your tails are",
}  # fmt: skip
OTHER_ROWS = (
    "A band that is woven up to a height takes more or fewer of your rows than slype reckons. Both figures beside it "
    "are of your count of rows, so that like stands beside like."
)


def whose(maker: str) -> str:
    """Whose measure it is, as a [gauge] says it."""
    return f"{maker}'s baskets" if maker else "my baskets"


def gauge(book: Book, on: OnBench) -> list[PartOfBook]:
    """The pane."""
    known, measures = on.known(book), on.measures(book)
    parts = _makers(book, on)
    if not measures:
        return [*parts, lines("Nothing was measured yet. Enter a basket you made, or weave a swatch.")]
    parts += _what_it_changes(known, on)
    parts.append(lines("As a share of what slype reckons: 104 % is one twenty-fifth more."))
    for quantity, title in LEARNED.items():
        kinds = kinds_of(measures, quantity)
        if kinds:
            rows = [_learned(known[quantity], *kind, many) for kind, many in kinds.items()]
            head = ["Weave", on.say("{reed}").capitalize(), "Yours", "19 in 20 lie", "Measured"]
            parts += [part("heading", title), table(head, rows, (2, 4))]
    return parts


def _makers(book: Book, on: OnBench) -> list[PartOfBook]:
    """Buttons to turn from one maker to another, where there are several."""
    found = dict(baskets.makers(book))
    if not any(found):
        return []
    names = ["", *(each for each in found if each)]
    others = [act("whose", name or "You", maker=name) for name in names if name != on.maker]
    shown = f"{on.maker}'s measure" if on.maker else "Your own measure"
    return [lines(f"{shown}, of {several(found.get(on.maker, 0), 'basket')}. Turn to:"), part("buttons", acts=[others])]


def _learned(known: Known, weave: str, reed: str, many: int) -> list[str]:
    found = known.estimate(weave, reed)
    low, high = found.within()
    return [weave or "all", reed or "all", f"{found.middle:.0%}", f"{low:.0%} to {high:.0%}", str(many)]


def _what_it_changes(known: dict[str, Known], on: OnBench) -> list[PartOfBook]:
    """What the book's gauge would change in the basket on the bench, and the button that puts it there."""
    if on.plan is None:
        return []
    try:
        corrected = plan(parse(applied.from_book(on.text, known, on.name, whose(on.maker)), on.name))
    except SlypeError as trouble:  # rows that stand higher may leave no wall for the last band
        title = on.plan.design.title
        return [part("heading", f"What it changes in {title}"), lines(f"By your measure it cannot be woven. {trouble}")]
    rows = [[on.say(row.what), row.reckoned, row.yours, row.between] for row in gauge_rows(corrected)]
    there = applied.gauge_table(on.plan.design, known, whose(on.maker)).items() <= _gauge_of(on).items()
    parts = [
        part("heading", f"What it changes in {on.plan.design.title}"),
        table(["Figure", "slype reckons", "Yours", "19 in 20 lie"], rows, (1, 2)),
        lines(OTHER_ROWS if any(each.rows for each in changed(corrected.laid)) else "", long_enough(corrected)),
    ]
    if there:
        return [*parts, lines("The basket carries this measure already.")]
    return [*parts, form("", "gauge", "Put your measure into this basket")]


def _gauge_of(on: OnBench) -> dict[str, object]:
    assert on.plan is not None and on.plan.design.tables is not None, "it was read from a text"
    gauge = on.plan.design.tables.get("gauge", {})
    return dict(gauge) if isinstance(gauge, dict) else {}
