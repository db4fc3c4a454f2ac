"""Where the maker's book lies: among the data of programs, or where SLYPE_BOOK says."""

from __future__ import annotations

import os

from ..system import own_folder

VARIABLE = "SLYPE_BOOK"
NAME = "book.sqlite"


def place(said: str | None = None) -> str:
    """The book's path or address: what was `said`, else what SLYPE_BOOK says, else the usual place.

    A folder means the book in that folder.
    """
    wanted = said or os.environ.get(VARIABLE) or os.path.join(own_folder(), NAME)
    if wanted.startswith(("postgresql://", "postgres://")):
        return wanted
    wanted = os.path.expanduser(wanted)
    return os.path.join(wanted, NAME) if os.path.isdir(wanted) else wanted
