"""A step as it is written, before it is numbered: what `values.Step` holds, with room to add to."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from .values import Count, Drawing, Slip, Step


@dataclass
class Draft:
    """A step in the writing; see `values.Step` for what its fields mean."""

    chapter: str
    title: str
    part: str
    does: list[str] = field(default_factory=list)
    of: str = ""
    band: int | None = None
    first: int = 0
    beyond: int = 0
    bundles: list[int] = field(default_factory=list)
    looks: list[str] = field(default_factory=list)
    slips: list[Slip] = field(default_factory=list)
    counts: list[Count] = field(default_factory=list)
    drawings: list[Drawing] = field(default_factory=list)
    rows: tuple[int, int] | None = None
    minutes: float | None = None
    why: list[tuple[str, str]] = field(default_factory=list)
    watch: list[str] = field(default_factory=list)

    def count(self, what: str, of: int, *found: int) -> None:
        self.counts.append(Count(what, of, found))

    def numbered(self, number: int, words: tuple[str, ...] = ()) -> Step:
        return Step(
            number, self.chapter, self.title, self.part, tuple(self.does), self.of, self.band, self.first, self.beyond,
            tuple(self.bundles), tuple(self.looks), tuple(self.slips), tuple(self.counts), tuple(self.drawings),
            self.rows, self.minutes, tuple(self.why), tuple(self.watch), words,
        )  # fmt: skip


_END = re.compile(r"(?<=[.!?])\s+(?=[A-Z0-9])")


def sentences(*lines: str) -> list[str]:
    """Lines divided into their sentences."""
    whole = [each.strip() for line in lines for each in _END.split(line) if each.strip()]
    return [part for each in whole for part in _shorter(each)]


_ASIDE = re.compile(
    r" so that the row closes without a gap| \(the last \w+ still standing\)|, counted from space 1|, side by side"
    r"(?: like a rope)?"
)
"""What a long sentence can do without."""
MOST_WORDS = 20
"""Of a sentence on a student's page."""


def _shorter(line: str) -> list[str]:
    """A long sentence divided at its colon, semicolon, or where a second action is joined on."""
    if len(line.split()) <= MOST_WORDS:
        return [line]
    line = _ASIDE.sub("", line)
    for sign in (": ", "; ", ", and "):
        before, found, after = line.partition(sign)
        if found:
            return [*_shorter(f"{before}."), *_shorter(after[:1].upper() + after[1:])]
    return [line]
