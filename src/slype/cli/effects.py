"""`slype effects`: what colours do on each count of ends, of a weave or of a design's bands."""

from __future__ import annotations

import argparse

from ..errors import DesignError
from .arguments import MOST_ENDS
from .designs import read_design
from .told import print_json


def effects(asked: argparse.Namespace) -> int:
    """`slype effects`: exit status."""
    from ..export.promised import counts_json
    from ..weave import counts

    form, parts = [], []
    for band, title, weave, colours, spaces, ends, hand, wording in _weaves_asked(asked):
        lines = counts.what_counts_give(weave, ends, colours, asked.orders, spaces)
        form += [{**band, **line} for line in counts_json(lines, hand)]
        if not asked.json:
            from ..report import tables

            parts += tables.effects(title, lines, hand, wording)
    if asked.json:
        print_json(form)
    else:
        from ..report import printed

        printed.show(parts)
    return 0


def _weaves_asked(asked: argparse.Namespace) -> list[tuple]:
    """(keys for the JSON, title, weave, colours, spaces of a count, counts, hand, wording) of what `slype effects`
    was asked."""
    if asked.file is not None:
        if asked.weave or asked.colours or asked.over or asked.under or asked.weavers:
            given = [name for name in ("weave", "colours", "over", "under", "weavers") if getattr(asked, name)]
            raise DesignError("goes without a design file, whose bands say it.", f"--{given[0]}", "Leave out one.")
        return _bands_asked(asked)
    if asked.band is not None:
        raise DesignError("goes with a design file, whose band it is.", "--band", "Name the file, or leave it out.")
    if not asked.weave and not (asked.over and asked.under):
        raise DesignError(
            "say which weave.", "effects", 'For example --weave "four-rod wale" --colours rust,rust,sand,slate.'
        )
    from ..weave.table import free_weave, weave_named

    if asked.weave:
        weave = weave_named(asked.weave, "--weave")
        if asked.over or asked.under or asked.weavers:
            given = [name for name in ("over", "under", "weavers") if getattr(asked, name)]
            raise DesignError(
                "a named weave already says its stroke.", f"--{given[0]}", "Leave out --weave to say your own."
            )
    else:
        cycle = ((asked.over, asked.under),)
        weave = free_weave(cycle, asked.weavers or asked.over + asked.under, where="--over, --under")
    colours = _colours(asked.colours)
    title = f"{weave.name}, {weave.stroke_words()}, in {', '.join(colours)}"
    ends, hand = asked.ends or range(20, 33), asked.hand or "right"
    return [({"weave": weave.name}, title, weave, colours, int, ends, hand, "us")]


def _bands_asked(asked: argparse.Namespace) -> list[tuple]:
    design = read_design(asked)
    if asked.band is not None and not 1 <= asked.band <= len(design.bands):
        raise DesignError(f"there is no band {asked.band}.", "--band", f"{design.name} has 1 to {len(design.bands)}.")
    chosen = [(i, band) for i, band in enumerate(design.bands, start=1) if asked.band in (None, i)]
    if asked.band is None:  # bands of one colour have nothing to choose
        chosen = [(i, band) for i, band in chosen if len(set(band.colours)) > 1] or chosen
    out = []
    for i, band in chosen:
        now = design.ends_at(i - 1)
        ends = asked.ends or range(max(3, now - 6), min(MOST_ENDS, now + 6) + 1)
        title = f"Band {i}, {band.weave.named(design.wording)} in {', '.join(band.colours)}; the design has {now} ends"
        keys = {"band": i - 1, "weave": band.weave.name}
        out.append((keys, title, band.weave, band.colours, band.spaces, ends, design.hand, design.wording))
    return out


def _colours(text: str | None) -> tuple[str, ...]:
    names = tuple(name.strip() for name in (text or "natural").split(","))
    if text and (not all(names) or len(names) > MOST_ENDS):
        raise DesignError(f'"{text[:40]}" is not a list of colours.', "--colours", "Write it like rust,rust,sand.")
    return names
