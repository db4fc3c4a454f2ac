"""Lessons that several tests look at."""

from __future__ import annotations

from places import EXAMPLES

from slype.design.file.reader import load
from slype.lesson.content import Lesson
from slype.plans.planning import plan


def lesson_of(name: str) -> Lesson:
    """The lesson of an example, its rows stacked."""
    return Lesson(plan(load(EXAMPLES / f"{name}.toml")))
