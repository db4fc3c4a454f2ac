"""A class file's text changed place by place; comments, order and spelling stay (see `edit.rewrite`).

Changes have the form of `edit.apply`: set, insert, remove, move. What cannot be written without harm is refused, and
nothing is changed. What the keys mean is for the reader to say: a change here is only held to be TOML of a class.
"""

from __future__ import annotations

import copy
from collections.abc import Sequence

from ...design.file.reader import toml_of
from ...edit.rewrite import rewritten
from ...edit.values import MOST_CHANGES, checked_path, checked_place, checked_value
from ...errors import DesignError
from ...files import MOST_BYTES, too_large
from .keys import LISTS, TABLES


def change(text: str, changes: Sequence[object], name: str = "the class") -> str:
    """The text with all changes made, in turn. Raises DesignError, and changes nothing, where one cannot be made."""
    if not isinstance(changes, list | tuple) or len(changes) > MOST_CHANGES:
        raise DesignError(f"changes should be a list, of {MOST_CHANGES} at most.", name)
    text = text.removeprefix("\ufeff")
    said = toml_of(text, name)
    tables = copy.deepcopy(said)
    for each in changes:
        _do(tables, each)
    out = rewritten(text, TABLES, said, tables, name)
    if len(out.encode("utf-8", "replace")) > MOST_BYTES:
        raise too_large(name, "class", "would be")
    return out


def _do(tables: dict, each: object) -> None:
    """Make one change."""
    kinds = {"set": {"to"}, "insert": {"at", "value"}, "remove": set(), "move": {"from", "to"}}
    found = [kind for kind in kinds if isinstance(each, dict) and kind in each]
    if not isinstance(each, dict) or len(found) != 1 or set(each) - {found[0]} != kinds[found[0]]:
        raise DesignError("this is no change to a class.", "", 'For example {"set": ["class", "helpers"], "to": 1}.')
    kind, path = found[0], checked_path(each[found[0]])
    if path[0] not in (*TABLES, "version"):
        raise DesignError(f'a class has no table "{str(path[0])[:40]}".', "")
    if kind == "set" and each["to"] is not None:
        held = _held(tables, path, make=True)
        value = checked_value(each["to"], str(path[-1]))
        if isinstance(held, list) and not (isinstance(path[-1], int) and path[-1] < len(held)):
            raise _no_such(path)
        held[path[-1]] = value
    elif kind in ("set", "remove"):
        held = _held(tables, path, make=False)
        try:
            del held[path[-1]]
            if path[0] in LISTS and len(path) == 2 and not held:  # the last of them: no [[table]] says an empty list
                del tables[path[0]]
        except (KeyError, IndexError, TypeError):
            if kind == "remove":
                raise _no_such(path) from None
    elif kind == "insert":
        entries = _list(tables, path)
        entries.insert(
            checked_place(each["at"], len(entries), str(path[-1])), checked_value(each["value"], str(path[-1]))
        )
    else:
        entries = _list(tables, path)
        most = len(entries) - 1
        start, to = (checked_place(each[key], most, str(path[-1])) for key in ("from", "to"))
        entries.insert(to, entries.pop(start))


def _held(tables: dict, path: tuple, make: bool):
    """What holds the last step of the path; tables on the way are made where asked for."""
    at = tables
    for i, step in enumerate(path[:-1]):
        try:
            at = at[step]
        except (KeyError, IndexError, TypeError):
            if not (make and isinstance(at, dict) and isinstance(step, str)) or (i == 0 and step in LISTS):
                raise _no_such(path) from None
            at[step] = at = {}
        if not isinstance(at, dict | list):
            raise _no_such(path)
    if isinstance(at, dict) != isinstance(path[-1], str):
        raise _no_such(path)
    return at


def _list(tables: dict, path: tuple) -> list:
    if len(path) == 1 and path[0] in LISTS:
        tables.setdefault(path[0], [])
    held = _held(tables, path, make=True)
    found = held.setdefault(path[-1], []) if isinstance(held, dict) else held[path[-1]]
    if not isinstance(found, list):
        raise _no_such(path)
    return found


def _no_such(path: tuple) -> DesignError:
    return DesignError("there is no such place in the class.", ", ".join(str(step) for step in path))
