"""What the page is told first, and what may be written in a file. Types only."""

from __future__ import annotations

from typing import Any, TypedDict

from .figures import Choice


class FirstTold(TypedDict):
    """What a thing is like when it is first added: as the file has it, why, and on whose word."""

    value: Any
    why: str
    source: str


class KeyTold(TypedDict):
    """A key of the file: what the page calls it (`label`, empty where it has a field of its own), what it `takes`, and
    what may be chosen, where that has names."""

    label: str
    takes: str
    help: str
    choices: list[Choice]


class Tables(TypedDict):
    """What may be written in a design file, from slype's own tables in one wording; `firsts` by what is added, `moves`
    the rows of every border by its name, `feet` borders for below, `handle_counts` how many alike
    a basket has where it does not say, `words` the trade's terms for sentences of the
    page."""

    weaves: list[Choice]
    reeds: list[Choice]
    borders: list[Choice]
    feet: list[Choice]
    moves: dict[str, list[str]]
    bases: list[Choice]
    handles: list[Choice]
    handle_counts: dict[str, int]
    outlines: list[Choice]
    seats: list[Choice]
    colours: list[dict[str, str]]
    firsts: dict[str, FirstTold]
    keys: dict[str, KeyTold]
    words: dict[str, str]


class Opened(TypedDict):
    """A file in a folder that was opened, or what was left on the bench: `kind` "basket" or "class"."""

    name: str
    path: str | None
    id: str | None
    note: str
    kind: str


class Hello(TypedDict):
    """What the page is told first. `webgl` is for the page to find out."""

    version: str
    folders: list[str]
    bench: list[Opened]
    files: list[Opened]
    examples: list[Opened]
