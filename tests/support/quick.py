"""The tests that what has changed can touch, the nearest first, as many as a minute holds: `python3 run.py test quick`.

1. Changed are files that git calls so, and those of commits that the main branch does not have yet.
2. The tests nearest to a changed module come first: tests that were changed themselves; tests of its room; tests that
   import it; tests of modules that use it, step by step up the imports.
3. Each file of tests costs what `benchmarks/suite_times.csv` remembers (`benchmarks/bench_suite.py` writes it); tests
   of more than a second are taken last, while there is time. What is left out is said.
"""

from __future__ import annotations

import ast
import csv
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
TIMES = ROOT / "benchmarks" / "suite_times.csv"
BUDGET_S = 25.0
"""Seconds of tests by the clock; the rest of the minute goes to starting and finding them."""
UNKNOWN_S = 2.0
"""What a file costs that was never timed."""
ALWAYS = ("tests/test_layout.py", "tests/test_house_of_tests.py")
"""Cheap, and whatever changed can break them."""


def git(*words: str) -> list[str]:
    """Lines that git says; none where there is no git or it refuses."""
    try:
        done = subprocess.run(["git", *words], cwd=ROOT, capture_output=True, text=True, check=True)
    except (OSError, subprocess.CalledProcessError):
        return []
    return done.stdout.splitlines()


def changed_files() -> set[str]:
    """Files that differ from the last commit, and from where this branch left the main one."""
    found = {line[3:].split(" -> ")[-1].strip('"') for line in git("status", "--porcelain", "--untracked-files=all")}
    for main in ("origin/main", "main"):
        for base in git("merge-base", "HEAD", main)[:1]:
            return found | set(git("diff", "--name-only", base))
    return found


def module_of(path: str) -> str:
    """`src/slype/lay/chart.py` as `slype.lay.chart`; a file that is no module goes by its folder."""
    parts = path.removeprefix("src/").split("/")
    if path.startswith("src/") and path.endswith(".py"):
        return ".".join(parts).removesuffix(".py").removesuffix(".__init__")
    return ".".join(parts[:-1]) if path.startswith("src/") else ""


def imported(path: Path) -> set[str]:
    """Names that a file imports from slype or from what tests share: modules, and what is taken from them."""
    source = ROOT / "src"
    package = list(path.relative_to(source).parts[:-1]) if path.is_relative_to(source) else []
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            up = package[: len(package) - node.level + 1] if node.level else []
            stem = ".".join([*up, *([node.module] if node.module else [])])
            found |= {stem, *(f"{stem}.{alias.name}" for alias in node.names)}
    return found - {"slype"}  # which knows of everything, and loads it only when it is asked for


def steps_from(changed: set[str]) -> dict[str, int]:
    """Modules (also those that tests share) by how many imports lie between them and a changed one; 0: changed."""
    paths = {module_of(path.relative_to(ROOT).as_posix()): path for path in (ROOT / "src").rglob("*.py")}
    paths |= {path.stem: path for path in (ROOT / "tests" / "support").glob("*.py")}
    uses = {name: imported(path) for name, path in paths.items()}
    far = {name: 0 for name in changed}
    step, news = 0, set(changed)
    while news:
        step += 1
        news = {name for name, needs in uses.items() if name not in far and needs & news}
        far |= dict.fromkeys(news, step)
    return far


def nearness(test: Path, changed: set[str], rooms: set[str], far: dict[str, int]) -> float | None:
    """How near a file of tests is to what was changed: less is nearer, None is out of reach."""
    name = test.relative_to(ROOT).as_posix()
    if name in changed:
        return -1.0
    steps = [far[each] for each in imported(test) if each in far]
    if test.parent.name in rooms:
        return 0.0
    return min(steps) + 0.5 if steps else None


def times() -> dict[str, float]:
    """Seconds by test that takes more than one, and by file for its other tests."""
    if not TIMES.exists():
        return {}
    with TIMES.open(encoding="utf-8", newline="") as file:
        return {row["test"]: float(row["seconds"]) for row in csv.DictReader(file)}


def chosen(ranked: list[Path], cores: int) -> tuple[list[str], list[str], list[str]]:
    """(files, slow tests of theirs to leave out, files left out) within the budget; `ranked` nearest first."""
    known, left = times(), BUDGET_S * cores
    taken, passed = [], []
    for name in (path.relative_to(ROOT).as_posix() for path in ranked):
        cost = known.get(name, UNKNOWN_S)
        if cost <= left:
            taken.append(name)
            left -= cost
        else:
            passed.append(name)
    slow = []
    for test, cost in known.items():
        if "::" in test and test.split("::")[0] in taken:
            slow.append((taken.index(test.split("::")[0]), cost, test))
    out = []
    for _, cost, test in sorted(slow):
        if cost <= left:
            left -= cost
        else:
            out.append(test)
    return taken, out, passed


def main(words: list[str]) -> int:
    files = changed_files()
    changed = {module_of(path) for path in files} - {""}
    changed |= {Path(path).stem for path in files if path.startswith("tests/support/")}
    rooms = {path.split("/")[2] for path in files if path.startswith("src/slype/") and path.count("/") > 2}
    rooms |= {"ground"} if any(path.startswith("src/slype/") and path.count("/") == 2 for path in files) else set()
    rooms |= {"docs"} if any(path.startswith("docs/") or path.endswith(".md") for path in files) else set()
    far = steps_from(changed)
    tests = sorted((ROOT / "tests").rglob("test_*.py"))
    near = {test: nearness(test, files, rooms, far) for test in tests}
    always = [ROOT / name for name in ALWAYS]
    ranked = sorted((test for test in tests if near[test] is not None and test not in always), key=near.get)
    if not ranked:
        print("Nothing has changed that a test would notice: the quickest of all tests are run.")
        known = times()
        ranked = sorted(tests, key=lambda test: known.get(test.relative_to(ROOT).as_posix(), UNKNOWN_S))
    cores = os.cpu_count() or 1
    taken, slow, passed = chosen(always + [test for test in ranked if test not in always], cores)
    print(f"{len(taken)} of {len(tests)} files of tests, {len(slow)} slow tests in them left out.")
    if passed:
        print("No time for these, which what has changed may touch too:\n  " + "\n  ".join(passed))
    sys.stdout.flush()
    few = sum(times().get(name, UNKNOWN_S) for name in taken) < 10  # workers would take longer to start than to work
    workers = [] if few else ["-n", str(cores), "--dist", "worksteal"]
    leave = [f"--deselect={test}" for test in slow]
    return subprocess.run([sys.executable, "-m", "pytest", "-q", *workers, *leave, *taken, *words], cwd=ROOT).returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
