"""What room there is on a drawing for a label. Compiled loops: a drawing tries hundreds of places."""

from __future__ import annotations

import numpy as np

from ..rods.compiled import compiled

NOTHING = np.zeros((0, 3))
"""No points."""


@compiled()
def first_free(places, wide, high, box, taken, spots, ways):
    """Which of these places (k, 2) is the first where a label so wide and high lies in the `box`, and covers none of
    what is `taken` (j, 4) and no points to keep bare, as `lie_within` has them; -1 where none is."""
    for k in range(places.shape[0]):
        x, y = places[k]
        if not (box[0] + wide / 2 < x < box[0] + box[2] - wide / 2 and
                box[1] + high / 2 < y < box[1] + box[3] - high / 2):  # fmt: skip
            continue
        free = True
        for i in range(taken.shape[0]):
            if abs(x - taken[i, 0]) < (wide + taken[i, 2]) / 2 and abs(y - taken[i, 1]) < (high + taken[i, 3]) / 2:
                free = False
                break
        if free and not (lie_within(spots, x, y, wide / 2, high / 2) or lie_within(ways, x, y, wide / 2, high / 2)):
            return k
    return -1


LOOKS = 17
"""At so many places along it, from end to end, it is looked for what lies upon a line."""


@compiled()
def goes_clear(x, y, tip_x, tip_y, taken):
    """True where a line from (x, y) to the tip goes under nothing that is `taken` (k, 4)."""
    for k in range(LOOKS):
        share = k / (LOOKS - 1)
        at_x, at_y = x + (tip_x - x) * share, y + (tip_y - y) * share
        for i in range(taken.shape[0]):
            if abs(at_x - taken[i, 0]) < taken[i, 2] / 2 and abs(at_y - taken[i, 1]) < taken[i, 3] / 2:
                return False
    return True


@compiled()
def cross(a_x, a_y, b_x, b_y, c_x, c_y, d_x, d_y):
    """True where the line from a to b crosses that from c to d."""
    of_c = (b_x - a_x) * (c_y - a_y) - (b_y - a_y) * (c_x - a_x)
    of_d = (b_x - a_x) * (d_y - a_y) - (b_y - a_y) * (d_x - a_x)
    of_a = (d_x - c_x) * (a_y - c_y) - (d_y - c_y) * (a_x - c_x)
    of_b = (d_x - c_x) * (b_y - c_y) - (d_y - c_y) * (b_x - c_x)
    return of_c * of_d < 0.0 and of_a * of_b < 0.0


@compiled()
def crosses(a_x, a_y, b_x, b_y, line):
    """True where the line from a to b crosses another one (2, k)."""
    for i in range(line.shape[1] - 1):
        if cross(a_x, a_y, b_x, b_y, line[0, i], line[1, i], line[0, i + 1], line[1, i + 1]):
            return True
    return False


@compiled()
def lie_within(kept, x, y, half_wide, half_high):
    """How many of these points (k, 3), each with how far round it nothing may lie, come too close to a label there."""
    many = 0
    for i in range(kept.shape[0]):
        bare = kept[i, 2]
        aside, off = abs(kept[i, 0] - x) - (half_wide + bare), abs(kept[i, 1] - y) - (half_high + bare)
        if aside < 0.0 and off < 0.0 and max(aside + bare, 0.0) ** 2 + max(off + bare, 0.0) ** 2 < bare**2:
            many += 1
    return many


@compiled()
def covers(x, y, wide, high, line):
    """True where a word so wide and high covers something of a line (2, k), whose points lie close."""
    for i in range(line.shape[1]):
        if abs(line[0, i] - x) < wide / 2 and abs(line[1, i] - y) < high / 2:
            return True
    return False


NEAR_LOOKS = 25
"""At so many places along a way it is looked for what it comes near."""


@compiled()
def comes_near(tip_x, tip_y, x, y, line, near):
    """True where the way from a word at (x, y) to its tip comes so near to a line (2, k), whose points lie close."""
    for k in range(NEAR_LOOKS):
        share = k / (NEAR_LOOKS - 1)
        at_x, at_y = tip_x + (x - tip_x) * share, tip_y + (y - tip_y) * share
        for i in range(line.shape[1]):
            if (line[0, i] - at_x) ** 2 + (line[1, i] - at_y) ** 2 < near**2:
                return True
    return False
