"""Nothing a maker does in the studio is lost: whatever stops the program, whoever else writes the file.

Whole runs of the program, killed (SIGKILL) as a power cut would, and its journal damaged by hand.
"""

from __future__ import annotations

import http.client
import json
import os
import re
import signal
import threading
import time
from pathlib import Path

import pytest
from bench_changes import change, rows, titled
from samples import pot_text
from studio_run import AS_TYPED, STACKED, Run, children_of, wait_until

import slype
from slype import files
from slype.design.file.reader import parse
from slype.errors import FileTrouble
from slype.studio.bench import Bench, Unread
from slype.studio.journal import Journal


def test_a_killed_studio_has_lost_nothing_that_it_answered(start, place):
    run = start(python=AS_TYPED)
    pot = run.open(path="pot.toml")["id"]
    new = run.open(new=True, units="cm")["id"]
    for count in range(7, 12):
        run.change(pot, rows(count), label=f"{count} rows")
    run.change(new, titled("Never saved"), label="title")
    assert run.undo(pot)["redo"] == "11 rows"
    told, stop = [], threading.Event()

    def go_on():
        while not stop.is_set():
            try:
                told.append(run.change(new, titled(f"Edit {len(told)}"))["document"]["basket"]["title"])
            except (OSError, http.client.HTTPException):
                return

    editing = threading.Thread(target=go_on)
    editing.start()
    assert wait_until(lambda: len(told) > 2, 30)
    workers = children_of(run.process.pid)
    run.kill()  # in the middle of an edit
    stop.set()
    editing.join(20)

    again = start()
    assert {each["id"] for each in again.get("/api/hello").json["bench"]} == {pot, new}
    now = again.get(f"/api/baskets/{pot}").json
    assert now["document"]["band"][0]["rows"] == 10 and now["redo"] == "11 rows"
    assert again.text(pot).startswith("# my own words")
    title = again.get(f"/api/baskets/{new}").json["title"]
    assert title in (told[-1], f"Edit {len(told)}")  # the last one answered, or the one it was at
    for count in (9, 8, 7, 6):  # undo reaches back behind the start of this run, to the very first
        assert again.undo(pot)["document"]["band"][0]["rows"] == count
    assert again.undo(pot)["undo"] is None
    for count in (7, 8, 9, 10, 11):
        assert again.undo(pot, 1)["document"]["band"][0]["rows"] == count
    assert wait_until(lambda: not any(Path(f"/proc/{each}").exists() for each in workers), 15), "workers outlive it"


@pytest.mark.skipif(os.name == "nt", reason="there Ctrl-C goes to a whole window")
def test_three_presses_of_ctrl_c_close_it_as_one_does(start):
    run = start(python=AS_TYPED)
    for _ in range(3):
        run.process.send_signal(signal.SIGINT)
        time.sleep(0.05)
    assert run.process.wait(20) == 0
    assert "The studio is closed." in run.words() and "Traceback" not in run.words()


@pytest.mark.skipif(os.name == "nt", reason="there Ctrl-C goes to a whole window")
@pytest.mark.parametrize("asked", [signal.SIGINT, signal.SIGTERM])
def test_whoever_leans_on_the_key_from_the_first_word_on_breaks_nothing_off(start, place, asked):
    """Pressed before the page is served, while it closes, and as Python itself ends."""
    slow = place / "slow"  # a machine that has told the address and takes its time to serve
    slow.mkdir()
    (slow / "sitecustomize.py").write_text(
        "import time\nfrom slype import system\n"
        "real = system.how_to_stop\nsystem.how_to_stop = lambda: time.sleep(0.3) or real()\n"
    )
    run = start(path=f"{slow}{os.pathsep}{Path(slype.__file__).parent.parent}")
    until = time.monotonic() + 20
    while run.process.poll() is None and time.monotonic() < until:
        run.process.send_signal(asked)
        time.sleep(0.002)
    assert run.process.wait(20) == 0, run.words()
    assert "The studio is closed." in run.words() and "Traceback" not in run.words()


def test_changes_are_written_to_the_file_by_themselves(start, place):
    run, file = start(python=STACKED), place / "designs" / "pot.toml"
    pot = run.open(path="pot.toml")["id"]
    run.change(pot, rows(9))
    assert wait_until(lambda: "rows = 9" in file.read_text(encoding="utf-8"))
    assert file.read_text(encoding="utf-8") == run.text(pot)
    assert wait_until(lambda: run.get(f"/api/baskets/{pot}").json["saved"])
    run.change(pot, rows(10))
    assert run.stop() == 0  # before the pause is over
    assert "rows = 10" in file.read_text(encoding="utf-8")
    assert [each.name for each in (place / "designs").iterdir()] == ["pot.toml"]


def test_a_window_that_opens_once_reeds_lie_at_rest_is_told_so(start):
    run = start()
    pot = run.open(path="pot.toml")["id"]
    assert wait_until(lambda: run.get(f"/api/baskets/{pot}").json["look"]["relaxed"], 60)
    line = http.client.HTTPConnection("127.0.0.1", run.port, timeout=10)
    line.request("GET", f"/api/baskets/{pot}/events", headers={"X-Slype-Key": run.key})
    first = json.loads(line.getresponse().readline())
    line.close()
    assert first == {"revision": 1, "by": "", "rested": 1}


def test_two_windows_stay_in_step(start):
    run = start(python=STACKED)
    pot = run.open(path="pot.toml")["id"]
    line = http.client.HTTPConnection("127.0.0.1", run.port, timeout=30)
    line.request("GET", f"/api/baskets/{pot}/events", headers={"X-Slype-Key": run.key})
    news = line.getresponse()
    first = json.loads(news.readline())
    state = run.change(pot, rows(8))
    assert state["revision"] > first["revision"]
    said = next(each for each in map(json.loads, news) if each.get("by") == "" and "revision" in each)
    assert said["revision"] == state["revision"]
    assert any(each.get("saved") for each in map(json.loads, news))
    assert run.open(path="pot.toml")["id"] == pot, "one file, two baskets"
    both = [threading.Thread(target=run.change, args=(pot, rows(count))) for count in range(10, 20)]
    for each in both:
        each.start()
    for each in both:
        each.join()
    seen = set()
    while (now := run.undo(pot))["undo"] is not None:
        seen.add(now["document"]["band"][0]["rows"])
    assert len(seen | {run.undo(pot)["document"]["band"][0]["rows"]}) >= 10  # no window's change swallowed another's
    run.ask("DELETE", f"/api/baskets/{pot}")
    assert any(each.get("gone") for each in map(json.loads, news))
    line.close()


def test_a_second_studio_opens_the_page_of_the_first_and_its_design_there(start, place):
    run = start(python=STACKED)
    second = Run(place / "designs", place / "state", places=[place / "designs" / "pot.toml"])
    assert second.process.wait(20) == 0
    assert second.key == run.key and second.port == run.port
    assert "open already" in second.words()
    basket = re.search(r"&basket=(\w+)", second.address)[1]
    assert run.get(f"/api/baskets/{basket}").json["place"] == "pot.toml"
    noted = place / "state" / "bench" / "address"
    assert noted.stat().st_mode & 0o077 == 0 or os.name == "nt"  # it holds the secret of the run
    elsewhere = Run(place, place / "state", places=[place])
    assert elsewhere.process.wait(20) == 0 and "close it first to open other folders" in elsewhere.words()
    run.kill()
    stale = noted.read_text()  # a killed studio leaves its address behind
    assert run.key in stale
    start(python=STACKED)  # the lock goes with the program, however it ended


# The file on disk ----------------------------------------------------------------------------------------------


def test_a_file_changed_by_another_program_is_taken_in_and_can_be_undone(place, bench):
    file = place / "designs" / "pot.toml"
    basket = bench.open_file("pot.toml")
    theirs = file.read_text(encoding="utf-8").replace("rows = 6", "rows = 14")
    file.write_text(theirs, encoding="utf-8")
    assert bench.look_at_disk(basket) and basket.text == theirs and basket.saved
    bench.step(basket, -1)
    assert "rows = 6" in basket.text


@pytest.mark.parametrize("keep", ["mine", "disk"])
def test_where_both_changed_nothing_is_overwritten_until_the_maker_chooses(place, bench, keep):
    file = place / "designs" / "pot.toml"
    basket = bench.open_file("pot.toml")
    change(bench, basket, [rows(9)], "9 rows")
    mine, theirs = basket.text, file.read_text(encoding="utf-8").replace("rows = 6", "rows = 14")
    file.write_text(theirs, encoding="utf-8")
    bench.save(basket)
    bench.save(basket, "pot.toml")  # nor under its own name asked for anew
    assert basket.conflict is not None and basket.readable and not basket.saved
    assert file.read_text(encoding="utf-8") == theirs
    bench.settle(basket, keep)
    assert file.read_text(encoding="utf-8") == basket.text == (mine if keep == "mine" else theirs)
    assert basket.conflict is None and basket.saved
    assert {mine, theirs} <= {entry.text for entry in basket.memory.entries}  # what was given up is an undo away


def test_a_change_that_neither_time_nor_size_tell_of_is_noticed_before_writing(place, bench):
    import os

    file = place / "designs" / "pot.toml"
    basket = bench.open_file("pot.toml")
    was = os.stat(file)
    theirs = file.read_text(encoding="utf-8").replace("rows = 6", "rows = 8")
    file.write_text(theirs, encoding="utf-8")
    os.utime(file, ns=(was.st_atime_ns, was.st_mtime_ns))
    change(bench, basket, [rows(9)], "9 rows")
    bench.save(basket)
    assert basket.conflict is not None and file.read_text(encoding="utf-8") == theirs


def test_a_file_taken_away_or_spoilt_is_told_and_can_be_written_again(place, bench):
    file = place / "designs" / "pot.toml"
    basket = bench.open_file("pot.toml")
    mine = basket.text
    file.write_text("[spokes", encoding="utf-8")
    assert bench.look_at_disk(basket) and not basket.readable and "not TOML" in str(basket.conflict)
    file.unlink()
    assert bench.look_at_disk(basket) and not basket.readable and "no such file" in str(basket.conflict)
    assert basket.text == mine
    bench.settle(basket, "mine")
    assert file.read_text(encoding="utf-8") == mine and basket.conflict is None


def full_disk(journal, monkeypatch, when: int):
    """From the `when`th write on, the journal's disk has no room."""
    left = [when]
    write = files.write

    def writing(path, content, sync=True):
        left[0] -= 1
        if left[0] < 0:
            raise FileTrouble("cannot be written: No space left on device.", path)
        write(path, content, sync)

    monkeypatch.setattr("slype.studio.journal.files.write", writing)


def test_a_change_that_the_journal_has_no_room_for_is_undone_and_reaches_no_file(place, bench, monkeypatch):
    file = place / "designs" / "pot.toml"
    basket = bench.open_file("pot.toml")
    change(bench, basket, [rows(9)], "9 rows")
    kept, documents, revision = basket.text, list(basket.memory.entries), basket.revision
    on_disk = file.read_text(encoding="utf-8")
    texts = place / "state" / "bench" / basket.memory.id / "texts.jsonl"
    journal = texts.read_bytes()
    full_disk(bench.journal, monkeypatch, 0)
    for go in (lambda: change(bench, basket, [rows(14)], "14 rows"), lambda: bench.step(basket, -1)):
        with pytest.raises(FileTrouble, match=r"it was not made: cannot be written: No space.*Make room"):
            go()
        assert (basket.text, basket.memory.entries, basket.revision) == (kept, documents, revision)
    assert texts.read_bytes() == journal and file.read_text(encoding="utf-8") == on_disk
    monkeypatch.undo()
    change(bench, basket, [rows(10)], "10 rows")
    bench.save(basket)
    assert "rows = 10" in file.read_text(encoding="utf-8") and "rows = 14" not in texts.read_text()


def test_a_basket_put_away_while_it_is_changed_does_not_come_back(place, bench):
    basket = bench.open_file("pot.toml")
    bench.put_away(basket.memory.id)
    with pytest.raises(FileTrouble, match="no longer on the bench"):
        change(bench, basket, [rows(9)], "9 rows")
    assert bench.journal.recall() == []


def test_a_text_that_could_not_be_read_this_moment_is_no_conflict_and_is_not_written_over(place, bench):
    file = place / "designs" / "pot.toml"
    basket = bench.open_file("pot.toml")
    change(bench, basket, [rows(9)], "9 rows")
    theirs = file.read_text(encoding="utf-8").replace("rows = 6", "rows = 14")
    file.write_text(theirs, encoding="utf-8")

    def unread(text, name):
        raise Unread("was changed by another program this moment.", name)

    read, bench.read = bench.read, unread
    assert not bench.look_at_disk(basket) and basket.conflict is None
    with pytest.raises(Unread):
        bench.save(basket)
    assert file.read_text(encoding="utf-8") == theirs
    bench.read = read
    assert bench.look_at_disk(basket) and basket.conflict is not None and basket.readable


@pytest.mark.parametrize("theirs", [b"[spokes", b"\xff\xfe\x00 not a letter", b"# " + b"x" * 300_000])
def test_keeping_mine_over_a_file_that_cannot_be_read_puts_that_aside(place, bench, theirs):
    file = place / "designs" / "pot.toml"
    basket = bench.open_file("pot.toml")
    change(bench, basket, [rows(9)], "9 rows")
    file.write_bytes(theirs)
    bench.save(basket)
    assert basket.conflict is not None and not basket.readable
    bench.settle(basket, "mine")
    assert file.read_text(encoding="utf-8") == basket.text
    assert (place / "designs" / "pot-kept-1.toml").read_bytes() == theirs and "pot-kept-1.toml" in basket.notes[0]


def test_drafts_that_a_stopped_program_left_among_the_designs_are_swept_and_new_ones_are_not(place, bench):
    designs = place / "designs"
    for name, age in ((".slype-old", 3600), (".slype-new", 5)):
        (designs / name).write_text("half a design")
        os.utime(designs / name, (time.time() - age,) * 2)
    Bench([str(designs)], bench.journal, parse)
    assert sorted(each.name for each in designs.iterdir()) == [".slype-new", "pot.toml"]


def test_a_folder_for_the_bench_that_cannot_be_written_is_told_with_what_to_set(tmp_path):
    (tmp_path / "state").write_text("a file in its place")
    with pytest.raises(FileTrouble, match="SLYPE_STATE"):
        Journal(str(tmp_path / "state" / "bench"))
    (tmp_path / "full" / "in-use").mkdir(parents=True)
    with pytest.raises(FileTrouble, match=r"cannot keep its baskets here.*SLYPE_STATE"):
        Journal(str(tmp_path / "full"))


def test_another_file_is_not_written_over_unless_asked(place, bench):
    (place / "designs" / "bowl.toml").write_text(pot_text("Bowl"), encoding="utf-8")
    basket = bench.open_file("pot.toml")
    with pytest.raises(FileTrouble, match="of this name already"):
        bench.save(basket, "bowl")
    bench.save(basket, "bowl", over=True)
    assert (place / "designs" / "bowl.toml").read_text(encoding="utf-8") == basket.text
    assert bench.open_file("bowl.toml") is basket


# The journal ---------------------------------------------------------------------------------------------------
