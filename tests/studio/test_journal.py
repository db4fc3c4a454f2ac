"""The studio's journal: undo, half a line, a lost note of the place, what was put away."""

from __future__ import annotations

import pytest
from bench_changes import change, rows
from studio_run import STACKED, wait_until

from slype.design.file.reader import parse
from slype.studio.bench import Bench
from slype.studio.journal import Journal


def reopened(bench: Bench) -> Bench:
    """The bench after a stop and a start."""
    bench.journal.close()
    bench.journal = Journal(bench.journal.folder)
    return Bench(bench.folders, bench.journal, parse)


def test_undo_then_a_new_change_drops_what_was_undone_and_so_does_the_journal(place, bench):
    basket = bench.open_file("pot.toml")
    for count in (7, 8, 9):
        change(bench, basket, [rows(count)], f"{count} rows")
    bench.step(basket, -1)
    bench.step(basket, -1)
    change(bench, basket, [rows(20)], "20 rows")
    (back,) = reopened(bench).baskets.values()
    assert back.memory.entries == basket.memory.entries and back.memory.here == basket.memory.here == 2


def test_a_drag_is_one_undo_and_stays_one(place, bench):
    basket = bench.open_file("pot.toml")
    for count in range(7, 17):
        change(bench, basket, [rows(count)], "rows", merge="drag 1")
    change(bench, basket, [rows(30)], "rows", merge="drag 2")
    (back,) = reopened(bench).baskets.values()
    assert [parse(entry.text).bands[0].rows for entry in back.memory.entries] == [6, 16, 30]


@pytest.mark.parametrize("cut", [1, 20, 200])
def test_half_a_line_at_the_end_costs_only_itself(place, bench, cut):
    basket = bench.open_file("pot.toml")
    change(bench, basket, [rows(7)], "7 rows")
    change(bench, basket, [rows(8)], "8 rows")
    lines = place / "state" / "bench" / basket.memory.id / "texts.jsonl"
    lines.write_bytes(lines.read_bytes()[:-cut] if cut > 1 else lines.read_bytes() + b'{"at": 3, "te')
    bench = reopened(bench)
    (basket,) = bench.baskets.values()
    kept = 8 if cut == 1 else 7
    assert parse(basket.text).bands[0].rows == kept
    change(bench, basket, [rows(12)], "12 rows")  # what is written next must not be lost with the half line
    bench = reopened(bench)
    (basket,) = bench.baskets.values()
    assert parse(basket.text).bands[0].rows == 12
    bench.step(basket, -1)
    assert parse(basket.text).bands[0].rows == kept
    bench.journal.close()


@pytest.mark.parametrize(
    "damage", [None, "", "{", "[]", '{"here": "x"}', '{"here": 99, "path": 5, "on_disk": null, "name": "pot"}', "\xff"]
)
def test_without_its_note_of_the_place_a_basket_comes_back_at_its_last_document(place, bench, damage):
    basket = bench.open_file("pot.toml")
    change(bench, basket, [rows(7)], "7 rows")
    note = place / "state" / "bench" / basket.memory.id / "now.json"
    note.unlink()
    if damage is not None:
        note.write_bytes(damage.encode("latin-1"))
    (back,) = reopened(bench).baskets.values()
    assert parse(back.text).bands[0].rows == 7


def test_what_is_no_basket_in_the_journal_is_let_be(place, bench):
    bench.open_file("pot.toml")
    for name in ("0123456789ab", "notes", "0123456789AB", "..strange"):
        (place / "state" / "bench" / name).mkdir()
    (place / "state" / "bench" / "0123456789ab" / "texts.jsonl").write_bytes(b"\xff\xfe\x00[[[")
    assert len(reopened(bench).baskets) == 1
    assert (place / "state" / "bench" / "notes").is_dir()


def test_put_away_is_off_the_bench_for_good_and_leaves_the_file(start, place):
    run, file = start(python=STACKED), place / "designs" / "pot.toml"
    pot = run.open(path="pot.toml")["id"]
    run.change(pot, rows(9))
    assert run.ask("DELETE", f"/api/baskets/{pot}").status == 200
    assert "rows = 9" in file.read_text(encoding="utf-8")  # what waited to be written was
    assert run.get(f"/api/baskets/{pot}").status == 409
    run.kill()
    assert start(python=STACKED).get("/api/hello").json["bench"] == []


def test_a_file_in_a_folder_that_is_no_longer_open_is_neither_read_nor_written(start, place):
    first, file = start(python=STACKED), place / "designs" / "pot.toml"
    basket = first.open(path="pot.toml")["id"]
    first.change(basket, rows(7))
    wait_until(lambda: "rows = 7" in file.read_text(encoding="utf-8"))
    first.stop()
    (place / "other").mkdir()
    second = start(python=STACKED, places=[place / "other"])
    second.change(basket, rows(9))
    answer = second.post(f"/api/baskets/{basket}/save", {})
    assert answer.status == 409 and "outside the folders" in answer.sentence
    file.write_text("# somebody else's\n" + file.read_text(encoding="utf-8"), encoding="utf-8")
    assert "somebody" not in second.text(basket)
    second.stop()
    assert "rows = 7" in file.read_text(encoding="utf-8") and "rows = 9" not in file.read_text(encoding="utf-8")
    # With its folder open again it goes on where it was, and the file's change is noticed.
    third = start(python=STACKED)
    assert "rows = 9" in third.text(basket)
    assert third.post(f"/api/baskets/{basket}/save", {}).json["conflict"] is not None
