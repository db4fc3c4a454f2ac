"""What is wrong with what slype said, by what it promises."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

from slype.design.file.keys import TABLES
from slype.kit.file.keys import TABLES as CLASS_TABLES

from .trial import Outcome, Said

LATE_S, MUCH_MB, LONGEST_MM = 10.0, 1024.0, 10_000.0
FOLDER_LATE_S = 60.0
"""A class's whole folder: a sheet and a lesson for every basket in it."""
KINDS = ("traceback", "broken", "never ended", "late", "memory", "absurd", "no file", "no place", "nothing said",
         "left behind", "no output")  # fmt: skip
WHOLE = ("is empty", "not UTF-8", "is larger", "is not TOML", "nested far deeper", "unknown table", "the table [",
         "cannot be read", "there is no such file", "is a folder", "form, wall")  # fmt: skip
"""Faults of a whole file, which have no place in it."""
_WORDS = {*TABLES, *CLASS_TABLES, "mouth", "turn", "row", "student", "side", "seat", "version"}
_PLACES = re.compile(rf"\b({'|'.join(sorted(_WORDS))})\b")
_NEGATIVE = re.compile(r"(?<![\w/-])-\d[\d ./]*(in|cm|mm|m|ft|g|kg|lb|oz|min|h)\b")
_NO_NUMBER = re.compile(r"(?<![\w.-])(nan|inf|NaN|Infinity)(?![\w-])")
MAY_BE_NEGATIVE = {"proud_mm", "spare_mm", "shift_per_row", "substitutes", "changes", "kept", "left", "profit"}


def faults(outcome: Outcome, folder: Path, file: str, names_file: bool = True) -> list[tuple[str, str]]:
    """(kind, story) of everything that must not be."""
    found = []
    if outcome.most_mb > MUCH_MB:
        found.append(("memory", f"{outcome.most_mb:.0f} MB"))
    for said in outcome.said:
        found += [(kind, f"{' '.join(said.words)}: {story}") for kind, story in _of(said, folder, file, names_file)]
    for path in folder.rglob(".slype-*"):
        found.append(("left behind", path.name))
    return found


def _of(said: Said, folder: Path, file: str, names_file: bool) -> list[tuple[str, str]]:
    found = []
    if said.broken:
        return [("broken", said.broken)]
    if said.status is None:
        return [("never ended", said.err[-200:])]
    if "Traceback (most recent" in said.err or said.status not in (0, 1, 2):
        memory = "MemoryError" in said.err or "Unable to allocate" in said.err
        return [("memory" if memory else "traceback", said.err.strip()[-600:])]
    if said.cpu_s > (FOLDER_LATE_S if said.words[0] == "class" and "-o" in said.words else LATE_S):
        found.append(("late", f"{said.cpu_s:.1f} s"))
    if said.status == 0:
        found += _absurd(said)
        if "-o" in said.words:
            made = folder / said.words[said.words.index("-o") + 1]
            if not made.exists() or (made.is_file() and not made.stat().st_size):
                found.append(("no output", made.name))
    else:
        found += _unclear(said, file, names_file)
    return found


def _unclear(said: Said, file: str, names_file: bool) -> list[tuple[str, str]]:
    message = said.err.strip()
    if not message and said.out.strip():  # the report itself says it
        return []
    if not message.startswith("slype"):
        return [("nothing said", message[:300])]
    if any(not sign.isprintable() for sign in message.replace("\n", " ")):
        return [("nothing said", f"control signs: {message[:300]!r}")]
    if not names_file:
        return []
    named = next((each for each in file.split() if each in message), None)
    if named is None:
        return [("no file", message[:300])]
    rest = message.partition(named)[2]
    if not _PLACES.search(rest) and not any(words in message for words in WHOLE):
        return [("no place", message[:300])]
    return []


def _absurd(said: Said) -> list[tuple[str, str]]:
    if any(ord(sign) < 32 and sign not in "\n\t" for sign in said.out):
        return [("absurd", f"control signs in the report: {said.out[:200]!r}")]
    if "--json" in said.words:
        try:
            form = json.loads(said.out, parse_constant=_no_number)
        except ValueError as trouble:
            return [("absurd", f"no JSON: {trouble}")]
        return [("absurd", story) for story in list(_numbers(form, ()))[:1]]
    for pattern in (_NEGATIVE, _NO_NUMBER):
        seen = pattern.search(said.out)
        if seen:
            return [("absurd", said.out[max(0, seen.start() - 80) : seen.end() + 40].replace("\n", " "))]
    return []


def _no_number(word: str):
    raise ValueError(f"the number {word}")


def _numbers(form, path: tuple):
    """Stories of numbers that no basket has."""
    if isinstance(form, dict):
        for key, value in form.items():
            if key not in MAY_BE_NEGATIVE and key not in ("advice", "range_mm"):
                yield from _numbers(value, (*path, key))
    elif isinstance(form, list):
        for value in form:
            yield from _numbers(value, path)
    elif isinstance(form, int | float) and not isinstance(form, bool):
        name = next((each for each in reversed(path) if isinstance(each, str)), "")
        if not math.isfinite(form):
            yield f"{'.'.join(path)} = {form}"
        if form < 0 and name.endswith(("_mm", "_g", "_s", "seconds", "count", "rows")):
            yield f"{'.'.join(path)} = {form}"
        if path[:1] == ("spokes",) and name == "length_mm" and form > LONGEST_MM:
            yield f"{'.'.join(path)} = {form}"
        if name == "height_mm" and form > LONGEST_MM:
            yield f"{'.'.join(path)} = {form}"
