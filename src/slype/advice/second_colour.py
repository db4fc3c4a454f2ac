"""What a band of one colour could show with a second one: for there is nothing to choose from in one colour."""

from __future__ import annotations

from dataclasses import replace

from ..colour import contrast, hex_of
from ..design.values import Band, Design
from ..errors import Unweavable
from ..lay.laying import lay
from ..weave.effects import in_two
from ..weave.table import weave_named
from .results import Option, replace_band

USUAL = ("rust", "natural")
"""What is taken beside a light colour and beside a dark one, where the basket has no other (our choice, no source)."""


def is_plain(band: Band) -> bool:
    """True of a band all of whose reeds have one colour."""
    return len(set(band.colours)) == 1


def second_of(design: Design, index: int) -> str:
    """The colour to try beside that of a band: of the basket's other colours the one that stands out most from it."""
    own = design.bands[index].colours[0]
    others = {colour for band in design.bands for colour in band.colours} | set(design.palette)
    found = sorted(others - {own}) or [name for name in USUAL if name != own]

    def stands_out(name: str) -> float:
        return contrast(*(design.palette.get(each) or hex_of(each) for each in (own, name)))

    return max(found, key=stands_out)


def with_second(design: Design, index: int, colour: str) -> Design | None:
    """The design with half of the reeds of a band in a second colour; None where it has only one reed, and no weave of
    two that goes the same way can take its place.

    `colour` a name of the design's palette or of slype's table.
    """
    band = design.bands[index]
    spaces, weave = band.spaces(design.ends_at(index)), band.weave
    colours, rows = in_two(weave, spaces, band.strands, band.colours[0], colour), band.rows
    if colours is None:  # two that take turns go as one does, and their row is two of its rows
        weave = weave_named("chasing")
        if band.weave.cycle != weave.cycle or band.weave.turns != "round":
            return None
        colours = in_two(weave, spaces, band.strands, band.colours[0], colour)
        assert colours is not None, "chasing has two weavers"
        rows = None if rows is None else max(1, rows // 2)
    hex_text = design.palette.get(colour) or hex_of(colour)
    changed = replace_band(design, index, weave=weave, colours=colours, rows=rows)
    changed = replace(changed, palette={**design.palette, colour: hex_text})
    try:
        lay(changed)
    except Unweavable:
        return None
    return changed


def from_plain(design: Design, changed: Design, index: int, options: tuple[Option, ...]) -> tuple[Option, ...]:
    """Results of a band with a second colour, as changes of the design that has only one."""
    was, now = design.bands[index], changed.bands[index]
    weave: list[dict[str, object]] = (
        [{"set": ["band", index, "weave"], "to": now.weave.name}] if now.weave != was.weave else []
    )
    if now.rows != was.rows:
        weave.append({"set": ["band", index, "rows"], "to": now.rows})
    out = []
    for option in options:
        own = tuple(each for each in option.changes if each.get("set") != ["band", index, "colours"])
        colours = {"set": ["band", index, "colours"], "to": list(option.colours)}
        out.append(replace(option, is_current=False, changes=(*weave, colours, *own)))
    return tuple(out)
