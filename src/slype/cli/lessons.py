"""`slype lesson`: the file that plays a basket stroke by stroke, written, or shown in the room."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from ..errors import DesignError
from ..files import check_output, write

if TYPE_CHECKING:
    from ..plans.planning import Plan


def check(asked: argparse.Namespace) -> None:
    """Complain of what cannot be done before any long work."""
    if not asked.output and not asked.share:
        raise DesignError("say where the lesson goes.", "lesson", "For example -o lesson.html, or --share.")
    for name in ("seats", "host", "port", "no_browser"):
        if getattr(asked, name) and not asked.share:
            raise DesignError("goes with --share only.", f"--{name.replace('_', '-')}", "Add --share, or leave it out.")
    if asked.output:
        check_output(asked.output, (".html",), asked.file)


def answer(asked: argparse.Namespace, plan: Plan) -> None:
    """Write the lesson, show it, or both."""
    from ..make import papers

    if asked.output:
        content = papers.lesson(plan)
        write(asked.output, content)
        size = f"{len(content) / 1e6:.1f} MB"
        print(f"{asked.output}: {plan.design.title}, {size}, {plan.design.hand}-handed; the other hand is in it too")
    if asked.share:
        from ..studio.sharing import show

        page = papers.lesson(plan, asked.seats)
        show(page, plan.design.title, asked.host, asked.port, asked.seats, not asked.no_browser)
