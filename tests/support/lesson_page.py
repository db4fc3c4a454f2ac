"""Where a lesson's page stands, and what its counter says."""

from __future__ import annotations

AT = "place => slypeLesson.places.go(place)"


BESIDE = "slypeLesson.places.did(99)"
"""All that is done beside the basket is done: the counter counts moves."""


def count(page) -> str:
    return page.inner_text("#done strong")
