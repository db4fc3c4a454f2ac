"""The basket in the making: every reed with the times of its points, cut off at a moment of the work.

A reed at one moment is cut where the work has come to; what is not yet turned up lies flat beyond the edge of the base,
what waits hangs from where its last stroke left it. What was laid in the moments shown is told from what lay before.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property, partial

import numpy as np

from ..lay.boards import BoardLaid, lay_board
from ..lay.gauge import TUCK_MM
from ..lay.values import HALF_SPOKE_MM, BandLaid, Laid
from ..order.kinds import ACTS, Moments
from ..order.loose_ends import hanging, tail_lines
from ..order.moments import laid_first, moments
from ..order.times import standing, when
from ..order.viewpoints import Places, places
from ..space.assembly import attachments
from ..space.footholds import with_room
from ..space.tails import Left, left_hanging, tails_of, woven_lines
from ..space.tubes import on_surface, tube, tubes
from ..surface.curve import TAIL_AT_END, TAIL_AT_START, Curve, Tube, along
from ..surface.woven import stacked_curves
from .reeds.fanned import ended_in_turn
from .reeds.joined import folded as folded_in_half
from .reeds.joined import ring_of, with_join
from .reeds.led_over import goes_under, led_over, lifted_over
from .reeds.left_over import below_board, over, without_tips
from .reeds.shaped import levelled, round_base, rounded, thinned, untied, upto_half_way
from .reeds.stretch import FRESH, MOVES, OLD, WAITS, Stretch

STUB_MM = 46.0
"""How much of a spoke is drawn beyond a base that still lies flat (a picture's convention)."""
BENDS_MM, SHARP = 12.0, 0.6
"""In so much a spoke bends from the rows into the way of its group where it turns so far (a picture's convention)."""


STEEPER = math.radians(33.0)
"""How much less aslant what hangs from a base is drawn where all that hangs there is shown (a picture's convention)."""


@dataclass(frozen=True, eq=False)
class Making:
    """One basket with its whole order of work; `curves` those of relaxed reeds, or None for stacked ones."""

    laid: Laid
    curves: list[Curve] | None = None

    @cached_property
    def order(self) -> Moments:
        return moments(self.laid)

    @cached_property
    def places(self) -> Places:
        return places(self.laid, self.order)

    @cached_property
    def _own(self) -> list[Curve]:
        """The basket's own reeds, without those of a foot or a lid."""
        return stacked_curves(self.laid) if self.curves is None else [curve for curve in self.curves if not curve.of]

    @cached_property
    def basket(self) -> list[Tube]:
        """The basket's own reeds in space with the times of their points, all of them."""
        return tubes(self.laid, with_room(self.laid, self._own), partial(when, self.order))

    def finished(self, view: str) -> list[Tube]:
        """What `assembly.whole` has for a view of the finished basket."""
        of_lid = [curve for curve in self.curves or () if curve.of == "lid"]
        return self.basket + attachments(self.laid, self.basket, of_lid, view)

    @cached_property
    def tubes(self) -> list[Tube]:
        """Every reed with the times of its points, what hangs from it, and the ends that stand until they are led on
        (`when` then says only when they appear)."""
        laid, order, basket = self.laid, self.order, self.basket
        loose = [each for each in basket if each.role in ("weaver", "border")]
        hung = {
            each.name: tuple(hangs)
            for each, hangs in zip(loose, hanging(laid, order, loose, [_when(each) for each in loose]), strict=True)
        }
        basket = [replace(thinned(each), hangs=hung.get(each.name, ())) for each in basket]
        return basket + attachments(laid, basket, None, "outside", order)

    @cached_property
    def upright(self) -> list[tuple[Tube, Tube, float, float]]:
        """(tube, the same untied, appears, vanishes) of every end above the last row."""
        out, form = [], self.laid.design.form
        arches = self.laid.top_s + self.laid.border_height_mm + self.laid.design.border_reed_mm
        for each in standing(self.laid, self.order):
            one = tube(self.laid, each.curve)
            s = np.linspace(each.curve.s[0], each.curve.s[-1], len(one.points))
            if each.held:  # behind an arch, which leans as the wall does: it stands up only above that
                s = np.maximum(s, arches)
            out.append((one, untied(one, np.asarray(form.radius(s))), each.appears, each.vanishes))
        return out

    @cached_property
    def lines(self) -> dict[str, np.ndarray]:
        return {name: np.array(line) for name, line in tail_lines(self.laid, self.order).items()}

    @cached_property
    def turned(self) -> np.ndarray:
        """For every end that stands last the moment that turns it up, or pushes it up; -1 where none does."""
        begun = np.array(self.order.begun["side"])
        upright = np.isin(self.order.act[begun], [ACTS.index(act) for act in ("turn", "hole", "add")])
        return np.where(upright, begun, -1)

    def at(
        self, first: int, beyond: int, join: int | None = None, fold: bool = False, opened: int | None = None,
        steep: bool = False,
    ) -> list[Stretch]:
        """Every stretch of reed as it lies when `beyond` moments are done, those from `first` on picked out; with
        `opened` as the spokes stand in groups, or singly, for the band of that index.

        With `join` the weaver of that number ends in the last of them, and a new length lies beside it. With `fold` the
        first two weavers are one reed, folded round what stands between them. With `steep` what hangs from a base
        leaves it less aslant, within its own space.
        """
        out: list[Stretch] = []
        begun = self._part_began(first)
        in_play = self._in_play(first, beyond)
        joined = self._weavers(beyond - 1, join) if join is not None else set()
        folded = self._weavers(beyond - 1, 0) | self._weavers(beyond - 1, 1) if fold else set()
        unwoven, rest = self._unwoven(beyond), self._set_in(beyond)
        for each in self.tubes:
            if each.role in ("spoke", "stick") and self._alone(beyond):
                each = self._side_by_side(each)
            elif each.role in ("spoke", "stick"):
                each = self._straight(each) if unwoven else self._bundled(each, beyond, opened)
            found = self._stretches(each, first, beyond, begun, each.name in in_play, steep)
            if join is not None:  # all but the two lengths of the join stands back
                keep = MOVES if each.name in joined else ""
                found = [one if one.state == keep else one._replace(state=OLD) for one in found]
            if each.name in joined and found:
                flat = self.order.parts[self.order.part[beyond - 1]].key == "base"
                ring = ring_of(self.laid, each.band, int(self.order.row[beyond - 1]))
                found = with_join(found, TUCK_MM / 2, int(self.order.under[beyond - 1]), flat, ring)
            if found and each.name in rest:
                found[0] = found[0]._replace(cut=(False, found[0].cut[1]))
                found.append(Stretch(rest[each.name], found[0].state, (False, True)))
            out += found
        tails = self._tails(first, beyond, begun, joined)
        own = self.tubes[: len(self.basket)]  # an end of a foot has the number of one above it
        out = without_tips(self.laid, out + over(self.laid, self.order, own, first, beyond))
        out += [each._replace(state=OLD) for each in tails] if join is not None else tails
        if fold:
            out = folded_in_half(out, folded)
        if beyond and self.order.parts[self.order.part[beyond - 1]].key == "base":
            out = led_over(out)
        elif beyond and goes_under(self.laid, self.order, beyond - 1):
            out = lifted_over(out)
        moved = {self.order.end[m] for m in range(first, beyond) if ACTS[self.order.act[m]] == "turn"}
        if self._board is not None:
            out += below_board(self._board.foot.length_mm, self.laid.design.foot_ends, self.order, self.tubes, beyond)
        untied = beyond >= self._edge_begins
        for each, freed, appears, vanishes in self.upright:
            if appears <= beyond <= vanishes and (not self.laid.is_mat or untied):
                out.append(Stretch(freed if untied else each, MOVES if each.end in moved else OLD, (False, True)))
        return out

    @cached_property
    def _board(self) -> BoardLaid | None:
        return lay_board(self.laid)

    def _unwoven(self, beyond: int) -> bool:
        """True as long as nothing but the cross lies there: its sticks then lie straight."""
        return beyond <= self._unwoven_until

    @cached_property
    def _unwoven_until(self) -> int:
        cross = next((part for part in self.order.parts if part.key == "cross" and not part.of), None)
        if cross is None or not self.laid.design.form.is_round:
            return -1
        strokes = np.flatnonzero(self.order.act == ACTS.index("stroke"))
        return int(strokes[0]) if len(strokes) else cross.beyond

    def _alone(self, beyond: int) -> bool:
        """True as long as only the long sticks of an oval base lie there: they are fanned out when the others lie."""
        cross = next((part for part in self.order.parts if part.key == "cross" and not part.of), None)
        return cross is not None and not self.laid.design.form.is_round and \
            beyond <= cross.first + laid_first(self.laid)  # fmt: skip

    def _side_by_side(self, stick: Tube) -> Tube:
        """A long stick of an oval base before its ends are fanned out."""
        points = stick.points
        long = float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())
        way = np.array([1.0 if points[-1, 0] > points[0, 0] else -1.0, 0.0, 0.0])
        straight = points[0] + way * np.linspace(0.0, long, 40)[:, None]
        return along(stick, straight, np.full(40, float(_when(stick)[0])))

    def _straight(self, stick: Tube) -> Tube:
        """A stick before anything is woven round it: straight on from the middle."""
        points = stick.points[np.hypot(*stick.points[:, :2].T) <= self.laid.design.form.base_mm / 2]
        if len(points) < 4:
            return stick
        away = np.hypot(*points[:, :2].T)
        if stick.end == self.half:  # it begins past the middle
            points, away = points[away.argmin() :], away[away.argmin() :]
        held = max(3, int(np.searchsorted(away, max(self.laid.cross_mm, 2 * stick.thick_mm))))
        way = self._ways.get(stick.end)
        if way is None:
            way = points[min(held, len(points) - 1) // 2] - points[0]
            way = way * [1, 1, 0] / max(float(np.hypot(*way[:2])), 1e-6)
        long = float(away[-1]) + STUB_MM
        # The short inner end of a half stick lies along the arm across from its own, until rows hide it.
        short = HALF_SPOKE_MM if stick.end == self.half else 0.0
        straight = points[0] + way * np.linspace(-short, long, 40)[:, None]
        return along(stick, straight, np.full(40, float(_when(stick)[0])))

    @cached_property
    def half(self) -> int:
        """The end of a half stick, from 0; -1 where there is none."""
        if self.laid.design.base.odd != "half":
            return -1
        return next((ends[0] for ends in self.order.stick_ends if len(ends) == 1), -1)

    def _bundled(self, stick: Tube, beyond: int, opened: int | None = None) -> Tube:
        """A stick while its base is woven over groups: beyond the work it runs on beside the others of its group."""
        done = min(beyond, len(self.order)) - 1
        band = next((each for each in self.laid.base if each.index == self.order.band[done]), None)
        if opened is not None and any(each.index == opened and each.band.group == 1 for each in self.laid.base):
            return stick
        if band is None or band.band.group == 1 or self.order.of[done] >= 0 or len(self.laid.design.tiers("base")) > 1:
            return stick
        points, away = stick.points, np.hypot(*stick.points[:, :2].T)
        row = min(max(int(self.order.row[done]), 0), band.rows - 1)
        work = float(band.s[row]) + 2 * band.band.reed.diameter_mm
        inner = points[away <= work]
        if (known := (band.index, stick.end)) not in self._group_ways:
            self._group_ways[known] = self._group_way(band, stick.end)
        way = self._group_ways[known]
        if way is None or len(inner) < 2:
            return stick
        long = max(self.laid.design.form.base_mm / 2 + STUB_MM - work, 20.0)
        run = (inner[-1] - inner[max(0, len(inner) - 4)]) * [1, 1, 0]
        run = run / max(float(np.hypot(*run[:2])), 1e-9)
        turn = min(float(np.hypot(*(way - run)[:2])) / SHARP, 1.0)  # less of one, the less it turns
        share = np.minimum(np.linspace(0.0, long, 60)[1:, None] / max(BENDS_MM * turn**2, 1e-9), 1.0)
        ways = (1 - share) * run + share * way
        ways /= np.maximum(np.linalg.norm(ways, axis=1, keepdims=True), 1e-9)
        more = inner[-1] + np.cumsum(ways, axis=0) * long / 59
        return along(stick, np.vstack([inner, more]), np.full(len(inner) + 59, float(_when(stick)[0])))

    @cached_property
    def _group_ways(self) -> dict[tuple[int, int], np.ndarray | None]:
        """`_group_way` by band and end, of all that have been asked for."""
        return {}

    def _group_way(self, band: BandLaid, end: int) -> np.ndarray | None:
        """Unit direction (3,) in which the group of an end lies."""
        edges = np.cumsum([0, *band.sizes])
        group = int(np.searchsorted(edges, end, side="right")) - 1
        if not 0 <= group < len(edges) - 1:
            return None
        u = np.arange(edges[group], edges[group + 1]) + 0.5
        edge = float(self.laid.design.form.radius(0.0))
        x, y, _ = on_surface(self.laid, "base", u, np.full(len(u), edge), np.zeros(len(u)))
        way = np.array([x.mean(), y.mean(), 0.0])
        return way / max(float(np.hypot(*way[:2])), 1e-9)

    @cached_property
    def _edge_begins(self) -> int:
        """When the border is begun: what stands above a mat lay in its sticks until then."""
        return next(part.first for part in self.order.parts if part.key == "border" and not part.of)

    @cached_property
    def _ways(self) -> dict[int, np.ndarray]:
        """Unit direction (3,) of each end of a whole stick, from one end of it to the other."""
        starts: dict[int, np.ndarray] = {}
        for each in self.tubes:
            if each.role in ("spoke", "stick") and each.end >= 0 and "half" not in each.name:
                a, b = each.points[0], each.points[min(6, len(each.points) - 1)]
                starts.setdefault(each.end, (b - a) * [1, 1, 0])
        out: dict[int, np.ndarray] = {}
        for ends in self.order.stick_ends:
            if len(ends) == 2 and all(end in starts for end in ends):
                way = starts[ends[0]] - starts[ends[1]]
                way = way / max(float(np.hypot(*way[:2])), 1e-6)
                out |= {ends[0]: way, ends[1]: -way}
        return out

    def _weavers(self, moment: int, weaver: int) -> set[str]:
        """Names of the reeds of a weaver of the band and setting-in in work."""
        band, block = int(self.order.band[moment]), max(int(self.order.block[moment]), 0)
        return {
            each.name for each in self.tubes
            if each.role == "weaver" and (each.band, each.block, each.weaver) == (band, block, weaver)
        }  # fmt: skip

    def _part_began(self, first: int) -> float:
        """When the part in work began; of strokes, the band."""
        part = self.order.parts[self.order.part[min(first, len(self.order) - 1)]]
        return float(part.first)

    def _in_play(self, first: int, beyond: int) -> set[str]:
        """Reeds that hang from the work at the end of these moments."""
        return {each.name for each in self.tubes if each.hangs and self._hangs(each, float(beyond))}

    def _hangs(self, each: Tube, time: float) -> str:
        line = ""
        for at, name in each.hangs:
            if at <= time:
                line = name
        return line

    def _stretches(self, each: Tube, first: int, beyond: int, began: float, in_play: bool,
                   steep: bool) -> list[Stretch]:
        if each.when is None:
            return []
        done = int(each.when.searchsorted(beyond + 1e-9, side="right"))
        if done < 2:
            return []
        before = int(each.when.searchsorted(first + 1e-9, side="right"))
        fresh = int(each.when.searchsorted(began + 1e-9, side="right"))
        now = WAITS if in_play else FRESH
        whole = done == len(each.when)
        if first >= len(self.order) - 1 or ACTS[self.order.act[first]] == "trim":
            fresh = 0  # the finished basket is not drawn pale
        edges = [(0, fresh, OLD), (fresh, before, now), (before, done, MOVES)]
        out = []
        for a, b, state in edges:
            a = max(a - 1, 0) if a else 0
            if b - a < 2:
                continue
            piece = along(each, each.points[a:b], each.when[a:b])
            out.append(Stretch(piece, state, (a == 0, whole and b == done)))
        if in_play and out:
            out[-1] = self._with_tail(out[-1], self._hangs(each, float(beyond)), steep)
        elif each.role == "stick" and self.laid.design.spokes.inserted and out and not self._runs_on(each, beyond):
            out[-1] = out[-1]._replace(tube=levelled(out[-1].tube))
        elif each.role in ("spoke", "stick") and out and (
            not whole or self._runs_on(each, beyond) or (self.laid.is_mat and beyond < self._edge_begins)
        ):
            out[-1] = self._lying(out[-1], self.laid.design.form.is_round and not self._unwoven(beyond))
        return out

    @cached_property
    def left(self) -> list[Left]:
        """The tails that lie on the far side until the basket is trimmed."""
        woven = [curve for curve in self._own if curve.role == "weaver"]
        lines = woven_lines(self.laid, woven, self.order)
        return left_hanging(self.laid, tails_of(self.laid, woven, lines, self.order), self.order)

    def _tails(self, first: int, beyond: int, begun: float, joined: set[str]) -> list[Stretch]:
        """What is left hanging of tails when `beyond` moments are done; of the weavers of a join none."""
        out, ended = [], ended_in_turn(self.order, first, beyond)
        for tail, appears, until in self.left:
            if appears <= beyond < until and tail.of_reed not in joined:
                state = MOVES if appears > first else FRESH if appears > begun else OLD
                if tail.bit == TAIL_AT_END and (tail.band, tail.block, tail.weaver) in ended:
                    state = MOVES  # of several that are ended, also the one whose last stroke came before the others'
                out.append(Stretch(tail, state, (False, True)))
        return out

    def _set_in(self, beyond: int) -> dict[str, Tube]:
        """What rests, by weaver, of tails that were left where weavers are set in, once all are trimmed: they are cut
        half-way to the next end, and a weaver is drawn but a little past the one behind which it begins."""
        bands = {band.index: band for band in self.laid.bands if band.band.group == 1}
        return {
            tail.of_reed: upto_half_way(tail, float(bands[tail.band].spacing.mean()))
            for tail, _, until in self.left if beyond >= until and tail.bit == TAIL_AT_START and tail.band in bands
        }  # fmt: skip

    def _runs_on(self, each: Tube, beyond: int) -> bool:
        """True for a stick of inserted spokes, which is cut once those are pushed in."""
        part = self.order.parts[self.order.part[min(max(beyond - 1, 0), len(self.order) - 1)]]
        return each.role == "stick" and self.laid.design.spokes.inserted and part.key in ("cross", "base")

    def _lying(self, last: Stretch, opened: bool) -> Stretch:
        """The stretch with a stub beyond the edge of the base: straight on; or once the round base's ends are `opened`,
        turning outward, like the rays of a star."""
        points = last.tube.points
        way = points[-1] - points[max(0, len(points) - 4)]
        way = way * [1, 1, 0] / max(float(np.hypot(*way[:2])), 1e-6)
        ways = np.tile(way, (11, 1))
        if opened:
            out = points[-1] * [1, 1, 0] / max(float(np.hypot(*points[-1, :2])), 1e-6)
            share = np.minimum(np.arange(1, 12) / 4.0, 1.0)[:, None]
            ways = ways * (1 - share) + out * share
        more = points[-1] + np.cumsum(ways, axis=0) * STUB_MM / 11
        return _longer(last, np.vstack([points, more]))

    def _with_tail(self, last: Stretch, name: str, steep: bool) -> Stretch:
        points, line = last.tube.points, self.lines[name]
        run = points[-1] - points[max(0, len(points) - 3)]
        run = run * [1, 1, 0] / max(float(np.hypot(*run[:2])), 1e-9)
        if name.startswith("base"):
            run = round_base(points[-1], run, self.laid.design.form.base_straight_mm / 2)
        out = np.array([run[1], -run[0], 0.0])
        if out[:2] @ points[-1, :2] < 0:
            out = -out
        if steep and name.startswith("base"):
            run, out = (math.cos(STEEPER) * run + math.sin(STEEPER) * out,
                        math.cos(STEEPER) * out - math.sin(STEEPER) * run)  # fmt: skip
        down = np.array([0.0, 0.0, -1.0])
        tail = points[-1] + line[1:] @ np.stack([run, out, down])
        bent = rounded(np.vstack([points[-3:], tail]))
        return _longer(last, np.vstack([points[:-3], bent]))


def _longer(last: Stretch, points: np.ndarray) -> Stretch:
    """A stretch that goes on, and ends where these points do."""
    return last._replace(tube=along(last.tube, points, last.tube.when), cut=(last.cut[0], True))


def _when(tube: Tube) -> np.ndarray:
    assert tube.when is not None, "made with its times"
    return tube.when
