"""What a count of ends allows, each rule once: for the file as it is read, and for a design tried on another count.

Every function raises DesignError that names the key; places count from 0.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..errors import DesignError, Place
from ..form.tiers import MOST_BESIDE, MOST_ENDS
from ..form.wall import Form

if TYPE_CHECKING:
    from .values import Band, Design, Spokes


def check_counts(design: Design) -> None:
    """All rules below, of a whole design: what its file would refuse. Raises DesignError."""
    spokes, base = design.spokes, design.base
    check_sticks(design.form, spokes, design.bands, base.is_board)
    check_through(base.through, spokes)
    if base.sets:
        check_sets(base.sets, spokes, Place.of("base", "sets"))
    for i, band in enumerate(design.bands):
        place, ends = Place.of("band", i), design.ends_at(i)
        if band.add:
            check_added(band.add, ends - band.add, band.on_curves, place)
        check_group(band.group, ends, place)
        spaces = band.spaces(ends)
        check_start(band.start, spaces, place)
        if band.blocks is not None:
            check_shift(band.blocks.shift, spaces, place / "blocks")


def check_sticks(form: Form, spokes: Spokes, bands: tuple[Band, ...], board: bool) -> None:
    """Refuse bases that no sticks can make."""
    if form.is_round:
        if spokes.long_sticks is not None:
            raise DesignError(
                "a round base has no long and short sticks.", Place.of("spokes", "long_sticks"), "Leave it out."
            )
        for i, band in enumerate(bands):
            if band.on_curves:
                raise DesignError(
                    "a round basket is all curve.", Place.of("band", i, "add_at"), "Leave it out: they stand all round."
                )
        return
    for i, band in enumerate(bands):
        if band.on_curves and form.outline == "rectangle":
            raise DesignError("is for ovals.", Place.of("band", i, "add_at"), "Leave it out: they stand all round.")
    if board:
        return
    ends, key = spokes.ends_at_base, "base_ends" if spokes.inserted else "ends"
    if ends % 2:
        raise DesignError(
            f"{ends} ends cannot stand round a base of long and short sticks, which have two ends each.",
            Place.of("spokes", key),
            f"Use {ends - 1} or {ends + 1}.",
        )
    if spokes.long_sticks is not None and spokes.long_sticks >= ends // 2:
        raise DesignError(
            f"{spokes.long_sticks} long sticks leave none to lie across: there are {ends // 2} in all.",
            Place.of("spokes", "long_sticks"),
            "Use fewer, or more ends.",
        )
    if form.outline == "rectangle" and any(band.where == "base" for band in bands):
        raise DesignError(
            "the base of a rectangle is not woven round its middle.",
            Place.of("form", "outline"),
            'Take its base as a board (no bands with where = "base"), or make it oval.',
        )


def check_through(through: int | None, spokes: Spokes) -> None:
    """So many sticks pass through the others of a pierced cross: some must be left to pass through."""
    sticks = spokes.ends_at_base // 2
    if through is not None and through >= max(2, sticks):
        raise DesignError(
            f"{through} sticks cannot pass through others, there are {sticks} in all.",
            Place.of("base", "through"),
            f"From 1 to {max(1, sticks - 1)}.",
        )


def sets_that_fit(ends: int) -> list[int]:
    """How many sticks a set may have so that so many ends make equal sets each way, two or more."""
    sticks = ends // 2
    return [] if ends % 2 else [n for n in range(1, sticks // 4 + 1) if sticks % (2 * n) == 0]


def check_sets(sets: int, spokes: Spokes, where: str) -> int:
    """The sticks in a set of an interlaced cross, as many sets one way as the other; 0 takes the most that fit."""
    ends = spokes.ends_at_base
    fit = sets_that_fit(ends)
    if not fit:
        raise DesignError(
            f"{ends} ends do not make equal sets each way.",
            Place.of("base", "kind"),
            "Use a count of ends that 8 divides, with sets = 2.",
        )
    if sets and sets not in fit:
        raise DesignError(
            f"sets of {sets} do not share {ends // 2} sticks out evenly each way, two sets or more.",
            where,
            f"Use sets of {', '.join(map(str, fit))}.",
        )
    return sets or max(fit)


def most_added(stand: int) -> int:
    """How many may be pushed in beside so many ends."""
    return min(MOST_BESIDE * stand, MOST_ENDS - stand)


def check_added(add: int, stand: int, on_curves: bool, place: Place) -> None:
    """So many ends pushed in beside those that stand."""
    if add > MOST_BESIDE * stand:
        raise DesignError(
            f"{add} ends are more than one on each side of the {stand} that stand there.",
            place / "add",
            f"At most {MOST_BESIDE * stand}.",
        )
    if stand + add > MOST_ENDS:
        raise DesignError(f"{stand + add} ends would stand in all.", place / "add", f"At most {MOST_ENDS}.")
    if on_curves and (add % 2 or stand % 2):
        raise DesignError(
            f"{add} more beside {stand} cannot stand alike on both round ends.", place / "add_at", "Use even counts."
        )


def check_group(group: int, ends: int, place: Place) -> None:
    """So many ends worked as one."""
    if group > ends:
        raise DesignError(f"{ends} ends do not make one group of {group}.", place / "groups", f"From 1 to {ends}.")


def check_start(start: int, spaces: int, place: Place) -> None:
    """The space, from 0, where a band begins."""
    if start >= spaces:
        raise DesignError(
            f"it begins in space {start + 1}, and there are only {spaces}.", place / "start", f"From 1 to {spaces}."
        )


def check_shift(shift: int, spaces: int, place: Place) -> None:
    """Spaces by which blocks move on."""
    if shift > spaces:
        raise DesignError(
            f"moves on {shift} spaces, and there are only {spaces}.", place / "shift", f"From 0 to {spaces}."
        )
