"""Classes with their lists, and the maker's book: broken by structure and by byte, and asked every way."""

from __future__ import annotations

import random
import shutil
import tomllib
from pathlib import Path

from places import SOURCE

from slype.kit.file.keys import CLASS_KEYS

from . import trial
from .designs import COUNTS, HOSTILE, LENGTHS, by_bytes, by_structure, dumped, text_of

EXAMPLE = SOURCE / "examples" / "class"
CLASS = "class.toml"
CELLS = (
    "",
    "0",
    "-1",
    "1e999",
    "nan",
    "left",
    "LEFT",
    "moss",
    "#zz",
    "85 %",
    "9999 %",
    "Zoë",
    "a" * 500,
    '"',
    "\x1b[31m",
    "=1+1",
    "3,5",
    "1.5.1",
    "999999999999",
    "10 ft",
    "-3 in",
    "natural",
)


def classes(seed: int, folder: Path):
    """A class whose file, roster, shelf or prices were spoilt; the report alone, now and then the whole folder."""
    by = random.Random(f"class {seed}")
    for each in EXAMPLE.iterdir():
        if each.is_file():
            shutil.copy(each, folder / each.name)
    for _ in range(by.choice((1, 1, 2, 4))):
        _spoil(by.choice(sorted(each for each in folder.iterdir() if each.suffix in (".toml", ".csv"))), by)
    path = folder / CLASS
    text = path.read_bytes()
    if b"seconds" not in text:  # whether a plan is best is not what is asked here
        path.write_bytes(text + b"\n[cutting]\nseconds = 0.5\n")
    words = ["class", CLASS, *(["--json"] if by.random() < 0.5 else [])]
    if by.random() < 0.05:
        words += ["-o", "made", *by.choice(([], ["--no-sheets"], ["--no-names"]))]
    return trial.run(folder, [tuple(words)], 90), f"{CLASS} roster.csv shelf.csv prices.csv saltings.toml", True


def _spoil(path: Path, by: random.Random) -> None:
    raw = path.read_bytes()
    if by.random() < 0.25:
        path.write_bytes(by_bytes(raw, by))
    elif path.suffix == ".csv":
        rows = [row.split(",") for row in raw.decode("utf-8", "replace").splitlines()]
        for _ in range(by.choice((1, 2, 5))):
            row = by.choice(rows)
            row[by.randrange(len(row))] = by.choice(CELLS)
        if by.random() < 0.2:
            rows = (rows * 200)[: by.choice((3, 500, 1500))]
        path.write_bytes("\n".join(",".join(row) for row in rows).encode("utf-8", "surrogatepass"))
    else:
        try:
            tables = tomllib.loads(raw.decode("utf-8", "replace"))
        except tomllib.TOMLDecodeError:
            return
        tables = by_structure(tables, by) if by.random() < 0.6 else _by_key(tables, by)
        path.write_bytes(dumped(tables).encode("utf-8", "surrogatepass"))


def _by_key(tables: dict, by: random.Random) -> dict:
    """A key of a class, with a value that hardly fits."""
    key = by.choice(CLASS_KEYS)
    table = tables.setdefault(key.table, {})
    table = by.choice(table) if isinstance(table, list) and table else table
    if isinstance(table, dict):
        table[key.name] = by.choice((*HOSTILE, *LENGTHS, *COUNTS))
    return tables


def book(seed: int, folder: Path):
    """A book of its own, and a row of commands with words that nobody would say."""
    by = random.Random(f"book {seed}")
    (folder / "pot.toml").write_bytes(text_of(by.randrange(10**9))[1] if by.random() < 0.3 else _pot())
    said = ["--book", "my.book"]
    cells = [cell for cell in CELLS[1:] if cell != "nan"]  # it may be said, of a supplier
    odd = (*cells, "round 3", "rust", "300 ft", "1 lb", "0 in", "1e9 m", "\u202e", "2026-02-31", "x" * 3000)

    def word() -> str:
        return by.choice(odd).replace("\x00", "")

    def value() -> str:
        return f"={word()}"

    asked = (
        lambda: ["add", by.choice(("round 3", word())), word(), f"--length{value()}", f"--cost{value()}"],
        lambda: ["add", "round 3", "rust", "--length", "300 ft", f"--note{value()}", f"--supplier{value()}"],
        lambda: ["add", "round 2", "natural", "--weight", by.choice(("1 lb", "500 g"))],
        lambda: ["cut", "--", by.choice(("round 3, rust", word())), by.choice(("20 ft", word()))],
        lambda: ["back", "--", word(), word()],
        lambda: ["count", "--", by.choice(("round 3, rust", word())), by.choice(("10 ft", word()))],
        lambda: ["shelf"],
        lambda: ["shelf", "--all"],
        lambda: ["shelf", "--", word()],
        lambda: ["undo"],
        lambda: ["done"],
        lambda: ["undo", "--", word()],
        lambda: ["measurable", "pot.toml"],
        lambda: ["made", "pot.toml", f"--on{value()}", f"--measured=height of band 1 = {word()}", f"--note{value()}"],
        lambda: ["made", "pot.toml", f"--measured{value()}", f"--used{value()}", f"--sold-for{value()}"],
        lambda: ["made", "pot.toml", "--hours", f"weaving = {by.choice(('2:30', word()))}"],
        lambda: ["baskets"],
        lambda: ["baskets", "--", word()],
        lambda: ["learned"],
        lambda: ["learned", f"--without{value()}"],
        lambda: ["leave-out", "--", word()],
        lambda: ["swatch", "pot.toml"],
        lambda: ["make"],
        lambda: ["check"],
        lambda: ["export", by.choice(("out", "pot.toml", "."))],
        lambda: ["import", by.choice(("out", ".", "none"))],
        lambda: ["backup"],
        lambda: ["repair"],
        lambda: ["where"],
    )
    commands = [("book", *said, *by.choice(asked)()) for _ in range(6)]
    if by.random() < 0.3:
        trial.run(folder, commands[:3])
        for each in sorted(each for each in folder.iterdir() if each.name.startswith("my.book")):
            each.write_bytes(by_bytes(each.read_bytes(), by))
    return trial.run(folder, commands), "", False


def _pot() -> bytes:
    return (SOURCE / "examples" / "posy.toml").read_bytes()
