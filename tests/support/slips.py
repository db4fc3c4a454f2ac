"""Random slips in random weaving, and what a weaver would see of them."""

from __future__ import annotations

import random
from dataclasses import dataclass

from slype.weave.slips import BARE, Cell, Seen, Slip, Woven, all_traced, deep, likeliest, strokes_made, unlike
from slype.weave.table import WEAVES

MOST_ENDS, FEWEST_ENDS = 20, 11
MOST_ALIKE = 2
"""A slip that looks like more others than these cannot be told apart by anybody who is given three answers."""


@dataclass(frozen=True, eq=False)
class Case:
    """`count` strokes done with the `slip` among them; `seen` as it is, and `said`, with one place misread."""

    woven: Woven
    count: int
    slip: Slip
    traced: list
    seen: Seen
    said: Seen

    @property
    def why_not(self) -> str:
        """Why it cannot be told apart at all; empty where it can."""
        alike = [slip for slip, left in self.traced if slip != self.slip and not unlike(self.seen, left)]
        if None in alike:
            return "looks like right work"
        return "looks like others" if len(alike) > MOST_ALIKE else ""

    @property
    def found(self) -> bool:
        """Whether it is among the first three answers."""
        answers = [slip for slip, _ in likeliest(self.count, self.said, self.traced) if slip is not None]
        return self.slip in answers[:3]


def random_woven(chance: random.Random) -> Woven:
    """Any weave of the table on any count of ends that takes it, in up to four colours."""
    while True:
        weave, ends = chance.choice(list(WEAVES.values())), chance.randint(FEWEST_ENDS, MOST_ENDS)
        weavers = weave.count(ends)
        falls_off = weave.turns == "round" and weavers == 1 and ends % weave.reach == 0
        if ends > weave.reach and not falls_off:
            shades = chance.randint(1, min(4, weavers))
            colours = tuple(chance.randrange(shades) for _ in range(weavers))
            return Woven(weave, ends, colours, chance.randrange(ends))


def random_case(chance: random.Random, bars: bool) -> Case:
    """A slip within the last two rows; the weaver looks at 8 to 12 spokes from about where it was made, and says their
    colours, with `bars` also how far each bar goes. In every second case one place is misread."""
    woven = random_woven(chance)
    count = chance.randint(woven.ends // 2 + 2, 3 * woven.ends)
    traced = all_traced(woven, count)
    slip, left = chance.choice(traced[1:])
    first = strokes_made(woven, count, slip)[slip.stroke].at - chance.randint(0, 4)
    spokes = {(first + i) % woven.ends for i in range(chance.randint(8, 12))}
    cells: dict[tuple[int, int], Cell] = {
        (j, down): left[j][down] if down < len(left[j]) else (BARE, 0) for j in spokes for down in range(deep(woven))
    }
    seen: Seen = cells if bars else {place: cell[0] for place, cell in cells.items()}
    said = dict(seen)
    if chance.random() < 0.5:
        place = chance.choice(sorted(said))
        colour = chance.randrange(-1, 4)
        said[place] = (colour, cells[place][1]) if bars else colour
    return Case(woven, count, slip, traced, seen, said)
