"""Lessons that several tests look at."""

from __future__ import annotations

from places import EXAMPLES

from slype.design.file.reader import parse
from slype.lesson.content import Lesson
from slype.plans.planning import plan


def lesson_of(name: str, more: str = "") -> Lesson:
    """The lesson of an example with `more` written below it, its rows stacked."""
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    return Lesson(plan(parse(f"{text}\n{more}", name)))
