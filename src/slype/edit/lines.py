"""A design file's text changed in one place, all else left letter by letter.

The text is cut into pieces at its [headers]; only the piece that holds the key is handed to tomlkit, so comments,
order and spelling elsewhere cannot suffer. A piece takes the comments that stand right above its header with it; what
lies between pieces (blank lines, headings of the maker's) stays where it is. Lists and { … } tables are changed in
`edit.lists`.

Paths are tuples of keys and places counted from 0, as in the data that `tomllib` reads: ("band", 3, "colours", 0).
Nothing here knows what the keys mean; `edit.apply` does.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import pairwise
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from .lists import TOKEN, Entries, Path, inside, key_text, keys_of, nested, put_in, without, written

# The file in pieces --------------------------------------------------------------------------------------------


@dataclass
class _Piece:
    """A header and what stands below it; `gap` what follows up to the next one; `address` its path, () at the top."""

    text: str
    gap: str
    address: Path
    many: bool


def _statements(text: str) -> tuple[list[int], set[int], set[int]]:
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


def _pieces(text: str) -> list[_Piece]:
    heads, comments, full = _statements(text)
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
        out.append(_Piece(text[start:last], text[last:end], address, many))
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


def _together(pieces: list[_Piece]) -> str:
    return "".join(piece.text + piece.gap for piece in pieces)


def _holder(pieces: list[_Piece], path: Path) -> _Piece:
    """The piece with the longest address on the way to `path`."""
    return max((p for p in pieces if path[: len(p.address)] == p.address), key=lambda p: len(p.address))


def _in_table(piece: _Piece, rest: Path, do: Callable[[Any, Path], None]) -> None:
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


def _is_open(item: object) -> bool:
    """True for what stands over several lines of its own: a table by header or dotted keys."""
    return isinstance(item, tomlkit.items.Table | tomlkit.container.OutOfOrderTableProxy)


def _set_in(table, rest: Path, value: object) -> None:
    key = rest[0]
    if len(rest) > 1 and key in table:
        if _is_open(table[key]):
            _set_in(table[key], rest[1:], value)
            return
        text = put_in(table[key].as_string(), rest[1:], value)
    else:
        text = written(nested(rest[1:], value))
    table[key] = tomlkit.parse(f"x = {text}\n")["x"]


def _change_in(table, rest: Path, do: Callable[[str], str]) -> None:
    """`do` to the text of the value at `rest`."""
    key = rest[0]
    if len(rest) > 1 and _is_open(table[key]):
        _change_in(table[key], rest[1:], do)
        return
    text = inside(table[key].as_string(), rest[1:], do)
    table[key] = tomlkit.parse(f"x = {text}\n")["x"]


def _remove_in(table, rest: Path) -> None:
    if len(rest) == 1:
        del table[rest[0]]
    elif _is_open(table[rest[0]]):
        _remove_in(table[rest[0]], rest[1:])
    else:
        _change_in(table, rest[:-1], lambda text: without(text, rest[-1]))


# Changes -------------------------------------------------------------------------------------------------------


class Text:
    """The text of a design while it is being changed. `order` lists the tables in the order a maker writes them."""

    def __init__(self, text: str, order: tuple[str, ...]) -> None:
        self._crlf = "\r\n" in text and text.count("\r\n") == text.count("\n")
        plain = text.replace("\r\n", "\n") if self._crlf else text
        self._ended = plain.endswith("\n")
        self._order = order
        self._pieces = _pieces(plain if self._ended else plain + "\n")

    def __str__(self) -> str:
        out = _together(self._pieces)
        if not self._ended and out.endswith("\n"):
            out = out[:-1]
        return out.replace("\n", "\r\n") if self._crlf else out

    def put(self, path: Path, value: object) -> None:
        """Set the value at a path; tables that are missing are made."""
        held = _holder(self._pieces, path)
        rest = path[len(held.address) :]
        if not held.address and self._starts_piece(rest):
            piece = _Piece(f"[{key_text(path[0])}]\n", "", (path[0],), False)
            inner = value if len(path) == 1 else nested(path[1:], value)
            if isinstance(inner, dict):
                piece.text += "".join(f"{key_text(k)} = {written(v)}\n" for k, v in inner.items())
                self._add_piece(piece)
                return
        _in_table(held, rest, lambda table, rest: _set_in(table, rest, value))

    def _starts_piece(self, rest: Path) -> bool:
        """True when a table with a header should be made for it."""
        if rest[0] not in self._order or len(self._pieces) == 1:
            return False
        document = tomlkit.parse(self._pieces[0].text)
        return rest[0] not in document

    def _add_piece(self, piece: _Piece) -> None:
        place = self._order.index(piece.address[0])
        for i, other in enumerate(self._pieces[1:], start=1):
            first = other.address[0]
            if first in self._order and self._order.index(first) >= place:
                piece.gap = "\n"
                self._pieces.insert(i, piece)
                return
        self._after(len(self._pieces) - 1, piece)

    def _after(self, i: int, piece: _Piece) -> None:
        """Put a piece behind piece `i`, a blank line between."""
        before = self._pieces[i]
        if "#" in before.gap:
            piece.gap, before.gap = "", before.gap if before.gap.endswith("\n\n") else before.gap + "\n"
        else:
            piece.gap, before.gap = before.gap, "\n"
        self._pieces.insert(i + 1, piece)

    def drop(self, path: Path) -> None:
        """Take a key, a whole table or an entry of a list out."""
        if isinstance(path[-1], int) and self._entries(path[:-1]):
            self._drop_entry(path)
            return
        whole = [i for i, p in enumerate(self._pieces) if p.address and p.address[: len(path)] == path]
        for i in reversed(whole):
            self._drop_piece(i)
        above = path[:-1]
        if whole and above and not any(p.address[: len(above)] == above for p in self._pieces):
            # [above.gone] was all that named the table above it, which is still there, though empty.
            name = ".".join(key_text(key) for key in above if isinstance(key, str))
            self._pieces.insert(whole[0], _Piece(f"[{name}]\n", "\n", above, False))
        held = _holder(self._pieces, path)
        rest = path[len(held.address) :]
        if not whole or (rest and rest[0] in tomlkit.parse(held.text)):
            _in_table(held, rest, lambda table, rest: _remove_in(table, rest))

    def _drop_piece(self, i: int) -> None:
        gone, before = self._pieces.pop(i), self._pieces[i - 1]
        if "#" in gone.gap:
            before.gap += gone.gap
        elif i == len(self._pieces) and "#" not in before.gap:
            before.gap = gone.gap if i > 1 or before.text else ""

    def rename(self, path: Path, to: str) -> bool:
        """Write another name for a key or table where it stands; False where that cannot be done in its line."""
        old, new = re.escape(str(path[-1])), key_text(to)
        spelt = rf"({old}|\"{old}\"|'{old}')"
        done = False
        for piece in self._pieces:
            if piece.address == path[:-1]:
                text, many = re.subn(rf"^([ \t]*){spelt}([ \t]*=)", rf"\g<1>{new}\g<3>", piece.text, flags=re.MULTILINE)
            elif piece.address[: len(path)] == path:
                text, many = re.subn(rf"\A(\[\[?(?:[^\n]*?\.)?){spelt}([.\]])", rf"\g<1>{new}\g<3>", piece.text)
            else:
                continue
            if many == 1:
                piece.text, done = text, True
        if done:
            self._again()
        return done

    # Lists of tables with headers: entry n is a piece and the pieces below it

    def _entries(self, path: Path) -> list[tuple[int, int]]:
        """Of every [[entry]] of the list at `path`, the places of its first piece and the one after its last."""
        out = []
        for i, piece in enumerate(self._pieces):
            if piece.many and piece.address[:-1] == path:
                end = i + 1
                while end < len(self._pieces) and self._pieces[end].address[: len(piece.address)] == piece.address:
                    end += 1
                out.append((i, end))
        return out

    def _lifted(self, start: int, end: int) -> str:
        return _together(self._pieces[start : end - 1]) + self._pieces[end - 1].text

    def _again(self) -> None:
        self._pieces = _pieces(_together(self._pieces))

    def _drop_entry(self, path: Path) -> None:
        start, end = self._entries(path[:-1])[int(path[-1])]
        last = end == len(self._pieces) or self._pieces[end].address[: len(path) - 1] != path[:-1]
        gap, before = self._pieces[end - 1].gap, self._pieces[start - 1]
        if "#" in gap:
            before.gap += gap
        elif last and "#" not in before.gap:
            before.gap = gap
        del self._pieces[start:end]
        self._again()

    def insert(self, path: Path, at: int, value: object) -> None:
        """Put a new entry into the list at `path`, making the list where there is none."""
        entries = self._entries(path)
        if entries and isinstance(value, dict):
            name = ".".join(key_text(key) for key in path if isinstance(key, str))
            text = f"[[{name}]]\n" + "".join(f"{key_text(k)} = {written(v)}\n" for k, v in value.items())
            self._insert_text(entries, at, text)
            return
        held = _holder(self._pieces, path)
        rest = path[len(held.address) :]
        if isinstance(value, dict) and len(path) == 1 and not held.address and self._starts_piece(rest):
            text = f"[[{key_text(path[0])}]]\n" + "".join(f"{key_text(k)} = {written(v)}\n" for k, v in value.items())
            self._add_piece(_Piece(text, "", (path[0], 0), True))
            return

        def add(text: str) -> str:
            parts = Entries.of(text)
            parts.insert(at, written(value))
            return parts.text()

        try:
            _in_table(held, rest, lambda table, rest: _change_in(table, rest, add))
        except (KeyError, TOMLKitError):
            _in_table(held, rest, lambda table, rest: _set_in(table, rest, [value]))

    def _insert_text(self, entries: list[tuple[int, int]], at: int, text: str) -> None:
        piece = _Piece(text, "\n", (), True)
        if at < len(entries):
            self._pieces.insert(entries[at][0], piece)
        else:
            self._after(entries[-1][1] - 1, piece)
        self._again()

    def copy(self, path: Path, at: int, to: int) -> None:
        """Put entry `at` of the list in once more at place `to`, with its comments."""
        entries = self._entries(path)
        if entries:
            self._insert_text(entries, to, self._lifted(*entries[at]))
            return

        def twice(text: str) -> str:
            parts = Entries.of(text)
            parts.insert(to, parts.rows[at].body)
            return parts.text()

        self._in_list(path, twice)

    def move(self, path: Path, at: int, to: int) -> None:
        """Take entry `at` of the list out and put it in again as entry `to`."""
        entries = self._entries(path)
        if not entries:

            def arranged(text: str) -> str:
                parts = Entries.of(text)
                parts.arrange(_moved(len(parts.rows), at, to))
                return parts.text()

            self._in_list(path, arranged)
            return
        texts = [self._lifted(*entry) for entry in entries]
        gaps = [self._pieces[end - 1].gap for _, end in entries]
        order = _moved(len(entries), at, to)
        for (start, end), gap, which in reversed(list(zip(entries, gaps, order, strict=True))):
            self._pieces[start:end] = [_Piece(texts[which], gap, (), True)]
        self._again()

    def _in_list(self, path: Path, do: Callable[[str], str]) -> None:
        held = _holder(self._pieces, path)
        _in_table(held, path[len(held.address) :], lambda table, rest: _change_in(table, rest, do))

    # All that differs

    def follow(self, old: object, new: object, path: Path = ()) -> None:
        """Write what is different in `new` from `old`, which the text says now."""
        if isinstance(old, dict) and isinstance(new, dict):
            for key in [key for key in old if key not in new]:
                self.drop((*path, key))
            for key, value in new.items():
                if key not in old:
                    self._bring(path, key, value)
                elif not same(old[key], value):
                    self.follow(old[key], value, (*path, key))
        elif isinstance(old, list) and isinstance(new, list) and old and new:
            self._follow_list(old, new, path)
        else:
            self.put(path, new)

    def _bring(self, path: Path, key: str, value: object) -> None:
        if not path and isinstance(value, list) and value and all(isinstance(each, dict) for each in value):
            for i, each in enumerate(value):
                self.insert((key,), i, each)
        else:
            self.put((*path, key), value)

    def _follow_list(self, old: list, new: list, path: Path) -> None:
        if len(old) == len(new):
            for i, (a, b) in enumerate(zip(old, new, strict=True)):
                if not same(a, b):
                    self.follow(a, b, (*path, i))
            return
        matched = SequenceMatcher(None, [repr(each) for each in old], [repr(each) for each in new], autojunk=False)
        for what, a, b, c, d in reversed(matched.get_opcodes()):
            if what == "equal":
                continue
            for i in reversed(range(a, b)):
                if i - a >= d - c:
                    self.drop((*path, i))
                else:
                    self.follow(old[i], new[c + i - a], (*path, i))
            for j in range(c + (b - a), d):
                self.insert(path, a + (j - c), new[j])


def _moved(many: int, at: int, to: int) -> list[int]:
    order = list(range(many))
    order.insert(to, order.pop(at))
    return order


def same(a: object, b: object) -> bool:
    """Equal in value and kind, so that true is not 1 and 1 not 1.0."""
    if isinstance(a, dict) and isinstance(b, dict):
        # A table without keys says as much as none: dotted keys leave none behind.
        a, b = ({key: value for key, value in each.items() if value != {}} for each in (a, b))
        return a.keys() == b.keys() and all(same(a[key], b[key]) for key in a)
    if isinstance(a, list) and isinstance(b, list):
        return len(a) == len(b) and all(map(same, a, b))
    return type(a) is type(b) and (a == b or (a != a and b != b))


def section(text: str, table: str) -> str:
    """The lines of a design file that make up one table, as they stand; "" where there are none."""
    plain = text.replace("\r\n", "\n")
    return "".join(
        piece.text for piece in _pieces(plain + "\n" * (not plain.endswith("\n"))) if piece.address[:1] == (table,)
    )
