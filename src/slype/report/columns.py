"""Tables for a terminal of any width: nothing is ever cropped, and a figure never broken.

Where a table is too wide its columns of words wrap; where even the longest words and figures stand too wide side by
side, every row becomes a paragraph, a line for each of its cells.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from rich import box
from rich.console import Console, ConsoleOptions, RenderableType
from rich.measure import Measurement
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

GAP = 3
"""Signs between two columns."""
HANDY = 18
"""A column of words is no narrower than this while there is room: three or four words stay together."""


@dataclass
class Columns:
    """A table under these `heads`. One that begins with ">" holds figures, set to the right; one that begins with "="
    holds what must stay on one line, like a range."""

    heads: tuple[str, ...]
    rows: list[tuple[tuple[str, ...], str]] = field(default_factory=list)

    def add_row(self, *cells: str, style: str = "") -> None:
        """One row, a text for every head."""
        if len(cells) != len(self.heads):
            raise ValueError(f"{len(cells)} cells under {len(self.heads)} heads")
        self.rows.append((cells, style))

    @property
    def names(self) -> list[str]:
        """The heads as they are read."""
        return [head.lstrip(">=") for head in self.heads]

    def widths(self, most: int) -> list[int] | None:
        """How wide each column stands in so wide a terminal; None where they cannot stand side by side."""
        least, full = self._least(), self._full()
        room = most - GAP * (len(self.heads) - 1) - sum(least)
        if room < 0:
            return None
        handy = [max(narrow, min(wide, HANDY)) for narrow, wide in zip(least, full, strict=True)]
        if sum(handy) - sum(least) <= room:
            least, room = handy, room - sum(handy) + sum(least)
        wanted = [wide - narrow for narrow, wide in zip(least, full, strict=True)]
        share = min(1.0, room / max(1, sum(wanted)))
        widths = [narrow + int(more * share) for narrow, more in zip(least, wanted, strict=True)]
        # What rounding left over goes to the columns that want it, from the left.
        for i, (width, wide) in enumerate(zip(widths, full, strict=True)):
            more = min(wide - width, room - sum(widths) + sum(least))
            widths[i] = width + max(0, more)
        return widths

    def _least(self) -> list[int]:
        words = [max((len(word) for word in name.split()), default=0) for name in self.names]
        for cells, _ in self.rows:
            for i, cell in enumerate(cells):
                pieces = [cell] if self.heads[i][:1] in (">", "=") else cell.split()
                words[i] = max(words[i], *(len(piece) for piece in pieces), 0)
        return words

    def _full(self) -> list[int]:
        columns = zip(self.names, *(cells for cells, _ in self.rows), strict=True)
        return [max(len(cell) for cell in column) for column in columns]

    def __rich_measure__(self, console: Console, options: ConsoleOptions) -> Measurement:
        return Measurement(1, options.max_width)

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> Iterator[RenderableType]:
        widths = self.widths(options.max_width)
        if widths is None:
            yield from self._paragraphs()
            return
        table = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, header_style="bold")
        for head, name, width in zip(self.heads, self.names, widths, strict=True):
            table.add_column(name, justify="right" if head[:1] == ">" else "left", width=width, overflow="fold")
        for cells, style in self.rows:
            table.add_row(*cells, style=style)
        yield table

    def _paragraphs(self) -> Iterator[RenderableType]:
        """A row after the other: the first cell that says something heads the others."""
        for cells, style in self.rows:
            said = [(name, cell) for name, cell in zip(self.names, cells, strict=True) if cell]
            for i, (name, cell) in enumerate(said):
                line = Text(f"{name}: {cell}" if name else cell, style=style if i or style else "bold", overflow="fold")
                yield Padding(line, (0, 0, 0, 2 if i else 0))
            yield Text("")
