"""Changes to a design file that keep the maker's comments, order and spelling.

A change is plain data (it may come from a page), one of

    {"set": path, "to": value}        null takes the key out; tables on the way are made
    {"insert": path, "at": place, "value": value}
    {"remove": path}                  a key, a table, or an entry of a list
    {"move": path, "from": place, "to": place}
    {"copy": path of an entry, "to": place}
    {"rename": path, "to": name}      a colour or reed of the maker's own, wherever it is used

A path is a list of keys and places, places counted from 0: ["band", 3, "colours", 0]. What goes with a change
(`edit.follow`) is changed along, and told in notes. The text that comes out can be read as a design, or nothing is
changed and the reader's DesignError goes on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from tomlkit.exceptions import TOMLKitError

from ..design.file import reader
from ..design.file.keys import TABLES
from ..design.file.reader import in_own_words, own_tables, tables_of, toml_of
from ..design.file.toml import copied
from ..design.values import Design
from ..errors import DesignError
from ..files import MOST_BYTES, no_larger, too_large
from ..words import say
from .blank import blank
from .follow import Note, follow_up, settle, spread_colours
from .lines import Text, same
from .lists import CannotKeep, Path
from .renames import refuse_if_used, rename
from .sizes import units_of
from .values import (
    MOST_CHANGES,
    as_makers_round,
    as_typed,
    checked_path,
    checked_place,
    checked_value,
    where_of,
)

__all__ = ["Edited", "apply", "as_makers_round", "blank", "changed", "document"]

DEEPEST_TEXT = 30
_SHAPES = {
    "set": {"to"},
    "insert": {"at", "value"},
    "remove": set(),
    "move": {"from", "to"},
    "copy": {"to"},
    "rename": {"to"},
}


@dataclass(frozen=True)
class Edited:
    """A design's new `text`, `notes`: what else was changed along, in a maker's words; and the `design` it reads as."""

    text: str
    notes: tuple[str, ...] = ()
    design: Design | None = field(default=None, repr=False, compare=False)


def apply(text: str, changes: Sequence[dict], name: str = "the design") -> Edited:
    """The text with all changes made, in turn. Raises DesignError, and changes nothing, when one cannot be made or
    the result cannot be read as a design; its `where` names table and key."""
    no_larger(text, name)
    if not isinstance(changes, list | tuple) or len(changes) > MOST_CHANGES:
        raise DesignError(f"changes should be a list, of {MOST_CHANGES} at most.", name)
    text = text.removeprefix("\ufeff")
    work = _Work(text, _walkable(toml_of(text, name), name))
    try:
        work.take_own_words()
        for change in changes:
            work.do(change)
        design, notes = settle(work.tables, work.asked)
    except DesignError as trouble:
        raise trouble.inside(name) from None
    out, written = work.text(name)
    if len(out.encode("utf-8", "replace")) > MOST_BYTES:
        raise too_large(name, "design", "would be")
    read = reader.parsed(own_tables(written, name), name)
    told = ((note, values) for note, values in (*work.notes, *notes))
    said = dict.fromkeys(say(note, design.wording, design.hand, False, **values) for note, values in told)
    return Edited(out, tuple(line[:1].upper() + line[1:] for line in said), read)


def changed(tables: dict, changes: Sequence[dict]) -> Design:
    """The design that the tables of a text make with all changes made, as `apply` would make them; the tables stay as
    they are. Raises DesignError as `apply` does, but for what only the text can tell."""
    work = _Tables(copied(tables))
    for change in changes:
        work.do(change)
    design, _ = settle(work.tables, work.asked)
    return design


def document(text: str, name: str = "the design", tables: dict | None = None) -> dict[str, Any]:
    """The tables of a design's text as plain data for JSON, texts as they are typed; `band` and `handle` are lists.

    `tables` what the text says, where it has been read. Raises DesignError when the text is no TOML; it need not be a
    whole design.
    """
    no_larger(text, name)
    said = _for_json(_tables(text.removeprefix("\ufeff"), name) if tables is None else _walkable(tables, name))
    for key in ("band", "handle"):
        given = said.get(key, [])
        said[key] = [each for each in (given if isinstance(given, list) else [given]) if isinstance(each, dict)]
    return said


def _tables(text: str, name: str) -> dict:
    return _walkable(tables_of(text, name), name)


def _walkable(tables: dict, name: str) -> dict:
    """The tables, when they are not nested so deep that walking through them would come to grief."""
    here: list[tuple[int, object]] = [(0, tables)]
    while here:
        depth, value = here.pop()
        if depth > DEEPEST_TEXT:
            raise DesignError("is nested far deeper than any design.", name)
        if isinstance(value, dict | list):
            inner = value.values() if isinstance(value, dict) else value
            here += [(depth + 1, each) for each in inner]
    return tables


def _for_json(value: object) -> Any:
    if isinstance(value, dict):
        return {key: _for_json(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_for_json(inner) for inner in value]
    if isinstance(value, float) and not abs(value) < float("inf"):
        return str(value)
    return value if isinstance(value, str | int | float) else str(value)


class _Work:
    """A design while it is being changed: `tables` what it shall say; `asked` what the maker set; `notes`."""

    def __init__(self, text: str, tables: dict) -> None:
        self._text, self._said = Text(text, TABLES), copied(tables)
        self.tables = tables
        self.asked: list[Path] = []
        self.notes: list[Note] = []

    def text(self, name: str) -> tuple[str, dict]:
        """The text and its tables, held against ours: what cannot be written without harm is refused, never written
        wrong."""
        self._write(name)
        out = str(self._text)
        written = toml_of(out, name)
        if not same(written, self.tables):
            raise _cannot_keep(name)
        return out, written

    def _write(self, name: str = "") -> None:
        try:
            self._text.follow(self._said, self.tables)
        except (CannotKeep, TOMLKitError, KeyError, IndexError, ValueError, TypeError):
            raise _cannot_keep(name) from None
        self._said = copied(self.tables)

    def take_own_words(self) -> None:
        """Write slype's own name for every table and key that a maker calls otherwise; the rest stays as it is."""
        tables, others = in_own_words(self.tables)
        for path, word in others:
            if not self._text.rename(path, word):
                where = where_of(path)
                raise DesignError(f'is called "{word}" here.', where, "Write it so in the file, then change it.")
        self.tables, self._said = tables, copied(tables)

    def do(self, change: object) -> None:
        """Make one change."""
        kinds = [kind for kind in _SHAPES if isinstance(change, dict) and kind in change]
        if not isinstance(change, dict) or len(kinds) != 1 or set(change) - {kinds[0]} != _SHAPES[kinds[0]]:
            raise DesignError(
                "this is no change to a design.", "", 'For example {"set": ["spokes", "ends"], "to": 28}.'
            )
        kind = kinds[0]
        getattr(self, f"_{kind}")(checked_path(change[kind]), change)

    # One method for each change

    def _set(self, path: Path, change: dict) -> None:
        if change["to"] is None:
            self._remove(path, change)
            return
        value = as_typed(checked_value(change["to"], where_of(path)), path, units_of(self.tables))
        old = copied(self.tables)
        if len(path) > 3 and path[-2] == "colours" and isinstance(path[-1], int):
            band = self._at(path[:-2])
            if isinstance(band, dict):
                self.notes += spread_colours(band, path[-1], self.tables)
        held = self._at(path[:-1], make=True)
        if isinstance(held, dict) and isinstance(path[-1], str):
            held[path[-1]] = value
        elif isinstance(held, list) and isinstance(path[-1], int) and path[-1] < len(held):
            held[path[-1]] = value
        else:
            raise _no_such(path)
        self.asked.append(path)
        self.notes += follow_up(old, self.tables, path)

    def _remove(self, path: Path, change: dict) -> None:
        held = self._at(path[:-1])
        last = path[-1]
        if held is None and "to" in change:
            return
        if isinstance(held, dict) and isinstance(last, str):
            if last not in held:
                if "to" in change:  # to take out what is not there is no fault
                    return
                raise _no_such(path)
        elif not (isinstance(held, list) and isinstance(last, int) and last < len(held)):
            raise _no_such(path)
        refuse_if_used(self.tables, path)
        if isinstance(last, int):
            if len(held) == 1 and isinstance(held[0], dict):
                self._remove(path[:-1], {})
                return
            self._write()
            self._list_changed(path[:-1])
            self._on_text("drop", path)
            del held[last]
            del self._at(path[:-1], of=self._said)[last]
            return
        old = copied(self.tables)
        del held[last]
        self.asked.append(path)
        self.notes += follow_up(old, self.tables, path)

    def _insert(self, path: Path, change: dict) -> None:
        held: Any = self._at(path[:-1], make=True)
        if not isinstance(held, dict | list):
            raise _no_such(path)
        there = self._list(path) if (path[-1] in held if isinstance(held, dict) else True) else []
        at = checked_place(change["at"], len(there), where_of(path))
        value = checked_value(change["value"], where_of(path))
        if value is None:
            raise DesignError("nothing is no entry.", where_of(path))
        value = as_typed(value, (*path, at), units_of(self.tables))
        if there:
            self._write()
            self._list_changed(path)
            self._on_text("insert", path, at, copied(value))
            there.insert(at, value)
            self._at(path, of=self._said).insert(at, copied(value))
        else:
            assert isinstance(held, dict), "a list holds lists only"
            held[path[-1]] = [value]

    def _move(self, path: Path, change: dict) -> None:
        there = self._list(path)
        most = len(there) - 1
        at, to = (checked_place(change[key], most, where_of(path)) for key in ("from", "to"))
        self._write()
        self._list_changed(path)
        self._on_text("move", path, at, to)
        there.insert(to, there.pop(at))
        self._said = copied(self.tables)

    def _copy(self, path: Path, change: dict) -> None:
        there = self._list(path[:-1])
        if not isinstance(path[-1], int) or path[-1] >= len(there):
            raise _no_such(path)
        to = checked_place(change["to"], len(there), where_of(path[:-1]))
        self._write()
        self._list_changed(path[:-1])
        self._on_text("copy", path[:-1], path[-1], to)
        there.insert(to, copied(there[path[-1]]))
        self._said = copied(self.tables)

    def _rename(self, path: Path, change: dict) -> None:
        to = checked_value(change["to"], where_of(path))
        self._write()
        said = rename(self.tables, path, to)
        self.notes += said
        assert isinstance(to, str), "or it was refused"
        if self._text.rename(path, to):  # in its line, with the comment that stands there
            self._said[path[0]] = copied(self.tables[path[0]])

    # Ways through the tables

    def _at(self, path: Path, make: bool = False, of: dict | None = None) -> Any:
        """What stands at a path, tables on the way made where asked for; None where there is nothing."""
        held: object = self.tables if of is None else of
        for step in path:
            if isinstance(held, dict) and isinstance(step, str):
                if make and step not in held:
                    held[step] = {}
                held = held.get(step)
                if held is None:  # a table that is not there holds nothing
                    return None
            elif isinstance(held, list) and isinstance(step, int) and step < len(held):
                held = held[step]
            else:
                raise _no_such(path)
        return held

    def _list(self, path: Path) -> list:
        there = self._at(path)
        if not isinstance(there, list) or not there:
            raise _no_such(path)
        return there

    def _list_changed(self, path: Path) -> None:
        """Places in this list are counted anew, so what was set in its entries is no longer known by its path."""
        self.asked = [each for each in self.asked if each[: len(path)] != path]

    def _on_text(self, what: str, *values: object) -> None:
        try:
            getattr(self._text, what)(*values)
        except (CannotKeep, TOMLKitError, KeyError, IndexError, ValueError, TypeError):
            raise _cannot_keep("") from None


class _Tables(_Work):
    """Tables while they are being changed, without a text that follows."""

    def __init__(self, tables: dict) -> None:
        self._said, self.tables, self.asked, self.notes = copied(tables), tables, [], []

    def _write(self, name: str = "") -> None:
        self._said = copied(self.tables)

    def _on_text(self, what: str, *values: object) -> None:
        pass


def _no_such(path: Path) -> DesignError:
    return DesignError("is not there to be changed.", where_of(path), "Read the design again: it may have changed.")


def _cannot_keep(name: str) -> DesignError:
    return DesignError("is written in a way that this change would disturb.", name, "Change it in the text.")
