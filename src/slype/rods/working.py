"""The arrays that change while a wall of rods comes to rest: copies and pushes of contacts, weights, factors.

`rods.wall` says how they are worked with, and why.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from . import contact_kernels, kernels, measure_kernels
from .contacts import Contacts, Wall, contacts_between, in_order, node_keys, nodes_near, not_among, pair_keys
from .pair import Pair, halves
from .posts import Bow, Bowing

LEAST_LIFT = 0.5
"""Least lift of the upper rod of an ordered pair over the lower, in thicknesses: further, and they would slip past each
other (common practice, no source)."""
SLACK = 0.5  # least radii a node may move between looks: pairs left out are 0.6 thicknesses or more from touching
SOON = 0.25
"""Touching distances: contacts further from pressing than this are left out until the next look at where rods are."""
JUMP = 0.2
"""Stations by which the place where a pair is closest goes, from one look to the next, where it is held in two."""
OVER_RELAX = 1.5
STIFF = 100.0
"""Weight of a contact against the bending of half a space: lower and rods slip, higher and they creep."""
LEFT, FIRMEST, WORSE = 0.75, 2.0, 1.3
"""Share of the force that may be left over below which contacts are held twice as firmly where rods still lie in each
other; how much more firmly they may be held in all; and times as deep in each other as before, from which that is taken
back (after Boyd and others 2011, section 3.4.1)."""
PIN = 1e8  # weight of a pin, in contact weights: a clamp of two nodes 1/200 of a rod apart must not turn
HOLD = 1e-6  # share of a contact's weight by which a rod that nothing holds is kept from floating away


@dataclass(frozen=True, eq=False)
class Known:
    """Contacts and forces of an earlier answer in the numbering of a new wall: `contacts`, their `push` (pairs, 2);
    `node` (k,) and its `post_push` (k, 2); `bow` of the posts. In units of stiffness over mm2."""

    contacts: Contacts
    push: np.ndarray
    node: np.ndarray
    post_push: np.ndarray
    bow: Bow | None = None


Places = tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]
"""Where the rods of each contact come closest: the nodes there, how far past them, and their lean, each (contacts,)."""


def overlaps(wall: Wall, contacts: Contacts, at: np.ndarray, pair: Pair | None = None) -> tuple[np.ndarray, Places]:
    """(depth, mm, by which the rods of every contact lie in each other at places `at`, negative for a gap (contacts,);
    where they come closest)."""
    c, low, high = contacts, contacts.low.copy(), contacts.high.copy()
    part, lean, whole = np.zeros(len(low)), np.ones(len(low)), np.zeros(len(low), np.int64)
    deep = np.empty(len(low))

    def some(first: int, last: int) -> None:
        here = slice(first, last)
        places = low[here], high[here], part[here], lean[here]
        nodes, touch = (c.low[here], c.high[here]), c.touch[here]
        kernels.closest(wall.off, wall.rod, at, wall.h, *nodes, touch, whole[here], *places)
        measure_kernels.overlap(at, *places[:3], touch, c.ordered[here], places[3], deep[here])

    halves(pair, (0, len(low) // 2, len(low)), some)
    return deep, (low, high, part, lean)


@dataclass(frozen=True, eq=False)
class Found:
    """How deep rods lie in each other at these `contacts` as things stand, and where they come closest."""

    contacts: Contacts
    deep: np.ndarray
    places: Places


@dataclass(eq=False)
class Work:
    """Arrays that change while a wall comes to rest."""

    wall: Wall
    contacts: Contacts
    between: bool = True
    pair: Pair | None = None
    at: np.ndarray = field(init=False)

    def __post_init__(self) -> None:
        wall, nodes = self.wall, self.wall.nodes
        count = np.diff(wall.off)
        self.rod_cut = 0, int(np.searchsorted(wall.off, nodes / 2)), len(count)
        self.at, self.looked_at = wall.at.copy(), wall.at.copy()
        # Weight of one copy: how stiff half a space of the rod is, shared among its nodes.
        per_space = np.maximum(wall.scale / wall.h, 1)
        self.rho_node = STIFF * 512 * np.repeat(wall.bend, count) / wall.scale**3 / per_space
        self.unit = self.rho_node * 2 * wall.r / STIFF  # what bends a rod by its thickness in half a space
        self.post_copy, self.post_push = self.at.copy(), np.zeros((nodes, 2))
        self.pin = np.where(wall.pinned, PIN * self.rho_node, 0.0)
        self.hold = HOLD * self.rho_node
        self.base_load = wall.load + self.pin[:, None] * wall.at
        self.load, self.new = self.base_load.copy(), np.empty((nodes, 2))
        self.want = np.zeros((2, nodes, 2))
        sideways = np.where(wall.post_side != 0, self.rho_node, 0.0)
        self.post_weight = (self.rho_node + self.pin, sideways + self.pin)
        self.factors = (np.zeros((3, nodes)), np.zeros((3, nodes)))
        self.firm, self.firmed_at, self.may_firm = 1.0, np.inf, True
        self.found: Found | None = None  # None once rods have moved
        self.bowing = None if wall.posts is None else Bowing(wall.posts, self.give)
        self.post_at = np.zeros(nodes)
        self._take(self.contacts)

    def _take(self, contacts: Contacts) -> None:
        """Set up copies for these contacts, none of them pushed."""
        self._weigh(contacts)
        self.idle = np.ones(len(contacts.low), bool)
        self.copy, self.push = self._unpushed(contacts)

    def _weigh(self, contacts: Contacts) -> None:
        pairs = len(contacts.low)
        self.contacts = replace(contacts, half=contacts.half.copy())
        self.rho = self.firm * np.sqrt(self.rho_node[contacts.low] * self.rho_node[contacts.high])
        self.low, self.high = contacts.low.copy(), contacts.high.copy()
        self.part, self.lean = np.zeros(pairs), np.ones(pairs)

    def _unpushed(self, contacts: Contacts) -> tuple[np.ndarray, np.ndarray]:
        """Copies of both nodes of every contact where these are, and how they are pushed: not at all."""
        ends = np.stack([contacts.low, contacts.high], axis=1).ravel()
        return self.at.take(ends, axis=0), np.zeros((len(ends), 2))

    def renew(self, in_halves: bool = False) -> None:
        """What depends on the present shape: true bending, where rods come closest, and the factors. `in_halves`: pairs
        that press now before their nodes and now after them are held in both places from now on."""
        wall = self.wall
        self.hold_bend()
        found, self.found = self.found, None
        if self.between:
            was = self._places()
            self._look_again(found)
            if in_halves:
                self._halve(was)
        self.live = Live(self)
        weight, beside = np.empty(wall.nodes), np.empty(wall.nodes)
        live = self.live
        kernels.stiffen(live.low, live.high, live.part, live.rho, weight, beside)
        weight += self.hold

        def factor(first: int, last: int) -> None:
            for extra, d in zip(self.post_weight, self.factors, strict=True):
                kernels.factor(wall.off, first, last, wall.bend, wall.pull, wall.h, weight + extra, beside, *d)

        halves(self.pair, self.rod_cut, factor)

    def _places(self) -> np.ndarray:
        """How far past its nodes every contact looks (contacts,), in stations."""
        places: np.ndarray = self.low - self.contacts.low + self.part
        return places

    def _look(self, some: np.ndarray | None = None) -> None:
        """Where rods come closest at every contact, or at `some` of them (k,)."""
        wall, c = self.wall, self.contacts
        found = self.low, self.high, self.part, self.lean
        if some is not None:
            c, found = c.some(some), tuple(each[some] for each in found)
        kernels.closest(wall.off, wall.rod, self.at, wall.h, c.low, c.high, c.touch, c.half, *found)
        if some is not None:
            for mine, each in zip((self.low, self.high, self.part, self.lean), found, strict=True):
                mine[some] = each

    def _look_again(self, found: Found | None) -> None:
        """The same of all, from what was `found` when it was measured how rods lie now."""
        if found is None or found.contacts is not self.contacts:
            self._look()
            return
        self.low, self.high, self.part, self.lean = found.places
        held_twice = np.flatnonzero(self.contacts.half)
        if len(held_twice):
            self._look(held_twice)

    def overlaps(self) -> np.ndarray:
        """Depth, mm, by which the rods of every contact lie in each other, negative for a gap (contacts,)."""
        if self.found is None or self.found.contacts is not self.contacts:
            self.found = Found(self.contacts, *overlaps(self.wall, self.contacts, self.at, self.pair))
        return self.found.deep

    def overlap(self) -> float:
        """The worst of them, as a share of the touching distance (0 when none overlap)."""
        return float(max(0.0, (self.overlaps() / self.contacts.touch).max(initial=0.0)))

    def _halve(self, was: np.ndarray) -> None:
        """Hold those pairs twice, before their nodes and after them, that press and of which the closest place has gone
        from `was` (contacts,) by JUMP: parted in one place they come together in the other, to and fro."""
        c = self.contacts
        jumped = (c.half == 0) & (np.abs(self._places() - was) > JUMP)
        some = np.flatnonzero(jumped)
        jumped[some] = (self.push[2 * some] != 0).any(axis=1)
        if not jumped.any():
            return
        # What presses goes on pressing where it did; the other place is added behind all others.
        twice = np.flatnonzero(jumped)
        before = was[twice] < 0
        c.half[twice] = np.where(before, -1, 1)
        self.contacts = c.and_also(replace(c.some(twice), half=np.where(before, 1, -1)))
        self.rho = np.r_[self.rho, self.rho[twice]]
        ends = np.stack([c.low[twice], c.high[twice]], axis=1).ravel()
        self.copy, self.push = np.r_[self.copy, self.at[ends]], np.r_[self.push, np.zeros((len(ends), 2))]
        self.idle = np.r_[self.idle, np.ones(len(twice), bool)]
        new = np.r_[twice, np.arange(len(c.low), len(c.low) + len(twice))]
        self.low, self.high, self.part, self.lean = (
            np.r_[each, each[twice]] for each in (self.low, self.high, self.part, self.lean)
        )
        self._look(new)

    def firmer(self, times: float) -> None:
        """Hold contacts so many times as firmly; what presses stays as it is."""
        self.firm *= times
        self.rho *= times
        self.push /= times

    def balance(self, worst: float, overlap: float, left: float) -> None:
        """Hold contacts more firmly where forces are about to rest (`left` of what may be) and rods still lie in each
        other; and as before, for good, where that made it worse."""
        if self.may_firm and worst > WORSE * self.firmed_at:
            self.firmer(1 / self.firm)
            self.may_firm = False
        elif self.may_firm and worst > overlap and left < LEFT and self.firm < FIRMEST:
            self.firmer(2.0)
            self.firmed_at = worst

    def begin_with(self, known: Known) -> None:
        """Start the pushes from forces known before; the contacts must be theirs."""
        push = known.push / self.rho[:, None]
        self.push.reshape(-1, 2, 2)[:] = np.stack([push, -push], axis=1)
        self.post_push[known.node] = known.post_push / self.rho_node[known.node][:, None]
        if self.wall.posts is not None:
            self.bowing = Bowing(self.wall.posts, self.give, known.bow)
            self.post_at = self.bowing.stand(self.heights)

    @property
    def give(self) -> np.ndarray:
        """Bending stiffness / spacing^3 of the rods, shared among the nodes of a spacing (nodes,)."""
        out: np.ndarray = self.wall.bend[self.wall.rod] * self.wall.h / self.wall.scale**4
        return out

    @property
    def heights(self) -> np.ndarray:
        """s of every node (nodes,), side by side."""
        return self.at[:, 0].copy()

    @property
    def on_posts(self) -> np.ndarray:
        """What every node pushes its posts with (nodes,), outward."""
        return np.where(self.wall.post_side != 0, self.rho_node * self.post_push[:, 1], 0.0)

    def bend_posts(self) -> None:
        """Bend the posts towards what pushes them now, and take the rods along, pressed as they are."""
        bowing, s = self.bowing, self.heights
        if bowing is None or not np.isfinite(s).all():
            return
        moved = bowing.bend(s, self.on_posts)
        stand = bowing.stand(s)
        moved[self.wall.pinned] = 0.0
        self.at[:, 1] += moved
        self.post_copy[:, 1] += stand - self.post_at
        self.post_at = stand
        self.copy[0::2, 1] += moved[self.contacts.low]
        self.copy[1::2, 1] += moved[self.contacts.high]

    def posts_would_move(self) -> float:
        """How far, mm, posts would still move if they were bent once more."""
        return 0.0 if self.bowing is None else self.bowing.would_move(self.heights, self.on_posts)

    def true_bend(self) -> None:
        wall = self.wall
        every = self.at, wall.bend, wall.pull, wall.h, self.base_load, self.load
        halves(self.pair, self.rod_cut, lambda first, last: kernels.true_bend(wall.off, first, last, *every))

    def hold_bend(self) -> None:
        """The same, held where it is now, not at zero: at rest the hold then bears nothing."""
        wall = self.wall
        every = self.at, wall.bend, wall.pull, wall.h, self.base_load, self.hold, self.load
        halves(self.pair, self.rod_cut, lambda first, last: kernels.hold_bend(wall.off, first, last, *every))

    def widen(self, anyhow: bool = False) -> bool:
        """Take in pairs that have come near since the last look, True if there are any; none can have while no node
        moved far, unless it is asked `anyhow`."""
        if not anyhow and np.abs(self.at - self.looked_at).max() <= SLACK * self.wall.radius.min():
            return False
        self.looked_at = self.at.copy()
        return self.widen_at(self.at)

    def widen_at(self, at: np.ndarray) -> bool:
        """Take in pairs that are near at places `at` (nodes, 2), True if any are new; what is known of the others is
        kept."""
        old, (low, high) = self.contacts, nodes_near(self.wall, at)
        key = pair_keys(self.wall, old)
        new = not_among(node_keys(self.wall, low, high), key)
        if not new.any():
            return False
        found = contacts_between(self.wall, low, high, new)[0]
        both, (copy, push) = old.and_also(found), self._unpushed(found)
        order = in_order((both.low * self.wall.nodes + both.high) * 3 + both.half + 1)
        self._weigh(both.some(order))
        self.idle = np.r_[self.idle, np.ones(len(found.low), bool)][order]
        self.copy, self.push = (
            np.concatenate([each.reshape(-1, 4), more.reshape(-1, 4)]).take(order, axis=0).reshape(-1, 2)
            for each, more in ((self.copy, copy), (self.push, push))
        )
        return True

    def begin_wanting(self) -> None:
        """Set what draws each node, as things stand: `want`."""
        wall, live, half = self.wall, self.live, len(self.live.low) // 2
        posts = self.load, self.rho_node, wall.post_side, self.post_copy, self.post_push
        kernels.want_posts(0, wall.nodes, *posts, self.want)
        every = live.low, live.high, live.part, live.rho, live.copy, live.push
        kernels.want_contacts(0, half, *every, self.want[0])
        kernels.want_contacts(half, len(live.low), *every, self.want[1])

    def rod_arguments(self) -> tuple[Any, ...]:
        wall, w = self.wall, self
        return (
            wall.bend, wall.pull, wall.h, w.base_load, w.hold, w.at, w.load, w.rho_node, wall.floor, wall.post_side,
            wall.post_clear, w.post_at, w.post_copy, w.post_push, *w.factors, OVER_RELAX, w.new, w.want,
        )  # fmt: skip

    def contact_arguments(self) -> tuple[Any, ...]:
        live = self.live
        return (
            live.low, live.high, live.part, live.touch, live.ordered, live.lean, live.rho, self.at, live.copy,
            live.push, OVER_RELAX, LEAST_LIFT,
        )  # fmt: skip


class Live:
    """Those contacts of a wall that press or may press soon, side by side: the others hold nothing back and cost
    nothing until the next look."""

    def __init__(self, work: Work) -> None:
        c = work.contacts
        places = work.low, work.high, work.part
        self.which = contact_kernels.live(
            work.at, *places, c.touch, c.ordered, work.lean, work.push, work.copy, work.idle, LEAST_LIFT, SOON
        )
        every = *places, work.lean, c.touch, c.ordered, work.rho, work.copy, work.push
        taken = contact_kernels.those(self.which, *every)
        self.low, self.high, self.part, self.lean, self.touch, self.ordered, self.rho, self.copy, self.push = taken

    def hand_back(self, work: Work) -> None:
        """Give the wall what these contacts have come to."""
        contact_kernels.put_back(self.which, self.copy, self.push, work.copy, work.push)
