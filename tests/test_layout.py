"""The layout of the code: arrows only go down. One table of levels, held against the imports themselves."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import slype

SOURCE = Path(slype.__file__).parent
TOP = 8
LEVELS = {
    0: "__init__ errors quantity sources words colour files",
    1: "materials rods rod_loops rod_contacts rod_wall toml_table",
    2: "form weaves strokes effects counts rod_cases standing",
    3: "border border_work border_words border_table bases handles lids",
    4: "design design_keys stuff_file band_file border_file base_file handle_file lid_file design_file promised "
    "blank firsts edits edit_rows edit_text edit_values couplings outline_edits renames bye_file foot_file",
    5: "steady lay stacked piece studio_contract spacing",
    6: "costs courses joins rule_book rules_count rules_room rules_spacing rules_look rules_work rules_fitted advice "
    "plan plan_json fitted lidded boards step_bases step_fitted chart paths strands relaxed fits cautions telling "
    "step_moves step_bands steps crosses tubes rest_curves curves standing_curves woven_curves footholds arches "
    "feet plank whole moments moment_times moment_words moment_kinds moment_openings moment_fitted moment_places "
    "tails effects_wall mends opening foot step_ends",
    7: "squares camera pixels light painted hatching board_outline drawn glb picture gallery report tables "
    "rest_report sheet_lists sheet border_picture border_report proofs solid studio_lists studio_tables "
    "wall_picture printed",
    TOP: "arguments border_asked demo cli __main__ studio studio_app studio_answers studio_bench studio_going "
    "studio_guard studio_journal studio_reading studio_workers",
}
LEVEL_OF = {module: level for level, modules in LEVELS.items() for module in modules.split()}
# What is slow to import, or has to do with paper and screens, stays with the rooms that need it.
OUTSIDE = {
    "numpy": set(LEVEL_OF),
    "rich": {"border_report", "printed", "report", "rest_report", "tables"},
    "typst": {"picture", "sheet"},
    "numba": {"drawn", "light", "pixels", "rod_loops"},
    "trimesh": {"glb"},
    "starlette": {"studio_app"},
    "uvicorn": {"studio"},
    "platformdirs": {"studio"},
    "tomlkit": {"edit_rows", "edit_text", "edits"},
}
STANDARD_ONLY = (
    "errors quantity sources words colour files weaves border border_work border_words border_table materials "
    "arguments cli border_asked"
).split()
MODULES = sorted(path.stem for path in SOURCE.glob("*.py"))


def imports(module: str) -> tuple[set[str], set[str]]:
    """(rooms of slype, outside packages) that a module imports anywhere in it, inside functions too."""
    inner, outer = set(), set()
    for node in ast.walk(ast.parse((SOURCE / f"{module}.py").read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
            inner |= {name.split(".")[1] for name in names if name.startswith("slype.")}
            outer |= {name.split(".")[0] for name in names if not name.startswith("slype")}
        elif isinstance(node, ast.ImportFrom):
            path = (node.module or "").split(".")
            if node.level == 0 and path[0] != "slype":
                outer.add(path[0])
                continue
            if node.level == 0:
                path = path[1:]
            if path and path[0]:
                inner.add(path[0])
            else:
                inner |= {alias.name if alias.name in MODULES else "__init__" for alias in node.names}
    return inner, outer


def test_there_is_code_to_look_at():
    assert len(MODULES) > 20
    assert imports("cli")[0] >= {"errors", "plan", "report"}, "imports inside functions are not seen"


def test_every_module_has_its_level():
    assert sorted(LEVEL_OF) == MODULES
    assert sum(len(modules.split()) for modules in LEVELS.values()) == len(LEVEL_OF), "a module stands on two levels"


@pytest.mark.parametrize("module", MODULES)
def test_arrows_only_go_down(module):
    upward = {other for other in imports(module)[0] if LEVEL_OF[other] > LEVEL_OF[module]}
    assert not upward, f"{module} (level {LEVEL_OF[module]}) imports {sorted(upward)} from above"


def test_there_is_no_cycle():
    waiting = {module: imports(module)[0] - {module} for module in MODULES}
    while waiting:
        free = [module for module, needs in waiting.items() if not needs & set(waiting)]
        assert free, f"these import each other in a ring: {sorted(waiting)}"
        for module in free:
            del waiting[module]


@pytest.mark.parametrize("module", MODULES)
def test_outside_packages_stay_in_their_rooms(module):
    import sys

    for package in imports(module)[1] - set(sys.stdlib_module_names):
        assert module in OUTSIDE.get(package, ()), f"{module} imports {package}"


@pytest.mark.parametrize("module", STANDARD_ONLY)
def test_the_ground_floor_needs_only_the_standard_library(module):
    assert not imports(module)[1] & set(OUTSIDE)


ENGINE = [module for module, level in LEVEL_OF.items() if level <= 6 and module not in ("files", "design_file")]


@pytest.mark.parametrize("module", ENGINE)
def test_the_engine_neither_prints_nor_opens_files(module):
    tree = ast.parse((SOURCE / f"{module}.py").read_text(encoding="utf-8"))
    called = {node.func.id for node in ast.walk(tree) if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)}
    assert not called & {"print", "open", "input"}
    assert not imports(module)[1] & {"random", "time", "datetime", "sqlite3", "subprocess"}
