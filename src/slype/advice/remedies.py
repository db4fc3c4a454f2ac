"""What a remedy changes in the design: counts, reeds and borders that a rule of advice may offer.

A rule works its remedy out with these, names it in its words, and turns the same value into changes of the form that
`apply.apply` takes, so that words and change cannot differ. A count is offered only if every band holds on it.
"""

from __future__ import annotations

from collections.abc import Callable

from ..borders.table import BORDERS
from ..design.values import FEWEST_ENDS, MOST_ENDS, Design
from ..errors import Unweavable
from ..lay.laying import Laid
from ..reeds import REEDS, Reed
from ..weave.table import WEAVES, Weave
from ..weave.trace import locked, trace

Change = dict[str, object]
FURTHEST = 16
"""How far from the count asked for another is looked for."""


def set_change(*path: str | int, to: object) -> Change:
    """The change that sets one key."""
    return {"set": list(path), "to": to}


def set_to(key: str, *path: str | int) -> Callable[[Design, dict], tuple[Change, ...]]:
    """For a rule: set `path` to what the search found under `key`, or nothing where it found none.

    Steps of the path that are names in braces, like "{index}", are filled from what was found.
    """

    def remedy_changes(design: Design, found: dict) -> tuple[Change, ...]:
        if found.get(key) is None:
            return ()
        steps = [found[step[1:-1]] if isinstance(step, str) and step[:1] == "{" else step for step in path]
        return () if None in steps else (set_change(*steps, to=found[key]),)

    return remedy_changes


def changes_found(design: Design, found: dict) -> tuple[Change, ...]:
    """For a rule whose search found the changes themselves."""
    return tuple(found.get("changes") or ())


def in_lid(changes: tuple[Change, ...]) -> tuple[Change, ...]:
    """The changes of a lid, which is worked out as a design of its own, as changes of the basket's file."""
    out = []
    for change in changes:
        kind = next(key for key in ("set", "insert", "remove") if key in change)
        path = change[kind]
        assert isinstance(path, list), "as `set_change` makes it"
        if path[0] not in ("spokes", "band", "border"):
            return ()  # its form follows from the basket's
        path = ["lid", "border"] if path == ["border", "kind"] else ["lid", *path]
        out.append({**change, kind: path})
    return tuple(out)


# Counts --------------------------------------------------------------------------------------------------------


def locks_on(weave: Weave, spaces: int) -> bool:
    """True when the weave passes every one of so many ends on both sides."""
    try:
        return locked(trace(weave, spaces, 2 * weave.reach))
    except Unweavable:
        return False


def ends_key(laid: Laid, where: str) -> str:
    """The key of [spokes] that says how many ends stand at "base" or "side"."""
    return "base_ends" if where == "base" and laid.design.spokes.inserted else "ends"


def count_that_holds(laid: Laid, where: str, near: int, good: Callable[[int], bool] = lambda count: True) -> int | None:
    """The count of ends to begin with nearest to `near`, and `good`, on which every band there locks and the border
    closes.

    None when there is none near. `where` is "base" or "side"; spokes that run through stand in both.
    """
    design = laid.design
    here = [band for band in laid.bands if not design.spokes.inserted or band.band.where == where]
    now = design.spokes.ends_at_base if ends_key(laid, where) == "base_ends" else design.spokes.ends
    # What is added on the way stands there too.
    least = design.border.smallest_ends - (design.top_ends - now) if ends_key(laid, where) == "ends" else FEWEST_ENDS
    even = not design.form.is_round and not design.base.is_board and (where == "base" or not design.spokes.inserted)
    for count in sorted(range(near - FURTHEST, near + FURTHEST + 1), key=lambda n: (abs(n - near), n)):
        if count == now or not max(least, FEWEST_ENDS) <= count <= MOST_ENDS or not good(count):
            continue
        if even and count % 2:
            continue
        if all(locks_on(band.band.weave, max(1, (count + band.ends - now) // band.band.group)) for band in here):
            return count
    return None


# Reeds and borders ---------------------------------------------------------------------------------------------


def _series(reed: Reed, units: str) -> list[Reed]:
    series = reed.series if reed.series != "own" else "us" if units == "in" else "uk"
    return [each for each in REEDS.values() if each.series == series]


def finer_reed(reed: Reed, most_mm: float, units: str) -> Reed | None:
    """The thickest reed of the same series that is finer than this one and at most so thick."""
    fit = [each for each in _series(reed, units) if each.diameter_mm <= min(most_mm, reed.diameter_mm - 1e-9)]
    return max(fit, key=lambda each: each.diameter_mm, default=None)


def reed_between(a: Reed, b: Reed, most: float, units: str) -> Reed | None:
    """A reed whose thickness over that of each neighbour, or theirs over its, is `most` at most: the most even one."""
    thin, thick = sorted((a.diameter_mm, b.diameter_mm))
    fit = [r for r in _series(a, units) if thick / most <= r.diameter_mm <= thin * most]
    return min(fit, key=lambda r: abs(r.diameter_mm**2 - thin * thick), default=None)


def such_as(reed: Reed | None) -> str:
    """` (round 2)` behind words that ask for another reed, or nothing."""
    return f" ({reed.key})" if reed else ""


def reed_value(reed: Reed) -> object:
    """A reed as a design file says it."""
    return reed.key or {"mm": reed.diameter_mm}


def firm_band(reed: Reed, rows: int, ends: int) -> dict[str, object] | None:
    """A band of three-rod wale, or None on a count on which it would not hold."""
    weave = WEAVES["three-rod wale"]
    if not locks_on(weave, ends):
        return None
    return {"where": "side", "weave": weave.name, "reed": reed_value(reed), "rows": rows}


def shorter_border(ends: int) -> str | None:
    """Name of the border that needs most ends of those that close on so many; a closed one if there is any."""
    fit = [kind for kind in BORDERS.values() if not kind.foot and kind.border.smallest_ends <= ends]
    best = max(fit, key=lambda kind: (kind.family != "open", kind.border.smallest_ends), default=None)
    return None if best is None else best.name
