"""Workers of the studio: processes that do the reckoning, so that no design can hold up the page.

A worker is asked one question at a time, by name (`answers.ANSWERS`). A question that takes too long, or asks
for too much memory, ends with its process; the next one gets a fresh process. A question may also be called off while
it runs: then it gives itself up at its next word of how far it is, or is ended a little later.
"""

from __future__ import annotations

import asyncio
import multiprocessing
import signal
import threading
import time
from collections.abc import Callable
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess

from .. import system
from .life import BEGUN, CalledOff, Gone, TooLong, work

MOST_BYTES = 6 * 2**30
"""Address space of one worker. A large basket at rest takes 0.4 GB; compiled kernels map some more."""
LOOK_EVERY_S = 0.02
START_S = 60.0
"""How long a worker may take to begin; this does not count as time for its first question."""
GIVE_UP_S = 2.0
"""How long a question that was called off may go on before its process is ended."""
QUESTIONS = "slype.studio.answers"


CANNOT_GO_ON = (-signal.SIGABRT, -signal.SIGSEGV)
"""How compiled code ends that cannot have the memory it asks for."""
STOOD_STILL = 0.05
"""Share of its time that a process which works at all is given by the busiest machine."""


class _Ended(Exception):
    """The worker ended by itself (`status`, a signal's number below nought), or stood still (None)."""

    def __init__(self, status: int | None) -> None:
        super().__init__(status)
        self.status = status


class Worker:
    """One process. `ask` it from the event loop; questions wait for each other in turn."""

    def __init__(
        self,
        name: str,
        patient: bool = False,
        begin: str = "",
        most_bytes: int = MOST_BYTES,
        questions: str = QUESTIONS,
    ) -> None:
        """`patient`: it gives way to the others where cores are few. `questions`: the module whose ANSWERS it knows,
        and `begin`: which of its BEGINNINGS it goes through before the first question."""
        self.name, self.patient, self.begin = name, patient, begin
        self.most_bytes, self.questions = most_bytes, questions
        self._context = multiprocessing.get_context("spawn")
        self._turn = asyncio.Lock()
        self._reading = threading.Lock()  # holds also where the task that asked was cancelled and its thread goes on
        self._life = threading.Lock()  # a process is begun whole before another thread may end it
        self._asked = 0
        self._running = 0
        self._unwanted: set[int] = set()
        self._off = self._context.Value("Q", 0, lock=False)  # the question that is to be given up
        self._process: SpawnProcess | None = None
        self._pipe: Connection | None = None
        self._begun, self._closed = False, False

    def start(self) -> None:
        """Begin the process now, so that the first question need not wait for it; not once it is closed."""
        with self._life:
            if self._closed or (self._process is not None and self._process.is_alive()):
                return
            pipe, theirs = self._context.Pipe()
            process = self._context.Process(
                target=work,
                args=(theirs, self._off, self.most_bytes, self.patient, self.begin, self.questions),
                name=f"slype {self.name}",
                daemon=True,
            )
            process.start()
            theirs.close()
            self._process, self._pipe, self._begun = process, pipe, False

    def close(self) -> None:
        """End the process for good; what it was asked, or will be, is not answered.

        Never from within a signal's handler: that may have broken into `start`, which this waits for.
        """
        self._closed = True
        self.stop()

    def stop(self) -> None:
        """End the process, whatever it does."""
        with self._life:
            process, self._process = self._process, None  # taken first: the thread that asked it may end it as well
            pipe, self._pipe = self._pipe, None
        if process is not None:
            process.kill()
            process.join()
        if pipe is not None:
            pipe.close()

    async def ask(self, question: str, *args: object, seconds: float, progress: Callable[[float], None] | None = None):
        """The answer to `question`. `progress` hears the share done of long work.

        Raises what the answer raised, CalledOff, or TooLong after `seconds`.
        """
        self._asked += 1
        number = self._asked
        doing = asyncio.ensure_future(self._in_turn(number, question, args, seconds, progress))
        try:
            return await asyncio.shield(doing)
        except asyncio.CancelledError:  # whoever asked has gone; the answer is read to its end all the same
            if not doing.done():
                self._unwanted.add(number)
                if self._running == number:
                    self._off.value = number
                doing.add_done_callback(lambda done: done.cancelled() or done.exception())
            raise

    async def _in_turn(self, number: int, question: str, args: tuple, seconds: float, progress) -> object:
        try:
            async with self._turn:
                if number in self._unwanted:
                    raise CalledOff
                self._running = number
                loop = asyncio.get_running_loop()
                tell = None if progress is None else lambda share: loop.call_soon_threadsafe(progress, share)
                return await asyncio.to_thread(self._alone, number, question, args, seconds, tell)
        finally:
            self._unwanted.discard(number)

    def _alone(self, number: int, question: str, args: tuple, seconds: float, progress) -> object:
        with self._reading:
            try:
                return self._exchange(number, question, args, seconds, progress)
            except _Ended:  # a machine short of memory ends programs, and a laptop sleeps: once more, with a fresh one
                pass
            try:
                return self._exchange(number, question, args, seconds, progress)
            except _Ended as ended:
                raise self._twice(ended.status) from None

    @staticmethod
    def _twice(status: int | None) -> TooLong:
        """What to say of a worker that ended, or stood still, on the same question again."""
        if status in CANNOT_GO_ON:
            said = "reckoning this basket asked for more memory than a basket needs and was stopped."
            return TooLong(said, "", "Undo the last change, or make it smaller.")
        what = "stood still" if status is None else "was ended by this machine, as it does where memory runs short,"
        return Gone(
            f"the program that reckons this {what} twice.", "", "Close other programs, then change or open it again."
        )

    def _exchange(self, number: int, question: str, args: tuple, seconds: float, progress) -> object:
        if self._closed:
            raise TooLong("the studio is being closed.")
        self.start()
        pipe, process = self._pipe, self._process
        if pipe is None or process is None:  # stopped by another thread, this very moment
            raise TooLong("the studio is being closed.")
        begun_at: float | None = None
        try:
            if not self._begun:
                self._begun = pipe.poll(START_S) and pipe.recv() == BEGUN
            begun_at = system.seconds_used(process.pid)
            pipe.send((number, question, args))
            until = time.monotonic() + seconds
            ends: float | None = None
            while True:
                if ends is None and number in self._unwanted:
                    ends = time.monotonic() + GIVE_UP_S
                if pipe.poll(LOOK_EVERY_S):
                    got, kind, value = pipe.recv()
                    if got != number:  # said of an earlier question that nobody waits for any more
                        continue
                    if kind == "share":
                        if progress is not None:
                            progress(value)
                    elif kind == "answer":
                        return value
                    elif kind == "spent":
                        self.stop()
                        raise value
                    else:
                        raise value
                elif time.monotonic() > min(until, ends or until) or not process.is_alive():
                    break
            was_alive = process.is_alive()
        except (EOFError, OSError):
            was_alive = False  # it may still be on its way out
        worked = system.seconds_used(process.pid) if was_alive else None
        if not was_alive:
            process.join(GIVE_UP_S)
        status = process.exitcode
        self.stop()
        if self._closed:
            raise TooLong("the studio is being closed.")
        if number in self._unwanted:
            raise CalledOff
        if not was_alive:
            raise _Ended(status if status is not None else -signal.SIGKILL)
        if begun_at is not None and worked is not None and worked - begun_at < STOOD_STILL * seconds:
            raise _Ended(None)
        said = f"reckoning this basket took longer than {seconds:.0f} seconds and was stopped."
        raise TooLong(said, "", "Undo the last change, or make it smaller.")
