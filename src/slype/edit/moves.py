"""A border by name, told row by row instead: its moves as a maker would write them in the file."""

from __future__ import annotations

from ..borders.rows import Border
from ..borders.table import kind_named
from .sizes import Note


def moves_of(border: Border) -> list[str]:
    """The rows of a border, each like "behind 1 out", as the design file has them."""
    return [f"{', '.join(_leg(*leg) for leg in row.legs)} {row.finish}" for row in border.rows]


def _leg(over: bool, count: int) -> str:
    return f"over {count}" if over else f"behind {count}"


def written_out(before: dict, border: dict) -> list[Note]:
    """The [border] table that has lost its kind gets the moves of what it was `before`."""
    kind = kind_named(before["kind"])
    border["rows"] = moves_of(kind.border)
    said = "The moves of {kind} are written out, to be changed as you like."
    if kind.border.order is not None:
        said = (
            "The moves of {kind} are written out as rows: now every end makes the first move before any makes the next."
        )
    return [(said, {"kind": kind.name})]
