"""Waiting for help: many students, few who can answer.

1. A student works on alone for a while (`asks_every` minutes on average), then needs somebody: the teacher or a helper.
   An answer takes `answer_minutes`, which are in the pace already; what is not in it is the waiting until somebody is
   free.
2. That is a queue whose callers are few: N callers, c who answer, both times exponential (M/M/c//N). Of n students at
   standstill the chance is in proportion to C(N, n) r^n up to c, and N! / ((N - n)! c! c^(n - c)) r^n beyond, with
   r = answer_minutes / asks_every. Source id: queues.
3. Everything at the basket then takes 1 + wait / asks_every times as long.
How often a beginner asks is an assumption; the teacher's own figure stands in its place.
"""

from __future__ import annotations

import math

ANSWER_MINUTES = 2.0
"""An answer at the table (common practice, no source)."""


def wait_minutes(students: int, answering: int, asks_every: float, answer_minutes: float = ANSWER_MINUTES) -> float:
    """Mean minutes that a student who asks waits until somebody of the `answering` is free.

    Raises ValueError where nobody asks or nobody answers.
    """
    if students < 1 or answering < 1 or asks_every <= 0 or answer_minutes < 0:
        raise ValueError("students, somebody who answers, and times above nought")
    if answering >= students or answer_minutes == 0:
        return 0.0
    ratio = answer_minutes / asks_every
    shares = [1.0]
    for n in range(1, students + 1):
        shares.append(shares[-1] * (students - n + 1) * ratio / min(n, answering))
    whole = math.fsum(shares)
    at_standstill = math.fsum(n * share for n, share in enumerate(shares)) / whole
    in_line = math.fsum((n - answering) * share for n, share in enumerate(shares) if n > answering) / whole
    asking = (students - at_standstill) / asks_every  # questions a minute, from those who work
    return in_line / asking


def longer(students: int, answering: int, asks_every: float, answer_minutes: float = ANSWER_MINUTES) -> float:
    """How many times as long work takes with the waiting: 1 where nobody waits."""
    return 1.0 + wait_minutes(students, answering, asks_every, answer_minutes) / asks_every
