"""docs/code.md leads a newcomer to files and names that are there."""

from __future__ import annotations

import importlib.util
import re

import pytest
from places import PAGE, ROOT, SOURCE

TEXT = (ROOT / "docs" / "code.md").read_text("utf-8")
FOLDERS = (SOURCE, PAGE, ROOT, SOURCE / "design" / "file")
PATHS = sorted(set(re.findall(r"`([\w./-]+(?:\.(?:py|js|md|toml|csv)|/))`", TEXT)))
NAMED = re.findall(r"`([\w./-]+\.(?:py|js))`\s+\(((?:`\w+`(?:,\s+)?)+)[^)]*\)", TEXT)


def found(path: str):
    return next((folder / path for folder in FOLDERS if (folder / path).exists()), None)


def test_every_path_is_there():
    assert len(PATHS) > 80
    assert [path for path in PATHS if found(path) is None] == []


@pytest.mark.parametrize(("path", "names"), NAMED, ids=[path for path, _ in NAMED])
def test_every_name_in_brackets_stands_in_its_file(path, names):
    text = found(path).read_text("utf-8")
    for name in re.findall(r"\w+", names):
        defined = rf"^\s*(async )?(def|class|function|export function|export class) {name}\b|^{name}(: [^=]+)? = "
        method = rf"^  {name}\(.*\) \{{$"
        assert re.search(f"{defined}|{method}", text, re.M), f"{path} has no {name}"


def test_there_are_names_to_look_for():
    assert len(NAMED) > 40


def test_every_room_of_the_house_is_told_of():
    spec = importlib.util.spec_from_file_location("layout", ROOT / "tests" / "test_layout.py")
    layout = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(layout)
    every = {room.partition(".")[0] for room in layout.ROOMS if room}
    assert [room for room in sorted(every) if f"`{room}/`" not in TEXT] == []
    told = [line.split("`")[1].strip("/") for line in TEXT.splitlines() if line.startswith("| `") and "/` |" in line]
    main = [room for room in layout.ROOMS if room in told]
    assert told == main, "in the order of the house, lowest first"
