"""What hands do: rows are rapped down; a border is nipped, pulled snug, pressed, and keeps that shape.

Springy reed that is only laid stands up in loops. Hands nip every end where it turns down (at its foot it is free to
turn, as on a hinge), pull it until it lies on what it passes over, and press the border down and from both sides. Wet
reed keeps that shape. Hard rods without set, as `slype evidence` proves them, lie as `rods.wall.relax` leaves them:
that is `relax(design, by_hands=False)`. Lengths mm.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..rods import wall as rod_wall
from ..rods.contacts import Wall
from ..rods.wall import Rest

PRESS = 20.0
"""Light packing load on each band's last row, per length of wall, in units of bending stiffness x thickness /
spacing^4 (common practice, no source): enough to keep rows together, too light to bend them."""
FIRM, FIRM_ROWS = 3.0, 2
"""Load on so many first rows of a band of a side, in PRESS: they are rapped down on what they begin on (common
practice, no source). At 6 the rows above do not follow, and light shows between them."""
AT_EDGE = 8.0, 6.0
"""The same on the first rows, from the lowest, of a side that begins at the edge of a woven base: hands press them down
beside it to close the ring (common practice, no source). Harder, walls take half as long again to rest, and from 12 and
8 on thrice as long."""
PRESSED_BY = 0.7, 0.35
"""So hard hands press every end, from above and, with fingers and thumb, from outside and inside: it would bend an end,
clamped at two spokes, by so many of its own thicknesses between them (common practice, no source). At 2 ends come out
wavy. The second where the first presses ends into each other, as between spokes two thicknesses apart."""
CLAMPED = 384.0
"""Load per length, in units of bending stiffness x thickness / length^4, that bends a clamped beam by its own thickness
in the middle (Euler and Bernoulli's beam)."""
MOST_SETTLING = 200  # sweeps in which a border that hands have pressed comes to rest, or does not
SNUG = 30.0
"""Pull along an end as it is worked, in units of bending stiffness / spacing^2 (common practice, no source): taut
between what it lies on. At 1 ends come out wavy."""
SET = 1.0
"""Share of its bend that a soaked end keeps as its shape once hands let go (common practice, no source)."""
PRESSING = 250
"""Sweeps for which hands press, at most: with a hundred fewer a border stays 0.2 mm higher and takes a third less time.
How it lies is settled after they let go. After an edit it is pressed afresh: on from the border before, it would lie a
little lower after each."""


def rapped(row: np.ndarray, last: np.ndarray, begins: np.ndarray, at_edge: np.ndarray) -> np.ndarray:
    """Load down (nodes,) on rows of weavers, as PRESS counts it. `row` and the `last` of its band; `begins` where the
    band begins on another, `at_edge` where beside a woven base."""
    share = np.where(row == last, 1.0, np.where(begins & (row < FIRM_ROWS), FIRM, 0.0))
    for nth, firm in enumerate(AT_EDGE):
        share = np.where(at_edge & (row == nth), firm, share)
    return PRESS * share


def work(
    wall: Wall, most: int, overlap: float, balance: float, cores: int | None = None, friction: float = 0.0
) -> Rest:
    """A border at rest after hands have worked it and let go; hard rods where they would press ends into each other.
    Asked for as `rods.wall.relax` is."""
    count = np.diff(wall.off)
    thick = 2 * wall.r
    stiff = np.where(wall.pinned, 0.0, np.repeat(wall.bend, count))  # what is held is not pressed
    press = CLAMPED * stiff * thick / wall.scale**4 * wall.h
    space = np.add.reduceat(wall.scale, wall.off[:-1]) / count
    for by in PRESSED_BY:
        load = wall.load.copy()
        load[:, 0] -= by * press
        load[:, 1] -= by * press * np.clip(2 * wall.order[:, 1] / thick, -1, 1)
        pressed = replace(wall, load=load, pull=SNUG * wall.bend / space**2)
        held = rod_wall.relax(pressed, PRESSING, overlap, balance / 10, cores)
        kept = rod_wall.with_set(wall, held.at, SET)
        rest = rod_wall.relax(kept, min(most, MOST_SETTLING), overlap, balance, cores, friction=friction)
        if rest.done:
            return rest
    return rod_wall.relax(wall, most, overlap, balance, cores, friction=friction)
