"""The figures of a basket: what a maker can measure of it, what slype reckons for each, and of which quantity of the
gauge it speaks. All follows from the plan."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...errors import DesignError, nearest
from ...lay.gauge import TUCK_MM
from ...lay.laying import ungauged
from ...plans.times import seconds_of
from .gauge import PRIORS, learn

if TYPE_CHECKING:
    from ...plans.planning import Plan


@dataclass(frozen=True)
class Measurable:
    """One figure of a basket that a maker can measure: its `key` to name it by, the `quantity` of the gauge, and what
    slype `reckoned`, in `unit` ("mm" or "s")."""

    key: str
    quantity: str
    reckoned: float
    unit: str = "mm"
    weave: str = ""
    reed: str = ""
    parts: tuple[tuple[str, str, float], ...] = ()

    @property
    def teaches(self) -> bool:
        """True where the gauge learns of it; what does not is kept all the same."""
        return self.quantity in PRIORS


def can_measure(plan: Plan) -> tuple[Measurable, ...]:
    """What can be measured of this basket, in the order in which it grows; bands count from 1 as on the sheet."""
    plan = _reckoned(plan)
    design, laid = plan.design, plan.laid
    out = [_whole_height(plan), Measurable("width of the mouth", "mouth", laid.mouth_mm)]
    for found in laid.bands:
        band = found.band
        weave, reed = band.weave.name, band.reed.key
        number = found.index + 1
        high = len(found.s) * found.pitch_mm
        if high > 0:
            out.append(Measurable(f"height of band {number}", "row pitch", high, "mm", weave, reed))
        seconds = seconds_of(plan.time, "band", found.index)
        out.append(Measurable(f"time of band {number}", "stroke time", seconds, "s", weave, reed))
    for (reed, colour), mm in _woven(plan).items():
        out.append(Measurable(f"used of {reed}, {colour}", "take-up", mm, "mm", "", reed))
    spokes = design.spokes.reed.key
    if laid.border.length_mm > 0:
        out.append(Measurable("length of one border end", "border", laid.border.length_mm, "mm", "", spokes))
        held = sum(part[1] for part in laid.border.parts if part[0] == "fingers")
        if held:
            out.append(Measurable("length the fingers held", "fingers", held, "mm", "", spokes))
    for reed in _reeds(plan):
        out.append(Measurable(f"thickness of {reed.key}", "thickness", reed.diameter_mm, "mm", "", reed.key))
    out.append(Measurable("length of a tail", "tails", TUCK_MM))
    return tuple(out)


def reckoned_in_all(plan: Plan) -> dict[str, float]:
    """By key of a figure of reed used in weavers: mm of that reed in all, with spokes, handles and lid, where that is
    more."""
    plan = _reckoned(plan)
    whole = {(reed, colour): mm for reed, colour, mm in reckoned_use(plan)}
    return {
        f"used of {reed}, {colour}": whole[reed, colour]
        for (reed, colour), mm in _woven(plan).items()
        if whole.get((reed, colour), mm) > 1.001 * mm
    }


def which(name: str, known: Iterable[str]) -> str:
    """A remedy for a `name` that is no figure of this basket: the one that has its words, or is spelt most like it, and
    then all, bands told together."""
    known = list(known)
    asked = set(re.findall(r"[\w.]+", name.lower()))
    having = [key for key in known if asked and asked <= set(re.findall(r"[\w.]+", key.lower()))]
    near = having[0] if having else nearest(name, known)
    told: dict[str, list[str]] = {}
    for key in known:
        told.setdefault(re.sub(r"(?<= of band) \d+$", "", key), []).append(key)
    every = "; ".join(f"{keys[0]} to {keys[-1].split()[-1]}" if keys[1:] else keys[0] for keys in told.values())
    return (f'Did you mean "{near}"? ' if near else "") + f"Its figures are: {every}."


def _whole_height(plan: Plan) -> Measurable:
    """From the table to the top of the border. The rows of the side are learned from it, each band by its share of the
    height; base, foot and border stand as they stand."""
    laid, high = plan.laid, plan.laid.finished_height_mm
    up = sum(len(band.s) * band.pitch_mm for band in laid.side)
    rise = float(laid.design.form.height(laid.top_s)) / up if up else 0.0  # a leaning wall gains less in height
    shares: dict[tuple[str, str], float] = {}
    for band in laid.side:
        key = band.band.weave.name, band.band.reed.key
        shares[key] = shares.get(key, 0.0) + len(band.s) * band.pitch_mm * rise / high
    parts = tuple((*key, share) for key, share in shares.items() if share > 0)
    return Measurable("whole height", "row pitch" if parts else "height", high, parts=parts)


SWATCH_ROWS, SWATCH_ENDS = 20, 16
"""Rows and spokes of a swatch: enough for a ruler's error to be small, and woven in an evening (common practice, no
source)."""


def of_swatch(plan: Plan, weave: str, reed: str) -> tuple[Measurable, ...]:
    """What can be measured of a swatch: so many rows of a weave in a reed, as this basket's side has them, on so many
    spokes that stand as far apart as there. Raises DesignError where its side has no such band."""
    plan = _reckoned(plan)
    band = next((b for b in plan.laid.side if (b.band.weave.name, b.band.reed.key) == (weave, reed) and b.rows), None)
    if band is None:
        raise DesignError("the side of this basket has no such band.", f"{weave}, {reed}")
    share = SWATCH_ROWS / band.rows * SWATCH_ENDS / plan.design.ends_at(band.index)
    strands = [each.length_mm for each in plan.strands if each.band == band.index]
    tails = 2 * TUCK_MM * len(strands)
    return (
        Measurable("height", "row pitch", SWATCH_ROWS * band.pitch_mm, "mm", weave, reed),
        Measurable("reed used", "take-up", (sum(strands) - tails) * share + tails, "mm", "", reed),
        Measurable("time", "stroke time", seconds_of(plan.time, "band", band.index) * share, "s", weave, reed),
    )


def _reckoned(plan: Plan) -> Plan:
    """The plan as slype reckons it without its maker's gauge: what is learned is a ratio to that, or it would be
    learned twice."""
    if plan.design.gauge is None:
        return plan
    from ...plans import planning

    return planning.plan(ungauged(plan.design))


def surprising(plan: Plan, measured: Mapping[str, float]) -> list[Measurable]:
    """Measured figures that hardly any maker's hand would give: three spreads and more from what slype reckons."""
    out = []
    for each in can_measure(plan):
        if each.key in measured:
            weave, reed, _ = each.parts[0] if each.parts else (each.weave, each.reed, 1.0)
            usual = learn(each.quantity if each.teaches else "row pitch", []).estimate(weave, reed, measured=True)
            if abs(math.log(measured[each.key] / each.reckoned)) > 3 * usual.spread:
                out.append(each)
    return out


def _woven(plan: Plan) -> dict[tuple[str, str], float]:
    """mm of weavers that slype reckons for each reed and colour, tails included."""
    out: dict[tuple[str, str], float] = {}
    for strand in plan.strands:
        key = strand.reed.key, strand.colour
        out[key] = out.get(key, 0.0) + strand.length_mm
    return out


def _reeds(plan: Plan) -> list:
    return list({amount.reed.key: amount.reed for amount in plan.amounts if amount.reed.key}.values())


def reckoned_use(plan: Plan) -> list[tuple[str, str, float]]:
    """(reed, colour, mm) of all that slype reckons a basket uses, its lid included, by the maker's own gauge."""
    out: dict[tuple[str, str], float] = {}
    for each in (plan, plan.lid):
        for amount in each.amounts if each is not None else ():
            key = amount.reed.key or amount.reed.name, amount.colour
            out[key] = out.get(key, 0.0) + amount.length_mm
    return [(*key, mm) for key, mm in out.items()]
