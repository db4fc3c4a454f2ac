"""What a remedy changes in the design: counts, reeds and borders that a rule of advice may offer.

A rule works its remedy out with these, names it in its words, and turns the same value into changes of the form that
`apply.apply` takes, so that words and change cannot differ. A count is offered only if every band holds on it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import islice

from ..borders.table import BORDERS
from ..errors import Unweavable
from ..form.tiers import FEWEST_ENDS, MOST_ENDS
from ..lay.pitch import steady_rows
from ..lay.values import BandLaid, Laid
from ..reeds import REEDS, Reed
from ..weave.table import WEAVES, Weave
from ..weave.trace import locked, trace
from .book import Change, Offer, band_name

FURTHEST = 16
"""How far from the count asked for another is looked for."""
MOST_OFFERS = 8
"""How many ways to mend one thing are thought of."""


def set_change(*path: str | int, to: object) -> Change:
    """The change that sets one key."""
    return {"set": list(path), "to": to}


def offer(*path: str | int, to: object, **words: object) -> Offer:
    """The offer to set one key; `words` fill the remedy's braces."""
    return Offer((set_change(*path, to=to),), words)


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


@lru_cache(maxsize=4096)
def locks_on(weave: Weave, spaces: int) -> bool:
    """True when the weave passes every one of so many ends on both sides."""
    try:
        return locked(trace(weave, spaces, 2 * weave.reach))
    except Unweavable:
        return False


def ends_key(laid: Laid, where: str) -> str:
    """The key of [spokes] that says how many ends stand at "base" or "side"."""
    return "base_ends" if where == "base" and laid.design.spokes.inserted else "ends"


def counts_that_hold(
    laid: Laid, where: str, near: int, good: Callable[[int], bool] = lambda count: True
) -> Iterator[int]:
    """Counts of ends to begin with, those nearest to `near` first, and `good`, on which every band there locks and the
    border closes.

    `where` is "base" or "side"; spokes that run through stand in both.
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
        if all(locks_on(band.band.weave, band.band.spaces(max(1, count + band.ends - now))) for band in here):
            yield count


def count_that_holds(laid: Laid, where: str, near: int, good: Callable[[int], bool] = lambda count: True) -> int | None:
    """The first of `counts_that_hold`, or None when there is none near."""
    return next(counts_that_hold(laid, where, near, good), None)


def count_offers(
    laid: Laid, where: str, near: int, good: Callable[[int], bool] = lambda count: True, /, **words: str
) -> Callable[[], Iterator[Offer]]:
    """Offers of other counts of ends, nearest to `near` first; every word is a template with {count}."""
    key = ends_key(laid, where)
    return lambda: (
        offer("spokes", key, to=count, **{name: text.format(count=count) for name, text in words.items()})
        for count in islice(counts_that_hold(laid, where, near, good), MOST_OFFERS)
    )


# Reeds and borders ---------------------------------------------------------------------------------------------


def _series(reed: Reed, units: str) -> list[Reed]:
    series = reed.series if reed.series != "own" else "us" if units == "in" else "uk"
    return [each for each in REEDS.values() if each.series == series]


def finer_reeds(reed: Reed, most_mm: float, units: str) -> list[Reed]:
    """Reeds of the same series that are finer than this one and at most so thick, the thickest first."""
    fit = [each for each in _series(reed, units) if each.diameter_mm <= min(most_mm, reed.diameter_mm - 1e-9)]
    return sorted(fit, key=lambda each: -each.diameter_mm)


def finer_offers(band: BandLaid, most_mm: float, units: str) -> tuple[Offer, ...]:
    """Offers of finer reeds for a band, the thickest first, named as {like}."""
    fit = finer_reeds(band.band.reed, most_mm, units)[:MOST_OFFERS]
    return tuple(offer("band", band.index, "reed", to=reed_value(reed), like=such_as(reed)) for reed in fit)


def reeds_between(a: Reed, b: Reed, most: float, units: str) -> list[Reed]:
    """Reeds whose thickness over that of each neighbour, or theirs over its, is `most` at most; the most even first."""
    thin, thick = sorted((a.diameter_mm, b.diameter_mm))
    fit = [r for r in _series(a, units) if thick / most <= r.diameter_mm <= thin * most]
    return sorted(fit, key=lambda r: abs(r.diameter_mm**2 - thin * thick))


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


def with_rows_left_out(laid: Laid, put_in: Change, reed: Reed, rows: int, /, **words: object) -> list[Offer]:
    """Offers to put a firm band in: as it is, and with as many rows less elsewhere as keep the wall's height."""
    tall = max((band for band in laid.side if band.band.rows), key=lambda band: band.height_mm, default=None)
    out = [Offer((put_in,), words)]
    firm = WEAVES["three-rod wale"]
    if tall is not None and tall.spaces > firm.reach:
        pitch = steady_rows(firm, tall.spaces).pitch * reed.diameter_mm
        fewer = tall.rows - round(rows * pitch / tall.pitch_mm)
        if 0 < fewer < tall.rows:
            told = {**words, "also": f", and {fewer} rows in {band_name(tall)} to keep the height"}
            out.append(Offer((set_change("band", tall.index, "rows", to=fewer), put_in), told))
    return out


def shorter_borders(ends: int) -> list[str]:
    """Names of the borders that close on so many ends: closed ones first, those that need most ends before others."""
    fit = [kind for kind in BORDERS.values() if not kind.foot and kind.border.smallest_ends <= ends]
    fit.sort(key=lambda kind: (kind.family != "open", kind.border.smallest_ends), reverse=True)
    return [kind.name for kind in fit]
