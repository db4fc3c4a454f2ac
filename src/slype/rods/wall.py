"""Elastic rods lying against each other and against posts, brought to rest. Numbers only.

A *wall* is many rods that run along one axis (round the wall) through fixed stations; each node of a rod is free to
move in s (up) and n (through the wall). Lengths mm, forces in units of bending stiffness over mm2.

Theory
1. Energy. Bending stiffness/2 x curvature squared along each rod, plus pull x length, plus load x height; true
   curvature and length, not those of small slopes. Length is free to slide in: a rod between posts then takes the
   shape of the rectangular elastica (closure (c) of a bent rod), and with great pull that of a taut thread (Peirce).
2. Contact. Two rods at one station keep their axes at least `touch` apart; the upper of an ordered pair stays above
   by at least LEAST_LIFT of that, so no two rods can change places. Rods that cross do so between stations too: each
   contact looks half a station either way (`kernels.closest`). Rods that run steeply may be close in two places, before
   their nodes and after them: parted in one they come together in the other, to and fro without end. Such a pair is
   held in both (`Work.renew`). Without looking between, rows sink into each other by as much as the stations are apart:
   pressed pairing falls to 1.84 thicknesses a row at 8 stations a space, 1.94 at
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

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from . import kernels, measure_kernels, working
from .contacts import Contacts, Wall, contacts_of, not_among, pair_keys
from .pair import helper, in_turn
from .posts import Bow
from .working import Known, Work

BLOCK = 25  # sweeps between looks at the measures
TRULY = 5
"""Sweeps between looks at true bending: where reeds run steeply it is far softer than that of small slopes, and what is
left of it must be renewed often to come to anything."""
TURN = 300
"""Sweeps after which, where rods do not rest, it is looked anew every TRULY sweeps, not every BLOCK, where each contact
is closest; after as many more every BLOCK again. What goes to and fro in the one settles in the other."""
HALVED, ALL_BUT, NEARLY = 200, 2.0, 3.0
"""Sweeps from which pairs whose closest place goes to and fro are held in two places at once; and times the force that
may be left over, and the overlap, below which they are so before that: what then still lies in each other goes to and
fro. Held so where rods still lie further in each other, one basket of those tried did not rest any more."""
STILL = 0.1
"""mm that posts would still move where a wall is called at rest, in a step as large as the last ones showed to be right
(`posts`, Aitken): a thirtieth of a usual one's thickness, and less than reeds differ by."""
LOOK = 100  # sweeps between looks for rods that have come near each other
LOST = ((100, 0.9), (200, 0.5))
"""(Sweeps, overlap in touching distances) beyond which rods no longer find apart: of 160 baskets tried none that did
had more than 0.4 left by the first or 0.2 by the second, and those that did not had 0.9 and more to the end."""
SHARED_FROM = 6_000  # nodes; below, handing work to a second core costs more than it saves


@dataclass(frozen=True, eq=False)
class Rest:
    """A wall at rest: `at` (nodes, 2); `overlap_mm`, `unbalanced` worst of each; `sweeps`; `done` False when it stopped
    early, `lost` when that was for rods LOST in each other. Forces in units of stiffness over mm2: `push` (contacts, 2)
    of each lower rod on its upper, turned round; `post_push` (nodes, 2) of floor (s) and posts (n). `bow` of the posts,
    None of hard ones."""

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
    bow: Bow | None = None

    @property
    def post_force(self) -> np.ndarray:
        """What each node is pushed with by the post it passes (nodes,)."""
        return np.abs(self.post_push[:, 1])


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
    done, lost, resting, count, worst, unbalanced = False, False, False, 0, np.inf, np.inf
    with helper(wall.nodes, SHARED_FROM, cores) as pair:
        work = Work(wall, contacts_of(wall) if known is None else known.contacts, between, pair)
        if known is not None:
            work.begin_with(known)
            work.widen_at(wall.at)
        while count < most_sweeps and not done and not lost:
            if count and count % LOOK == 0:
                work.widen()
            if count or known is not None:
                work.bend_posts()
            often = TRULY if count // TURN % 2 else BLOCK
            for _ in range(BLOCK // often):
                work.renew(in_halves=count >= HALVED or resting)
                _block(work, often)
            count += BLOCK
            worst, even = work.overlap(), count % (2 * BLOCK) == 0
            near_done = worst <= overlap and count >= 2 * BLOCK
            lost = any(count >= after and worst > deep for after, deep in LOST)
            if near_done or even or lost or count >= most_sweeps:  # else nobody asks for it
                unbalanced = _unbalanced(work, friction)
            done = near_done and unbalanced <= balance and work.posts_would_move() <= STILL
            resting = count >= 2 * BLOCK and unbalanced <= ALL_BUT * balance and worst <= NEARLY * overlap
            if done and work.widen(anyhow=True):  # what has come near since the last look may lie in others
                done = work.overlap() <= overlap
            if not done and balance > 0 and even:
                work.balance(worst, overlap, unbalanced / balance)
            if progress is not None:
                progress(1.0 if done or lost else count / most_sweeps)
        deep = max(0.0, float(work.overlaps().max(initial=0.0)))
    contacts, bow = work.contacts, None if work.bowing is None else work.bowing.bow()
    push = work.rho[:, None] * work.push[0::2]
    post = work.rho_node[:, None] * work.post_push
    return Rest(wall, contacts, work.at, push, post, deep, unbalanced, count, done, lost, bow)


def _block(work: Work, count: int) -> None:
    wall, pair = work.wall, work.pair
    half = len(work.live.low) // 2
    a, c = work.rod_arguments(), work.contact_arguments()
    work.begin_wanting()
    if pair is None:
        kernels.sweeps(count, TRULY, wall.off, half, a, c, work.want)
    else:
        cut = np.array(work.rod_cut)

        def run(k: int, begun: int, counts: np.ndarray) -> int:
            done: int = kernels.sweeps_in_turn(k, begun, counts, count, TRULY, wall.off, cut, half, a, c, work.want)
            return done

        in_turn(pair, 2 * count, run)
    work.live.hand_back(work)


def _unbalanced(work: Work, friction: float) -> float:
    """Largest force not in balance, as a share of what bends a rod by its thickness in half a space."""
    wall = work.wall
    work.true_bend()
    left = measure_kernels.unbalanced(
        wall.off, work.at, wall.bend, wall.pull, wall.h, work.load, work.pin, work.rho_node, wall.post_side,
        work.post_push, work.live.low, work.live.high, work.live.part, work.live.rho, work.live.push, friction,
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
    return working.overlaps(wall, contacts, at)[0]


def worst_overlap(rest: Rest) -> float:
    """Worst overlap, mm, of any two rods anywhere, found anew among all pairs that lie near in the end.

    Which of two is the upper stays as it was while they came to rest.
    """
    found, known = contacts_of(rest.wall, rest.at), rest.contacts
    new = not_among(pair_keys(rest.wall, found), pair_keys(rest.wall, known))
    both = [known, found.some(new)]
    return max(0.0, *(float(overlaps(rest.wall, each, rest.at).max(initial=0.0)) for each in both))


def bending_strain(rest: Rest) -> np.ndarray:
    """Nominal bending strain r/R of every node (nodes,)."""
    return measure_kernels.curvature(rest.wall.off, rest.at, rest.wall.h) * rest.wall.r


def rod_lengths(rest: Rest) -> np.ndarray:
    """Length, mm, of every rod's axis (rods,), on the unrolled wall."""
    return np.add.reduceat(np.r_[edge_lengths(rest.wall, rest.at), 0.0], rest.wall.off[:-1])


def edge_lengths(wall: Wall, at: np.ndarray) -> np.ndarray:
    """Length, mm, from every node to the next (nodes,); 0 at the end of a rod."""
    step = np.r_[np.diff(at, axis=0), np.zeros((1, 2))]
    out = np.sqrt(wall.h**2 + (step**2).sum(axis=1))
    out[wall.off[1:] - 1] = 0.0
    return out
