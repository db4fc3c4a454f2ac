"""Names of a maker's own, colours and reeds, and where a design uses them. Plain tables, in place."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator
from functools import partial
from typing import Any

from ..colour import REED_COLOURS
from ..errors import DesignError
from ..reeds import REEDS
from ..words import listed
from .follow import Note
from .lists import Path
from .values import where_of

_KEYS = {"colours": ("colour", "colours"), "reeds": ("reed", "base_reed", "core", "wrap")}
_KNOWN: dict[str, Container[str]] = {"colours": REED_COLOURS, "reeds": REEDS}
_WHAT = {"colours": "colour", "reeds": "reed"}


def _uses(tables: dict, table: str, name: str) -> Iterator[tuple[Path, Callable[[str], None]]]:
    """(path, how to write another name there) of every use."""

    def walk(value: Any, path: Path) -> Iterator[tuple[Path, Callable[[str], None]]]:
        items: Any = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
        for key, inner in list(items):
            here = (*path, key)
            named = key in _KEYS[table] or (path and path[-1] in _KEYS[table])
            if isinstance(inner, str) and named and _alike(inner, table) == _alike(name, table):
                yield here, partial(value.__setitem__, key)
            else:
                yield from walk(inner, here)

    for top in ("spokes", "band", "handle", "lid"):
        yield from walk(tables.get(top), (top,))


def _alike(name: str, table: str) -> str:
    return " ".join(name.split()).lower() if table == "reeds" else name


def rename(tables: dict, path: Path, to: object) -> list[Note]:
    """Give a colour or a reed of the maker's own another name, everywhere. Raises DesignError."""
    own = tables.get(path[0])
    if len(path) != 2 or path[0] not in _KEYS or not isinstance(own, dict) or path[1] not in own:
        raise DesignError("has no name of its own to change.", where_of(path), "Colours and reeds of your own have.")
    table, name = str(path[0]), str(path[1])
    if not isinstance(to, str) or not to.strip() or len(to) > 60:
        raise DesignError("needs another name.", where_of(path), 'For example "heather".')
    if to != name and to in own:
        raise DesignError(f'there is a {_WHAT[table]} "{to}" already.', where_of(path), "Choose another name.")
    uses = list(_uses(tables, table, name))
    tables[table] = {to if key == name else key: value for key, value in own.items()}
    for _, write in uses:
        write(to)
    if not uses:
        return []
    return [('"{name}" is "{to}" wherever it is used: {where}.',
             {"name": name, "to": to, "where": _places(uses)})]  # fmt: skip


def _places(uses: list[tuple[Path, Callable]]) -> str:
    return listed(list(dict.fromkeys(where_of(path[:2] if path[0] in ("band", "handle") else path[:1])
                                     for path, _ in uses)))  # fmt: skip


def refuse_if_used(tables: dict, path: Path) -> None:
    """Raise DesignError when a colour or reed that is to go is used, and no table has one of that name."""
    table = str(path[0])
    own = tables.get(table)
    if table not in _KEYS or len(path) > 2 or not isinstance(own, dict):
        return
    for name in own if len(path) == 1 else path[1:]:
        if not isinstance(name, str) or name in _KNOWN[table] or name.lower() in _KNOWN[table]:
            continue
        uses = list(_uses(tables, table, name))
        if uses:
            raise DesignError(
                f'the {_WHAT[table]} "{name}" is still used: {_places(uses)}.', where_of(path),
                f"Give those another {_WHAT[table]} first.",
            )  # fmt: skip
