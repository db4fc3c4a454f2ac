"""The book is sacred: no acknowledged entry is ever lost, whatever stops the program or damages the file."""

import os
import random
import signal
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
import sqlalchemy as sa

from slype.book import care, shelf
from slype.book.diary import Diary, Line, packed, unpacked
from slype.book.migrations import RECORD, STEPS
from slype.book.store import Book, _no_longer_kept
from slype.book.tables import BASKET, LOT, META, PICTURE
from slype.errors import FileTrouble, SlypeError


@pytest.fixture
def place(tmp_path):
    return str(tmp_path / "book.sqlite")


def entered(book, title="posy"):
    with book.writing() as work:
        return work.add(BASKET, title=title, made_on="2026-05-09", design="")


def titles(place):
    with Book(place) as book, book.reading() as db:
        return [row.title for row in db.execute(sa.select(BASKET.c.title).order_by(BASKET.c.title))]


# Steps -----------------------------------------------------------------------------------------------------------


def test_the_steps_lead_to_the_tables_as_they_are(place):
    Book(place).close()
    engine = sa.create_engine(f"sqlite:///{place}")
    plan = sa.MetaData()
    plan.reflect(engine)
    assert set(plan.tables) == {*META.tables, RECORD.name, PICTURE.name}
    for name, table in META.tables.items():
        assert {(c.name, str(c.type), c.nullable) for c in plan.tables[name].columns} == {
            (c.name, str(c.type), c.nullable) for c in table.columns
        }, name
        assert {(f.parent.name, f.target_fullname) for f in plan.tables[name].foreign_keys} == {
            (f.parent.name, f.target_fullname) for f in table.foreign_keys
        }
    engine.dispose()


def test_a_book_of_an_older_slype_takes_the_steps_it_lacks_and_is_backed_up_first(place, monkeypatch):
    monkeypatch.setattr("slype.book.store.STEPS", STEPS[:2])
    monkeypatch.setattr("slype.book.migrations.STEPS", STEPS[:2])
    monkeypatch.setattr(Book, "_agree_with_diary", lambda self: None)
    Book(place).close()
    monkeypatch.undo()
    with Book(place) as book:
        entered(book)
        assert os.path.exists(os.path.join(book.backups, "before-step.sqlite"))
    assert titles(place) == ["posy"]


def test_a_diary_of_an_older_slype_and_its_book_still_say_the_same_and_either_mends_the_other(place):
    """Before the makers' step an entry had fewer columns: the diary's lines say nothing of them."""
    with Book(place) as book:
        entered(book)
    path = os.path.splitext(place)[0] + ".diary"
    line = unpacked(Path(path).read_bytes())
    lean = {key: value for key, value in line.ops[0][2].items() if key not in ("maker", "undone_at", "entered_at")}
    assert len(lean) == len(line.ops[0][2]) - 3
    Path(path).write_bytes(packed(Line(1, (("add", "basket", lean),))))
    assert care.check(place) == []
    os.unlink(place)
    care.repair(place)
    assert titles(place) == ["posy"] and care.check(place) == []


def test_a_step_that_fails_leaves_the_book_as_it_was(place, monkeypatch):
    def fails(op):
        STEPS[2][1](op)
        raise RuntimeError("stopped")

    broken = (*STEPS[:2], ("fails", fails), *STEPS[3:])
    monkeypatch.setattr("slype.book.migrations.STEPS", broken)
    with pytest.raises(RuntimeError):
        Book(place)
    monkeypatch.undo()
    with closing(sqlite3.connect(place, isolation_level=None)) as db:
        there = {row[0] for row in db.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    assert "basket" in there and "class_held" not in there, "half a step was taken"
    Book(place).close()


def test_a_book_of_a_newer_slype_is_refused_and_left_alone(place):
    with Book(place) as book:
        entered(book)
    with closing(sqlite3.connect(place, isolation_level=None)) as db:
        db.execute("INSERT INTO step VALUES (?, 'from the future', '2030-01-01T00:00:00Z')", (len(STEPS) + 1,))
    before = Path(place).read_bytes()
    with pytest.raises(FileTrouble, match="newer slype"):
        Book(place)
    assert Path(place).read_bytes() == before


# Whole or not at all ---------------------------------------------------------------------------------------------


def test_what_fails_half_way_is_not_entered_at_all(place):
    with Book(place) as book:
        with pytest.raises(ZeroDivisionError), book.writing() as work:
            work.add(BASKET, title="half", made_on="2026-05-09", design="")
            raise ZeroDivisionError
        entered(book)
    assert titles(place) == ["posy"]
    assert care.check(place) == []


@pytest.mark.skipif(os.name == "nt", reason="needs fork and signals")
def test_no_acknowledged_entry_is_lost_when_the_program_is_killed_at_any_moment(tmp_path):
    """Killed at seeded points: at a step of writing the diary or the book, or just at some time. Each entry is a basket
    with a millimetre of reed cut for it, so that half an entry would show on the shelf. SLYPE_KILLS says how many; the
    suite tries sixty, docs/book.md says what hundreds gave."""
    rounds = int(os.environ.get("SLYPE_KILLS", "60"))
    dice = random.Random(7)
    place = str(tmp_path / "book.sqlite")
    with Book(place) as book:
        lot = shelf.put_on_shelf(book, "round 2", "rust", 1e6)
    acknowledged = []
    for round_ in range(rounds):
        killed_at = dice.choice(["before diary", "half a line", "after diary", "after book", "some time"])
        after = dice.randrange(3)
        read, write = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(read)
            _write_until_killed(place, lot, round_, killed_at, after, dice.random() * 0.01, write)
        os.close(write)
        with os.fdopen(read) as told:
            acknowledged += told.read().split()
        os.waitpid(child, 0)
    there = titles(place)
    assert set(acknowledged) <= set(there)
    assert len(acknowledged) > 0.4 * rounds
    with Book(place) as book:
        assert shelf.lots(book)[0].amount == 1e6 - len(there), "a basket without its reed, or reed without its basket"
    assert care.check(place) == []


def _write_until_killed(place, lot, round_, killed_at, after, seconds, told):
    """The child's part: entries, each told once it is in the book, until it kills itself."""

    def die():
        os.kill(os.getpid(), signal.SIGKILL)

    if killed_at == "some time":
        signal.signal(signal.SIGALRM, signal.SIG_DFL)
        signal.setitimer(signal.ITIMER_REAL, seconds + 0.001)
    count = lines = 0
    real = Diary.write

    def writes(self, line):
        nonlocal lines
        lines += 1  # of the diary: were an entry two, the program would be killed between them too
        if lines == after + 1 and killed_at == "before diary":
            die()
        if lines == after + 1 and killed_at == "half a line":
            with open(self.path, "ab") as file:
                file.write(packed(line)[: len(packed(line)) // 2])
            die()
        size = real(self, line)
        if lines == after + 1 and killed_at == "after diary":
            die()
        return size

    Diary.write = writes
    try:
        with Book(place) as book:
            while True:
                name = f"{round_}-{count}"
                with book.writing() as work:
                    basket = work.add(BASKET, title=name, made_on="2026-05-09", design="")
                    shelf.take_in(work, [(lot, 1.0)], name, basket=basket)
                if count == after and killed_at == "after book":
                    die()
                os.write(told, f"{name} ".encode())
                count += 1
    finally:
        os._exit(1)


def test_a_full_disk_refuses_an_entry_and_loses_nothing(place, monkeypatch):
    with Book(place) as book:
        entered(book)

        def full(*_):
            raise OSError(28, "No space left on device")

        monkeypatch.setattr("slype.book.diary.os.fsync", full)
        with pytest.raises(FileTrouble, match=r"No space left.*Nothing was entered"):
            entered(book, "second")
        monkeypatch.undo()
        entered(book, "third")
    assert titles(place) == ["posy", "third"]
    assert care.check(place) == []


def test_two_programs_write_in_one_book_in_turn(place):
    with Book(place) as one, Book(place) as other:
        for i in range(10):
            entered(one, f"one {i}")
            entered(other, f"other {i}")
    assert len(titles(place)) == 20
    assert care.check(place) == []


# Damage and repair -----------------------------------------------------------------------------------------------


def _a_full_book(place, many=30):
    with Book(place) as book:
        for i in range(many):
            entered(book, f"basket {i:02}")
        lot = shelf.put_on_shelf(book, "round 2", "rust", 100_000.0)
        shelf.take(book, [(lot, 2500.0)])
    return [f"basket {i:02}" for i in range(many)]


def test_random_damage_to_the_book_is_found_and_repaired_without_loss(tmp_path):
    dice = random.Random(11)
    place = str(tmp_path / "book.sqlite")
    names = _a_full_book(place)
    sound = Path(place).read_bytes()
    assert care.check(place) == []
    found = 0
    for _ in range(25):
        raw = bytearray(sound)
        for _ in range(dice.choice([1, 8, 400])):
            raw[dice.randrange(len(raw))] = dice.randrange(256)
        with open(place, "wb") as file:
            file.write(raw)
        if care.check(place):
            found += 1
            care.repair(place)
            assert care.check(place) == []
        assert titles(place) == names
        with Book(place) as book:
            assert [lot.amount for lot in shelf.lots(book)] == [97_500.0]
    assert found >= 5, "damage that matters is seen"


def test_a_damaged_diary_is_written_anew_from_the_book(place):
    names = _a_full_book(place)
    path = os.path.splitext(place)[0] + ".diary"
    raw = bytearray(Path(path).read_bytes())
    raw[len(raw) // 2] ^= 255
    Path(path).write_bytes(raw)
    assert "diary" in care.check(place)[0].said
    care.repair(place)
    assert care.check(place) == [] and titles(place) == names


def test_a_book_and_diary_both_damaged_come_back_from_the_backup_and_what_can_be_read(place):
    names = _a_full_book(place)
    with Book(place) as book:
        book.back_up("2026-05-09")
        entered(book, "later")
    path = os.path.splitext(place)[0] + ".diary"
    lines = Path(path).read_bytes().splitlines(keepends=True)
    lines[3] = b"x" + lines[3][1:]
    Path(path).write_bytes(b"".join(lines))
    Path(place).write_bytes(b"not a book" * 500)
    said = " ".join(care.repair(place))
    assert "2026-05-09" in said and "Every entry was brought back" in said
    assert titles(place) == [*names, "later"]
    assert care.check(place) == []


def test_what_is_lost_for_good_is_said_and_counted(place):
    _a_full_book(place, 5)
    path = os.path.splitext(place)[0] + ".diary"
    lines = Path(path).read_bytes().splitlines(keepends=True)
    lines[2] = b"x" + lines[2][1:]
    Path(path).write_bytes(b"".join(lines))
    os.unlink(place)
    for name in os.listdir(os.path.splitext(place)[0] + "-backups"):
        os.unlink(os.path.join(os.path.splitext(place)[0] + "-backups", name))
    assert "1 of 7 entries cannot be read and are lost." in care.repair(place)
    assert titles(place) == ["basket 00", "basket 01", "basket 03", "basket 04"]


@pytest.mark.parametrize("raw", [b"", b"zz\n", b"00000000 [1,[]]\n", b"\xff" * 40 + b"\n", b"1234"])
def test_a_line_that_is_not_whole_is_not_read(raw):
    assert unpacked(raw) is None
    line = Line(3, (("add", "basket", {"id": "a", "title": "½ past"}),))
    assert unpacked(packed(line)) == line
    assert unpacked(packed(line)[:-1]) is None


def test_a_file_that_is_no_book_is_refused_in_a_sentence(place):
    Path(place).write_bytes(b"a letter to my aunt" * 100)
    with pytest.raises(SlypeError, match="no book"):
        Book(place)


# Backups ---------------------------------------------------------------------------------------------------------


def test_backups_are_kept_by_days_and_then_by_months():
    days = [f"2026-{month:02}-{day:02}" for month in range(1, 10) for day in (3, 11, 27)]
    gone = _no_longer_kept([*days, "before-step"])
    kept = [day for day in days if day not in gone]
    assert kept[-7:] == days[-7:]
    assert kept[:-7] == [f"2026-{month:02}-27" for month in range(1, 7)] + ["2026-07-11"]
    assert "before-step" not in gone


def test_the_first_entry_of_a_day_leaves_a_backup_of_what_was_there(place):
    with Book(place) as book:
        entered(book)
        assert len(os.listdir(book.backups)) == 1
        entered(book, "more")
        assert len(os.listdir(book.backups)) == 1
        with closing(sqlite3.connect(os.path.join(book.backups, os.listdir(book.backups)[0]))) as db:
            assert db.execute("SELECT count(*) FROM basket").fetchone() == (0,)


# The shelf -------------------------------------------------------------------------------------------------------


def test_what_is_cut_comes_off_and_what_is_undone_comes_back(place):
    with Book(place) as book:
        lot = shelf.put_on_shelf(book, "round 3", "natural", 30_000.0, dye_lot="7")
        act = shelf.take(book, [(lot, 12_000.0)], "kits")
        assert shelf.lots(book)[0].amount == 18_000.0
        shelf.give_back(book, [(lot, 500.0)])
        shelf.undo(book, act)
        assert shelf.lots(book)[0].amount == 30_500.0
        shelf.count(book, lot, 29_000.0, "counted")
        assert shelf.lots(book)[0].amount == 29_000.0
        with pytest.raises(FileTrouble):
            shelf.undo(book, "no such act")


def test_more_than_lies_there_is_not_cut_and_nothing_else_with_it(place):
    with Book(place) as book:
        rust = shelf.put_on_shelf(book, "round 3", "rust", 1000.0)
        sand = shelf.put_on_shelf(book, "round 3", "sand", 1000.0)
        with pytest.raises(shelf.NotEnough, match=r"round 3, sand: only 3\.3 ft of it is left, 3\.9 ft is wanted"):
            shelf.take(book, [(rust, 900.0), (sand, 700.0), (sand, 500.0)])
        assert [lot.amount for lot in shelf.lots(book)] == [1000.0, 1000.0]


def test_reed_that_has_been_cut_since_does_not_vanish_by_undoing_its_coming(place):
    with Book(place) as book:
        lot = shelf.put_on_shelf(book, "round 3", "rust", 1000.0)
        with book.reading() as db:
            came = db.execute(sa.text("SELECT id FROM act")).scalar()
        shelf.take(book, [(lot, 400.0)])
        with pytest.raises(shelf.NotEnough, match="cut since"):
            shelf.undo(book, came)
        assert shelf.lots(book)[0].amount == 600.0


@pytest.mark.parametrize("amount", [0.0, -5.0, float("nan"), float("inf")])
def test_no_amount_of_reed_is_nothing_or_endless(place, amount):
    with Book(place) as book:
        lot = shelf.put_on_shelf(book, "round 3", "rust", 1000.0)
        for wrong in (
            lambda: shelf.put_on_shelf(book, "round 3", "rust", amount),
            lambda: shelf.take(book, [(lot, amount)]),
            lambda: shelf.give_back(book, [(lot, amount)]),
        ):
            with pytest.raises(shelf.NotEnough):
                wrong()
        assert [each.amount for each in shelf.lots(book)] == [1000.0]
    assert LOT.name == "lot"
