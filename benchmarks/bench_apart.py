"""How far reeds of baskets by chance lie in each other, kind by kind: the table of docs/rest.md.

Run as `PYTHONPATH=src:tests/support:benchmarks python benchmarks/bench_apart.py FIRST COUNT FILE`: of the first COUNT
baskets from that seed on that can be laid, one line each into FILE (JSON), with what the checker of the tests finds in
the file of its solid; baskets that are in FILE already are not worked again. Then what all of them come to. Some three
seconds of a processor each.
"""

from __future__ import annotations

import json
import sys
from collections import defaultdict
from pathlib import Path
from statistics import median

from bench_rest import MOST, UNSOUND, left
from solids import overlaps, reeds_in
from strategies import basket_by_chance

from slype.design.file.reader import parse
from slype.draw.glb import glb
from slype.errors import SlypeError
from slype.plans.planning import plan
from slype.rest.curves import all_curves
from slype.rest.relax import relax

TEN = 0.10


def worked(seed: int) -> dict | None:
    """What there is to say of the basket of that seed, None where it cannot be laid or settled."""
    try:
        design = parse(basket_by_chance(seed))
        found = plan(design).advice
        rest = relax(design, cores=1)
    except SlypeError:
        return None
    base = [i for i, band in enumerate(design.bands, 1) if band.where == "base"]
    kinds = overlaps(reeds_in(glb(rest.laid, all_curves(rest))), base)
    said = left(rest)
    return {
        "seed": seed,
        "sound": not any(each.rule.weight == "stop" or each.rule.key in UNSOUND for each in found),
        "said": said,
        "stacked": any("stacked form" in each for each in said),
        "own": round(rest.together.worst, 4),
        "kinds": {" / ".join(kind): round(each.share, 4) for kind, each in kinds.items()},
    }


def told(all_of_them: list[dict], called: str) -> str:
    """One row of the table."""
    worst = [max(each["kinds"].values(), default=0.0) for each in all_of_them]
    return (
        f"{called}: {len(worst)} baskets, {sum(w <= MOST for w in worst)} within 5, {sum(w <= TEN for w in worst)} "
        f"within 10, middle {100 * median(worst):.1f}, worst {100 * max(worst):.0f}, "
        f"{sum(bool(each['said']) for each in all_of_them)} not at rest on a surface, "
        f"{sum(each['stacked'] for each in all_of_them)} keep a stacked form"
    )


def main(first: int, count: int, file: Path) -> None:
    done = [json.loads(line) for line in file.read_text().splitlines()] if file.exists() else []
    seed, known = first, {each["seed"]: each for each in done}
    found: list[dict] = []
    while len(found) < count:
        one = known.get(seed) or worked(seed)
        if one is not None:
            found.append(one)
            if seed not in known:
                with file.open("a") as out:
                    out.write(json.dumps(one) + "\n")
        seed += 1
    print(told(found, f"all from {first} to {seed - 1}"))
    print(told([each for each in found if each["sound"]], "sound ones"))
    kinds = defaultdict(list)
    for each in found:
        for kind, share in each["kinds"].items():
            kinds[kind].append(share)
    for kind, shares in sorted(kinds.items(), key=lambda each: -max(each[1])):
        print(f"{kind}: worst {100 * max(shares):.0f}, over 5 in {sum(share > MOST for share in shares)}")
    for each in found:
        worst = max(each["kinds"].items(), key=lambda kind: kind[1], default=("", 0.0))
        if each["said"] or worst[1] > MOST:
            print(each["seed"], "sound" if each["sound"] else "not sound", *worst, *each["said"], sep="   ")


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), Path(sys.argv[3]))
