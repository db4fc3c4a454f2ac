"""`slype lesson` as a teacher types it: a file, for either hand and wording; and one sentence for what cannot be."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest
from commands import slype_here
from places import EXAMPLES

POSY = str(EXAMPLES / "posy.toml")


def test_it_writes_one_file_for_the_hand_and_wording_asked(tmp_path):
    path = tmp_path / "left.html"
    said = slype_here(tmp_path, "lesson", POSY, "-o", "left.html", "--hand", "left", "--wording", "uk")
    assert said.status == 0 and "left-handed; the other hand is in it too" in said.out
    assert path.read_bytes().startswith(b"<!doctype html>") and [each.name for each in tmp_path.iterdir()] == [
        "left.html"
    ]


@pytest.mark.parametrize(
    ("words", "why"),
    [
        ([], "say where the lesson goes"),
        (["-o", "lesson.pdf"], "End it in .html"),
        (["-o", "nowhere/lesson.html"], "Make the folder first"),
        (["-o", "lesson.html", "--seats"], "goes with --share only"),
        (["-o", "lesson.html", "--port", "99"], "goes with --share only"),
        (["--share", "--host", "0.0.0.0"], "every address at once"),
        (["--share", "--host", "203.0.113.9"], "belongs to another machine"),
    ],
)
def test_what_cannot_be_is_said_in_a_sentence_and_nothing_is_written(words, why, tmp_path):
    with ThreadPoolExecutor(1) as apart:  # away from the browser's driver, which has this thread's loop
        said = apart.submit(slype_here, tmp_path, "lesson", POSY, *words).result()
    assert said.status == 2 and why in said.err and said.err.count("\n") == 1
    assert not list(tmp_path.iterdir())
