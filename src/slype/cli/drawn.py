"""Commands that write a file: border, picture, sheet, lesson, gallery."""

from __future__ import annotations

import argparse
from typing import Literal

from ..errors import DesignError
from ..offers import BOARD, FLAT_VIEWS, READERS
from .designs import planned, read_design, settle_shown
from .told import Progress, complain, print_json, print_lines, verdict


def border(asked: argparse.Namespace) -> int:
    """`slype border`: exit status."""
    from .borders import answer

    said = answer(asked)
    if said.picture is not None:
        from ..draw.views import png
        from ..files import write

        write(asked.output, png(said.picture) if asked.output.lower().endswith(".png") else said.picture)
    if asked.json:
        print_json(said.form)
    else:
        from ..report import printed

        printed.show(said.parts())
        if asked.output:
            print_lines([f"{asked.output}: {said.title}"])
    if said.trouble:
        complain(said.trouble)
    return 1 if said.trouble else 0


def picture(asked: argparse.Namespace) -> int:
    """`slype picture`: exit status."""
    from ..files import check_output, write

    suffix = check_output(asked.output, (".svg", ".png", ".glb"), asked.file)
    _check_of_use(asked, suffix)
    from ..make import baskets, pictures

    view = asked.view or "whole"
    quick = asked.stacked or (suffix != ".glb" and not pictures.needs_settling(view))
    plan = baskets.planned(read_design(asked), None if quick else settle_shown, or_quick=True)
    with Progress("drawing"):
        if suffix == ".glb":
            content = pictures.solid(plan)
        else:
            kind: Literal["svg", "png"] = "png" if suffix == ".png" else "svg"
            content = pictures.picture(plan, view, kind, asked.width, asked.hatch, asked.tone)
    write(asked.output, content)
    print_lines([f"{asked.output}: {plan.design.title}, {'a solid' if suffix == '.glb' else view}"])
    return verdict(plan)


def _check_of_use(asked: argparse.Namespace, suffix: str) -> None:
    """Raises DesignError for an option that this kind of file has no use for: it would be left out without a word."""
    painted = suffix == ".png" and not asked.hatch and asked.view not in (None, *FLAT_VIEWS)
    for option, given, of_use, why in (
        ("--view", asked.view is not None, suffix != ".glb", "a solid is seen from every side"),
        ("--hatch", asked.hatch, suffix != ".glb", "a solid keeps its colours"),
        ("--width", asked.width is not None, suffix == ".png", "only a .png has dots"),
        ("--tone", asked.tone is not None, painted, "only a painted .png of a view like outside has tones"),
    ):
        if given and not of_use:
            raise DesignError(f"has no use here: {why}.", option, "Leave it out.")


def sheet(asked: argparse.Namespace) -> int:
    """`slype sheet`: exit status."""
    from ..files import check_output, write

    check_output(asked.output, (".pdf",), asked.file)
    for option, given in (("--large", asked.large), ("--grey", asked.grey)):
        if given and asked.reader in (None, BOARD):
            readers = f"{', '.join(READERS[:-1])} or {READERS[-1]}"
            raise DesignError(f"goes with --for {readers}.", option, "Add one, or leave it out.")
    from ..make import papers

    plan = planned(asked)
    with Progress("setting the pages"):
        content = papers.sheet(plan, asked.reader, asked.paper, asked.large, asked.grey)
    write(asked.output, content)
    print_lines([f"{asked.output}: {plan.design.title}, {asked.paper}, {plan.design.hand}-handed"])
    return verdict(plan)


def lesson(asked: argparse.Namespace) -> int:
    """`slype lesson`: exit status."""
    from . import lessons

    lessons.check(asked)
    # As the sheet is made, so that joins and counts on the phone are those on paper.
    plan = planned(asked, or_quick=True)
    lessons.answer(asked, plan)
    return verdict(plan)


def gallery(asked: argparse.Namespace) -> int:
    """`slype gallery`: exit status."""
    from ..files import check_output, write

    suffix = check_output(asked.output, (".svg", ".png"))
    from ..draw.gallery import gallery
    from ..draw.views import png

    with Progress("") as progress:
        drawn = gallery(progress.say, asked.wording or "us", asked.hand or "right")
        content = png(drawn, asked.width) if suffix == ".png" else drawn
    write(asked.output, content)
    print_lines([f"{asked.output}: every weave, base, handle, lid, outline and border"])
    return 0
