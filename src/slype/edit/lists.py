"""Values of a design file as text, and lists and { … } tables changed at their commas.

Comments and spaces beside what changes stay; a comment on an entry's line, or on lines of its own above it, belongs to
that entry. `edit.lines` puts the result back into the file.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

import tomlkit

Path = tuple[str | int, ...]

TOKEN = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}|\'\'\'.*?\'{3,5}|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'|#[^\n]*|[\[\]{},=\n]', re.DOTALL
)
"""What tells the parts of TOML apart: texts, comments, brackets, commas, ends of lines."""
_COMMENT = re.compile(r"[ \t]*#[^\n]*")
_BARE = re.compile(r"[A-Za-z0-9_-]+")


class CannotKeep(Exception):
    """The text is built in a way that this change would disturb."""


# Values as text ------------------------------------------------------------------------------------------------


LONG_LINE = 100


def written(value: object) -> str:
    """A value as TOML on one line, spaced as the examples are; a long list of tables has a line for each."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key_text(k)} = {written(v)}" for k, v in value.items()) + " }" if value else "{}"
    if isinstance(value, list | tuple):
        each = [written(inner) for inner in value]
        line = "[" + ", ".join(each) + "]"
        if len(line) <= LONG_LINE or not all(isinstance(inner, dict) for inner in value):
            return line
        return "[\n" + "".join(f"    {inner},\n" for inner in each) + "]"
    return tomlkit.item(value).as_string()


def key_text(key: Any) -> str:
    """A key as TOML. Raises TypeError for a place, which is no key."""
    return key if _BARE.fullmatch(key) else tomlkit.item(key).as_string()


def nested(rest: Path, value: object) -> object:
    for key in reversed(rest):
        value = {key: value}
    return value


def keys_of(line: str) -> tuple[str, ...]:
    """The dotted keys that a header names, or a key with its value."""
    if not line.lstrip().startswith("["):
        line = line[: next(token.start() for token in TOKEN.finditer(line) if token[0] == "=")] + "= 0"
    found, out = tomllib.loads(line), []
    while found:
        ((key, found),) = found.items() if isinstance(found, dict) else found[0].items()
        out.append(key)
        if found == [{}]:
            break
    return tuple(out)


@dataclass
class Entry:
    """One entry of a list or { … } table: what stands before it, itself, what follows before and after its comma."""

    lead: str
    body: str
    trail: str = ""
    tail: str = ""


@dataclass
class Entries:
    """A list or { … } table taken apart."""

    open: str
    rows: list[Entry]
    comma: str
    close: str

    @classmethod
    def of(cls, text: str) -> Entries:
        pieces, depth, at = [], 0, 1
        for token in TOKEN.finditer(text):
            if token[0] in "[{":
                depth += 1
            elif token[0] in "]}":
                depth -= 1
                if depth == 0:
                    pieces.append(text[at : token.start()])
                    break
            elif token[0] == "," and depth == 1:
                pieces.append(text[at : token.start()])
                at = token.end()
        opening = text[0]
        rows: list[Entry] = []
        for i, piece in enumerate(pieces):
            said = _COMMENT.match(piece)  # a comment on the line of the comma, or of the opening bracket, before
            if said:
                piece = piece[said.end() :]
                if rows:
                    rows[-1].tail = said[0]
                else:
                    opening += said[0]
            start, end = _body(piece)
            if start == end:  # nothing after the last comma
                return cls(opening, rows, "," if rows else "", piece + text[-1])
            rows.append(Entry(piece[:start], piece[start:end], piece[end:]))
            if i == len(pieces) - 1:
                last, said = rows[-1], _COMMENT.match(rows[-1].trail)
                last.tail, close = (said[0], last.trail[said.end() :]) if said else ("", last.trail)
                last.trail = ""
                return cls(opening, rows, "", close + text[-1])
        return cls(opening, rows, "", text[-1])

    def text(self) -> str:
        out = [self.open]
        for i, row in enumerate(self.rows):
            comma = "," if i < len(self.rows) - 1 else self.comma
            if "#" in out[-1].rsplit("\n", 1)[-1] and "\n" not in row.lead and _ends_in_comment(out[-1]):
                out.append("\n")
            out += [row.lead, row.body, row.trail, comma, row.tail]
        close = self.close
        if self.rows and self.rows[-1].tail and not close.startswith("\n"):
            close = "\n" + close
        return "".join([*out, close])

    def insert(self, at: int, body: str) -> None:
        table = self.open.startswith("{")
        if not self.rows:
            blank = " " if table else ""
            self.rows.append(Entry(blank, body))
            if self.close.strip() == self.close:
                self.close = blank + self.close
            return
        beside = self.rows[min(at, len(self.rows) - 1)].lead
        lead = "\n" + beside.rsplit("\n", 1)[-1] if "\n" in beside else beside
        if "\n" not in beside:
            if at == 0:
                self.rows[0].lead = " "
            else:
                lead = " "
        self.rows.insert(at, Entry(lead, body))

    def arrange(self, order: list[int]) -> None:
        """Keep the rows of these places, in this order; spaces stay, comments go with their rows."""
        leads = [row.lead for row in self.rows]
        self.rows = [self.rows[i] for i in order]
        if not any("#" in lead for lead in leads):
            for row, lead in zip(self.rows, leads, strict=False):
                row.lead = lead


def _ends_in_comment(text: str) -> bool:
    tokens = [token[0] for token in TOKEN.finditer(text)]
    return bool(tokens) and tokens[-1].startswith("#")


def _body(piece: str) -> tuple[int, int]:
    """Where the value of a piece between commas begins and ends, comments and spaces left out."""
    start, end, at = None, 0, 0
    while at < len(piece):
        token = TOKEN.match(piece, at)
        step = token.end() if token else at + 1
        if not piece[at].isspace() and piece[at] != "#":
            start = at if start is None else start
            end = step
        at = step
    return (0, 0) if start is None else (start, end)


def inside(text: str, rest: Path, do: Callable[[str], str]) -> str:
    """A value's text with `do` done to what `rest` leads to in it."""
    if not rest:
        return do(text)
    parts = Entries.of(text) if text[:1] in ("[", "{") else None
    if parts is None:
        raise CannotKeep
    if isinstance(rest[0], int):
        row = parts.rows[rest[0]]
        row.body = inside(row.body, rest[1:], do)
        return parts.text()
    for row in parts.rows:
        keys = keys_of(row.body)
        if rest[: len(keys)] == keys:
            at = _value_at(row.body)
            row.body = row.body[:at] + inside(row.body[at:], rest[len(keys) :], do)
            return parts.text()
    raise KeyError(rest[0])


def _value_at(pair: str) -> int:
    """Where the value of `key = value` begins."""
    after = next(token.end() for token in TOKEN.finditer(pair) if token[0] == "=")
    return after + len(pair[after:]) - len(pair[after:].lstrip())


def put_in(text: str, rest: Path, value: object) -> str:
    """A list or { … } table with the value at `rest` set, or added."""
    for depth in range(len(rest), -1, -1):  # the deepest table that is there takes what is missing
        try:
            if depth == len(rest):
                return inside(text, rest, lambda _: written(value))
            pair = f"{key_text(rest[depth])} = {written(nested(rest[depth + 1 :], value))}"
            return inside(text, rest[:depth], partial(_added, pair=pair))
        except KeyError:
            continue
    raise CannotKeep


def _added(table: str, pair: str) -> str:
    parts = Entries.of(table)
    parts.insert(len(parts.rows), pair)
    return parts.text()


def without(text: str, key: str | int) -> str:
    parts = Entries.of(text)
    gone = key if isinstance(key, int) else next(i for i, row in enumerate(parts.rows) if keys_of(row.body) == (key,))
    parts.arrange([i for i in range(len(parts.rows)) if i != gone])
    if not parts.rows:
        parts.comma, parts.close = "", parts.close.strip()
    return parts.text()
