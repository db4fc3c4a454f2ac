"""`python -m attack [minutes] [--seed N] [--only WHAT]`: attack, and print what did not hold."""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parent.parent / part) for part in ("src", "tests/support")]

from attack import rooms  # noqa: E402  what it needs lies where the line above says


def main() -> int:
    asked = argparse.ArgumentParser(prog="run.py attack", description=rooms.__doc__)
    asked.add_argument("minutes", nargs="?", type=float, default=10.0)
    asked.add_argument("--seed", type=int, default=int(time.time()) % 10**6, help="the same seed, the same attack")
    asked.add_argument("--only", choices=sorted(rooms.ROOMS), action="append", help="only these; may be said again")
    asked.add_argument("--trials", type=int, help="end after so many of each, not after the minutes")
    asked.add_argument("--share", action="store_true", help="end after a quick share of each, as the tests have it")
    asked.add_argument("--skip", type=int, default=0, help="leave out so many, which were tried already")
    asked.add_argument("--keep", metavar="FOLDER", help="keep the text of every trial that found something here")
    said = asked.parse_args()
    wanted = said.only or list(rooms.SHARE if said.share else rooms.ROOMS)
    trials = rooms.SHARE if said.share else None if said.trials is None else dict.fromkeys(wanted, said.trials)
    found = rooms.attack(wanted, said.seed, said.minutes * 60, trials, said.keep, said.skip)
    print(rooms.table(found, said.seed))
    return 1 if any(each.counted for each in found) else 0


if __name__ == "__main__":
    sys.exit(main())
