"""From where a maker looks at the work in every moment: round the basket, and how high.

A maker turns the basket so that the stroke in hand is in front, and holds it as the work asks: a cross lies on the
table and is looked down on, with space 1 at the far side; a base is held with its underside towards the maker and the
work along the top edge (as `steps` says), a side from a little above, a border at a slant from above, a foot from
below. Angles only: from how far off is for whoever draws.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..lay.attachments import lay_handles
from ..lay.values import Laid
from ..surface.added_ends import among_last_ends
from .kinds import ACTS, APART, OTHERS, Moments

UNDERSIDE = -62
"""Degrees above the table from which a base is seen: its underside, the edge that is worked at the top."""
TURNED = -40
"""The same as spokes are turned up, away from the maker: held so that those that stand are told from those that lie."""
SET_DOWN = 26
"""From where it is seen when all are turned up and it stands on the table."""
UP = {
    "cross": -UNDERSIDE, "base": UNDERSIDE, "insert": UNDERSIDE, "board": 32, "turn": TURNED, "side": 22, "bye": 26,
    "border": 46, "trim": 40, "handle": 16, "fit": 36,
}  # fmt: skip
"""By the part of the work, degrees above the table (how it is held: `steps`; at what slant: common practice, no
source)."""
BOARD_FOOT = -34
"""A foot border below a board is worked with the board turned over."""
FOOT_UP = {"insert": -28, "side": -12, "border": -34, "trim": -34}


@dataclass(frozen=True, eq=False)
class Places:
    """For every moment, in whole degrees: `around` the basket, counterclockwise from above, 0 from the near side (-y of
    `tubes`), and `up` above the table. The eye that looks from there has the stroke in front. `across`: it is made on
    the inside, where the wall would hide it; it is looked at from half a turn on, on the far wall."""

    around: np.ndarray
    up: np.ndarray
    across: np.ndarray

    @property
    def eye(self) -> np.ndarray:
        """Where the eye stands round the basket, whole degrees: as `around`, or across."""
        turned: np.ndarray = np.where(self.across, self.around % 360 - 180, self.around)
        return turned


def places(laid: Laid, order: Moments) -> Places:
    """Where the maker looks from in each moment of the order of work of a basket; of what is woven apart, round that as
    it lies then."""
    around, up = _own(laid, order)
    across = _on_the_inside(laid, order)
    for at, name in enumerate(OTHERS):
        other = order.others.get(name)
        if other is None:
            continue
        mine = order.of == at
        round_, high = _own(other.laid, other.order)
        if name in APART:  # woven by itself it is held as any basket is
            around[mine], up[mine] = round_, high
            across[mine] = _on_the_inside(other.laid, other.order)
            continue
        # Turned over, half a turn about the x axis: left stays left for whoever then looks at the outside.
        around[mine] = np.pi - round_
        part = np.array([each.key for each in other.order.parts])[other.order.part]
        up[mine] = [FOOT_UP.get(key, -tilt) for key, tilt in zip(part.tolist(), high.tolist(), strict=True)]
    turn = np.round(np.degrees(around)).astype(int)
    return Places((turn + 180) % 360 - 180, up.astype(int), across)


def _on_the_inside(laid: Laid, order: Moments) -> np.ndarray:
    """True (moments,) of the moves of a basket's own border that are made inside its wall."""
    rows = np.array([laid.design.border.worked_inside(row) for row in range(int(order.row.max()) + 1)] or [False])
    led = (order.act == ACTS.index("border")) & (order.of < 0) & (not laid.is_mat)
    found: np.ndarray = led & rows[order.row]
    return found


def _own(laid: Laid, order: Moments) -> tuple[np.ndarray, np.ndarray]:
    """(around, rad; up, degrees) of a basket's own moments; those of a foot or a lid are left at 0."""
    u, base = _round(laid, order)
    keys = np.array([part.key for part in order.parts])[order.part]
    up = np.array([UP.get(key, 0) for key in keys.tolist()])
    up[(keys == "add") & base] = UNDERSIDE
    up[(keys == "add") & ~base] = UP["bye"]
    if laid.is_mat:
        up[(order.of < 0) & (keys != "fit") & (keys != "cross")] = UNDERSIDE
    up[order.act == ACTS.index("foot")] = BOARD_FOOT
    around = _facing(laid, u, base)
    around[keys == "cross"] += np.pi  # it is turned over like the page of a book: what is at the top stays there
    return around, up


def _facing(laid: Laid, u: np.ndarray, base: np.ndarray) -> np.ndarray:
    """Angle of the eye, rad, that has places `u` among the ends that stand last in front of it."""
    form, out = laid.design.form, np.zeros((len(u), 2))
    edge = np.full(len(u), float(form.radius(0.0)))
    *_, x, y = form.base_place(laid.design.turn("base", u), edge)
    out[base] = np.stack([x, y], axis=1)[base]
    *_, x, y = form.place(laid.design.turn("side", u), np.full(len(u), max(laid.top_s, 0.0)))
    out[~base] = np.stack([x, y], axis=1)[~base]
    hand = 1.0 if laid.design.hand == "left" else -1.0
    return np.arctan2(hand * out[:, 0], -out[:, 1])


def _round(laid: Laid, order: Moments) -> tuple[np.ndarray, np.ndarray]:
    """(middle of each moment's work as a place among the ends that stand last, whether these are those of the base)."""
    u, known = (order.begin + order.beyond) / 2, np.zeros(len(order), bool)
    base = np.zeros(len(order), bool)
    moved = [ACTS.index(act) for act in ("stroke", "border", "foot")]
    known |= np.isin(order.act, moved)
    mirrored = order.act == ACTS.index("foot")  # it goes the other way round below the board
    u[mirrored] = 1 - u[mirrored]
    singly = np.isin(order.act, [ACTS.index(act) for act in ("hole", "insert", "turn", "add", "bye")])
    u[singly], known = order.end[singly] + 0.5, known | singly
    for (band, block, weaver, act), mine in order.by_weaver.items():
        if act != "stroke":
            strokes = order.by_weaver[band, block, weaver, "stroke"]
            u[mine] = order.begin[strokes[0]] if act == "set in" else order.beyond[strokes[-1]]
            known[mine] = True
    for each in laid.bands:
        mine = (order.band == each.index) & (order.of < 0)
        base[mine] = each.band.where == "base"
        s = np.full(int(mine.sum()), (each.start_s + each.end_s) / 2)
        u[mine] = among_last_ends(laid, each.band.where, each.tier, u[mine], s)
    handles = lay_handles(laid)
    for moment in np.flatnonzero((order.row >= 0) & (order.band < 0) & (order.of < 0)).tolist():
        act = ACTS[order.act[moment]]
        if act in ("push in", "rods", "wrap", "fasten"):
            home = order.arches[int(order.row[moment]), int(order.block[moment])].home
            # An arch is looked at square to its plane; a foot where it goes in.
            middle = home + handles[int(order.row[moment])].spaces / 2
            u[moment], known[moment] = (int(order.end[moment]) if act == "push in" else middle) + 0.5, True
    lying = order.act == ACTS.index("stick")
    u[lying], base[lying], known[lying] = 0.0, True, True  # held so that space 1 will be where the work begins
    first = (order.act == ACTS.index("insert")) | (order.act == ACTS.index("turn")) | (order.act == ACTS.index("hole"))
    u[first] = among_last_ends(laid, "side", 0, u[first], np.zeros(int(first.sum())))
    # What is done all round is seen from where the last move was.
    last = np.maximum.accumulate(np.where(known, np.arange(len(order)), 0))
    return u[last], base[last]
