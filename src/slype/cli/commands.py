"""The `slype` command: arguments in, the same use-cases as everywhere, reports out; no rules of its own.

Reports go to standard output, messages to standard error. Exit status: 0 fine, 1 no hands could weave it, 2 the input
cannot be read. Each command imports only what it uses, so that a plan is there at once.
"""

from __future__ import annotations

import argparse
import os
import sys

from .. import __version__
from ..errors import FileTrouble, SlypeError
from . import designs, drawn, effects
from .arguments import as_called_now, as_typed, parser
from .designs import in_its_words
from .surroundings import let_go, of_this_machine, ready_streams, tell_warnings
from .told import Progress, complain, print_json, print_lines


def main(argv: list[str] | None = None) -> int:
    """Run one command and return its exit status; whatever a user can do wrong ends in one paragraph."""
    ready_streams()
    tell_warnings()
    asked, words = argparse.Namespace(), as_called_now(sys.argv[1:] if argv is None else argv)
    try:
        asked = parser().parse_args(words)
        status = _COMMANDS[asked.command](asked)
        sys.stdout.flush()
        return status
    except SlypeError as trouble:
        trouble.where = as_typed(trouble.where, words)
        complain(str(in_its_words(trouble, asked)))
        if getattr(asked, "stay", False) and sys.stdin.isatty():
            input("Press Enter to close this window. ")
        return trouble.exit_status
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:  # whoever reads has gone away (`slype plan … | head`)
        let_go(sys.stdout)
        return 0
    except (OSError, MemoryError) as trouble:
        let_go(sys.stdout)
        complain(str(of_this_machine(trouble, getattr(asked, "file", None))))
        return 2


def _reeds(asked: argparse.Namespace) -> int:
    if asked.json:
        from ..export import tables as promised

        print_json(promised.reeds())
    else:
        from ..report import printed, tables

        printed.show(tables.reeds())
    return 0


def _weaves(asked: argparse.Namespace) -> int:
    if asked.json:
        from ..export import tables as promised

        print_json(promised.weaves())
    else:
        from ..report import printed, tables

        printed.show(tables.weaves(asked.wording or "us"))
    return 0


def _evidence(asked: argparse.Namespace) -> int:
    from ..export.promised import proofs_json
    from ..rest import proofs

    with Progress("") as progress:
        rows = proofs.proofs(lambda part: progress.say(f"proving: {part}"))
    if asked.json:
        print_json(proofs_json(rows))
    else:
        from ..report import printed, tables

        printed.show(tables.proofs(rows))
    return 0


def _demo(asked: argparse.Namespace) -> int:
    from . import demo

    with Progress("") as progress:
        lines = demo.make(asked.output, progress.say)
    print_lines(lines)
    return 0


def _book(asked: argparse.Namespace) -> int:
    from . import book

    return book.answer(asked)


def _class(asked: argparse.Namespace) -> int:
    from . import classes

    with Progress("") as progress:
        said = classes.answer(asked, progress.say)
    if asked.json:
        print_json(said.form)
    else:
        print_lines(said.lines)
    for remark in said.complaints:
        complain(remark)
    return said.status


def _studio(asked: argparse.Namespace) -> int:
    if asked.remove_shortcut:
        from ..studio.shortcut import remove

        return print_lines(remove())
    for place in asked.places:
        if not os.path.exists(place):
            raise FileTrouble("there is no such folder or file.", place, "Check the name.")
    if asked.shortcut:
        from ..studio.shortcut import put

        return print_lines(put(asked.places))
    from ..studio.asked import serve

    files = [place for place in asked.places if not os.path.isdir(place)]
    folders = [place for place in asked.places if os.path.isdir(place)]
    if asked.baskets:
        folders.insert(0, serve.baskets_folder())
    # A file's own folder counts as opened with it.
    folders += [folder for folder in dict.fromkeys(os.path.dirname(file) or "." for file in files)]
    serve.run(folders or ["."], files, asked.host, asked.port, not asked.no_browser)
    return 0


def _version(asked: argparse.Namespace) -> int:
    print(f"slype {__version__}")
    return 0


_COMMANDS = {
    "check": designs.check,
    "plan": designs.plan,
    "settle": designs.settle,
    "fits": designs.fits,
    "chart": designs.chart,
    "effects": effects.effects,
    "border": drawn.border,
    "picture": drawn.picture,
    "sheet": drawn.sheet,
    "lesson": drawn.lesson,
    "gallery": drawn.gallery,
    "reeds": _reeds,
    "weaves": _weaves,
    "evidence": _evidence,
    "demo": _demo,
    "book": _book,
    "class": _class,
    "studio": _studio,
    "version": _version,
}
