"""What can go wrong, said so that a maker can mend it. Knows nothing else.

Every message answers three questions: what is wrong, where (file, table, key, row or spoke),
and what would be right. The command line turns them into one paragraph and an exit status.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable


class SlypeError(Exception):
    """Base of everything slype says no to. `exit_status` is what the command line returns."""

    exit_status = 2

    def __init__(self, message: str, where: str = "", remedy: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.where = where
        self.remedy = remedy

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        remedy = f" {self.remedy}" if self.remedy else ""
        return f"{place}{self.message}{remedy}"

    def as_json(self) -> dict[str, str]:
        """{message, where, remedy}."""
        return {"message": self.message, "where": self.where, "remedy": self.remedy}

    def inside(self, place: str) -> SlypeError:
        """The same error with `place` put in front of where it happened (file, then table, then key)."""
        joined = f"{place}, {self.where}" if self.where else place
        return type(self)(self.message, joined, self.remedy)


class DesignError(SlypeError):
    """The input cannot be read as a design: wrong type, unknown key, absurd size."""


class Unweavable(SlypeError):
    """The design can be read, but no hands could weave it (exit status 1)."""

    exit_status = 1


class FileTrouble(SlypeError):
    """A file that cannot be read or written."""


def nearest(word: str, choices: Iterable[str]) -> str | None:
    """The choice closest in spelling to `word`, or None when nothing comes near."""
    by_lower = {choice.lower(): choice for choice in choices}
    found = difflib.get_close_matches(word.lower(), by_lower, n=1, cutoff=0.65)
    return by_lower[found[0]] if found else None


def did_you_mean(word: str, choices: Iterable[str]) -> str:
    """A remedy sentence: the nearest known word, else the whole list when it is short."""
    known = list(choices)
    near = nearest(word, known)
    if near is not None:
        return f'Did you mean "{near}"?'
    return "Known: " + ", ".join(known) + "."
