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
    if not asked.output:
        raise DesignError("say where the lesson goes.", "lesson", "For example -o lesson.html.")
    check_output(asked.output, (".html",))


def answer(asked: argparse.Namespace, made: Plan) -> str:
    """Write what was asked for; what to say of it."""
    from ..lesson.content import Lesson
    from ..lesson.whole import whole

    content = whole(Lesson(made))
    write(asked.output, content)
    size = f"{len(content) / 1e6:.1f} MB"
    return f"{asked.output}: {made.design.title}, {size}, {made.design.hand}-handed; the other hand is in it too"
