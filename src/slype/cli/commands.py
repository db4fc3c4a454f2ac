"""The `slype` command: arguments in, the same use-cases as everywhere, reports out. no rules of its own.

Reports go to standard output, messages to standard error. Exit status: 0 fine, 1 no hands could weave it, 2 the input
cannot be read. Each command imports only what it uses, so that a plan is there at once.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from typing import TYPE_CHECKING

from .. import __version__, system
from ..errors import DesignError, FileTrouble, SlypeError, Unweavable
from .arguments import MOST_ENDS, as_called_now, parser

if TYPE_CHECKING:
    from ..design.values import Design
    from ..plans.planning import Plan
    from ..rest.relax import AtRest


def main(argv: list[str] | None = None) -> int:
    """Run one command and return its exit status; whatever a user can do wrong ends in one paragraph."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal that has no ½ still gets its report
    asked = argparse.Namespace()
    try:
        asked = parser().parse_args(as_called_now(sys.argv[1:] if argv is None else argv))
        status = _COMMANDS[asked.command](asked)
        sys.stdout.flush()
        return status
    except SlypeError as trouble:
        _complain(str(trouble))
        if getattr(asked, "stay", False) and sys.stdin.isatty():
            input("Press Enter to close this window. ")
        return trouble.exit_status
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:
        # Whoever reads has gone away (`slype plan … | head`); keep Python from saying so when it closes down.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0


def _complain(message: str) -> None:
    """One paragraph on standard error; what cannot be printed (a file may hold anything) is left out."""
    print("slype: " + "".join(sign if sign.isprintable() else " " for sign in message), file=sys.stderr)


# Commands ------------------------------------------------------------------------------------------------------


def _design(asked: argparse.Namespace) -> Design:
    from ..design.file.reader import load

    if os.path.isdir(asked.file):  # what the system calls this differs from one to the next
        raise FileTrouble("this is a folder, not a design file.", asked.file, "Name the .toml file in it.")
    changes = {name: getattr(asked, name) for name in ("hand", "wording", "units") if getattr(asked, name, None)}
    return load(asked.file).reworded(**changes)


def _planned(asked: argparse.Namespace) -> Plan:
    from ..plans import planning

    design = _design(asked)
    return planning.plan(design, _at_rest(design) if getattr(asked, "relaxed", False) else None)


def _at_rest(design: Design, cores: int | None = None, fine: bool = False) -> AtRest:
    """The design relaxed, with a bar on standard error while it runs."""
    with _Progress("getting the rods ready (half a minute, the first time)") as progress:
        from ..rest.reeds import STATIONS
        from ..rest.relax import relax

        return relax(design, None, progress.share, cores, 2 * STATIONS if fine else STATIONS)


def _fits(asked: argparse.Namespace) -> int:
    from ..lay.laying import lay
    from ..plans.fits import fit, parse_box

    design = _design(asked)
    found = fit(lay(design), *parse_box(asked.size, "size"))
    if asked.json:
        _print_json(
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


def _settle(asked: argparse.Namespace) -> int:
    from ..plans import planning

    design = _design(asked)
    plan = planning.plan(design, _at_rest(design, asked.cores, asked.fine))
    if asked.json:
        from ..export.plan import as_json

        form = as_json(plan)
        bands = [
            {key: band[key] for key in ("where", "weave", "rows", "height_mm", "row_pitch_mm", "take_up", "relaxed")}
            for band in form["bands"]
        ]
        _print_json(
            {"title": form["title"], "height_mm": form["height_mm"], "relaxed": form["relaxed"], "bands": bands}
        )
    else:
        from ..report import printed, rests

        printed.show(rests.at_rest(plan))
    return _verdict(plan)


def _verdict(plan: Plan) -> int:
    """0, or 1 with the reason on standard error when the design cannot be woven."""
    from ..advice.advise import must_stop

    stop = must_stop(plan.advice)
    if stop is None:
        return 0
    _complain(f"{plan.design.name}, {stop.where}: this cannot be woven: {stop.message} {stop.remedy}")
    return 1


def _print_json(form: object) -> None:
    system.promise_utf8(sys.stdout)
    json.dump(form, sys.stdout, indent=1, ensure_ascii=False)
    print()


def _check(asked: argparse.Namespace) -> int:
    plan = _planned(asked)
    if asked.json:
        from ..export.plan import as_json

        form = as_json(plan)
        _print_json({"title": form["title"], "advice": form["advice"]})
    else:
        from ..report import plans, printed

        printed.show(plans.check(plan))
    return _verdict(plan)


def _plan(asked: argparse.Namespace) -> int:
    plan = _planned(asked)
    if asked.json:
        from ..export.plan import as_json

        _print_json(as_json(plan))
    else:
        from ..report import plans, printed

        printed.show(plans.plan(plan))
    return _verdict(plan)


def _chart(asked: argparse.Namespace) -> int:
    from ..lay.chart import as_json

    plan = _planned(asked)
    form = as_json(plan.laid)
    if asked.json:
        _print_json(form)
    else:
        from ..report import printed, tables

        printed.show(tables.chart(plan.laid, form))
    return _verdict(plan)


def _effects(asked: argparse.Namespace) -> int:
    from ..weave import counts

    form, parts = [], []
    for band, title, weave, colours, group, ends, hand in _weaves_asked(asked):
        lines = counts.what_counts_give(weave, ends, colours, asked.orders, group)
        form += [{**band, **line} for line in counts.as_json(lines, hand)]
        if not asked.json:
            from ..report import tables

            parts += tables.effects(title, lines, hand)
    if asked.json:
        _print_json(form)
    else:
        from ..report import printed

        printed.show(parts)
    return 0


def _weaves_asked(asked: argparse.Namespace) -> list[tuple]:
    """(keys for the JSON, title, weave, colours, group, counts, hand) of what `slype effects` was asked about."""
    if asked.file is not None:
        if asked.weave or asked.colours or asked.over or asked.under or asked.weavers:
            raise DesignError("say either a file or a weave, not both.", "effects")
        return _bands_asked(asked)
    if not asked.weave and not (asked.over and asked.under):
        raise DesignError(
            "say which weave.", "effects", 'For example --weave "four-rod wale" --colours rust,rust,sand,slate.'
        )
    from ..weave.table import free_weave, weave_named

    if asked.weave:
        weave = weave_named(asked.weave, "--weave")
        if asked.over or asked.under or asked.weavers:
            raise DesignError("a named weave already says its stroke.", "effects", "Leave out --weave to say your own.")
    else:
        cycle = ((asked.over, asked.under),)
        weave = free_weave(cycle, asked.weavers or asked.over + asked.under, where="--over, --under")
    colours = _colours(asked.colours)
    title = f"{weave.name}, {weave.stroke_words()}, in {', '.join(colours)}"
    return [({"weave": weave.name}, title, weave, colours, 1, asked.ends or range(20, 33), asked.hand or "right")]


def _bands_asked(asked: argparse.Namespace) -> list[tuple]:
    design = _design(asked)
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
        out.append((keys, title, band.weave, band.colours, band.group, ends, design.hand))
    return out


def _colours(text: str | None) -> tuple[str, ...]:
    names = tuple(name.strip() for name in (text or "natural").split(","))
    if text and (not all(names) or len(names) > MOST_ENDS):
        raise DesignError(f'"{text[:40]}" is not a list of colours.', "--colours", "Write it like rust,rust,sand.")
    return names


def _border(asked: argparse.Namespace) -> int:
    from .borders import answer

    said = answer(asked)
    if said.picture is not None:
        from ..draw.views import png
        from ..files import write

        write(asked.output, png(said.picture) if asked.output.lower().endswith(".png") else said.picture)
    if asked.json:
        _print_json(said.form)
    else:
        from ..report import printed

        printed.show(said.parts())
        if asked.output:
            print(f"{asked.output}: {said.title}")
    if said.trouble:
        _complain(said.trouble)
    return 1 if said.trouble else 0


def _picture(asked: argparse.Namespace) -> int:
    from ..files import check_output, write

    suffix = check_output(asked.output, (".svg", ".png", ".glb"))
    from ..plans import planning

    design = _design(asked)
    flat = suffix != ".glb" and asked.view in ("unrolled", "unrolled-inside", "squares")
    plan = planning.plan(design, None if flat or asked.stacked else _at_rest_if_weavable(design))
    with _Progress("drawing"):
        content = _glb(plan) if suffix == ".glb" else _drawn(plan, asked, suffix)
    write(asked.output, content)
    print(f"{asked.output}: {plan.design.title}, {'a solid' if suffix == '.glb' else asked.view}")
    return _verdict(plan)


def _at_rest_if_weavable(design: Design) -> AtRest | None:
    """The design relaxed, or None where no hands could weave it: such a picture shows what the file says."""
    try:
        return _at_rest(design)
    except Unweavable:
        return None


def _glb(plan: Plan) -> bytes:
    from ..draw.glb import glb
    from ..draw.views import curves

    return glb(plan.laid, curves(plan))


def _drawn(plan: Plan, asked: argparse.Namespace, suffix: str) -> bytes | str:
    from ..draw import views
    from ..draw.hatching import HATCHES

    solid = asked.view in views.SOLID
    if asked.hatch and not solid:
        raise DesignError(
            f'the view "{asked.view}" has no hatchings.',
            "--hatch",
            f"Add --view and one of {', '.join(views.SOLID)}.",
        )
    if asked.hatch and len(plan.design.palette) > len(HATCHES):
        raise DesignError(
            f"{len(plan.design.palette)} colours are more than can be told apart by hatching.",
            "--hatch",
            f"At most {len(HATCHES)}.",
        )
    if suffix == ".png" and solid and not asked.hatch:
        tone = {} if asked.tone is None else {"tone": asked.tone}
        return views.painted_png(plan, asked.view, asked.width, **tone)
    drawn = views.svg(plan, asked.view, hatched=asked.hatch)
    return views.png(drawn, asked.width) if suffix == ".png" else drawn


def _sheet(asked: argparse.Namespace) -> int:
    from ..files import check_output, write

    check_output(asked.output, (".pdf",))
    plan = _planned(asked)
    with _Progress("setting the pages"):
        if asked.reader is None:
            from ..paper.sheet import make

            content = make(plan, paper=asked.paper)
        elif asked.reader == "board":
            from ..paper import board

            content = board.make(plan.design, asked.paper)
        else:
            from ..paper import handout

            content = handout.make(plan, asked.reader, asked.paper, handout.Style(asked.large, asked.grey))
    write(asked.output, content)
    print(f"{asked.output}: {plan.design.title}, {asked.paper}, {plan.design.hand}-handed")
    return _verdict(plan)


def _lesson(asked: argparse.Namespace) -> int:
    from . import lessons

    lessons.check(asked)
    from ..plans import planning

    design = _design(asked)
    # As the sheet is made, so that joins and counts on the phone are those on paper.
    plan = planning.plan(design, _at_rest_if_weavable(design) if asked.relaxed else None)
    lessons.answer(asked, plan)
    return _verdict(plan)


def _gallery(asked: argparse.Namespace) -> int:
    from ..files import check_output, write

    suffix = check_output(asked.output, (".svg", ".png"))
    from ..draw.gallery import gallery
    from ..draw.views import png

    with _Progress("") as progress:
        drawn = gallery(progress.say, asked.wording or "us", asked.hand or "right")
        content = png(drawn, asked.width) if suffix == ".png" else drawn
    write(asked.output, content)
    print(f"{asked.output}: every weave, base, handle, lid, outline and border")
    return 0


def _reeds(asked: argparse.Namespace) -> int:
    if asked.json:
        from ..export import tables as promised

        _print_json(promised.reeds())
    else:
        from ..report import printed, tables

        printed.show(tables.reeds())
    return 0


def _weaves(asked: argparse.Namespace) -> int:
    if asked.json:
        from ..export import tables as promised

        _print_json(promised.weaves())
    else:
        from ..report import printed, tables

        printed.show(tables.weaves(asked.wording or "us"))
    return 0


def _evidence(asked: argparse.Namespace) -> int:
    from ..rest import proofs

    with _Progress("") as progress:
        rows = proofs.proofs(lambda part: progress.say(f"proving: {part}"))
    if asked.json:
        _print_json(proofs.as_json(rows))
    else:
        from ..report import printed, tables

        printed.show(tables.proofs(rows))
    return 0


def _demo(asked: argparse.Namespace) -> int:
    from . import demo

    with _Progress("") as progress:
        lines = demo.make(asked.output, progress.say)
    print("\n".join(lines))
    return 0


def _book(asked: argparse.Namespace) -> int:
    from . import book

    return book.answer(asked)


def _class(asked: argparse.Namespace) -> int:
    from . import classes

    with _Progress("") as progress:
        said = classes.answer(asked, progress.say)
    if asked.json:
        _print_json(said.form)
    else:
        print("\n".join(said.lines))
    for remark in said.complaints:
        _complain(remark)
    return said.status


def _studio(asked: argparse.Namespace) -> int:
    if asked.remove_shortcut:
        from ..studio.shortcut import remove

        return _print_lines(remove())
    for place in asked.places:
        if not os.path.exists(place):
            raise FileTrouble("there is no such folder or file.", place, "Check the name.")
    if asked.shortcut:
        from ..studio.shortcut import put

        return _print_lines(put(asked.places))
    from ..studio import serve

    files = [place for place in asked.places if not os.path.isdir(place)]
    folders = [place for place in asked.places if os.path.isdir(place)]
    if asked.baskets:
        folders.insert(0, serve.baskets_folder())
    # A file's own folder counts as opened with it.
    folders += [folder for folder in dict.fromkeys(os.path.dirname(file) or "." for file in files)]
    serve.run(folders or ["."], files, asked.host, asked.port, not asked.no_browser)
    return 0


def _print_lines(lines: list[str]) -> int:
    print("\n".join(lines))
    return 0


def _version(asked: argparse.Namespace) -> int:
    print(f"slype {__version__}")
    return 0


class _Progress:
    """One line on standard error while long work runs; nothing unless somebody is watching."""

    def __init__(self, words: str) -> None:
        self.words, self.watched = words, sys.stderr.isatty()

    def say(self, words: str) -> None:
        if self.watched and words:
            print(f"\r\x1b[K{words} …", end="", file=sys.stderr, flush=True)

    def share(self, done: float) -> None:
        """The reeds coming to rest, as a bar."""
        full = round(20 * max(0.0, min(1.0, done)))
        self.say(f"bringing the reeds to rest {'▇' * full}{'·' * (20 - full)} {done:4.0%}")

    def __enter__(self) -> _Progress:
        self.say(self.words)
        return self

    def __exit__(self, *_: object) -> None:
        if self.watched:
            print("\r\x1b[K", end="", file=sys.stderr, flush=True)


_COMMANDS = {
    "check": _check,
    "plan": _plan,
    "settle": _settle,
    "fits": _fits,
    "chart": _chart,
    "effects": _effects,
    "border": _border,
    "picture": _picture,
    "sheet": _sheet,
    "lesson": _lesson,
    "gallery": _gallery,
    "reeds": _reeds,
    "weaves": _weaves,
    "evidence": _evidence,
    "demo": _demo,
    "book": _book,
    "class": _class,
    "studio": _studio,
    "version": _version,
}
