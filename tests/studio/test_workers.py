"""No question can take the studio's memory or time from the others: the limits of its workers, held against questions
that break them on purpose (`hard_questions`)."""

from __future__ import annotations

import asyncio
import importlib.util
import multiprocessing
import os
import subprocess
import sys
import threading
import time
import warnings
from concurrent.futures import ThreadPoolExecutor, wait
from multiprocessing.context import SpawnProcess

import pytest
from places import ROOT
from samples import pot_text

from slype.errors import DesignError
from slype.studio import life, workers
from slype.studio.bench import Unread
from slype.studio.reading import Reading
from slype.studio.workers import CalledOff, Gone, TooLong, Worker

LIMIT = 400 * 2**20
"""Address space of a worker in these tests: Python alone, and some."""

limits_memory = pytest.mark.skipif(
    importlib.util.find_spec("resource") is None, reason="this system limits no process's memory"
)


@pytest.fixture
def worker():
    one = Worker("tried", most_bytes=LIMIT, questions="hard_questions")
    yield one
    one.close()


def run(coroutine):
    """What it comes to, in a thread of its own: the page's tests keep a loop running in this one."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, coroutine).result()


async def easy(worker) -> int:
    """The process that answers an easy question."""
    return await worker.ask("easy", seconds=60)


@limits_memory
@pytest.mark.parametrize("question", [("hungry", 2), ("dying",)], ids=["asked in Python", "asked in compiled code"])
def test_who_asks_for_too_much_memory_is_stopped_and_the_next_question_is_answered(worker, question, capfd):
    async def story():
        first = await easy(worker)
        with pytest.raises(TooLong) as refused:
            await worker.ask(*question, seconds=60)
        return first, refused.value, await easy(worker)

    first, refused, then = run(story())
    assert f"{refused}" == (
        "reckoning this basket asked for more memory than a basket needs"
        f"{' and was stopped' if question == ('dying',) else ''}. Undo the last change, or make it smaller."
    )
    assert then != first  # what it held is let go with its process
    with pytest.raises(ProcessLookupError):
        os.kill(first, 0)
    assert "Traceback" not in capfd.readouterr().err


@limits_memory
def test_a_question_within_the_limit_is_answered(worker):
    assert run(worker.ask("hungry", 0.125, seconds=60)) == 2


def test_a_basket_is_looked_at_well_within_the_limit_that_the_studio_sets():
    small = Worker("small", most_bytes=workers.MOST_BYTES // 3)
    try:
        said = run(small.ask("look", pot_text(), "pot", 1, seconds=60))
    finally:
        small.close()
    assert said["look"]["bands"][0]["rows"] == 6


def test_who_reckons_without_end_is_stopped_after_its_seconds_and_the_next_question_is_answered(worker):
    async def story():
        first = await easy(worker)
        began = time.monotonic()
        with pytest.raises(TooLong, match="took longer than 1 seconds and was stopped"):
            await worker.ask("endless", seconds=1)
        return first, time.monotonic() - began, await easy(worker)

    first, took, then = run(story())
    assert 1 <= took < 6 and then != first


async def called_off(worker, question: str, note, after: float = 0.5):
    asking = asyncio.ensure_future(worker.ask(question, str(note), seconds=120))
    await asyncio.sleep(after)
    asking.cancel()
    with pytest.raises((asyncio.CancelledError, CalledOff)):
        await asking


def test_a_question_called_off_gives_itself_up_and_its_process_goes_on(worker, tmp_path):
    async def story():
        first = await easy(worker)
        await called_off(worker, "long", tmp_path / "note")
        began = time.monotonic()
        return first, await easy(worker), time.monotonic() - began

    first, then, took = run(story())
    name, step = (tmp_path / "note").read_text().split()
    assert name == "CalledOff" and int(step) < 300
    assert then == first and took < 6


def test_a_question_called_off_that_hears_nothing_is_ended(worker, tmp_path):
    async def story():
        first = await easy(worker)
        await called_off(worker, "endless", tmp_path / "note")
        return first, await asyncio.wait_for(easy(worker), 30)

    first, then = run(story())
    assert (tmp_path / "note").read_text() == "begun\n" and then != first


def test_a_question_called_off_while_it_waits_is_never_begun(worker, tmp_path):
    async def story():
        await easy(worker)
        before = asyncio.ensure_future(worker.ask("long", str(tmp_path / "first"), seconds=120))
        await asyncio.sleep(0.2)
        await called_off(worker, "endless", tmp_path / "note")
        before.cancel()
        await asyncio.wait([before])
        return await easy(worker)

    run(story())
    assert not (tmp_path / "note").exists()


def test_a_worker_that_is_closed_answers_no_more(worker):
    async def story():
        await easy(worker)
        worker.close()
        with pytest.raises(TooLong, match="being closed"):
            await easy(worker)

    run(story())


def test_a_studio_that_closes_while_a_worker_is_just_being_begun_leaves_none_behind(worker, monkeypatch):
    begun, go_on, usual = threading.Event(), threading.Event(), SpawnProcess.start

    def slowly(process):
        begun.set()
        assert go_on.wait(10)
        usual(process)

    monkeypatch.setattr(SpawnProcess, "start", slowly)
    with ThreadPoolExecutor(2) as threads:
        beginning = threads.submit(worker.start)
        assert begun.wait(10)
        closing = threads.submit(worker.close)
        assert wait([closing], timeout=0.2).not_done, "it stumbles over a process that is half begun"
        go_on.set()
        beginning.result(20), closing.result(20)
    assert worker._process is None
    assert not [each for each in multiprocessing.active_children() if each.name == f"slype {worker.name}"]
    worker.start()
    assert worker._process is None, "what is closed is not begun again"


def test_a_question_whose_task_is_cancelled_leaves_the_pipe_to_the_next(worker, tmp_path):
    """Closing cancels tasks, while the thread that asked goes on: the next question must not read its answer."""
    note = tmp_path / "note"

    async def story():
        await easy(worker)
        first = asyncio.ensure_future(worker._in_turn(90, "endless", (str(note),), 1.0, None))
        while not note.exists():
            await asyncio.sleep(0.02)
        first.cancel()
        return await worker._in_turn(91, "easy", (), 60.0, None)

    assert run(story()) > 0


has_proc = pytest.mark.skipif(not os.path.exists("/proc/self/stat"), reason="this system does not tell who works")


@pytest.mark.parametrize("how", ["killed", pytest.param("stopped", marks=has_proc)])
def test_a_worker_that_dies_or_freezes_once_is_asked_again_and_nobody_notices(worker, tmp_path, how):
    async def story():
        await easy(worker)
        return await worker.ask(how, str(tmp_path / "note"), 1, seconds=2 if how == "stopped" else 30)

    assert run(story()) == 2


@pytest.mark.parametrize("how", ["killed", pytest.param("stopped", marks=has_proc)])
def test_a_worker_that_dies_or_freezes_twice_says_what_happened_and_not_that_the_basket_is_to_blame(
    worker, tmp_path, how
):
    async def story():
        with pytest.raises(Gone) as said:
            await worker.ask(how, str(tmp_path / "note"), 2, seconds=1 if how == "stopped" else 30)
        return str(said.value), await worker.ask(how, str(tmp_path / "note"), 2, seconds=30)

    said, then = run(story())
    assert ("stood still" if how == "stopped" else "ended by this machine") in said
    assert "smaller" not in said and "again" in said and then == 3


def test_only_what_a_text_itself_caused_is_remembered_of_it(tmp_path):
    class Moody:
        """Answers "read" with each trouble in turn, then with a document."""

        def __init__(self, *troubles) -> None:
            self.troubles, self.asked = list(troubles), 0

        async def ask(self, question, text, name, seconds):
            self.asked += 1
            if self.troubles:
                raise self.troubles.pop(0)
            return {"basket": {}}

    async def story():
        gone = Reading(Moody(Gone("ended twice")))
        with pytest.raises(Gone):
            await gone.read("text", "pot")
        slow = Reading(Moody(TooLong("took too long")))
        for _ in range(2):
            with pytest.raises(DesignError, match="takes far longer to read"):
                await slow.read("text", "pot")
        with pytest.raises(Unread):
            gone.check("other", "pot")
        return await gone.read("text", "pot"), slow.worker.asked

    assert run(story()) == ({"basket": {}}, 1)


def test_a_worker_does_not_say_again_what_the_studio_has_warned_of(monkeypatch):
    from slype.rods.compiled import Slow

    shown = []
    monkeypatch.setattr(warnings, "showwarning", lambda message, *more: shown.append(str(message)))
    life.hush_own_warnings()
    with warnings.catch_warnings():
        warnings.simplefilter("always")
        for category in (Slow, UserWarning):
            warnings.warn(f"of {category.__name__}", category, stacklevel=1)
    assert shown == ["of UserWarning"]


def test_the_studios_own_process_loads_nothing_that_reckons():
    """Its page is asked for as soon as it starts: what only workers need is three times as long to load."""
    words = "import sys, slype.studio.asked.serve, slype.studio.asked.app; print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True).stdout.split()
    assert "slype.studio.running" in loaded
    assert not {"numpy", "numba", "slype.design.file.reader"} & set(loaded)


def test_the_quick_worker_loads_only_what_the_first_picture_of_a_basket_wants():
    words = "import sys; from slype.studio import answers; answers.warm_up(); print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True).stdout.split()
    assert "slype.draw.solid" in loaded
    assert not {"numba", "rich", "urllib.request", "slype.kit.values", "slype.studio.shown.classes"} & set(loaded)


ASKED = """
import asyncio, sys
from slype.studio.workers import Worker
sys.path.append(sys.argv[1])
worker = Worker("tried", questions="hard_questions")
modules, clears = asyncio.run(worker.ask("loaded", seconds=60))
worker.close()
print(clears, *modules)
"""


def test_a_worker_loads_nothing_that_only_asks_and_clears_away_its_rubbish():
    """What the studio itself asks by takes a tenth of a worker's start."""
    words = [sys.executable, "-c", ASKED, str(ROOT / "tests" / "support")]
    clears, *loaded = subprocess.run(words, capture_output=True, text=True, check=True).stdout.split()
    assert clears == "True" and "slype.studio.life" in loaded
    assert not {"asyncio", "ssl", "slype.studio.workers"} & set(loaded)
