"""`--gauge`, and `slype book learned`, `swatch` and `gauge`: what a book learned of a maker, and a design corrected by
it or by the [gauge] of another file."""

from __future__ import annotations

import argparse
import os
import re
from typing import TYPE_CHECKING

from ..errors import DesignError, FileTrouble, did_you_mean
from ..files import read, text_of

if TYPE_CHECKING:
    from ..book.store import Book
    from ..design.values import Design
    from ..plans.planning import Plan

BOOK = "book"
"""What `--gauge` calls the maker's own book; "book: NAME" is another maker's baskets in it."""


def read_text(path: str) -> str:
    """The text of a design file that `design.file.reader.load` can read, its ends of lines kept."""
    return text_of(read(path), os.path.basename(path))


def corrected(path: str, whose: str) -> Design:
    """The design at `path` with the gauge of the book, where `whose` is "book", or of the file of that name."""
    from ..design.file.reader import load, parse

    load(path)
    name, text = os.path.basename(path), read_text(path)
    book, _, maker = (part.strip() for part in whose.partition(":"))
    if book != BOOK:
        return parse(_of_file(text, whose, name), name)
    from ..book.baskets import known
    from ..book.learning.applied import from_book
    from ..book.place import place
    from ..book.store import Book

    with Book(place()) as opened:
        return parse(from_book(text, known(opened, maker=maker), name, whose_words(maker)), name)


def whose_words(maker: str) -> str:
    """Whose measure it is, as a [gauge] says it."""
    return f"{maker}'s baskets" if maker else "my baskets"


def _of_file(text: str, other: str, name: str) -> str:
    from ..book.learning.applied import from_file

    try:
        raw = read(other)
    except FileTrouble as trouble:
        remedy = "Say --gauge book, or the name of a file with a [gauge] table."
        raise FileTrouble(trouble.message, other, remedy) from None
    return from_file(text, text_of(raw, other), os.path.basename(other), name)


def one_of(found: list, name: str, kind: str):
    """The one of `found` whose id begins so."""
    mine = [each for each in found if each.id.startswith(name)] if re.fullmatch(r"[0-9a-f]{4,32}", name) else []
    if len(mine) != 1:
        said = "more than one begins so" if mine else f"there is no such {kind}"
        raise DesignError(f"{said}.", name[:40], "Give the six signs that the list shows.")
    return mine[0]


def _maker(book: Book, asked: argparse.Namespace) -> str:
    """Whose baskets are asked for. Raises DesignError for somebody who has none in the book."""
    from ..book.baskets import makers

    maker = (asked.maker or "").strip()
    there = [name for name, _ in makers(book)]
    if maker and maker not in there:
        raise DesignError(
            "has no basket in the book.", maker[:40], did_you_mean(maker, [each for each in there if each])
        )
    return maker


def _without(book: Book, asked: argparse.Namespace) -> str:
    from ..book.baskets import baskets

    return one_of(baskets(book), asked.without, "basket").id if asked.without else ""


def learned(book: Book, asked: argparse.Namespace) -> None:
    """`slype book learned`: how a maker's hands and reed differ from what slype reckons."""
    from ..book.baskets import known, measures
    from ..report import books, printed

    maker = _maker(book, asked)
    printed.show(books.learned(known(book, _without(book, asked), maker), measures(book, maker), asked.units))


def swatch(book: Book, asked: argparse.Namespace) -> None:
    """`slype book swatch DESIGN`: which few rows would teach most for a basket."""
    from ..book.baskets import known
    from ..book.learning.swatches import swatches
    from ..design.file.reader import load
    from ..plans import planning
    from ..report import books, printed

    plan = planning.plan(load(asked.file))
    if asked.woven:
        return _woven(book, plan, asked)
    found = swatches(plan, known(book, maker=_maker(book, asked)))
    printed.show(books.swatches(found, asked.units or plan.design.units))


def _woven(book: Book, plan: Plan, asked: argparse.Namespace) -> None:
    """Enter a swatch that was woven and measured."""
    from ..book import baskets, said
    from ..book.learning.figures import of_swatch
    from ..book.store import today

    weave, comma, reed = (part.strip() for part in asked.woven.rpartition(","))
    if not comma:
        raise DesignError("names no reed.", asked.woven[:40], 'Write it like "pairing, round 2".')
    units = asked.units or plan.design.units
    known = {each.key: each for each in of_swatch(plan, weave, reed)}
    typed = (("height", asked.height), ("reed used", asked.used), ("time", asked.time))
    measured = {key: said.figure(text, known[key], f"--{key}", units) for key, text in typed if text}
    day = said.day(asked.on, "--on") if asked.on else today()
    key = baskets.record_swatch(book, plan, weave, reed, day, measured, asked.maker or "")
    print(f"In the book as {key[:6]}: {said.understood(measured, known, units)}. What it teaches: slype book learned")


def gauge(book: Book, asked: argparse.Namespace) -> None:
    """`slype book gauge DESIGN`: print the [gauge] that the book gives a design, or write it into its file."""
    from ..book.baskets import known
    from ..book.learning.applied import from_book
    from ..design.file.reader import load
    from ..edit.lines import section

    load(asked.file)
    text = read_text(asked.file)
    name = os.path.basename(asked.file)
    maker = _maker(book, asked)
    out = from_book(text, known(book, _without(book, asked), maker), name, whose_words(maker))
    if not asked.write:
        print(section(out, "gauge"), end="")
        return
    from ..files import write

    write(asked.file, out)
    print(f"{name} carries your measure now. What it changed: slype plan {name}")
