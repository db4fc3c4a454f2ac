"""Programs killed at seeded points, with the clock set back, and two at once: nothing that was answered is lost.

A program is killed at one of its calls (a file opened, renamed, brought to disk), or in the middle of a write, at a
byte of it. What it had said by then must be there, and nothing may be half there.
"""

from __future__ import annotations

import datetime
import functools
import os
import random
import resource
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from slype.book import care, shelf, store
from slype.cli.commands import main
from slype.design.file.reader import parse
from slype.studio.bench import Bench
from slype.studio.journal import Journal

from .designs import EXAMPLES
from .trial import Outcome, Said, broken

OLD = b"<svg>drawn before</svg>"
STEPS = {"open", "os.rename", "os.remove", "os.mkdir", "os.truncate", "os.chmod", "sqlite3.connect", "tempfile.mkstemp"}
PICTURE = ("picture", "pot.toml", "-o", "pot.svg", "--view", "squares")
Work = Callable[[Path, int], Iterator[str]]


def kills(seed: int, folder: Path):
    """One piece of work killed at a point, with a clock that goes back, or done twice at once."""
    by = random.Random(f"kill {seed}")
    name = by.choice(sorted(_WORKS))
    work, is_whole = _WORKS[name]
    _prepare(folder, name)
    how = by.choices(("killed", "clock", "two"), (8, 1, 1))[0]
    if how == "killed":
        events, size = _measured(name)
        at, over = (by.randint(1, events), None) if by.random() < 0.6 else (None, by.randint(1, size))
        told = _ended(_begun(folder, work, 0, at=at, over=over))
        story = f"{name} killed at {f'call {at}' if at else f'byte {over}'}"
    elif how == "clock":
        told = _ended(_begun(folder, work, 0, back=by.randrange(10**6)))
        story = f"{name} with the clock going back"
    else:
        both = [_begun(folder, work, which) for which in (0, 1)]
        told = [each for one in both for each in _ended(one)]
        story = f"{name} twice at once"
    wrong = next((each for each in told if each.startswith("Traceback")), "") or is_whole(folder, told, how)
    for each in folder.rglob(".slype-*"):  # what a killed program leaves is swept later, and is no part of the answer
        each.unlink()
    held = broken((name, how), f"{story}: {wrong}") if wrong else Said((name, how), 0, 0.0, "", "")
    return Outcome([held]), "", False


def _prepare(folder: Path, name: str) -> None:
    (folder / "pot.toml").write_text(EXAMPLES[0], encoding="utf-8")
    (folder / "pot.svg").write_bytes(OLD)
    if name != "book":
        return
    with store.Book(str(folder / "book.sqlite")) as book:
        shelf.put_on_shelf(book, "round 2", "rust", 1e6)


# Pieces of work: each yields what it has just been told is done --------------------------------------------------


def _drawn(folder: Path, which: int) -> Iterator[str]:
    status = main(list(PICTURE))
    yield f"status {status}"


def _is_drawn(folder: Path, told: list[str], how: str) -> str:
    raw = (folder / "pot.svg").read_bytes()
    if raw == OLD:
        return "said to be drawn, and is not" if told else ""
    return "" if raw.startswith(b"<svg") and raw.rstrip().endswith(b"</svg>") else f"half a picture: {raw[:60]!r}"


def _entered(folder: Path, which: int) -> Iterator[str]:
    for n in range(3):
        colour = ("moss", "slate")[which]
        status = main(["book", "--book", "book.sqlite", "add", "round 3", colour, "--length", f"{n + 11} ft"])
        yield f"{colour} {n + 11} status {status}"


def _is_entered(folder: Path, told: list[str], how: str) -> str:
    place = str(folder / "book.sqlite")
    with store.Book(place) as book:
        there = {f"{lot.colour} {round(lot.amount / 304.8)} status 0" for lot in shelf.lots(book)}
    lost = [each for each in told if each not in there]
    if lost:
        return f"told and lost: {lost}"
    if len(there) - 1 > len(told) + (how == "killed"):
        return f"more there than was told: {there}"
    return "; ".join(str(each) for each in care.check(place))


def _edited(folder: Path, which: int) -> Iterator[str]:
    bench = Bench([str(folder)], Journal(str(folder / f"state-{which}")), parse)
    basket = bench.open_file("pot.toml")
    for n in range(3):
        bench.replace(basket, f"# {which} edit {n}\n{EXAMPLES[0]}", "edited")
        yield f"{which} edit {n}"
        if n == 1:
            bench.save(basket)
            yield f"{which} saved"


def _is_edited(folder: Path, told: list[str], how: str) -> str:
    text = (folder / "pot.toml").read_text(encoding="utf-8")
    if text != EXAMPLES[0] and not (text.startswith(("# 0 edit 1\n", "# 1 edit 1\n")) and text.endswith(EXAMPLES[0])):
        return f"half a design: {text[:60]!r}"
    if any(each.endswith("saved") for each in told) and text == EXAMPLES[0]:
        return "said to be saved, and is not"
    for which in (0, 1):
        state, edits = folder / f"state-{which}", [each for each in told if each.startswith(f"{which} edit")]
        if not edits:
            continue
        journal = Journal(str(state))
        found = [entry.text.partition("\n")[0][2:] for memory in journal.recall() for entry in memory.entries]
        journal.close()
        if not set(edits) <= set(found):
            return f"answered and lost: {sorted(set(edits) - set(found))}"
    return ""


_WORKS: dict[str, tuple[Work, Callable[[Path, list[str], str], str]]] = {
    "drawing": (_drawn, _is_drawn), "book": (_entered, _is_entered), "bench": (_edited, _is_edited),
}  # fmt: skip


# A process that does it ------------------------------------------------------------------------------------------


def _begun(folder: Path, work: Work, which: int, at: int | None = None, over: int | None = None, back: int = 0):
    """(process, pipe) of a copy of this process at work."""
    ends, begins = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(ends)
        _live(folder, work, which, begins, at, over, back)
    os.close(begins)
    return child, ends


def _ended(begun: tuple[int, int]) -> list[str]:
    """What it said before it ended."""
    child, ends = begun
    with os.fdopen(ends, "rb") as told:
        raw = told.read().decode("utf-8", "replace")
    os.waitpid(child, 0)
    return [line for line in raw.split("\0") if line]


def _live(folder: Path, work: Work, which: int, begins: int, at: int | None, over: int | None, back: int) -> None:
    try:
        os.chdir(folder)
        nothing = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(nothing, stream)
        sys.stdout, sys.stderr = (open(n, "w", encoding="utf-8", closefd=False) for n in (1, 2))
        if back:
            _set_back(back)
        if over is not None:
            signal.signal(signal.SIGXFSZ, signal.SIG_DFL)
            resource.setrlimit(resource.RLIMIT_FSIZE, (over, over))
        calls = _count_calls(at)
        for said in work(folder, which):
            os.write(begins, said.encode() + b"\0")
        if at == 0:
            os.write(begins, f"calls {calls[0]}".encode() + b"\0")
    except BaseException:
        import traceback

        os.write(begins, traceback.format_exc()[-900:].encode() + b"\0")
    os._exit(0)


def _count_calls(at: int | None) -> list[int]:
    """Counts the calls that change what lies on the disk; at the one `at` this process is killed."""
    count, sync = [0], os.fsync

    def called() -> None:
        count[0] += 1
        if count[0] == at:
            os.kill(os.getpid(), signal.SIGKILL)

    def brought_to_disk(handle: int) -> None:
        called()
        sync(handle)
        called()

    if at is not None:
        sys.addaudithook(lambda name, _: called() if name in STEPS else None)
        os.fsync = brought_to_disk
    return count


@functools.cache
def _measured(name: str) -> tuple[int, int]:
    """(calls, bytes of the largest file) of a piece of work that nobody kills."""
    with tempfile.TemporaryDirectory(prefix="attack-") as place:
        folder = Path(place)
        _prepare(folder, name)
        told = _ended(_begun(folder, _WORKS[name][0], 0, at=0))
        largest = max(path.stat().st_size for path in folder.rglob("*") if path.is_file())
    return int(told[-1].split()[1]), largest


def _set_back(seed: int) -> None:
    """Every look at the clock finds it further back."""
    by, gone, real = random.Random(seed), [0.0], time.time

    def earlier() -> float:
        gone[0] += by.choice((0, 1, 3600, 86400 * 40))
        return real() - gone[0]

    class Clock(datetime.datetime):
        @classmethod
        def now(cls, tz=None):
            return cls.fromtimestamp(earlier(), tz)

    time.time = earlier
    store.datetime = Clock
