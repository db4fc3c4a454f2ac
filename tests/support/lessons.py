"""Lessons that several tests look at, each made once: no test may change one."""

from __future__ import annotations

from functools import cache

from places import EXAMPLES
from worked import once

from slype.design.file.reader import parse
from slype.lesson.content import Lesson
from slype.lesson.whole import whole
from slype.plans.planning import plan


@cache
def lesson_of(name: str, more: str = "") -> Lesson:
    """The lesson of an example with `more` written below it, its rows stacked."""
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    return Lesson(plan(parse(f"{text}\n{more}", name)))


@cache
def lesson_file(name: str) -> bytes:
    """The page of an example's lesson, as a file to keep."""
    return once(f"lesson {name}", lambda: whole(lesson_of(name)))
