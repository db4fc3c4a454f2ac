"""What `slype border` was asked and answers: the list, one border, or what can be finished.."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable
from dataclasses import dataclass

from ..borders.rows import Border, border_need
from ..borders.table import BORDERS, FAMILIES, Finish, Kind, border_told, finishes, is_name, kind_named
from ..errors import DesignError, did_you_mean
from ..quantity import parse_length, show_length
from .arguments import MOST_ENDS

USUAL_SPACING, USUAL_SPOKE = "3/4 in", "round 5"


@dataclass(frozen=True)
class Answer:
    """`form` for --json, `parts` to print, `picture` as SVG where one was asked for, `trouble` for standard error."""

    form: object
    parts: Callable[[], list]
    title: str
    picture: str | None = None
    trouble: str = ""


def answer(asked: argparse.Namespace) -> Answer:
    """Raises DesignError for what cannot be read, Unweavable for what no hands could do."""
    if asked.output:
        from ..files import check_output

        check_output(asked.output, (".svg", ".png"))
    if asked.border is None:
        return _list(asked)
    for option in ("left", "family"):
        if getattr(asked, option):
            raise DesignError(
                "goes with the list, not with one border.", f"--{option}", "Leave out the border or the option."
            )
    return _one(asked)


def _spacing(asked: argparse.Namespace, usual: str | None = None) -> float:
    text = asked.spacing or usual
    if text is None:
        raise DesignError("say how far the spokes stand apart.", "border", 'Add --spacing, like --spacing "3/4 in".')
    spacing = parse_length(text, "--spacing")
    if not 1 <= spacing <= 500:
        raise DesignError(f'"{text}" is no spacing for spokes.', "--spacing", "From 1 mm to 50 cm.")
    return spacing


def _spoke_mm(asked: argparse.Namespace, usual: str | None = None) -> float:
    from ..reeds import own_reed, reed_named

    text = asked.spoke or usual
    if text is None:
        raise DesignError("say which reed the spokes are.", "border", 'Add --spoke, like --spoke "round 5".')
    # A bare number could be either series; the reed table says so better than the reader of lengths.
    if re.match(r"[\d.]", text) and not re.fullmatch(r"[\d.]+", text.strip()):
        return own_reed("", parse_length(text, "--spoke"), where="--spoke").diameter_mm
    return reed_named(text, where="--spoke").diameter_mm


def _units(asked: argparse.Namespace) -> str:
    return asked.units or ("cm" if re.search(r"[cm]m", asked.spacing or "") else "in")


def _one(asked: argparse.Namespace) -> Answer:
    from ..export import tables

    border = border_told(asked.border)
    kind = kind_named(asked.border) if is_name(asked.border) else _unnamed(border)
    spacing, spoke = _spacing(asked), _spoke_mm(asked)
    need = border_need(border, spacing, spoke, asked.per_end)
    wording, hand, units = asked.wording or "us", asked.hand or "right", _units(asked)

    def parts() -> list:
        from ..report import borders

        return borders.border(border, need, units, wording, asked.ends, hand, kind.foot)

    trouble = ""
    if asked.ends is not None and asked.ends < border.smallest_ends:
        trouble = f"--ends: {asked.ends} are too few; this border takes {border.smallest_ends} or more."
    return Answer(
        tables.border(border, need, asked.ends, kind.foot), parts, kind.named(wording),
        _drawn(asked, [kind], spacing, spoke), trouble,
    )  # fmt: skip


def _unnamed(border: Border) -> Kind:
    """A border of one's own as a record, to be drawn like the others."""
    return Kind("border", "row", tuple(row.words() for row in border.rows))


def _list(asked: argparse.Namespace) -> Answer:
    from ..export import tables

    spacing, spoke = _spacing(asked, USUAL_SPACING), _spoke_mm(asked, USUAL_SPOKE)
    wording, hand, units = asked.wording or "us", asked.hand or "right", _units(asked)
    left = None if asked.left is None else parse_length(asked.left, "--left")
    if left is not None and not 0 < left <= 3000:
        raise DesignError(f'"{asked.left}" is not what is left of an end.', "--left", "From 1 mm to 3 m.")
    found = _asked_for(asked, finishes(left or 0.0, spacing, spoke, asked.per_end))
    if left is None:
        order = list(BORDERS)
        found.sort(key=lambda one: order.index(one.kind.name))
    apart = f"spokes {show_length(spacing, units)} apart, {asked.spoke or USUAL_SPOKE}"
    title = f"The borders, {apart}" if left is None else f"With {show_length(left, units)} left, {apart}"

    def parts() -> list:
        from ..report import borders
        from ..words import worded

        if left is None:
            return borders.borders(found, worded(title, wording), units, wording, hand)
        return borders.finishing(found, worded(title, wording), units, wording, hand)

    trouble = ""
    if left is not None and not any(one.enough for one in found):
        trouble = _too_little(found, left, units)
    kinds = [one.kind for one in found if one.need and (left is None or one.enough)]
    picture = _drawn(asked, kinds, spacing, spoke) if kinds else None
    return Answer(tables.borders(found, spacing, spoke, left), parts, title, picture, trouble)


def _asked_for(asked: argparse.Namespace, found: list[Finish]) -> list[Finish]:
    if asked.family is not None:
        family = asked.family.strip().lower()
        if family not in FAMILIES:
            raise DesignError(
                f'"{asked.family[:40]}" is no family of borders.', "--family", did_you_mean(family, FAMILIES)
            )
        found = [one for one in found if one.kind.family == family]
    elif asked.left is not None:  # what is left stands above the last row; a foot is worked below the first
        found = [one for one in found if not one.kind.foot]
    most = asked.ends or MOST_ENDS
    return [one for one in found if one.kind.border.smallest_ends <= most]


def _too_little(found: list[Finish], left: float, units: str) -> str:
    fits = [one for one in found if one.need]
    if not fits:
        return f"border: {found[0].why_not if found else 'no border of this family works on so few ends.'}"
    least = fits[-1]
    assert least.need is not None, "it can be worked"
    return (
        f"border: {show_length(left, units)} is too short for any of these; the shortest, {least.kind.name}, needs "
        f"{show_length(least.need.length_mm, units)}. Take out the last rows, or finish with a scallop over fewer."
    )


def _drawn(asked: argparse.Namespace, kinds: list[Kind], spacing: float, spoke: float) -> str | None:
    if not asked.output:
        return None
    from ..draw.borders import strips
    from ..words import worded

    wording, units = asked.wording or "us", _units(asked)
    drawn = [
        (kind, worded(f"{kind.border.words()}; {length}", wording))
        for kind in kinds
        for length in [show_length(border_need(kind.border, spacing, spoke, asked.per_end).length_mm, units)]
    ]
    return strips(drawn, spacing, spoke, asked.hand or "right", wording)
