"""The layout of the code: rooms, lowest first; arrows only go down. Held against the imports themselves."""

from __future__ import annotations

import ast
import re
import sys
from functools import cache
from pathlib import Path

import pytest

import slype

SOURCE = Path(slype.__file__).parent
ROOMS = (
    "",  # the ground: errors, sources, quantity, words, colour, files, reeds, system
    "rods", "weave", "borders", "form", "design", "design.file", "edit", "lay", "surface", "order", "advice", "space",
    "rest", "plans", "kit.cuts", "kit", "kit.file", "tell", "tell.classes", "teach.step", "teach", "export",
    "book.photo", "book.learning", "book", "book.year", "report", "draw.runs", "draw", "draw.classes",
    "figures.flat", "figures.reeds", "figures", "paper", "lesson", "make", "script", "studio.told", "studio.shown",
    "studio", "studio.asked", "cli",
)  # fmt: skip
MOST_MODULES = 15
FEW = {"script": "verbs over several rooms; every other public name is a room's own"}
"""Rooms of fewer than two modules, each with the reason."""
ENGINE = ROOMS[: ROOMS.index("tell")]
"""Rooms that take values and give values: no clock, no chance, no file, no print."""
READS_FILES = {"files", "system", "design.file.reader", "kit.file.reader"}
KNOWS_DAYS = {"kit", "kit.file"}
"""Rooms whose values hold a day; none asks which day it is."""
CHANCE_FROM_A_SEED = {"kit.finishing": {"default_rng"}, "kit.chance": {"default_rng"}}
"""Modules that simulate, from a seed that is handed in."""
# What is slow to import, or has to do with paper and screens, stays with the rooms that need it.
OUTSIDE = {
    "numpy": set(ROOMS),
    "rich": {"report"},
    "typst": {"draw", "paper"},
    "numba": {"rods"},
    "trimesh": {"draw"},
    "starlette": {"studio", "studio.asked"},
    "uvicorn": {"studio.asked"},
    "h11": {"studio"},
    "platformdirs": {""},
    "tomlkit": {"edit"},
    "highspy": {"kit.cuts"},
    "segno": {"paper", "studio"},
    "icalendar": {"export"},
    "PIL": {"book.photo"},
    "xlsxwriter": {"export", "book.year"},
    "sqlalchemy": {"book", "book.year"},
    "alembic": {"book"},
}
STANDARD_ONLY = {
    "",
    "weave.table",
    "borders",
    "cli.arguments",
    "cli.book_arguments",
    "cli.commands",
    "cli.borders",
    "cli.told",
    "cli.designs",
    "cli.drawn",
    "cli.effects",
}
"""Rooms and modules that need nothing but Python itself, so that a first answer is there at once."""
ASKS_LATE = {"system": {"platformdirs"}}
"""What such a module imports all the same, where only the one function that is seldom called needs it."""


def modules() -> dict[str, Path]:
    """Every module by its dotted name below slype; a package goes by its own name."""
    found = {}
    for path in sorted(SOURCE.rglob("*.py")):
        parts = path.relative_to(SOURCE).with_suffix("").parts
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


MODULES = modules()
INSIDE = [name for name in MODULES if name not in ROOMS and name != "__main__"]


def room_of(name: str) -> str:
    """The room a module stands in: the longest room its name begins with; a package's own name is its room."""
    return name if name in ROOMS else name.rpartition(".")[0]


@cache
def parsed(name: str) -> ast.Module:
    return ast.parse(MODULES[name].read_text(encoding="utf-8"))


@cache
def imports(name: str) -> tuple[set[str], set[str]]:
    """(modules of slype, outside packages) that a module imports anywhere in it, inside functions too."""
    inner, outer = set(), set()
    package = name.split(".") if MODULES[name].name == "__init__.py" and name else name.split(".")[:-1]
    for node in ast.walk(parsed(name)):
        if isinstance(node, ast.Import):
            outer |= {alias.name.split(".")[0] for alias in node.names if not alias.name.startswith("slype")}
            inner |= {alias.name.partition(".")[2] for alias in node.names if alias.name.startswith("slype")}
        elif isinstance(node, ast.ImportFrom):
            path = (node.module or "").split(".") if node.module else []
            if node.level:
                path = package[: len(package) - node.level + 1] + path
            elif path[0] == "slype":
                path = path[1:]
            else:
                outer.add(path[0])
                continue
            stem = ".".join(path)
            if stem in MODULES and stem not in ROOMS:
                inner.add(stem)
            else:
                inner |= {f"{stem}.{alias.name}".strip(".") for alias in node.names}
    return {each if each in MODULES else room_of(each) for each in inner}, outer


def height(name: str) -> int:
    return ROOMS.index(room_of(name))


def test_there_is_code_to_look_at():
    assert len(INSIDE) > 100
    assert imports("cli.designs")[0] >= {"errors", "make.baskets", "report.plans"}, "imports in functions are unseen"


def test_every_module_stands_in_a_room_of_the_list():
    assert {room_of(name) for name in INSIDE} == set(ROOMS)
    for room in ROOMS:
        path = SOURCE.joinpath(*room.split("."), "__init__.py") if room else SOURCE / "__init__.py"
        assert path.is_file(), room


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_says_what_it_owns_and_is_neither_crowded_nor_a_cupboard(room):
    said = ast.get_docstring(parsed(room)) or ""
    assert len([line for line in said.splitlines() if line.strip()]) >= 2, f"{room}/__init__.py says too little"
    inside = [name for name in INSIDE if room_of(name) == room]
    assert len(inside) <= MOST_MODULES, f"{room} holds {len(inside)} modules"
    assert len(inside) >= 2 or room in FEW


# Modules are looked at in one test each: nearly a thousand tests took longer to be told apart than to run.


def test_arrows_only_go_down():
    upward = {module: {other for other in imports(module)[0] if height(other) > height(module)} for module in INSIDE}
    assert not any(upward.values()), {module: above for module, above in upward.items() if above}


def test_there_is_no_cycle():
    waiting = {module: imports(module)[0] - {module} for module in MODULES if module != "__main__"}
    while waiting:
        free = [module for module, needs in waiting.items() if not needs & set(waiting)]
        assert free, f"these import each other in a ring: {sorted(waiting)}"
        for module in free:
            del waiting[module]


def test_outside_packages_stay_in_their_rooms():
    for module in INSIDE:
        for package in imports(module)[1] - set(sys.stdlib_module_names):
            assert room_of(module) in OUTSIDE.get(package, ()), f"{module} imports {package}"


def test_what_must_answer_at_once_needs_only_the_standard_library():
    quick = [name for name in INSIDE if {name, room_of(name)} & STANDARD_ONLY]
    assert len(quick) > 20
    for module in quick:
        needed = imports(module)[1] - set(sys.stdlib_module_names) - ASKS_LATE.get(module, set())
        assert not needed, f"{module} imports {needed}"


def test_the_engine_neither_prints_nor_opens_files():
    engine = [name for name in INSIDE if room_of(name) in ENGINE and name not in READS_FILES]
    assert len(engine) > 100
    for module in engine:
        nodes = list(ast.walk(parsed(module)))
        called = {node.func.id for node in nodes if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)}
        assert not called & {"print", "open", "input"}, module
        of_files = {node.attr for node in nodes if isinstance(node, ast.Attribute)
                    and isinstance(node.value, ast.Name) and node.value.id == "files"}  # fmt: skip
        assert not of_files & {"read", "write", "make_folder", "sweep"}, f"{module} reads or writes a file"
        assert not imports(module)[1] & {"random", "time", "sqlite3", "subprocess"}, module
        assert "datetime" not in imports(module)[1] or room_of(module) in KNOWS_DAYS, module
        asked = {node.attr for node in nodes if isinstance(node, ast.Attribute)}
        assert not asked & {"today", "now", "utcnow", "default_rng"} - CHANCE_FROM_A_SEED.get(module, set()), module
        assert "system" not in imports(module)[0], f"what differs by operating system is no matter of {module}"


def test_no_docstring_speaks_of_levels():
    for name, path in MODULES.items():
        assert not re.search(r"\bLevel \d", path.read_text(encoding="utf-8")), name


def test_no_compiled_loop_multiplies_by_sign():
    """numba asks scipy for that, which is no package of ours: a picture would end the whole program."""
    loops = [
        each
        for name in MODULES
        for each in ast.walk(parsed(name))
        if isinstance(each, ast.FunctionDef) and any("compiled" in ast.dump(by) for by in each.decorator_list)
    ]
    assert len(loops) > 20
    assert not [loop.name for loop in loops for each in ast.walk(loop) if isinstance(each, ast.MatMult)]
