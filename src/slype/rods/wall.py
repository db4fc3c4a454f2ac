"""Elastic rods lying against each other and against posts, brought to rest. Numbers only.

A *wall* is many rods that run along one axis (round the wall) through fixed stations; each node of a rod is free to
move in s (up) and n (through the wall). Lengths mm, forces in units of bending stiffness over mm2.

Theory
1. Energy. Bending stiffness/2 x curvature squared along each rod, plus pull x length, plus load x height; true
   curvature and length, not those of small slopes. Length is free to slide in: a rod between posts then takes the
   shape of the rectangular elastica (closure (c) of a bent rod), and with great pull that of a taut thread (Peirce).
2. Contact. Two rods at one station keep their axes at least `touch` apart; the upper of an ordered pair stays above
   by at least LEAST_LIFT of that, so no two rods can change places. Rods that cross do so between stations too: each
   contact looks half a station either way (`kernels.closest`). Without that, rows sink into each other
   by as much as the stations are apart: pressed pairing falls to 1.84 thicknesses a row at 8 stations a space, 1.94 at
   16, 1.99 at 32, towards the true 2 (`proofs` works it out anew).
   A rod keeps its distance from the posts it passes, on its own side, and from the floor.
3. Method. Consensus ADMM (Boyd and others 2011, "Distributed optimization and statistical learning via the alternating
   direction method of multipliers"): every contact holds copies of the two nodes and pushes them apart; every rod
   bends towards the mean of its copies, one banded solve, factored once. Forces between the copies are the contact
   forces. The difference between true and small-slope bending is put on the right-hand side and renewed as it goes.
4. It stops when no overlap and no unbalanced force is larger than asked, or when rods are lost in each other, and says
   so when it stopped early.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from . import kernels
from .contacts import Contacts, Wall, contacts_of, pair_keys

LEAST_LIFT = 0.5
"""Least lift of the upper rod of an ordered pair over the lower, in thicknesses: further, and they would slip past each
other (common practice, no source)."""
SLACK = 0.5  # least radii a node may move between looks: pairs left out are 0.6 thicknesses or more from touching
BLOCK = 25  # sweeps between looks at the measures
LOOK = 100  # sweeps between looks for rods that have come near each other
OVER_RELAX = 1.5
STIFF = 100.0
"""Weight of a contact against the bending of half a space: lower and rods slip, higher and they creep."""
LEFT, FIRMEST, WORSE = 0.75, 4.0, 1.3
"""Share of the force that may be left over below which contacts are held twice as firmly where rods still lie in each
other; how much more firmly they may be held in all; and times as deep in each other as before, from which that is taken
back (after Boyd and others 2011, section 3.4.1)."""
PIN = 1e8  # weight of a pin, in contact weights: a clamp of two nodes 1/200 of a rod apart must not turn
HOLD = 1e-6  # share of a contact's weight by which a rod that nothing holds is kept from floating away
LOST = ((100, 0.9), (200, 0.5))
"""(Sweeps, overlap in touching distances) beyond which rods no longer find apart: of 160 baskets tried none that did
had more than 0.4 left by the first or 0.2 by the second, and those that did not had 0.9 and more to the end."""
SHARED_FROM = 12_000  # nodes; below, handing work to a second core costs more than it saves


@dataclass(frozen=True, eq=False)
class Rest:
    """A wall at rest: `at` (nodes, 2); `overlap_mm`, `unbalanced` worst of each; `sweeps`; `done` False when it stopped
    early, `lost` when that was for rods LOST in each other. Forces in units of stiffness over mm2: `push` (contacts, 2)
    of each lower rod on its upper, turned round; `post_push` (nodes, 2) of floor (s) and posts (n)."""

    wall: Wall
    contacts: Contacts
    at: np.ndarray
    push: np.ndarray
    post_push: np.ndarray
    overlap_mm: float
    unbalanced: float
    sweeps: int
    done: bool
    lost: bool = False

    @property
    def post_force(self) -> np.ndarray:
        """What each node is pushed with by the post it passes (nodes,)."""
        return np.abs(self.post_push[:, 1])


@dataclass(frozen=True, eq=False)
class Known:
    """Contacts and forces of an earlier answer in the numbering of a new wall: `contacts`, their `push` (pairs, 2);
    `node` (k,) and its `post_push` (k, 2). In units of stiffness over mm2."""

    contacts: Contacts
    push: np.ndarray
    node: np.ndarray
    post_push: np.ndarray


@dataclass(eq=False)
class _Work:
    """Arrays that change while a wall comes to rest."""

    wall: Wall
    contacts: Contacts
    between: bool = True
    at: np.ndarray = field(init=False)

    def __post_init__(self) -> None:
        wall, nodes = self.wall, self.wall.nodes
        count = np.diff(wall.off)
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
        self.slot_of = np.zeros(nodes + 1, np.int64)
        sideways = np.where(wall.post_side != 0, self.rho_node, 0.0)
        self.post_weight = (self.rho_node + self.pin, sideways + self.pin)
        self.factors = (np.zeros((3, nodes)), np.zeros((3, nodes)))
        self.firm, self.firmed_at, self.may_firm = 1.0, np.inf, True
        self._take(self.contacts)

    def _take(self, contacts: Contacts) -> None:
        """Set up copies for these contacts, none of them pushed."""
        pairs = len(contacts.low)
        self.contacts = contacts
        self.rho = self.firm * np.sqrt(self.rho_node[contacts.low] * self.rho_node[contacts.high])
        self.low, self.high = contacts.low.copy(), contacts.high.copy()
        self.part, self.lean = np.zeros(pairs), np.ones(pairs)
        self.slots, self.shares = np.zeros(4 * pairs, np.int64), np.zeros(4 * pairs)
        ends = np.stack([contacts.low, contacts.high], axis=1).ravel()
        self.copy, self.push = self.at[ends], np.zeros((2 * pairs, 2))

    def renew(self) -> None:
        """What depends on the present shape: true bending, where rods come closest, and the factors."""
        wall, c = self.wall, self.contacts
        self.true_bend()
        # Held where it is now, not at zero: at rest the hold then bears nothing.
        self.load += self.hold[:, None] * self.at
        if self.between:
            kernels.closest(
                wall.off, wall.rod, self.at, wall.h, c.low, c.high, c.touch, self.low, self.high, self.part, self.lean
            )  # fmt: skip
        weight, beside = np.empty(wall.nodes), np.empty(wall.nodes)
        kernels.gather(self.low, self.high, self.part, self.rho, self.slot_of, self.slots, self.shares, weight, beside)
        weight += self.hold
        for extra, d in zip(self.post_weight, self.factors, strict=True):
            kernels.factor(wall.off, 0, len(wall.off) - 1, wall.bend, wall.pull, wall.h, weight + extra, beside, *d)

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

    def true_bend(self) -> None:
        wall = self.wall
        kernels.true_bend(
            wall.off, 0, len(wall.off) - 1, self.at, wall.bend, wall.pull, wall.h, self.base_load, self.load
        )

    def widen(self, anyhow: bool = False) -> bool:
        """Take in pairs that have come near since the last look, True if there are any; none can have while no node
        moved far, unless it is asked `anyhow`."""
        if not anyhow and np.abs(self.at - self.looked_at).max() <= SLACK * self.wall.radius.min():
            return False
        self.looked_at = self.at.copy()
        return self.widen_by(contacts_of(self.wall, self.at))

    def widen_by(self, found: Contacts) -> bool:
        """Take in the pairs of `found` that are new, True if there are any; what is known of the others is kept."""
        old = self.contacts
        key = pair_keys(self.wall, old)
        new = ~np.isin(pair_keys(self.wall, found), key)
        if not new.any():
            return False
        copy, push = self.copy.reshape(-1, 2, 2), self.push.reshape(-1, 2, 2)
        parts = zip(
            (old.low, old.high, old.touch, old.ordered),
            (found.low, found.high, found.touch, found.ordered),
            strict=True,
        )
        both = [np.concatenate([a, b[new]]) for a, b in parts]
        order = np.lexsort((both[1], both[0]))
        self._take(Contacts(*(part[order] for part in both)))
        kept = order < len(key)
        self.copy.reshape(-1, 2, 2)[kept] = copy[order[kept]]
        self.push.reshape(-1, 2, 2)[kept] = push[order[kept]]
        return True

    def rod_arguments(self) -> tuple[Any, ...]:
        wall, w = self.wall, self
        return (
            w.at, w.load, w.rho_node, wall.floor, wall.post_side, wall.post_clear, w.post_copy, w.post_push, w.rho,
            w.slot_of, w.slots, w.shares, w.copy, w.push, *w.factors, OVER_RELAX, w.new,
        )  # fmt: skip

    def contact_arguments(self) -> tuple[Any, ...]:
        return self.low, self.high, self.part, self.contacts.touch, self.contacts.ordered, self.lean


def relax(
    wall: Wall,
    most_sweeps: int = 600,
    overlap: float = 1e-3,
    balance: float = 0.02,
    cores: int | None = None,
    progress: Callable[[float], None] | None = None,
    known: Known | None = None,
    between: bool = True,
    friction: float = 0.0,
) -> Rest:
    """Bring a wall to rest.

    Stops when no pair overlaps by more than `overlap` of its touching distance and no node is pushed by more than
    `balance` of what bends a rod by its thickness in half a space; or after `most_sweeps`, or when LOST. `known` forces
    of an earlier answer make it quick. `progress` is told the share done after every block; what it raises (a
    KeyboardInterrupt, say) stops the work. The answer does not depend on `cores`. With `between` False
    rods meet on stations only, which lets rows sink: it shows what looking between is for. What presses holds by
    `friction`, a share of what it presses with, what would slide across it.
    Raises ValueError when a starting place is not a number.
    """
    if not np.isfinite(wall.at).all() or not np.isfinite(wall.h).all():
        raise ValueError("a rod has no place to start from")
    work = _Work(wall, contacts_of(wall) if known is None else known.contacts, between)
    if known is not None:
        work.begin_with(known)
        work.widen_by(contacts_of(wall))
    cores = min(cores or os.cpu_count() or 1, 2)
    shared = cores > 1 and wall.nodes >= SHARED_FROM
    pool = ThreadPoolExecutor(cores) if shared else None
    done, lost, count, worst, unbalanced = False, False, 0, np.inf, np.inf
    try:
        while count < most_sweeps and not done and not lost:
            if count and count % LOOK == 0:
                work.widen()
            work.renew()
            _block(work, BLOCK, pool, cores)
            count += BLOCK
            worst = overlap_of(wall, work.contacts, work.at)
            unbalanced = _unbalanced(work, friction)
            done = worst <= overlap and unbalanced <= balance and count >= 2 * BLOCK
            if done and work.widen(anyhow=True):  # what has come near since the last look may lie in others
                done = overlap_of(wall, work.contacts, work.at) <= overlap
            if not done and balance > 0 and count % (2 * BLOCK) == 0:
                work.balance(worst, overlap, unbalanced / balance)
            lost = any(count >= after and worst > deep for after, deep in LOST)
            if progress is not None:
                progress(1.0 if done or lost else count / most_sweeps)
    finally:
        if pool is not None:
            pool.shutdown()
    contacts = work.contacts
    push = work.rho[:, None] * work.push[0::2]
    post = work.rho_node[:, None] * work.post_push
    deep = max(0.0, float(overlaps(wall, contacts, work.at).max(initial=0.0)))
    return Rest(wall, contacts, work.at, push, post, deep, unbalanced, count, done, lost)


def _block(work: _Work, count: int, pool: ThreadPoolExecutor | None, cores: int) -> None:
    wall = work.wall
    rods, pairs = len(wall.off) - 1, len(work.contacts.low)
    if pool is None:
        every = (*work.rod_arguments(), *work.contact_arguments(), LEAST_LIFT)
        kernels.sweeps(count, wall.off, *every)
        return
    # Each half of the rods, then each half of the contacts: nothing is written by two cores.
    rod_cut = np.searchsorted(wall.off, np.linspace(0, wall.nodes, cores + 1)).tolist()
    rod_cut[-1] = rods
    pair_cut = np.linspace(0, pairs, cores + 1).astype(int).tolist()
    a = work.rod_arguments()
    c = (*work.contact_arguments(), work.at, work.copy, work.push, OVER_RELAX, LEAST_LIFT)

    def bend(k: int) -> None:
        kernels.rod_step(wall.off, rod_cut[k], rod_cut[k + 1], *a)

    def part(k: int) -> None:
        kernels.contact_step(pair_cut[k], pair_cut[k + 1], *c)

    for _ in range(count):
        list(pool.map(bend, range(cores)))
        list(pool.map(part, range(cores)))


def _unbalanced(work: _Work, friction: float) -> float:
    """Largest force not in balance, as a share of what bends a rod by its thickness in half a space."""
    wall = work.wall
    work.true_bend()
    left = kernels.unbalanced(
        wall.off, work.at, wall.bend, wall.pull, wall.h, work.load, work.pin, work.rho_node, wall.post_side,
        work.post_push, work.rho, work.slot_of, work.slots, work.shares, work.push, friction,
    )  # fmt: skip
    left[wall.pinned] = 0.0  # a pin bears whatever it must
    return float((left / work.unit).max())


def with_set(wall: Wall, at: np.ndarray, share: float) -> Wall:
    """The same rods, of which `share` of the bend they have at `at` (nodes, 2) has become their own shape; they start
    there. Bent so, a rod of `share` 1 is not strained."""
    kept, none = np.zeros_like(at), np.zeros_like(wall.pull)
    # What `true_bend` leaves of it is the small-slope force less the true one.
    kernels.true_bend(wall.off, 0, len(wall.off) - 1, at, wall.bend, none, wall.h, np.zeros_like(at), kept)
    bent = -kept
    inner = np.ones(wall.nodes, bool)
    inner[wall.off[:-1]] = inner[wall.off[1:] - 1] = False
    i = np.flatnonzero(inner)
    turn = (at[i + 1] - 2 * at[i] + at[i - 1]) * (np.repeat(wall.bend, np.diff(wall.off)) / wall.h**3)[i, None]
    for to, weight in ((i - 1, 1.0), (i, -2.0), (i + 1, 1.0)):
        bent[to] += weight * turn
    return replace(wall, at=at, order_at=wall.order, load=wall.load + share * bent)


# Checkers ------------------------------------------------------------------------------------------------------


def overlap_of(wall: Wall, contacts: Contacts, at: np.ndarray) -> float:
    """Worst overlap of any two rods, as a share of their touching distance (0 when none overlap)."""
    return float(max(0.0, (overlaps(wall, contacts, at) / contacts.touch).max(initial=0.0)))


def overlaps(wall: Wall, contacts: Contacts, at: np.ndarray) -> np.ndarray:
    """Depth, mm, by which the rods of every contact lie in each other, negative for a gap (contacts,)."""
    low, high = contacts.low.copy(), contacts.high.copy()
    part, lean = np.zeros(len(low)), np.ones(len(low))
    kernels.closest(
        wall.off,
        wall.rod,
        at,
        wall.h,
        contacts.low,
        contacts.high,
        contacts.touch,
        low,
        high,
        part,
        lean,
    )
    return kernels.overlap(at, low, high, part, contacts.touch, contacts.ordered, lean)


def worst_overlap(rest: Rest) -> float:
    """Worst overlap, mm, of any two rods anywhere, found anew among all pairs that lie near in the end.

    Which of two is the upper stays as it was while they came to rest.
    """
    found, known = contacts_of(rest.wall, rest.at), rest.contacts
    new = ~np.isin(pair_keys(rest.wall, found), pair_keys(rest.wall, known))
    both = [known, Contacts(found.low[new], found.high[new], found.touch[new], found.ordered[new])]
    return max(0.0, *(float(overlaps(rest.wall, each, rest.at).max(initial=0.0)) for each in both))


def bending_strain(rest: Rest) -> np.ndarray:
    """Nominal bending strain r/R of every node (nodes,)."""
    return kernels.curvature(rest.wall.off, rest.at, rest.wall.h) * rest.wall.r


def rod_lengths(rest: Rest) -> np.ndarray:
    """Length, mm, of every rod's axis (rods,), on the unrolled wall."""
    return np.add.reduceat(np.r_[edge_lengths(rest.wall, rest.at), 0.0], rest.wall.off[:-1])


def edge_lengths(wall: Wall, at: np.ndarray) -> np.ndarray:
    """Length, mm, from every node to the next (nodes,); 0 at the end of a rod."""
    step = np.r_[np.diff(at, axis=0), np.zeros((1, 2))]
    out = np.sqrt(wall.h**2 + (step**2).sum(axis=1))
    out[wall.off[1:] - 1] = 0.0
    return out
