"""Parts of a report on a terminal or as plain text: headings, tables, bullets, and how they are printed.

It knows no plan, so that what needs none, like the list of borders, is there at once.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from io import StringIO
from typing import IO, Any

from rich.console import Console, RenderableType
from rich.table import Table
from rich.text import Text

from ..quantity import show_length
from ..sources import short_source
from ..words import worded
from .columns import Columns

WIDEST = 100  # longer lines are hard to follow
Parts = list[RenderableType]


class Plain(Console):
    """Prints words as they are: no title is taken for markup, and no note kept in a book steers the terminal."""

    def __init__(self, **how: Any) -> None:
        super().__init__(markup=False, emoji=False, highlight=False, **how)

    def render_str(self, text: str, **how: Any) -> Text:
        return super().render_str("".join(sign if sign.isprintable() or sign == "\n" else " " for sign in text), **how)


def console_for(file: IO[str], width: int | None = None) -> Console:
    """A console that never takes a basket's title for markup and never grows wider than one can read."""
    console = Plain(file=file, width=width)
    console.width = min(console.width, WIDEST)
    return console


def show(parts: Parts) -> None:
    """Print a report on standard output."""
    console = console_for(sys.stdout)
    if not console.is_terminal:
        sys.stdout.write(text(parts, console.width))
        return
    for part in parts:
        console.print(part)


def text(parts: Parts, width: int = 80) -> str:
    """A report as plain text: no colours, no trailing blanks."""
    out = StringIO()
    console = Plain(file=out, width=width, color_system=None)
    for part in parts:
        console.print(part)
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines()) + "\n"


def heading(words: str) -> Text:
    return Text("\n" + words, style="bold underline")


def columns(*heads: str) -> Columns:
    """A table with these heads (see `Columns`): ">" before one that holds figures, "=" before one kept on one line."""
    return Columns(heads)


def bullets(lines: Iterable[str]) -> Table:
    grid = Table.grid(padding=(0, 1))
    grid.add_column(width=1)
    grid.add_column(overflow="fold")
    for line in lines:
        grid.add_row("-", line)
    return grid


def sentence(words: str) -> str:
    return words[:1].upper() + words[1:]


def between(range_mm: tuple[float, float], units: str) -> str:
    """`31 to 37 1/4 in`."""
    low, high = (show_length(mm, units, 4) for mm in range_mm)
    same = low.split()[-1] == high.split()[-1]
    return f"{low.rsplit(' ', 1)[0] if same else low} to {high}"


def part_cells(part: tuple[str, float, str, str], units: str, wording: str) -> tuple[str, str, str, str]:
    """A part of a length, its reason and its source, for a row of a table."""
    name, mm, why, source = part
    return worded(name, wording), show_length(mm, units), worded(why, wording), short_source(source)
