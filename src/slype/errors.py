"""What can go wrong, said so that a maker can mend it. Knows nothing else.

Every message answers three questions: what is wrong, where (file, table, key, row or spoke),
and what would be right. The command line turns them into one paragraph and an exit status.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import TypeVar

Found = TypeVar("Found")


class Place(str):
    """Where in a document something stands: reads `band 3, start`, and keeps its `path`, ("band", 2, "start")."""

    path: tuple[str | int, ...]

    def __new__(cls, text: str = "", path: tuple[str | int, ...] = ()) -> Place:
        place = super().__new__(cls, text)
        place.path = path
        return place

    @classmethod
    def of(cls, *path: str | int) -> Place:
        """The place at the end of a path; numbers in it count from 0 and are read from 1."""
        words: list[str] = []
        for step in path:
            if isinstance(step, int):
                words[-1] += f" {step + 1}"
            else:
                words.append(step)
        return cls(", ".join(words), path)

    def __truediv__(self, key: str) -> Place:
        return Place(f"{self}, {key}" if self else key, (*self.path, key))

    def entry(self, word: str, index: int) -> Place:
        """Entry `index` (from 0) of the list here, called `word`."""
        return Place(f"{self}, {word} {index + 1}", (*self.path, index))


class SlypeError(Exception):
    """Base of everything slype says no to. `exit_status` is what the command line returns."""

    exit_status = 2

    def __init__(self, message: str, where: str = "", remedy: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.where = where
        self.remedy = remedy

    @property
    def path(self) -> tuple[str | int, ...]:
        """Where in the document, as keys and indices from 0; empty where that is not known."""
        return self.where.path if isinstance(self.where, Place) else ()

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        remedy = f" {self.remedy}" if self.remedy else ""
        return f"{place}{self.message}{remedy}"

    def as_json(self) -> dict[str, str]:
        """{message, where, remedy}."""
        return {"message": self.message, "where": self.where, "remedy": self.remedy}

    def reworded(self, how: Callable[[str], str]) -> SlypeError:
        """The same error, message and remedy put as `how` puts them."""
        return type(self)(how(self.message), self.where, how(self.remedy))

    def inside(self, place: str) -> SlypeError:
        """The same error with `place` put in front of where it happened (file, then table, then key)."""
        joined = f"{place}, {self.where}" if self.where else place
        before = place.path if isinstance(place, Place) else ()
        return type(self)(self.message, Place(joined, (*before, *self.path)), self.remedy)


class DesignError(SlypeError):
    """The input cannot be read as a design: wrong type, unknown key, absurd size."""


class Unweavable(SlypeError):
    """The design can be read, but no hands could weave it (exit status 1)."""

    exit_status = 1


class FileTrouble(SlypeError):
    """A file that cannot be read or written."""


def nearest(word: str, choices: Iterable[str]) -> str | None:
    """The choice closest in spelling to `word`, or None when nothing comes near."""
    import difflib  # only where a word is not known

    by_lower = {choice.lower(): choice for choice in choices}
    found = difflib.get_close_matches(word.lower(), by_lower, n=1, cutoff=0.65)
    return by_lower[found[0]] if found else None


def found_by_name(name: object, what: str, known: Mapping[str, Found], where: str | Place = "") -> Found:
    """What is `known` by a name, blanks and capitals aside. Raises DesignError, suggesting the nearest name."""
    key = " ".join(name.lower().split()) if isinstance(name, str) else ""
    if key not in known:
        called = f'"{name[:40]}"' if isinstance(name, str) else f"{name!r:.40}"
        raise DesignError(f"there is no {what} called {called}.", where, did_you_mean(key[:40], known))
    return known[key]


def did_you_mean(word: str, choices: Iterable[str]) -> str:
    """A remedy sentence: the nearest known word, else the whole list when it is short."""
    known = list(choices)
    near = nearest(word, known)
    if near is not None:
        return f'Did you mean "{near}"?'
    return "Known: " + ", ".join(known) + "."
