"""Remedies tried before they are offered: each is made on the design, and what slype then says is held against before.

A remedy with a button must take its remark away, add no stop and no remark as grave as its own, keep every colour, and
either keep what the colours do or say what they do then. Of several the first that changes nothing else is taken, and
else the first that is allowed; offers come with the smallest change first. Where none is allowed the remedy stays in
words, without a figure of its own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import islice

from ..design.values import Design
from ..edit.apply import changed
from ..errors import SlypeError
from ..lay.boards import lay_board
from ..lay.courses import courses_of
from ..lay.feet import lay_foot
from ..lay.joins import JoinPlan, plan_joins
from ..lay.laying import lay
from ..lay.lids import fit_lid
from ..lay.values import BandLaid, Laid
from ..words import listed, of_a_lid, say
from .advise import WEIGHTS, advise, filled
from .book import Finding, Offer, Offers, band_name
from .remedies import in_lid

MOST_TRIED = 8
"""Offers tried for one remark."""


def of_lid(found: Iterable[Finding]) -> list[Finding]:
    """A lid's own findings as those of its basket."""
    return [
        replace(
            each,
            where=f"lid, {of_a_lid(each.where)}",
            message=of_a_lid(each.message),
            why=of_a_lid(each.why),
            remedy=of_a_lid(each.remedy),
            of_lid=True,
            offers=partial(_offers_of_lid, each.offers),
        )
        for each in found
    ]


def _offers_of_lid(offers: Offers) -> Iterator[Offer]:
    return (Offer(in_lid(offer.changes), offer.words) for offer in _offered(offers))


def _offered(offers: Offers) -> Iterable[Offer]:
    return offers() if callable(offers) else offers


@dataclass(frozen=True)
class _Look:
    """What is held against what: remarks by (weight, rule) and the bands of basket and lid."""

    remarks: Counter
    bands: tuple[BandLaid, ...]
    lid: tuple[BandLaid, ...]


def _look(design: Design) -> _Look:
    laid = lay(design)
    lay_board(laid)
    lay_foot(laid)
    found = list(advise(laid, _joins(laid)))
    seat = fit_lid(laid)
    lid = None if seat is None else lay(seat.design)
    if lid is not None:
        found += of_lid(advise(lid, _joins(lid)))
    return _look_of(laid, lid, found)


def _look_of(laid: Laid, lid: Laid | None, found: Iterable[Finding]) -> _Look:
    return _Look(Counter(_kind(each) for each in found), laid.bands, () if lid is None else lid.bands)


def _joins(laid: Laid) -> tuple[JoinPlan, ...]:
    return tuple(plan_joins(laid, courses_of(laid))[0])


def _kind(found: Finding) -> tuple[str, str, bool]:
    return found.rule.weight, found.rule.key, found.where.startswith("lid")


def with_remedies(laid: Laid, lid: Laid | None, found: Sequence[Finding]) -> list[Finding]:
    """The findings of a basket and its `lid`, each with the remedy that was tried and found good, or with words alone.

    A design that was not read from a file has nothing to be changed, and so no changes.
    """
    design = laid.design
    if design.tables is None:
        return list(found)
    before = _look_of(laid, lid, found)
    return [_with_remedy(design, before, each) for each in found]


def _with_remedy(design: Design, before: _Look, found: Finding) -> Finding:
    fallback = None
    for offer in islice(_offered(found.offers), MOST_TRIED):
        if not offer.changes:
            continue
        assert design.tables is not None, "what has no file is not tried"
        try:
            after = _look(replace(changed(dict(design.tables), offer.changes), name=design.name))
        except SlypeError:
            continue
        if not _allowed(before, after, found):
            continue
        told = _effects_told(design, before, after, offer)
        if told is None:
            continue
        if not told and not _new(before, after, ("warn",)):
            return filled(design, found, offer)
        if fallback is None:
            fallback = filled(design, found, offer, told)
    return fallback or found


def _new(before: _Look, after: _Look, weights: Iterable[str]) -> list[tuple[str, str, bool]]:
    return [kind for kind, many in after.remarks.items() if kind[0] in weights and many > before.remarks[kind]]


def _allowed(before: _Look, after: _Look, found: Finding) -> bool:
    """True when the remark is gone and none has come that is as grave."""
    mine = _kind(found)
    grave = WEIGHTS[: WEIGHTS.index(mine[0]) + 1]
    return after.remarks[mine] < before.remarks[mine] and not _new(before, after, grave)


def _effects_told(design: Design, before: _Look, after: _Look, offer: Offer) -> str | None:
    """What the colours do now in other ways than before, in a sentence; "" where nothing; None where one is lost."""
    out = []
    for name, mine, theirs in (
        ("", before.bands, _as_before(after.bands, before.bands, offer, ())),
        ("the lid's ", before.lid, _as_before(after.lid, before.lid, offer, ("lid",))),
    ):
        for old, new in zip(mine, theirs, strict=True):
            if new is None:
                return None
            if set(old.band.colours) != set(new.band.colours):
                return None
            was, now = (each.effect.words(design.hand) for each in (old, new))
            if old.effect.looks_like(new.effect):
                continue
            out.append(f"in {name}{band_name(new)} {now}, where it was {was}")
    return say("The {colours} then change: ", design.wording) + listed(out) + "." if out else ""


def _as_before(now: tuple[BandLaid, ...], before: tuple[BandLaid, ...], offer: Offer, at: tuple) -> list:
    """The bands that were there before, in their order; None where one is gone."""
    put_in = [c["at"] for c in offer.changes if tuple(c.get("insert", ())) == (*at, "band")]
    left = [band for i, band in enumerate(now) if i not in put_in]
    return left if len(left) == len(before) else [None] * len(before)
