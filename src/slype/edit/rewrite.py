"""A file's text brought to say other tables, all that stays the same left letter by letter (see `edit.lines`)."""

from __future__ import annotations

from tomlkit.exceptions import TOMLKitError

from ..design.file.reader import toml_of
from ..errors import DesignError
from .lines import Text, same
from .lists import CannotKeep


def rewritten(text: str, order: tuple[str, ...], said: dict, tables: dict, name: str) -> str:
    """The text that says `tables` where it said `said`; `order` the tables as a maker writes them. Raises DesignError
    where that cannot be written without harm."""
    work = Text(text, order)
    try:
        work.follow(said, tables)
        out = str(work)
    except (CannotKeep, TOMLKitError, KeyError, IndexError, ValueError, TypeError):
        raise _cannot(name) from None
    if not same(toml_of(out, name), tables):
        raise _cannot(name)
    return out


def _cannot(name: str) -> DesignError:
    return DesignError("this change cannot be written into the file.", name, "Change it as text.")
