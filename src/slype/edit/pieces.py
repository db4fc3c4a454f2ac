"""A design's text in pieces, a table and its keys in each, so that a change touches only the piece it is about."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import tomlkit

from .lists import TOKEN, Path, inside, keys_of, nested, put_in, without, written

# The file in pieces --------------------------------------------------------------------------------------------


@dataclass
class Statements:
    """A header and what stands below it; `gap` what follows up to the next one; `address` its path, () at the top."""

    text: str
    gap: str
    address: Path
    many: bool


def statements(text: str) -> tuple[list[int], set[int], set[int]]:
    """(where headers' lines begin, where lines that only hold a comment begin, where lines end that hold more)."""
    heads, comments, full = [], set(), set()
    depth, in_value, line = 0, False, 0
    for token in TOKEN.finditer(text):
        sign = token[0]
        if sign == "\n":
            if text[line : token.start()].strip() and line not in comments:
                full.add(token.end())
            line = token.end()
            in_value = in_value and depth > 0
        elif sign.startswith("#"):
            if not text[line : token.start()].strip() and depth == 0:
                comments.add(line)
        elif sign == "=" and depth == 0:
            in_value = True
        elif sign in "[{":
            if depth == 0 and not in_value and not text[line : token.start()].strip():
                heads.append(line)
            depth += 1
        elif sign in "]}":
            depth -= 1
        elif "\n" in sign:  # text over several lines
            line = token.start()
    return heads, comments, full


def pieces_of(text: str) -> list[Statements]:
    heads, comments, full = statements(text)
    starts = []
    for head in heads:
        start = head
        while start > 0 and (above := text.rfind("\n", 0, start - 1) + 1) in comments and above < start:
            start = above
        starts.append(start)
    bounds, out = [0, *starts, len(text)], []
    counts: dict[Path, int] = {}
    for i, (start, end) in enumerate(pairwise(bounds)):
        last = max((at for at in full if start < at <= end), default=start)
        while last in comments and last < end:  # what is said right below the last key belongs to it
            last = text.find("\n", last, end) + 1 or end
        address: Path = ()
        many = False
        if i:
            header = text[heads[i - 1] : text.find("\n", heads[i - 1])]
            many = header.lstrip().startswith("[[")
            address = _address(keys_of(header), many, counts)
        out.append(Statements(text[start:last], text[last:end], address, many))
    return out


def _address(keys: tuple[str, ...], many: bool, counts: dict[Path, int]) -> Path:
    address: Path = ()
    for n, key in enumerate(keys):
        address = (*address, key)
        if n == len(keys) - 1 and many:
            counts[address] = counts.get(address, -1) + 1
        if address in counts:
            address = (*address, counts[address])
    return address


def together(pieces: list[Statements]) -> str:
    return "".join(piece.text + piece.gap for piece in pieces)


def holder(pieces: list[Statements], path: Path) -> Statements:
    """The piece with the longest address on the way to `path`."""
    return max((p for p in pieces if path[: len(p.address)] == p.address), key=lambda p: len(p.address))


def in_table(piece: Statements, rest: Path, do: Callable[[Any, Path], None]) -> None:
    """Do something to the table of a piece that holds `rest`, and to its key there, and write the piece again."""
    document = tomlkit.parse(piece.text)
    table: Any = document
    for key in piece.address:
        if not isinstance(key, int):
            table = table[key]
        elif isinstance(table, tomlkit.items.AoT):  # under [list.table] the entry is the list's own table
            table = table[0]
    do(table, rest)
    piece.text = document.as_string()


def is_open(item: object) -> bool:
    """True for what stands over several lines of its own: a table by header or dotted keys."""
    return isinstance(item, tomlkit.items.Table | tomlkit.container.OutOfOrderTableProxy)


def set_in(table, rest: Path, value: object) -> None:
    key = rest[0]
    if len(rest) > 1 and key in table:
        if is_open(table[key]):
            set_in(table[key], rest[1:], value)
            return
        text = put_in(table[key].as_string(), rest[1:], value)
    else:
        text = written(nested(rest[1:], value))
    table[key] = tomlkit.parse(f"x = {text}\n")["x"]


def change_in(table, rest: Path, do: Callable[[str], str]) -> None:
    """`do` to the text of the value at `rest`."""
    key = rest[0]
    if len(rest) > 1 and is_open(table[key]):
        change_in(table[key], rest[1:], do)
        return
    text = inside(table[key].as_string(), rest[1:], do)
    table[key] = tomlkit.parse(f"x = {text}\n")["x"]


def remove_in(table, rest: Path) -> None:
    if len(rest) == 1:
        del table[rest[0]]
    elif is_open(table[rest[0]]):
        remove_in(table[rest[0]], rest[1:])
    else:
        change_in(table, rest[:-1], lambda text: without(text, rest[-1]))


# Changes -------------------------------------------------------------------------------------------------------


