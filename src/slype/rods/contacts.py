"""Rods on a wall, and which of them may touch: who lies near whom, and which of two lies above. Numbers only.

`rods.wall` brings such a wall to rest and says what is what.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cached_property

import numpy as np

from . import contact_kernels
from .posts import Posts

ORDERED_WITHIN = 0.5
"""Pairs that start closer than this through the wall, in thicknesses, lie one above the other."""
LEVEL = 0.1
"""Rods that start less than this apart in height, in thicknesses, all along where they pass closely, start level: the
later laid is the upper. At a join, where the new reed begins at the height of the old one's tail, it was chance."""
LAID_WITHIN = 1.0
"""The same of a rod and what is held where it lies: that cannot give way, and a tip beside its middle would slip by."""
NEAR = 1.9
"""Pairs that start further apart in height than this, in thicknesses, are not looked at."""
MIDDLE = 0.1  # touching distances from the middle of the wall
THROUGH = 1.6  # thicknesses: nor are pairs further apart through the wall
REACH = 11  # rods above it at one station, at most, that a rod may touch
KNOWN = 1e3  # radii: more than any lift, so that what is known of a stretch goes before what is seen there


@dataclass(frozen=True, eq=False)
class Wall:
    """Rods and what they meet. Arrays over nodes unless said otherwise.

    `off` (rods + 1,); `at` (nodes, 2) starting places (s, n) mm; `station` whole number round the wall: nodes of one
    station can touch; `h` mm from a node to the next; `bend` (rods,) bending stiffness; `pull` (rods,); `radius`
    (rods,) mm; `scale` mm between the posts that it bends round there; `load` (nodes, 2); `floor` least s; `post_side`
    +1, -1, or 0 where no post stands; `post_clear` mm the axis keeps from the middle of the wall there; `pinned` bool:
    held where it starts; `order_at` (nodes, 2) places that say which of two rods lies above the other, where `at` has
    already moved from them, else None; `pile` and `rank` what is known of that beforehand: of two nodes of one station
    that lie in one pile, the one of the higher rank lies above; -1 in none. `posts` as beams that bow, None where
    they are hard.
    """

    off: np.ndarray
    at: np.ndarray
    station: np.ndarray
    h: np.ndarray
    bend: np.ndarray
    pull: np.ndarray
    radius: np.ndarray
    scale: np.ndarray
    load: np.ndarray
    floor: np.ndarray
    post_side: np.ndarray
    post_clear: np.ndarray
    pinned: np.ndarray
    order_at: np.ndarray | None = None
    pile: np.ndarray | None = None
    rank: np.ndarray | None = None
    posts: Posts | None = None

    @property
    def nodes(self) -> int:
        """Nodes of all rods."""
        return len(self.at)

    @property
    def order(self) -> np.ndarray:
        """Places that say which of two rods lies above the other (nodes, 2)."""
        return self.at if self.order_at is None else self.order_at

    @cached_property
    def rod(self) -> np.ndarray:
        """Rod of every node."""
        return np.repeat(np.arange(len(self.off) - 1), np.diff(self.off))

    @cached_property
    def r(self) -> np.ndarray:
        """Radius of the rod at every node, mm."""
        return np.repeat(self.radius, np.diff(self.off))

    @cached_property
    def held(self) -> np.ndarray:
        """True for the nodes (nodes,) of rods that are pinned all along."""
        return np.repeat(np.logical_and.reduceat(self.pinned, self.off[:-1]), np.diff(self.off))


def same_wall(one: Wall, other: Wall) -> bool:
    """True when the same rods start from the same places against the same posts, floor and loads."""
    names = [each.name for each in fields(Wall) if each.name not in ("at", "order_at", "posts")]
    alike = all(np.array_equal(getattr(one, name), getattr(other, name)) for name in names)
    stand = one.posts is other.posts if one.posts is None else one.posts.like(other.posts)
    return alike and stand and np.array_equal(one.order, other.order)


@dataclass(frozen=True, eq=False)
class Contacts:
    """Pairs of nodes that may touch: `low`, `high` (pairs,), `touch` mm between their axes, `ordered` bool. `half` says
    where round these nodes the two are kept apart: 0 where they are closest, -1 and 1 where they are so before them and
    after them; such a pair is there twice."""

    low: np.ndarray
    high: np.ndarray
    touch: np.ndarray
    ordered: np.ndarray
    half: np.ndarray

    def some(self, which: np.ndarray) -> Contacts:
        """Those of these numbers, or where it is True."""
        return Contacts(*(each[which] for each in (self.low, self.high, self.touch, self.ordered, self.half)))

    def and_also(self, other: Contacts) -> Contacts:
        """These, and then the others."""
        mine, theirs = ((c.low, c.high, c.touch, c.ordered, c.half) for c in (self, other))
        return Contacts(*(np.concatenate(both) for both in zip(mine, theirs, strict=True)))


def contacts_of(wall: Wall, at: np.ndarray | None = None, near: float = NEAR) -> Contacts:
    """Every pair of nodes at one station near enough to touch at places `at`, the starting places if not given.

    Pairs that lie close together in `order` are ordered: one lies above the other there, and stays so. Pairs that
    come near later only keep their distance. Two rods that are held all along are no pair.
    """
    return contacts_between(wall, *nodes_near(wall, wall.at if at is None else at, near))[0]


def nodes_near(wall: Wall, at: np.ndarray, near: float = NEAR) -> tuple[np.ndarray, np.ndarray]:
    """(lower, upper) node (pairs,) of every such pair as it lies at places `at`."""
    order = np.argsort(at[:, 0], kind="stable")
    order = order[in_order(wall.station[order])]
    low, high = contact_kernels.level_with(order, wall.station, at, wall.r, wall.held, near, THROUGH, REACH)
    keep = in_order(low * wall.nodes + high)  # contacts of one rod side by side: kinder to the cache
    return low[keep], high[keep]


def contacts_between(
    wall: Wall, low: np.ndarray, high: np.ndarray, some: np.ndarray | None = None
) -> tuple[Contacts, np.ndarray]:
    """Contacts of these pairs of nodes (pairs,), or of `some` of them, and True (pairs,) where lower and upper had to
    be exchanged."""
    turned = _turned(wall, low, high)
    if some is not None:
        low, high, turned = low[some], high[some], turned[some]
    low, high = np.where(turned, high, low), np.where(turned, low, high)
    touch = wall.r[low] + wall.r[high]
    lift, apart = np.abs(wall.order.take(high, axis=0) - wall.order.take(low, axis=0)).T
    within = np.where(wall.held[low] | wall.held[high], LAID_WITHIN, ORDERED_WITHIN)
    ordered = (apart < within * touch) & (lift < NEAR * touch)
    if wall.pile is not None:
        # In the middle of the wall, where rods change faces, what is known holds however far apart they start.
        known = (wall.pile[low] >= 0) & (wall.pile[low] == wall.pile[high])
        off, near = np.abs(wall.order[:, 1]), MIDDLE * touch
        ordered |= known & (off[low] < near) & (off[high] < near)
    return Contacts(low, high, touch, ordered, np.zeros(len(low), np.int64)), turned


def _turned(wall: Wall, low: np.ndarray, high: np.ndarray) -> np.ndarray:
    """True for pairs whose `high` lies below its `low` (pairs,), alike all along a stretch where two rods pass closely.

    What counts is where the stretch is plainest: where it is known beforehand, or else where one rod lies furthest over
    the other in `order` for their distance through the wall. At its ends, where they stand beside each other, heights
    alone would say now this, now that.
    """
    one, other = np.minimum(low, high), np.maximum(low, high)
    order = in_order((other - one) * wall.nodes + one)
    none = np.full(wall.nodes, -1)
    pile, rank = (none if each is None or wall.rank is None else each for each in (wall.pile, wall.rank))
    surely = KNOWN * float(wall.radius.max())
    upper = contact_kernels.upper_of(order, one, other, wall.order, wall.r, pile, rank, LEVEL, surely)
    out: np.ndarray = upper != (high > low)
    return out


def pair_keys(wall: Wall, contacts: Contacts) -> np.ndarray:
    """One number for every pair, whichever is the lower."""
    return node_keys(wall, contacts.low, contacts.high)


def node_keys(wall: Wall, one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """The same of pairs of nodes (pairs,)."""
    return np.minimum(one, other) * wall.nodes + np.maximum(one, other)


def in_order(keys: np.ndarray) -> np.ndarray:
    """As a stable `argsort` of whole numbers (k,), none negative, but quicker: numbers alone sort faster."""
    out: np.ndarray = np.sort(keys * len(keys) + np.arange(len(keys))) % max(len(keys), 1)
    return out


def not_among(keys: np.ndarray, known: np.ndarray) -> np.ndarray:
    """True for those of whole numbers `keys` (k,), none negative, that are none of `known`."""
    out: np.ndarray = contact_kernels.missing_from(keys, in_order(keys), np.sort(known))
    return out
