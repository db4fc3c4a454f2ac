"""How fast students are: skills, and how far people of one skill differ. Assumptions, stated as such.

No published figure for weavers in a class was found; a teacher's own watch ([pace] of the class) is the better truth.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Skill:
    """One skill: `times` how long everything takes them, as a share of the design's pace (a beginner's); `spread` how
    far they differ: standard deviation of the logarithm of their time; `asks_every` minutes of work between two
    questions; `source` id; `means` in words; `who` it is whose time is told."""

    key: str
    times: float
    spread: float
    asks_every: float
    source: str
    means: str
    who: str


SKILLS = {
    each.key: each
    for each in (
        Skill("first basket", 1.0, 0.25, 30.0, "practice", "has never woven one", "a first basket"),
        Skill("some", 0.7, 0.2, 60.0, "practice", "has woven one or a few", "a few baskets made"),
        Skill("experienced", 0.45, 0.15, 120.0, "practice", "weaves without being told the strokes",
              "experienced"),
    )
}
"""Skills from the first basket on (common practice, no source)."""
STEP_SPREAD = 0.15
"""How far one step takes one student longer or less long than their own usual (common practice, no source)."""
