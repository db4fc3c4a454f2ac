"""How fast the maker's book answers once it is full: `PYTHONPATH=src python benchmarks/bench_book.py`.

Ten thousand baskets with three figures each, fifty thousand movements on five hundred lots. Times are given beside that
of reading the whole file once, on the same disk in the same run.
"""

from __future__ import annotations

import os
import random
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import slype
from slype.book import baskets, makeable, shelf
from slype.book.learning.gauge import learn_all
from slype.book.store import Book
from slype.book.tables import ACT, BASKET, FIGURE, LOT, MOVEMENT

BASKETS, LOTS, MOVEMENTS = 10_000, 500, 50_000
WEAVES, REEDS, COLOURS = (
    ("randing", "pairing", "three-rod wale"),
    ("round 2", "round 3", "round 4"),
    ("natural", "rust", "plum"),
)


def fill(book: Book) -> None:
    """Enter everything in a few large transactions, as an import would."""
    dice = random.Random(1)
    with book.writing() as work:
        for i in range(BASKETS):
            basket = work.add(BASKET, title=f"basket {i}", made_on=f"20{10 + i % 15}-05-{1 + i % 28:02}", design="")
            for _ in range(3):
                weave, reed = dice.choice(WEAVES), dice.choice(REEDS)
                work.add(
                    FIGURE, basket_id=basket, quantity="row pitch", weave=weave, reed=reed,
                    measured=dice.lognormvariate(0, 0.1), reckoned=1.0,
                )  # fmt: skip
    with book.writing() as work:
        act = work.add(ACT, at="2026-05-09T10:00:00Z", kind="came", undone_at=None)
        lots = []
        for i in range(LOTS):
            lots.append(
                work.add(LOT, reed=REEDS[i % 3], colour=COLOURS[i % 3], kind="coil", unit="mm", since="2026-05-09")
            )
            work.add(MOVEMENT, act_id=act, lot_id=lots[-1], amount=1e6)
        cut = work.add(ACT, at="2026-05-10T10:00:00Z", kind="cut", undone_at=None)
        for _ in range(MOVEMENTS - LOTS):
            work.add(MOVEMENT, act_id=cut, lot_id=dice.choice(lots), amount=-dice.uniform(10, 5000))


def nearly(examples: list[tuple[str, str]], found: list[shelf.Lot]) -> list[shelf.Lot]:
    """The shelf with so much of everything that no design is easily told from one that can be made."""
    key = lambda need: (need.reed, need.colour)  # noqa: E731
    most: dict[tuple[str, str], float] = {}
    for need in (need for offer in makeable.offers(examples, []) for need in offer.needs):
        most[key(need)] = max(most.get(key(need), 0.0), need.wanted_mm)
    return [
        replace(found[i], reed=reed, colour=colour, unit="mm", amount=0.7 * mm)
        for i, ((reed, colour), mm) in enumerate(most.items())
    ]


def timed(work: Callable[[], object], many: int = 5) -> float:
    """Milliseconds of processor time of the quickest of several runs: another program on the machine does not count."""
    best = float("inf")
    for _ in range(many):
        began = time.process_time()
        work()
        best = min(best, time.process_time() - began)
    return 1000 * best


def main() -> None:
    examples = [
        (path.name, path.read_text("utf-8"))
        for path in sorted((Path(slype.__file__).parent / "examples").glob("*.toml"))
    ]
    with tempfile.TemporaryDirectory() as folder, Book(os.path.join(folder, "book.sqlite")) as book:
        began = time.perf_counter()
        fill(book)
        size = os.path.getsize(book.path) / 1e6
        print(f"entered in {time.perf_counter() - began:.1f} s; {size:.0f} MB")
        read = timed(lambda: Path(book.path).read_bytes())
        lot = shelf.lots(book)[0].id
        lines = {
            "reading the file": lambda: Path(book.path).read_bytes(),
            "the shelf": lambda: shelf.lots(book),
            "all baskets": lambda: baskets.baskets(book),
            "search of baskets": lambda: baskets.baskets(book, "basket 77"),
            "a cut": lambda: shelf.take(book, [(lot, 10.0)]),
            "relearning from all": lambda: learn_all(baskets.measures(book)),
            "what can I make, four designs": lambda: makeable.offers(examples, shelf.lots(book)),
            "the same, each size tried": lambda: makeable.offers(examples, nearly(examples, shelf.lots(book))),
        }
        for name, work in lines.items():
            ms = timed(work)
            print(f"{name:32} {ms:8.1f} ms  {ms / read:6.1f} times the reading")


if __name__ == "__main__":
    main()
