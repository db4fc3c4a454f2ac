"""A studio that is open already: how a second start finds its page, and opens there what it was asked for.

The first writes its address beside the bench, for this user's eyes only, as the address holds the secret of the run.
"""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import re
from collections.abc import Callable
from dataclasses import dataclass
from urllib.parse import urlsplit

from .guard import KEY_HEADER

NAME = "address"
WAIT_S = 15.0
"""A studio that reckons may take a moment to answer."""


def note(folder: str, address: str) -> None:
    """Write down where this run's page is. A disk that refuses costs only a second start's way to it."""
    path = os.path.join(folder, NAME)
    with contextlib.suppress(OSError):
        with contextlib.suppress(FileNotFoundError):
            os.unlink(path)  # whatever its rights were
        with open(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="ascii") as file:
            file.write(address)


def forget(folder: str) -> None:
    """The page is no longer there."""
    with contextlib.suppress(OSError):
        os.unlink(os.path.join(folder, NAME))


@dataclass(frozen=True)
class Running:
    """A studio that answers at `address` (with its `secret`)."""

    address: str
    secret: str

    def ask(self, method: str, path: str, body: dict | None = None) -> tuple[int, dict]:
        """Status and answer of one question. Raises OSError, ValueError or HTTPException where there is no answer."""
        place = urlsplit(self.address)
        line = http.client.HTTPConnection(place.hostname or "", place.port, timeout=WAIT_S)
        try:
            headers = {KEY_HEADER.decode(): self.secret, "Content-Type": "application/json"}
            line.request(method, path, None if body is None else json.dumps(body).encode(), headers)
            answer = line.getresponse()
            return answer.status, json.loads(answer.read())
        finally:
            line.close()


def running(folder: str) -> Running | None:
    """The studio whose bench this is, once it has answered; None where none does."""
    with contextlib.suppress(OSError, ValueError, http.client.HTTPException):
        with open(os.path.join(folder, NAME), encoding="ascii") as file:
            found = re.fullmatch(r"(http://[^/#\s]+/)#key=([\w-]+)", file.read(500).strip())
        if found:
            there = Running(found[1], found[2])
            if there.ask("GET", "/api/hello")[0] == 200:
                return there
    return None


def open_there(there: Running, folders: list[str], designs: list[str], say: Callable[[str], object]) -> str:
    """The address of the running studio's page, with the first of `designs` on show; tells what it could not do."""
    address, shown = f"{there.address}#key={there.secret}", ""
    for design in designs:
        status, answer = there.ask("POST", "/api/open", {"path": os.path.realpath(design)})
        if status == 200:
            shown = shown or f"&basket={answer['id']}"
        else:
            say(" ".join(part for part in (f"{design}:", answer.get("message", ""), answer.get("remedy", "")) if part))
    open_now = there.ask("GET", "/api/hello")[1]["folders"]
    more = [folder for folder in map(os.path.realpath, folders) if folder not in open_now]
    if more and not designs:
        say(f"It has {', '.join(open_now)} open, and not {', '.join(more)}: close it first to open other folders.")
    return address + shown
