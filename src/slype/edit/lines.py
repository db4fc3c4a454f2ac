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
from difflib import SequenceMatcher

import tomlkit
from tomlkit.exceptions import TOMLKitError

from .lists import Entries, Path, key_text, nested, written
from .pieces import Statements, change_in, holder, in_table, pieces_of, remove_in, set_in, together


class Text:
    """The text of a design while it is being changed. `order` lists the tables in the order a maker writes them."""

    def __init__(self, text: str, order: tuple[str, ...]) -> None:
        self._crlf = "\r\n" in text and text.count("\r\n") == text.count("\n")
        plain = text.replace("\r\n", "\n") if self._crlf else text
        self._ended = plain.endswith("\n")
        self._order = order
        self._pieces = pieces_of(plain if self._ended else plain + "\n")

    def __str__(self) -> str:
        out = together(self._pieces)
        if not self._ended and out.endswith("\n"):
            out = out[:-1]
        return out.replace("\n", "\r\n") if self._crlf else out

    def put(self, path: Path, value: object) -> None:
        """Set the value at a path; tables that are missing are made."""
        held = holder(self._pieces, path)
        rest = path[len(held.address) :]
        if not held.address and self._starts_piece(rest):
            piece = Statements(f"[{key_text(path[0])}]\n", "", (path[0],), False)
            inner = value if len(path) == 1 else nested(path[1:], value)
            if isinstance(inner, dict):
                piece.text += "".join(f"{key_text(k)} = {written(v)}\n" for k, v in inner.items())
                self._add_piece(piece)
                return
        in_table(held, rest, lambda table, rest: set_in(table, rest, value))

    def _starts_piece(self, rest: Path) -> bool:
        """True when a table with a header should be made for it."""
        if rest[0] not in self._order or len(self._pieces) == 1:
            return False
        document = tomlkit.parse(self._pieces[0].text)
        return rest[0] not in document

    def _add_piece(self, piece: Statements) -> None:
        place = self._order.index(piece.address[0])
        for i, other in enumerate(self._pieces[1:], start=1):
            first = other.address[0]
            if first in self._order and self._order.index(first) >= place:
                piece.gap = "\n"
                self._pieces.insert(i, piece)
                return
        self._after(len(self._pieces) - 1, piece)

    def _after(self, i: int, piece: Statements) -> None:
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
            self._pieces.insert(whole[0], Statements(f"[{name}]\n", "\n", above, False))
        held = holder(self._pieces, path)
        rest = path[len(held.address) :]
        if not whole or (rest and rest[0] in tomlkit.parse(held.text)):
            in_table(held, rest, lambda table, rest: remove_in(table, rest))

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
        return together(self._pieces[start : end - 1]) + self._pieces[end - 1].text

    def _again(self) -> None:
        self._pieces = pieces_of(together(self._pieces))

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
        held = holder(self._pieces, path)
        rest = path[len(held.address) :]
        if isinstance(value, dict) and len(path) == 1 and not held.address and self._starts_piece(rest):
            text = f"[[{key_text(path[0])}]]\n" + "".join(f"{key_text(k)} = {written(v)}\n" for k, v in value.items())
            self._add_piece(Statements(text, "", (path[0], 0), True))
            return

        def add(text: str) -> str:
            parts = Entries.of(text)
            parts.insert(at, written(value))
            return parts.text()

        try:
            in_table(held, rest, lambda table, rest: change_in(table, rest, add))
        except (KeyError, TOMLKitError):
            in_table(held, rest, lambda table, rest: set_in(table, rest, [value]))

    def _insert_text(self, entries: list[tuple[int, int]], at: int, text: str) -> None:
        piece = Statements(text, "\n", (), True)
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
            self._pieces[start:end] = [Statements(texts[which], gap, (), True)]
        self._again()

    def _in_list(self, path: Path, do: Callable[[str], str]) -> None:
        held = holder(self._pieces, path)
        in_table(held, path[len(held.address) :], lambda table, rest: change_in(table, rest, do))

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
        piece.text for piece in pieces_of(plain + "\n" * (not plain.endswith("\n"))) if piece.address[:1] == (table,)
    )
