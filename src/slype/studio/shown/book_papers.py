"""What the book's room gives to take away: a year for the accountant, the whole book, the design of a basket."""

from __future__ import annotations

import io
import os
import re
import tempfile
import zipfile
from collections.abc import Mapping

from ...book import baskets
from ...book.exchange import export
from ...book.place import place
from ...book.store import Book, today
from ...book.year.accounts import year_of
from ...book.year.papers import page, workbook
from ...errors import DesignError


def paper(kind: str, asked: Mapping[str, str]) -> tuple[bytes, str]:
    """(bytes, name) of a paper: kind "xlsx" or "html" of the `year` asked for, "zip" of all, "toml" of a `basket`.
    Raises SlypeError."""
    with Book(place()) as book:
        if kind == "zip":
            return _whole(book), f"book {today()}.zip"
        if kind == "toml":
            text = baskets.design_of(book, asked.get("basket", ""))
            return text.encode("utf-8", "surrogatepass"), "as woven.toml"
        said = asked.get("year", "")
        if not re.fullmatch(r"[0-9]{4}", said):
            raise DesignError(f'"{said[:20]}" is no year.', "year", "Write it like 2026.")
        year = year_of(book, int(said))
        if kind == "xlsx":
            return workbook(year), f"year {year.year}.xlsx"
        return page(year, "cm" if asked.get("units") == "cm" else "in").encode(), f"year {year.year}.html"


def _whole(book: Book) -> bytes:
    """The book as `slype book export` writes it, in one zip."""
    out = io.BytesIO()
    with tempfile.TemporaryDirectory() as folder, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file:
        for name in export(book, folder):
            file.write(os.path.join(folder, name), name)
    return out.getvalue()
