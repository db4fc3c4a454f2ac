"""Questions for the studio's workers that no basket would ask: one that never ends, one that is never satisfied."""

from __future__ import annotations

import gc
import os
import signal
import sys
import time


def easy(*, progress) -> int:
    return os.getpid()


def loaded(*, progress) -> tuple[list[str], bool]:
    """The modules of the process, and whether it clears away its rubbish."""
    return sorted(sys.modules), gc.isenabled()


def hungry(gibibytes: float, *, progress) -> int:
    """Memory, piece by piece, all of it touched and kept."""
    kept = []
    for _ in range(int(gibibytes * 16)):
        kept.append(b"x" * (2**30 // 16))
    return len(kept)


def dying(*, progress) -> None:
    """As compiled code does that cannot have the memory it asks for."""
    os.abort()


def killed(note: str, times: int, *, progress) -> int:
    """Ended from outside, as a machine short of memory does, so many times; then answered."""
    return _hit(signal.SIGKILL, note, times)


def stopped(note: str, times: int, *, progress) -> int:
    """Frozen from outside so many times; then answered."""
    return _hit(signal.SIGSTOP, note, times)


def _hit(by: int, note: str, times: int) -> int:
    with open(note, "a+") as file:
        file.write(".")
        file.flush()
        hits = file.tell()
    if hits <= times:
        os.kill(os.getpid(), by)
    return hits


def endless(note: str = "", *, progress) -> None:
    """Says nothing, hears nothing."""
    if note:
        with open(note, "a") as file:
            file.write("begun\n")
    while True:
        pass


def long(note: str, *, progress) -> None:
    """Says how far it is; writes down what it was told when it is no longer wanted."""
    try:
        for step in range(600):
            progress(step / 600)
            time.sleep(0.05)
    except BaseException as trouble:
        with open(note, "a") as file:
            file.write(f"{type(trouble).__name__} {step}\n")
        raise


ANSWERS = {"easy": easy, "hungry": hungry, "dying": dying, "endless": endless, "long": long}
ANSWERS |= {"killed": killed, "stopped": stopped, "loaded": loaded}
