"""What a class is told in: headings, lines, facts and tables, in parts with a title."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Heading:
    """A heading within a part."""

    text: str


@dataclass(frozen=True)
class Lines:
    """Sentences, one below the other; `quiet` ones run on in small type: where numbers come from, remarks."""

    lines: tuple[str, ...]
    quiet: bool = False


@dataclass(frozen=True)
class Facts:
    """Pairs of a name and what it is."""

    pairs: tuple[tuple[str, str], ...]


Opened = tuple[tuple[str, str, str], ...]
"""What a number is made of: (name, value, why)."""


@dataclass(frozen=True)
class Table:
    """A table: `head`, `rows` of texts; `right` the columns (from 0) that stand to the right, `wide` the one that takes
    what is left of the width (-1: none), `ticked` with a box before each row; `grid` ruled all round, its cells
    narrow. `opens[i]` what row i opens into on a screen, as (name, value, why); paper prints none of it."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: frozenset[int] = frozenset()
    wide: int = 0
    ticked: bool = False
    grid: bool = False
    opens: tuple[Opened, ...] = ()


@dataclass(frozen=True)
class Picture:
    """A drawing, as SVG, with what it shows in words."""

    svg: str
    alt: str


Block = Heading | Lines | Facts | Table | Picture


@dataclass(frozen=True)
class Part:
    """One part, with a `key` for programs and a `title`; `new_page` where it begins one."""

    key: str
    title: str
    blocks: tuple[Block, ...]
    new_page: bool = True


TICK = "\u2610"
"""A box to tick in a cell of a table."""
