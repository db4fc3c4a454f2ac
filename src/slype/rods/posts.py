"""What stands in a wall of rods: ends that bow as beams under what pushes them. Numbers only.

Theory
1. Beam. Each end is Euler and Bernoulli's beam along s, held (its bow is 0) where it begins and at the top of the rods;
   below it goes on in a slope that is given, at the top it is free to turn. It is cut into PARTS; its bow and slope at
   every cut are its unknowns, a cubic between them (Hermite's: exact at the cuts, whatever pushes it).
2. Push. A rod's node keeps its distance from where the ends stand that it passes; of a group, from their mean, and each
   of them bears its share: rods that lie round a group bind its ends together (BINDS).
3. Waves. Seen round the wall, a bow is waves: in the longest all ends bow alike, in the shortest each goes against its
   neighbours. Rods that go round bend in the short ones alone, by 48 x stiffness / spacing^3 in the shortest and next
   to nothing in the long ones (`_across`: the moments of a beam over many supports). What resists those:
   - The ring. A row keeps its length, for friction holds it at every end: to widen it, it must be drawn straighter
     (RING). From one end to the next it widens by the mean of both bows over its radius: not where these are opposite.
   - Hands, which keep a base level and a wall in its shape: ALIKE.
   Without these a hundredth of what rods press with, left out of balance, bows a slender end by its whole length.
4. Method. Every block of sweeps beams are bent towards where they and what pushes them balance, wave by wave, as if
   rods gave way as they do across supports, or at least as ALIKE (where ends stand in groups, group by group); and rods
   are moved with what they pass, their forces as they are (Robin's way, against going to and fro). Rods that hold each
   other between ends are stiffer, and one push has not quite come to rest by the next block: from how the next step
   differs from the last it is seen how much of a step is right (Aitken's relaxation; Kuttler and Wall 2008,
   "Fixed-point fluid-structure interaction solvers with dynamic relaxation"). What the give is taken for says how many
   steps it takes, not where they lead.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .compiled import compiled

PARTS = 16  # of a beam
RING = 700.0
"""Pull that lengthens a woven reed, in units of its bending stiffness / (from the middle in front to the middle
behind)^2, over the share by which it does: of a beam that crosses from in front of one end, where it lies along the
wall, to behind the next, to the first order of the pull."""
ALIKE = 24.0
"""What ends bow alike is held as stiffly as rows would hold one end alone, by reeds clamped at the next two: 192
x stiffness / (2 spacings)^3. Hands keep a base level and a wall in shape (common practice, no source)."""
BINDS = 48.0
"""A rod that lies across a group holds its ends beside each other as across so many supports: in units of stiffness /
thickness of an end^3."""
LEAST_GAIN, MOST_GAIN = 0.1, 2.0  # how much of a step is taken
FURTHEST = 2.0  # mm that an end moves in one step
QUIET = 0.06  # mm: where all would move by less, they stay, and what lies on them may come to rest
LOOK = 2  # steps between looks at how rods and beams give
FREE = np.r_[2 : 2 * PARTS, 2 * PARTS + 1]
"""Of bows and slopes at the cuts those that are free: held at both ends, and at the foot in the slope that is given."""
Array = np.ndarray
_compiled = compiled(nogil=True)
_inlined = compiled(nogil=True, inline="always")


@dataclass(frozen=True, eq=False)
class Posts:
    """What stands: so many `ends`, evenly round, held from `low` mm on. `first`, `many` (nodes,): the first of the ends
    that a node passes, and how many stand as one; `place` (nodes,) where round it lies, in ends. `stiff` (ends, PARTS)
    bending stiffness from below to the top; `slope` (ends,) mm for each mm at the foot. `ring` (nodes,) force for each
    mm by which the rod's ring resists widening there; `bind` (nodes,) such a force between the ends of a group, `band`
    (nodes,) the number of what lies round groups of one size. `top` mm, None where it is as high as the rods reach."""

    ends: int
    low: float
    first: np.ndarray
    many: np.ndarray
    place: np.ndarray
    stiff: np.ndarray
    slope: np.ndarray
    ring: np.ndarray
    bind: np.ndarray
    band: np.ndarray
    top: float | None = None

    def like(self, other: Posts | None) -> bool:
        """True when the others stand in the same way."""
        if other is None or (self.ends, self.low, self.top) != (other.ends, other.low, other.top):
            return False
        names = ("first", "many", "place", "stiff", "slope", "ring", "bind", "band")
        return all(np.array_equal(getattr(self, name), getattr(other, name)) for name in names)


@dataclass(frozen=True, eq=False)
class Bow:
    """How ends stand, bowed: `at` (ends, PARTS + 1, 2) mm through the wall and slope, at even places from `low` to
    `top` mm; `left` mm that they would still move if they were bent once more."""

    low: float
    top: float
    at: np.ndarray
    left: float = 0.0

    def mm(self, s: np.ndarray) -> np.ndarray:
        """Of every end at places `s` (k,): (ends, k) mm; none below and above."""
        if self.top <= self.low:  # no rod has pushed them yet
            return np.zeros((len(self.at), len(s)))
        step = (self.top - self.low) / PARTS
        far = np.clip((s - self.low) / step, 0.0, PARTS)
        part = np.minimum(far.astype(np.int64), PARTS - 1)
        x = far - part
        y = 1 - x
        shape = np.stack([y * y * (1 + 2 * x), step * x * y * y, x * x * (1 + 2 * y), -step * x * x * y])
        corners = np.concatenate([self.at[:, part], self.at[:, part + 1]], axis=2)
        out: np.ndarray = np.einsum("ekc,ck->ek", corners, shape)
        return out

    def most(self) -> np.ndarray:
        """The widest bow of every end, mm (ends,)."""
        out: np.ndarray = np.abs(self.mm(np.linspace(self.low, self.top, 8 * PARTS + 1))).max(axis=1)
        return out


class Bowing:
    """The posts of a wall while its rods come to rest. `give` (nodes,): bending stiffness / spacing^3 of the rods,
    shared among the nodes of a spacing."""

    def __init__(self, posts: Posts, give: np.ndarray, known: Bow | None = None) -> None:
        self.posts, self.give = posts, give
        self.at = np.zeros((posts.ends, PARTS + 1, 2))
        self.at[:, 0, 1] = posts.slope
        self.low = self.top = posts.low
        if known is not None and len(known.at) == posts.ends:
            self.at[:, :, 0], self.at[:, 1:, 1] = known.at[:, :, 0], known.at[:, 1:, 1]
            self.top = self.low + known.top - known.low
        self.gain, self.last = 1.0, np.zeros(0)
        self.left = 0.0
        self.next: np.ndarray | None = None
        waves = np.arange(posts.ends // 2 + 1) / posts.ends
        across = _across(waves)
        self.across, self.alike = np.maximum(across, ALIKE), np.maximum(ALIKE - across, 0.0)
        self.widens = (1 + np.cos(2 * np.pi * waves)) / 2
        self.groups = _groups(posts)
        self.looks = 0
        self.rods = self.rings = self.yields = np.zeros(0)

    def bow(self) -> Bow:
        """As it is now."""
        return Bow(self.low, self.top, self.at, self.left)

    def stand(self, s: np.ndarray) -> np.ndarray:
        """How far from the middle of the wall the posts stand that nodes (nodes,) at `s` pass."""
        out = np.zeros(len(s))
        if self.top > self.low:
            _stand(self.posts.first, self.posts.many, s, self.low, self.top, self.at, out)
        return out

    def bend(self, s: np.ndarray, push: np.ndarray) -> np.ndarray:
        """Bend the posts towards where they balance what nodes (nodes,) at `s` `push` with, in units of bending
        stiffness over mm2. How far these go along, between two posts evenly (nodes,)."""
        self.top = max(float(s.max()), self.low + 1.0) if self.posts.top is None else self.posts.top
        move, self.next = self._step(s, push) if self.next is None else self.next, None
        now = move[:, :, 0]
        if len(self.last):
            change = now - self.last
            gain = -self.gain * float((self.last * change).sum()) / max(float((change * change).sum()), 1e-12)
            self.gain = min(max(gain, LEAST_GAIN), MOST_GAIN)
        self.last = now
        most = float(np.abs(now).max())
        if self.gain * most < QUIET:
            return np.zeros(len(s))
        move = min(self.gain, FURTHEST / most) * move
        self.at = self.at + move
        out = np.empty(len(s))
        _between(self.posts.place, s, self.low, self.top, move, out)
        return out

    def would_move(self, s: np.ndarray, push: np.ndarray) -> float:
        """How far, mm, the posts would still move if they were bent once more, which they are next."""
        self.next = self._step(s, push)
        self.left = self.gain * float(np.abs(self.next[:, :, 0]).max())
        return self.left

    def _step(self, s: np.ndarray, push: np.ndarray) -> np.ndarray:
        """The step (ends, PARTS + 1, 2) to where forces balance, as far as rods give."""
        posts = self.posts
        if self.looks % LOOK == 0:
            self._look(s)
        self.looks += 1
        load = np.zeros((posts.ends, PARTS + 1, 2))
        _load(posts.first, posts.many, s, push, posts.bind, self.low, self.top, self.at, load)
        left = np.fft.rfft((load - self._resist(_beam((self.top - self.low) / PARTS))).reshape(posts.ends, -1), axis=0)
        bent = np.fft.rfft(self.at.reshape(posts.ends, -1), axis=0)
        left -= self.alike[:, None] * (bent @ self.rods) + self.widens[:, None] * (bent @ self.rings)
        out = np.zeros((posts.ends, 2 * (PARTS + 1)))
        if self.groups:
            out[:, FREE] = self._by_groups(np.fft.irfft(left, posts.ends, axis=0)[:, FREE])
        else:
            both = self.yields @ np.stack([left.real, left.imag], axis=2)[:, FREE]
            out[:, FREE] = np.fft.irfft(both[..., 0] + 1j * both[..., 1], posts.ends, axis=0)
        return out.reshape(posts.ends, PARTS + 1, 2)

    def _by_groups(self, left: np.ndarray) -> np.ndarray:
        """The step of forces `left` (ends, k): what groups do as one, what smaller groups within them do against each
        other, and so on to what single ends do, is bound by what lies round all that is larger."""
        out, done = np.zeros_like(left), np.zeros_like(left)
        for (_, group), yields in zip(self.groups, self.yields[:-1], strict=True):
            mean = np.zeros((int(group.max()) + 1, left.shape[1]))
            np.add.at(mean, group, left)
            even = (mean / np.bincount(group)[:, None])[group]
            out += (even - done) @ yields
            done = even
        out += (left - done) @ self.yields[-1]
        return out

    def _look(self, s: np.ndarray) -> None:
        """How rods and beams give at these heights, wave by wave."""
        posts = self.posts
        held = np.zeros((3 + int(posts.band.max()), PARTS, 4, 4))
        _held(posts.many, s, self.give, posts.ring, posts.bind, posts.band, self.low, self.top, held)
        beams = _joined(posts.stiff.mean(axis=0)[:, None, None] * _beam((self.top - self.low) / PARTS))
        self.rods, self.rings = _joined(held[0] / posts.ends), _joined(held[1] / posts.ends)
        inner = np.ix_(FREE, FREE)
        if not self.groups:
            stiff = beams[inner] + self.across[:, None, None] * self.rods[inner]
            stiff += self.widens[:, None, None] * self.rings[inner]
        else:
            bound = [_joined(held[2 + band] / posts.ends)[inner] for band, _ in self.groups]
            alone = (beams + ALIKE * self.rods + self.rings)[inner]
            stiff = alone + np.cumsum([np.zeros_like(alone), *bound], axis=0)
        self.yields = np.linalg.inv(stiff)

    def _resist(self, alone: np.ndarray) -> np.ndarray:
        """Forces (ends, PARTS + 1, 2) by which beams resist, as they are bent."""
        corners = np.concatenate([self.at[:, :-1], self.at[:, 1:]], axis=2)
        force = self.posts.stiff[:, :, None] * (corners @ alone)
        out = np.zeros_like(self.at)
        out[:, :-1] += force[:, :, :2]
        out[:, 1:] += force[:, :, 2:]
        return out


def _beam(step: float) -> np.ndarray:
    """Stiffness (4, 4) of a part of a beam of stiffness 1, by bow and slope at both its cuts."""
    h, q = step, step * step
    out: np.ndarray = np.array([[12, 6 * h, -12, 6 * h], [6 * h, 4 * q, -6 * h, 2 * q], [-12, -6 * h, 12, -6 * h],
                     [6 * h, 2 * q, -6 * h, 4 * q]]) / step**3  # fmt: skip
    return out


def _joined(parts: np.ndarray) -> np.ndarray:
    """The stiffness of a whole beam from that of its parts (PARTS, 4, 4)."""
    out = np.zeros((2 * (PARTS + 1), 2 * (PARTS + 1)))
    for k, each in enumerate(parts):
        out[2 * k : 2 * k + 4, 2 * k : 2 * k + 4] += each
    return out


def _across(waves: np.ndarray) -> np.ndarray:
    """How a rod over even supports resists these moving to and fro, so many `waves` (k,) for each of them, in units of
    its stiffness / spacing^3: from the moments of a beam over many supports (Clapeyron's equation of three of them)."""
    turn = np.cos(2 * np.pi * waves)
    out: np.ndarray = 6 * (2 - 2 * turn) ** 2 / (4 + 2 * turn)
    return out


def _groups(posts: Posts) -> list[tuple[int, np.ndarray]]:
    """(number of what lies round them, group of every end (ends,)) of all that binds ends, largest groups first."""
    out = []
    for band in np.unique(posts.band[posts.bind > 0]).tolist():
        begins = np.unique(posts.first[posts.band == band])
        out.append((band, (np.searchsorted(begins, np.arange(posts.ends), side="right") - 1) % len(begins)))
    return sorted(out, key=lambda each: int(each[1].max()))


@_inlined
def _cubics(s: float, low: float, step: float, parts: int) -> tuple[int, float, float, float, float]:
    """(part of a beam, what bow and slope at both its cuts make there) at place `s`; at the nearer end beyond it."""
    far = min(max((s - low) / step, 0.0), float(parts))
    k = min(int(far), parts - 1)
    x = far - k
    y = 1 - x
    return k, y * y * (1 + 2 * x), step * x * y * y, x * x * (1 + 2 * y), -step * x * x * y


@_compiled
def _stand(first: Array, many: Array, s: Array, low: float, top: float, at: Array, out: Array) -> None:
    ends, parts = at.shape[0], at.shape[1] - 1
    step = (top - low) / parts
    for i in range(len(s)):
        k, a, b, c, d = _cubics(s[i], low, step, parts)
        total = 0.0
        for one in range(many[i]):
            e = (first[i] + one) % ends
            total += a * at[e, k, 0] + b * at[e, k, 1] + c * at[e, k + 1, 0] + d * at[e, k + 1, 1]
        out[i] = total / max(many[i], 1)


@_compiled
def _between(place: Array, s: Array, low: float, top: float, at: Array, out: Array) -> None:
    ends, parts = at.shape[0], at.shape[1] - 1
    step = (top - low) / parts
    for i in range(len(s)):
        k, a, b, c, d = _cubics(s[i], low, step, parts)
        whole = int(np.floor(place[i] - 0.5))
        share = place[i] - 0.5 - whole
        e, f = whole % ends, (whole + 1) % ends
        one = a * at[e, k, 0] + b * at[e, k, 1] + c * at[e, k + 1, 0] + d * at[e, k + 1, 1]
        two = a * at[f, k, 0] + b * at[f, k, 1] + c * at[f, k + 1, 0] + d * at[f, k + 1, 1]
        out[i] = one * (1 - share) + two * share


@_compiled
def _load(
    first: Array, many: Array, s: Array, push: Array, bind: Array, low: float, top: float, at: Array, load: Array
) -> None:
    """Add to `load` (ends, parts + 1, 2) what `push` (nodes,) bends by and what binds groups."""
    ends, parts = load.shape[0], load.shape[1] - 1
    step = (top - low) / parts
    for i in range(len(s)):
        if push[i] == 0 and bind[i] == 0:
            continue
        k, a, b, c, d = _cubics(s[i], low, step, parts)
        mean = 0.0
        if bind[i] != 0:
            for one in range(many[i]):
                e = (first[i] + one) % ends
                mean += (a * at[e, k, 0] + b * at[e, k, 1] + c * at[e, k + 1, 0] + d * at[e, k + 1, 1]) / many[i]
        for one in range(many[i]):
            e = (first[i] + one) % ends
            share = push[i] / many[i]
            if bind[i] != 0:
                own = a * at[e, k, 0] + b * at[e, k, 1] + c * at[e, k + 1, 0] + d * at[e, k + 1, 1]
                share += bind[i] * (mean - own)
            load[e, k, 0] += share * a
            load[e, k, 1] += share * b
            load[e, k + 1, 0] += share * c
            load[e, k + 1, 1] += share * d


@_compiled
def _held(
    many: Array, s: Array, give: Array, ring: Array, bind: Array, band: Array, low: float, top: float, held: Array
) -> None:
    """Add to `held` (2 + bands, parts, 4, 4) by what rods give, what their rings hold and what binds each band's
    groups."""
    parts = held.shape[1]
    step = (top - low) / parts
    h = np.empty(4)
    for i in range(len(s)):
        k, h[0], h[1], h[2], h[3] = _cubics(s[i], low, step, parts)
        for m in range(4):
            for n in range(4):
                both = h[m] * h[n]
                held[0, k, m, n] += give[i] * both
                held[1, k, m, n] += ring[i] * both
                if bind[i] != 0:
                    held[2 + band[i], k, m, n] += bind[i] * many[i] * both
