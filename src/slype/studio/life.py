"""The life of a worker process (see `workers`, which begins and asks them), and how its questions may end.

A process that is begun loads this first, so it is kept from what only the studio's own needs: `asyncio` alone takes a
tenth of the start.
"""

from __future__ import annotations

import gc
import importlib
import warnings
from typing import Any

from .. import system
from ..errors import SlypeError

BEGUN = "begun"


class CalledOff(Exception):
    """The question was no longer wanted."""


class TooLong(SlypeError):
    """The worker had to be stopped."""


class Gone(TooLong):
    """The worker ended or stood still twice, which says nothing of what it was asked: it may be asked again."""


def hush_own_warnings() -> None:
    """What slype warns of, the studio's own process has told: a worker does not say it again."""
    usual = warnings.showwarning

    def show(message: Warning | str, category: type[Warning], *where: Any, **more: Any) -> None:
        if not category.__module__.startswith("slype."):
            usual(message, category, *where, **more)

    warnings.showwarning = show


def work(pipe, off, most_bytes: int, patient: bool, begin: str, questions: str) -> None:
    """The life of a worker process."""
    gc.disable()  # what is loaded lives on: to look through it for rubbish meanwhile takes a fifteenth of the start
    hush_own_warnings()
    system.leave_stopping_to_parent()
    system.limit_memory(most_bytes)
    if patient:
        system.give_way()
    answering = importlib.import_module(questions)
    if begin:
        answering.BEGINNINGS[begin]()
    answers = answering.ANSWERS
    gc.freeze()
    gc.enable()
    try:
        pipe.send(BEGUN)
    except (BrokenPipeError, OSError):  # the studio was ended meanwhile
        return
    while True:
        try:
            number, question, args = pipe.recv()
        except (EOFError, OSError):
            return

        def still_wanted(share: float, number: int = number) -> None:
            if off.value == number:
                raise CalledOff
            try:
                pipe.send((number, "share", share))
            except (BrokenPipeError, OSError):
                raise SystemExit from None  # the studio has gone, and nobody is there to be told

        try:
            reply = (number, "answer", answers[question](*args, progress=still_wanted))
        except (SlypeError, CalledOff) as trouble:
            reply = (number, "trouble", trouble)
        except MemoryError:  # what it holds by now is let go with its process
            said = "reckoning this basket asked for more memory than a basket needs."
            reply = (number, "spent", TooLong(said, "", "Undo the last change, or make it smaller."))
        except Exception as trouble:  # a fault of slype's own: the page says so, and the terminal has the story
            import traceback

            traceback.print_exc()
            reply = (number, "trouble", SlypeError(f"slype itself stumbled ({type(trouble).__name__}: {trouble})."))
        try:
            pipe.send(reply)
        except (BrokenPipeError, OSError):
            return
