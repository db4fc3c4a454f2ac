"""The course of the work: what is done to a basket one part after another, from cutting to drying.

The one list behind all that follows this order: `order.moments` makes moments of it, `teach.steps` the steps of the
handout, `tell.steps` those of the pattern sheet, and the lesson plays the moments under the numbers of those steps. A
part that is done beside the basket (cutting, soaking, finding space 1, drying) has no moments.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ..lay.attachments import lay_handles
from ..lay.courses import goes_on
from ..lay.feet import lay_foot
from ..lay.lids import lid_laid
from ..lay.values import BandLaid, Laid

BESIDE = ("gather", "soak", "space 1", "finish")
"""Parts that are done beside the basket: they have no moments."""


@dataclass(frozen=True)
class Job:
    """One part of the work: `key` one of BESIDE, of `order.kinds.PARTS`, or "foot"; the `band` (index) that it weaves
    or is pushed in for; the `row` of the design's handles; `of` "lid" for what is done to the lid.

    Of a band: whether its weavers are set in as it `begins` and are left as it `ends`, or go on from the band before
    and into the next.
    """

    key: str
    band: int | None = None
    row: int | None = None
    of: str = ""
    begins: bool = True
    ends: bool = True


def course(laid: Laid) -> tuple[Job, ...]:
    """Every part of the work on a basket, its foot, handles and lid, in order."""
    return (Job("gather"), Job("soak"), *making(laid), *fitting(laid), Job("finish"))


def making(laid: Laid) -> Iterator[Job]:
    """From the first sticks to the trimmed border of a basket, or of a lid by itself."""
    design = laid.design
    if design.base.is_board:
        yield Job("board")
    else:
        yield from (Job("cross"), Job("space 1"))
    for band in laid.base:
        yield from _band(laid, band)
    if design.spokes.inserted:  # a mat's border needs its side spokes too
        yield Job("insert")
    if laid.side and not design.base.is_board:
        yield Job("turn")
    for band in laid.side:
        yield from _band(laid, band)
    yield from (Job("border"), Job("trim"))


def making_of_foot(foot: Laid) -> Iterator[Job]:
    """A foot below a woven base, laid by itself: ends pushed in, rows, border, trimmed."""
    yield Job("insert")
    for band in foot.side:
        yield from _band(foot, band)
    yield from (Job("border"), Job("trim"))


def fitting(laid: Laid) -> Iterator[Job]:
    """What is fitted to the trimmed basket: a foot below it, its handles, its lid."""
    if lay_foot(laid) is not None:
        yield Job("foot")
    for each in lay_handles(laid):
        yield Job("handle", row=each.index)
    lid = lid_laid(laid)
    if lid is not None:
        for job in making(lid):
            yield Job(job.key, job.band, job.row, "lid", job.begins, job.ends)
        yield Job("fit")


def _band(laid: Laid, band: BandLaid) -> Iterator[Job]:
    """What is pushed in before a band, and the band."""
    at, design = laid.bands.index(band), laid.design
    if band.band.add:
        yield Job("add", band.index)
    if design.bye_spokes is not None and design.bye_spokes.first == band.index:
        yield Job("bye", band.index)
    begins = at == 0 or not goes_on(laid.bands[at - 1], band)
    ends = at + 1 == len(laid.bands) or not goes_on(band, laid.bands[at + 1])
    yield Job(band.band.where, band.index, begins=begins, ends=ends)
