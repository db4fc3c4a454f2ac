"""One order of work behind all that follows it: moments, the handout's steps, the sheet's steps and the times."""

from __future__ import annotations

from itertools import groupby

import pytest
from places import EXAMPLES
from samples import BOARD, BOW, FLARED, HIGH, LIDS
from strategies import basket
from worked import taught

from slype.design.file import reader
from slype.order.course import BESIDE, course
from slype.order.moments import moments
from slype.plans.planning import plan
from slype.tell.steps import TOLD, steps

FOOT = dict(
    spokes="inserted = true\nbase_ends = 12", tail='[foot]\nborder = "foot border"\n',
    before='[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\nuntil = "6 in"\n',
)  # fmt: skip
MORE = '[[band]]\nweave = "pairing"\nreed = "round 3"\nadd = 24\nrows = 6\n'
KINDS = {
    "posy pot": lambda: reader.parse((EXAMPLES / "posy.toml").read_text(encoding="utf-8")),
    "side spokes of its own, and a foot": lambda: basket(**FOOT),
    "ends added": lambda: basket(ends=24, wall=[["0 in", "6 in"], ["4 in", "12 in"]], after=MORE),
    "board": lambda: reader.parse("version = 1\n" + BOARD),
    "handle": lambda: basket(tail=BOW, **HIGH),
    "lid": lambda: basket(tail=LIDS["over"], **FLARED),
}
TIMED = {"begin": ("cross", "board"), "band": ("base", "side"), "turn up": ("turn",), "add": ("add", "bye")}


def _jobs(found):
    """Without what is one job in several steps told again."""
    return [key for key, _ in groupby(found)]


def _named(step):
    """A step by the job it belongs to."""
    if step.of == "foot":
        return "foot", None, ""
    return ("space 1" if step.title == "Find space 1" else step.part), step.band, step.of


@pytest.mark.parametrize("kind", KINDS)
def test_moments_steps_sheet_and_times_all_follow_one_course(kind):
    made = plan(KINDS[kind]())
    jobs, order = course(made.laid), moments(made.laid)
    keys = [(job.key, job.band, job.of) for job in jobs]
    worked = [key for key in keys if key[0] not in BESIDE and key[0] != "foot"]
    assert [(each.key, each.band, each.of) for each in order.parts if each.of != "foot"] == worked
    assert ("foot" in order.others) == (("foot", None, "") in keys)
    named = [_named(step) for step in taught(made)]
    assert _jobs(named) == keys
    assert len(steps(made)) == sum(job.key in TOLD for job in jobs)
    timed = [key for task in made.time.tasks for key in ([task.key, task.lid],)]
    told = [job for job in jobs if job.key not in (*BESIDE, "fit")]
    assert len(timed) == len(told)
    for (key, lid), job in zip(timed, told, strict=True):
        assert job.key in TIMED.get(key, (key,)) and lid == (job.of == "lid")
