"""A basket and all that a beginner is told of it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from functools import cache

from samples import BOARD
from worked import planned_as, taught

from slype.design.file.reader import parse
from slype.plans import planning
from slype.plans.planning import Plan
from slype.teach.step.values import Step


def planned(name: str, hand: str = "right", wording: str = "us") -> Plan:
    """An example, or "tray", which stands on a board."""
    return _tray(hand, wording) if name == "tray" else planned_as(name, hand, wording)


@cache
def _tray(hand: str, wording: str) -> Plan:
    return planning.plan(replace(parse("version = 1\n" + BOARD), hand=hand, wording=wording))


def steps_of(name: str, hand: str = "right", wording: str = "us") -> tuple[Plan, tuple[Step, ...]]:
    plan = planned(name, hand, wording)
    return plan, taught(plan)


def step_of(steps: Iterable[Step], title: str, band: int | None = None) -> Step:
    """The first step whose title begins so, in any band or in this one."""
    return next(each for each in steps if each.title.startswith(title) and band in (None, each.band))


def numbers_of(line: str) -> set[int]:
    """All numbers that a line speaks of, those between as well: 6, 7, 8 and 9 of "6 to 9"."""
    runs = re.sub(r"(\d+) to (\d+)", lambda run: " ".join(map(str, range(int(run[1]), int(run[2]) + 1))), line)
    return {int(each) for each in re.findall(r"\d+", runs)}
