"""What is attacked: designs through the reports, designs through the drawings, classes, the book, the doors."""

from __future__ import annotations

import contextlib
import gc
import io
import random
import shutil
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from . import doors, faults, kills, trial, verdict, wings
from .designs import EXAMPLES, dumped, odd, text_of

FILE = "attacked.toml"
TYPED_ONE_IN = 50
"""Of so many designs, one command is run as it is typed, and must say the same."""
REPORTS = [("check", FILE), ("plan", FILE, "--json"), ("plan", FILE), ("chart", FILE, "--json")]


@dataclass
class Found:
    """What one room's attack found: `tried`, how often each kind, and the stories."""

    room: str
    tried: int = 0
    counted: Counter = field(default_factory=Counter)
    statuses: Counter = field(default_factory=Counter)
    stories: list[tuple[str, int, str]] = field(default_factory=list)
    most_mb: float = 0.0
    most_s: float = 0.0
    slowest: int = 0
    largest: int = 0
    """The numbers of the trials that took longest and most, to be looked at though nothing was found in them."""


Trial = Callable[[int, Path], tuple[trial.Outcome, str, bool]]


def reports(seed: int, folder: Path):
    """A design through four reports."""
    (folder / FILE).write_bytes(text_of(seed)[1])
    outcome = trial.run(folder, REPORTS)
    if seed % TYPED_ONE_IN == 0 and len(outcome.said) == len(REPORTS):
        _as_typed(outcome, folder, REPORTS[seed // TYPED_ONE_IN % len(REPORTS)])
    return outcome, FILE, True


def _as_typed(outcome: trial.Outcome, folder: Path, words: tuple[str, ...]) -> None:
    """The copy of a loaded process must answer what a command answers that is typed."""
    typed, copied = trial.as_typed(folder, words), outcome.said[REPORTS.index(words)]
    outcome.said.append(typed)
    if (typed.status, typed.out, typed.err) != (copied.status, copied.out, copied.err):
        story = f"typed, it says other things: {typed.err[-300:]} {typed.out[:200]}"
        outcome.said.append(trial.broken(words, story))


def drawings(seed: int, folder: Path):
    """A basket that can be woven through one way of drawing, printing or playing it."""
    by = random.Random(f"drawing {seed}")
    for _ in range(30):
        (folder / FILE).write_bytes(dumped(odd(by)).encode())
        if trial.run(folder, [("chart", FILE)]).said[0].status == 0:
            break
    return trial.run(folder, [_drawn(by)], 120), FILE, True


def _drawn(by: random.Random) -> tuple[str, ...]:
    view = by.choice(("whole", "outside", "inside", "above", "under", "unrolled", "unrolled-inside", "squares"))
    stacked = ("--stacked",) if by.random() < 0.7 else ()
    return by.choice((
        ("picture", FILE, "-o", "a.png", "--view", view, "--width", "300", *stacked),
        ("picture", FILE, "-o", "a.svg", "--view", view, *stacked),
        ("picture", FILE, "-o", "a.glb", *stacked),
        ("sheet", FILE, "-o", "a.pdf", "--hand", by.choice(("left", "right"))),
        ("sheet", FILE, "-o", "a.pdf", "--for", by.choice(("student", "teacher", "card", "showing"))),
        ("lesson", FILE, "-o", "a.html"),
        ("settle", FILE, "--cores", "1", "--json"),
        by.choice((("effects", FILE, "--json"), ("fits", FILE, "9 x 5 x 2 1/2 in"))),
    ))  # fmt: skip


ROOMS: dict[str, Trial] = {
    "reports": reports, "drawings": drawings, "classes": wings.classes, "book": wings.book, "studio": doors.studio,
    "shared": doors.shared, "faults": faults.faults, "kills": kills.kills,
}  # fmt: skip

SHARE = {"reports": 40, "drawings": 3, "book": 4, "shared": 4, "faults": 2, "kills": 12}
"""Trials of a quick share, as the tests have it."""


def load() -> None:
    """Load slype once, here, so that no trial has to: its modules, its grammar and its loops."""
    import slype.advice.advise
    import slype.advice.tried
    import slype.book.learning.gauge
    import slype.cli.book
    import slype.cli.classes
    import slype.cli.commands as commands
    import slype.draw.views
    import slype.export.plan
    import slype.kit.worked
    import slype.paper.folder
    import slype.paper.handout
    import slype.report.plans
    import slype.report.printed
    import slype.rest.relax  # noqa: F401  as the others: loaded, not used

    grammar = commands.parser()
    commands.parser = lambda: grammar
    with _bench():
        for text in EXAMPLES:
            Path(FILE).write_text(text, encoding="utf-8")
            for words in REPORTS:
                commands.main(list(words))
    gc.collect()
    gc.freeze()  # so that no trial copies what it only looks at


def warm_up() -> None:
    """Have all loops compiled and kept, which takes half a minute, once, and loaded here: no trial is late for that,
    nor does each load them anew, which took longer than most drawings."""
    from slype.cli.commands import main

    with _bench():
        Path(FILE).write_text(min(EXAMPLES, key=len), encoding="utf-8")
        for more in (("a.svg", "--view", "outside"), ("a.png", "--view", "outside", "--width", "90", "--stacked")):
            main(["picture", FILE, "-o", *more])
    gc.collect()
    gc.freeze()


@contextlib.contextmanager
def _bench() -> Iterator[None]:
    """In a folder of our own, where nothing that commands say is shown."""
    with tempfile.TemporaryDirectory(prefix="attack-") as place, contextlib.chdir(place):
        with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
            yield


def attack(
    rooms: list[str], seed: int, seconds: float, trials: dict[str, int] | None, keep: str | None, skip: int = 0
) -> list[Found]:
    """Attack each room in turn for its share of the time, or so many `trials` of each, from trial `skip` on."""
    load()
    if "drawings" in rooms:
        warm_up()
    found = []
    for room in rooms:
        until = time.monotonic() + seconds / len(rooms)
        one = Found(room)
        found.append(one)
        for number in _numbers(seed * 1_000_000 + skip, None if trials is None else trials[room], until):
            _attack_once(one, number, keep)
    return found


def _numbers(first: int, trials: int | None, until: float) -> Iterator[int]:
    number = first
    while time.monotonic() < until if trials is None else number < first + trials:
        yield number
        number += 1


def _attack_once(one: Found, number: int, keep: str | None) -> None:
    with tempfile.TemporaryDirectory(prefix="attack-") as place:
        folder = Path(place)
        outcome, file, names_file = ROOMS[one.room](number, folder)
        wrong = verdict.faults(outcome, folder, file, names_file)
        one.tried += 1
        one.statuses.update(str(said.status) for said in outcome.said)
        if outcome.most_mb > one.most_mb:
            one.most_mb, one.largest = outcome.most_mb, number
        took = max((said.cpu_s for said in outcome.said), default=0.0)
        if took > one.most_s:
            one.most_s, one.slowest = took, number
        for kind, story in dict(wrong).items():
            one.counted[kind] += 1
            one.stories.append((kind, number, story))
            print(f"{one.room} {number} {kind}: {story}", flush=True)
        if wrong and keep:
            shutil.copytree(folder, Path(keep) / f"{one.room}-{number}", dirs_exist_ok=True)


def table(found: list[Found], seed: int) -> str:
    """The attack's table, as docs/promises.md has it."""
    kinds = [kind for kind in verdict.KINDS if any(each.counted[kind] for each in found)]
    head = " | ".join(kinds or ["found"])
    lines = [f"seed {seed}", f"| attacked | tried | slowest, s (trial) | most, MB (trial) | {head} |"]
    lines.append("|" + "---|" * (4 + len(kinds or [""])))
    for each in found:
        cells = [str(each.counted[kind]) for kind in kinds] or ["0"]
        slowest, largest = f"{each.most_s:.1f} ({each.slowest})", f"{each.most_mb:.0f} ({each.largest})"
        lines.append(f"| {each.room} | {each.tried} | {slowest} | {largest} | " + " | ".join(cells) + " |")
    return "\n".join(lines)
