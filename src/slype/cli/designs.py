"""Commands about one design: check, plan, chart, settle, fits; and how every command reads one."""

from __future__ import annotations

import argparse
import os
from typing import TYPE_CHECKING

from ..errors import FileTrouble, SlypeError
from ..words import refusal
from .told import Progress, print_json, verdict

if TYPE_CHECKING:
    from ..design.values import Design
    from ..plans.planning import Plan
    from ..rest.relax import AtRest


def in_its_words(trouble: SlypeError, asked: argparse.Namespace) -> SlypeError:
    """A refusal in the wording asked for, or that of the file it is about."""
    from ..design.file.reader import wording_of

    wording, file = getattr(asked, "wording", None), getattr(asked, "file", None)
    if wording is None and isinstance(file, str):
        try:
            with open(file, encoding="utf-8") as written:
                wording = wording_of(written.read())
        except (OSError, ValueError):
            wording = "us"
    return trouble.reworded(lambda text: refusal(text, wording or "us"))


def read_design(asked: argparse.Namespace) -> Design:
    """The design of the file asked for, in the hand, wording and units asked for. Raises SlypeError."""
    from ..design.file.reader import load

    if os.path.isdir(asked.file):  # what the system calls this differs from one to the next
        raise FileTrouble("this is a folder, not a design file.", asked.file, "Name the .toml file in it.")
    changes = {name: getattr(asked, name) for name in ("hand", "wording", "units") if getattr(asked, name, None)}
    if getattr(asked, "gauge", None):
        from .gauges import corrected

        return corrected(asked.file, asked.gauge).reworded(**changes)
    return load(asked.file).reworded(**changes)


def planned(asked: argparse.Namespace, or_quick: bool = False) -> Plan:
    """The plan as it was asked for: quick, or with --settled from reeds at rest; see `make.baskets.planned`."""
    from ..make import baskets

    settle = settle_shown if getattr(asked, "relaxed", False) else None
    return baskets.planned(read_design(asked), settle, or_quick)


def settle_shown(design: Design, cores: int | None = None, fine: bool = False) -> AtRest:
    """The design's reeds at rest, with a bar on standard error while they come to it."""
    with Progress("getting the rods ready (half a minute, the first time)") as progress:
        from ..make.baskets import settled

        return settled(design, progress=progress.share, cores=cores, fine=fine)


def check(asked: argparse.Namespace) -> int:
    """`slype check`: exit status."""
    plan = planned(asked)
    if asked.json:
        from ..export.plan import as_json

        form = as_json(plan)
        print_json({"title": form["title"], "advice": form["advice"]})
    else:
        from ..report import plans, printed

        printed.show(plans.check(plan))
    return verdict(plan)


def plan(asked: argparse.Namespace) -> int:
    """`slype plan`: exit status."""
    worked = planned(asked)
    if asked.json:
        from ..export.plan import as_json

        print_json(as_json(worked))
    else:
        from ..report import plans, printed

        printed.show(plans.plan(worked))
    return verdict(worked)


def chart(asked: argparse.Namespace) -> int:
    """`slype chart`: exit status."""
    from ..export.promised import chart_json

    plan = planned(asked)
    form = chart_json(plan.laid)
    if asked.json:
        print_json(form)
    else:
        from ..report import printed, tables

        printed.show(tables.chart(plan.laid, form))
    return verdict(plan)


def settle(asked: argparse.Namespace) -> int:
    """`slype settle`: exit status."""
    from ..make import baskets

    plan = baskets.planned(read_design(asked), lambda design: settle_shown(design, asked.cores, asked.fine))
    if asked.json:
        from ..export.plan import as_json

        form = as_json(plan)
        bands = [
            {key: band[key] for key in ("where", "weave", "rows", "height_mm", "row_pitch_mm", "take_up", "relaxed")}
            for band in form["bands"]
        ]
        print_json({"title": form["title"], "height_mm": form["height_mm"], "relaxed": form["relaxed"], "bands": bands})
    else:
        from ..report import printed, rests

        printed.show(rests.at_rest(plan))
    return verdict(plan)


def fits(asked: argparse.Namespace) -> int:
    """`slype fits`: exit status."""
    from ..lay.laying import lay
    from ..plans.fits import fit, parse_box

    design = read_design(asked)
    found = fit(lay(design), *parse_box(asked.size, "size"))
    if asked.json:
        print_json(
            {
                "sits": found.sits,
                "spare_mm": round(found.spare_mm, 1),
                "height_mm": round(found.height_mm, 1),
                "proud_mm": round(found.proud_mm, 1),
            }
        )
    else:
        from ..tell.voice import fit_told

        print(fit_told(design, asked.size, found))
    return 0
