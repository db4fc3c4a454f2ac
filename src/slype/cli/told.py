"""What every command says alike: complaints, JSON, how far long work is, whether a basket can be woven."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING

from .. import system

if TYPE_CHECKING:
    from ..plans.planning import Plan


def complain(message: str) -> None:
    """One paragraph on standard error; what cannot be printed (a file may hold anything) is left out."""
    print("slype: " + plain(message), file=sys.stderr)


def plain(line: str) -> str:
    """A line as a terminal may have it: a file may be called anything."""
    return "".join(sign if sign.isprintable() else " " for sign in line)


def verdict(plan: Plan) -> int:
    """0, or 1 with the reason on standard error when the design cannot be woven."""
    from ..advice.advise import must_stop

    stop = must_stop(plan.advice)
    if stop is None:
        return 0
    complain(f"{plan.design.name}, {stop.where}: this cannot be woven: {stop.message} {stop.remedy}")
    return 1


def print_json(form: object) -> None:
    """The form on standard output, as UTF-8; where that cannot be, with every other letter as \\u and its number."""
    system.promise_utf8(sys.stdout)
    json.dump(form, sys.stdout, indent=1, ensure_ascii=not system.letters_of(sys.stdout))
    print()


def print_lines(lines: list[str]) -> int:
    """The lines on standard output; exit status 0."""
    print("\n".join(plain(line) for line in lines))
    return 0


class Progress:
    """One line on standard error while long work runs; nothing unless somebody is watching."""

    def __init__(self, words: str) -> None:
        self.words, self.watched = words, sys.stderr.isatty()

    def say(self, words: str) -> None:
        if self.watched and words:
            print(f"\r\x1b[K{words} …", end="", file=sys.stderr, flush=True)

    def share(self, done: float) -> None:
        """The reeds coming to rest, as a bar."""
        full = round(20 * max(0.0, min(1.0, done)))
        self.say(f"bringing the reeds to rest {'▇' * full}{'·' * (20 - full)} {done:4.0%}")

    def __enter__(self) -> Progress:
        self.say(self.words)
        return self

    def __exit__(self, *_: object) -> None:
        if self.watched:
            print("\r\x1b[K", end="", file=sys.stderr, flush=True)
