"""What is attacked: designs through the reports, designs through the drawings, classes, the book, the doors."""

from __future__ import annotations

import random
import shutil
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from . import doors, faults, trial, verdict, wings
from .designs import EXAMPLES, text_of

FILE = "attacked.toml"
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


Trial = Callable[[int, Path], tuple[trial.Outcome, str, bool]]


def reports(seed: int, folder: Path):
    """A design through four reports."""
    (folder / FILE).write_bytes(text_of(seed)[1])
    return trial.run(folder, REPORTS), FILE, True


def drawings(seed: int, folder: Path):
    """A design through one way of drawing, printing or playing it."""
    by = random.Random(f"drawing {seed}")
    while (found := text_of(by.randrange(10**9)))[0] != "odd":
        pass
    (folder / FILE).write_bytes(found[1])
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
        ("effects", FILE, "--json"),
        ("fits", FILE, "9 x 5 x 2 1/2 in"),
    ))  # fmt: skip


ROOMS: dict[str, Trial] = {
    "reports": reports, "drawings": drawings, "classes": wings.classes, "book": wings.book, "studio": doors.studio,
    "shared": doors.shared, "faults": faults.faults,
}  # fmt: skip


def load() -> None:
    """Load slype once, here, so that no trial has to."""
    import slype.advice.advise
    import slype.advice.tried
    import slype.book.learning.gauge
    import slype.cli.book
    import slype.cli.classes
    import slype.draw.views
    import slype.export.plan
    import slype.kit.worked
    import slype.paper.folder
    import slype.paper.handout
    import slype.report.plans
    import slype.report.printed
    import slype.rest.relax  # noqa: F401  as the others: loaded, not used


def warm_up() -> None:
    """Have all loops compiled and kept, which takes half a minute, once: no trial is late for that."""
    with tempfile.TemporaryDirectory(prefix="attack-") as place:
        (Path(place) / FILE).write_text(EXAMPLES[0], encoding="utf-8")
        for suffix in ("svg", "png"):
            trial.run(Path(place), [("picture", FILE, "-o", f"a.{suffix}", "--view", "outside")], 600)


def attack(rooms: list[str], seed: int, seconds: float, trials: int | None, keep: str | None) -> list[Found]:
    """Attack each room in turn for its share of the time, or so many times."""
    load()
    if "drawings" in rooms:
        warm_up()
    found = []
    for room in rooms:
        until = time.monotonic() + seconds / len(rooms)
        one = Found(room)
        found.append(one)
        for number in _numbers(seed, trials, until):
            _attack_once(one, number, keep)
    return found


def _numbers(seed: int, trials: int | None, until: float) -> Iterator[int]:
    number = seed * 1_000_000
    while (trials is None and time.monotonic() < until) or (trials is not None and number < seed * 1_000_000 + trials):
        yield number
        number += 1


def _attack_once(one: Found, number: int, keep: str | None) -> None:
    with tempfile.TemporaryDirectory(prefix="attack-") as place:
        folder = Path(place)
        outcome, file, names_file = ROOMS[one.room](number, folder)
        wrong = verdict.faults(outcome, folder, file, names_file)
        one.tried += 1
        one.statuses.update(str(said.status) for said in outcome.said)
        one.most_mb = max(one.most_mb, outcome.most_mb)
        one.most_s = max([one.most_s, *(said.cpu_s for said in outcome.said)])
        for kind, story in dict(wrong).items():
            one.counted[kind] += 1
            one.stories.append((kind, number, story))
            print(f"{one.room} {number} {kind}: {story}", flush=True)
        if wrong and keep:
            shutil.copytree(folder, Path(keep) / f"{one.room}-{number}", dirs_exist_ok=True)


def table(found: list[Found], seed: int) -> str:
    """The attack's table, as docs/promises.md has it."""
    kinds = [kind for kind in verdict.KINDS if any(each.counted[kind] for each in found)]
    lines = [f"seed {seed}", "| attacked | tried | slowest, s | most, MB | " + " | ".join(kinds or ["found"]) + " |"]
    lines.append("|" + "---|" * (4 + len(kinds or [""])))
    for each in found:
        cells = [str(each.counted[kind]) for kind in kinds] or ["0"]
        lines.append(
            f"| {each.room} | {each.tried} | {each.most_s:.1f} | {each.most_mb:.0f} | " + " | ".join(cells) + " |"
        )
    return "\n".join(lines)
