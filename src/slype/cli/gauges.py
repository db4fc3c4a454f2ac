"""`--gauge` and `slype book gauge`: a design corrected by what a book learned, or by the [gauge] of another file."""

from __future__ import annotations

import argparse
import os
from typing import TYPE_CHECKING

from ..errors import FileTrouble

if TYPE_CHECKING:
    from collections.abc import Mapping

    from ..book.gauge import Known
    from ..design.values import Design

BOOK = "book"


def read_text(path: str) -> str:
    """The text of a design file that `design.file.reader.load` can read, its ends of lines kept."""
    with open(path, encoding="utf-8-sig", newline="") as file:
        return file.read()


def corrected(path: str, whose: str) -> Design:
    """The design at `path` with the gauge of the book, where `whose` is "book", or of the file of that name."""
    from ..design.file.reader import load, parse

    load(path)
    name, text = os.path.basename(path), read_text(path)
    if whose != BOOK:
        return parse(_of_file(text, whose, name), name)
    from ..book.applied import from_book
    from ..book.baskets import known
    from ..book.place import place
    from ..book.store import Book

    with Book(place()) as book:
        return parse(from_book(text, known(book), name), name)


def _of_file(text: str, other: str, name: str) -> str:
    from ..book.applied import from_file
    from ..files import MOST_BYTES

    try:
        with open(other, "rb") as file:
            raw = file.read(MOST_BYTES + 1)
        if len(raw) > MOST_BYTES:
            raise FileTrouble("is larger than any design.", other)
        return from_file(text, raw.decode("utf-8-sig"), os.path.basename(other), name)
    except UnicodeDecodeError:
        raise FileTrouble("is not UTF-8 text.", other, "Save it as UTF-8 from your editor.") from None
    except OSError as trouble:
        remedy = "Say --gauge book, or the name of a file with a [gauge] table."
        raise FileTrouble(f"cannot be read: {trouble.strerror or trouble}.", other, remedy) from None


def give(known: Mapping[str, Known], asked: argparse.Namespace) -> None:
    """`slype book gauge DESIGN`: print the [gauge] that what is `known` gives a design, or write it into its file."""
    from ..book.applied import from_book
    from ..design.file.reader import load
    from ..edit.lines import section

    load(asked.file)
    text = read_text(asked.file)
    name = os.path.basename(asked.file)
    out = from_book(text, known, name)
    if not asked.write:
        print(section(out, "gauge"), end="")
        return
    from ..files import write

    write(asked.file, out)
    print(f"{name} carries your measure now. What it changed: slype plan {name}")
