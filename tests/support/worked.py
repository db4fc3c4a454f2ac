"""What many tests need and takes long to work: each thing is worked once in a run of the tests, whoever asks first.

Kept in memory, and as files in the run's own folder (`SLYPE_TESTS_WORKED`, set by conftest), so that what one worker of
pytest-xdist has worked the others read. Values are shared: no test may change one.
"""

from __future__ import annotations

import os
import pickle
from collections.abc import Callable
from dataclasses import replace
from functools import cache, lru_cache
from hashlib import md5
from pathlib import Path
from unittest import mock

from places import EXAMPLES, FOLDER
from strategies import basket_text

from slype.borders.table import BORDERS
from slype.design.file.reader import load, parse
from slype.design.values import Design
from slype.figures.figure import Figures
from slype.figures.later import Later
from slype.lay.values import Laid
from slype.plans import planning
from slype.plans.planning import Plan
from slype.rest.relax import AtRest, relax
from slype.surface.curve import Tube
from slype.teach import steps
from slype.teach.step.values import Step


def once(name: str, work: Callable[[], object]):
    """What `work` gives, from the run's folder where it has been worked already. `name` must say all it depends on."""
    folder = os.environ.get(FOLDER)
    if folder is None:
        return work()
    path = Path(folder) / f"{name}.pickle"
    if path.exists():
        return pickle.loads(path.read_bytes())
    plan = work()
    half = path.with_suffix(f".{os.getpid()}")
    half.write_bytes(pickle.dumps(plan, pickle.HIGHEST_PROTOCOL))
    os.replace(half, path)  # whole or not at all; two who worked it at the same time have worked the same
    return plan


@cache
def example(name: str) -> Design:
    return load(EXAMPLES / f"{name}.toml")


@cache
def planned(name: str) -> Plan:
    """An example, planned as stacked rows."""
    return planning.plan(example(name))


@lru_cache(maxsize=32)
def planned_of(text: str) -> Plan:
    """What a file of this text says, planned as stacked rows."""
    return planning.plan(parse(text))


def planned_as(name: str, hand: str = "", wording: str = "") -> Plan:
    """The same for another hand or in another wording; without a word as the example itself has it."""
    return _planned_as(name, *_as_read(name, hand, wording))


def _as_read(name: str, hand: str, wording: str) -> tuple[str, str]:
    """The same where nothing else was asked for, so that it is not worked twice."""
    design = example(name)
    return hand or design.hand, wording or design.wording


@cache
def _planned_as(name: str, hand: str, wording: str) -> Plan:
    return planning.plan(replace(example(name), hand=hand, wording=wording))


@cache
def figured(plan: Plan) -> Figures:
    """The drawings of such a plan: each is drawn once, whichever tests look at it."""
    return Figures(plan)


@lru_cache(maxsize=64)
def taught(plan: Plan) -> tuple[Step, ...]:
    """The steps of the work for a beginner: of one plan they are put together once, whichever tests read them."""
    return steps.taught(plan)


def outlined(name: str, asked: str, hand: str = "", wording: str = "") -> dict:
    """All that a handout of an example says, its drawings framed and not drawn."""
    return _outlined(name, asked, *_as_read(name, hand, wording))


@cache
def _outlined(name: str, asked: str, hand: str, wording: str) -> dict:
    from slype.paper.handout import outline

    return outline(_planned_as(name, hand, wording), asked)


def handout(
    name: str, asked: str = "student", paper: str = "a4", large: bool = False, hand: str = "", wording: str = ""
) -> bytes:
    """The handout of an example for one reader, as PDF."""
    return _handout(name, asked, paper, large, *_as_read(name, hand, wording))


@cache
def _handout(name: str, asked: str, paper: str, large: bool, hand: str, wording: str) -> bytes:
    from slype.paper.handout import Style, make

    plan = _planned_as(name, hand, wording)
    words = f"handout {name} {asked} {paper} {large} {hand} {wording}"
    return once(words, lambda: make(plan, asked, paper, Style(large=large)))


def framed(
    name: str, asked: str = "student", paper: str = "a4", large: bool = False, hand: str = "", wording: str = ""
) -> bytes:
    """The same with its drawings blank: all words and frames stand where they stand, and drawings take longest."""
    return _framed(name, asked, paper, large, *_as_read(name, hand, wording))


@cache
def _framed(name: str, asked: str, paper: str, large: bool, hand: str, wording: str) -> bytes:
    plan = _planned_as(name, hand, wording)
    return once(f"framed {name} {asked} {paper} {large} {hand} {wording}", lambda: framed_of(plan, asked, paper, large))


def framed_of(plan: Plan, asked: str, paper: str = "a4", large: bool = False) -> bytes:
    from slype.paper.handout import Style, outline
    from slype.paper.typeset import set_pages

    return set_pages("handout.typ", lambda: without_drawings(outline(plan, asked, paper, Style(large=large))))


def without_drawings(value):
    """What a document says, with everything that is drawn late as blank as it is framed."""
    if isinstance(value, Later):
        return value.blank
    if isinstance(value, list):
        return [without_drawings(each) for each in value]
    return {key: without_drawings(each) for key, each in value.items()} if isinstance(value, dict) else value


@cache
def rested(name: str) -> AtRest:
    """An example with every reed at rest."""
    return once(f"rested {name}", lambda: relax(example(name)))


@lru_cache(maxsize=16)
def rested_of(text: str) -> AtRest:
    """What a file of this text says with every reed at rest."""
    return once(f"rested {md5(text.encode()).hexdigest()}", lambda: relax(parse(text)))


def bordered(kind: str) -> AtRest:
    """A small wall of 24 ends with a border of the table, those of a foot too, with every reed at rest."""
    border = BORDERS[kind].border
    return once(f"bordered {kind}", lambda: relax(replace(parse(basket_text(ends=24, base="6 in")), border=border)))


@cache
def picture(name: str, view: str, hatched: bool = False) -> str:
    """A view of an example, as SVG."""
    from slype.draw.views import svg

    return once(f"picture {name} {view} {hatched}", lambda: svg(planned(name), view, hatched=hatched))


def painted(name: str) -> None:
    """An example as the painter and the drawer of lines see it, small: all that is compiled for pictures is, then."""
    from slype.draw.lines import drawing
    from slype.draw.painted import paint

    laid = planned(name).laid
    for view in ("outside", "inside", "above"):
        paint(laid, view, 60)
    drawing(laid, "outside")


@cache
def sheet(name: str, paper: str = "a4") -> bytes:
    """The handout of an example, as PDF."""
    from slype.paper.sheet import make

    with _drawn_once(name):
        return once(f"sheet {name} {paper}", lambda: make(planned(name), paper))


def sheet_like(name: str, plan: Plan) -> bytes:
    """The handout of a plan that is nearly this example's, with the example's pictures: for its words."""
    from slype.paper.sheet import make

    with _drawn_once(name):
        return make(plan)


@cache
def sheet_contents(name: str, wording: str = "") -> dict:
    """All that the handout of an example says, in its own wording or another."""
    from slype.paper.sheet import contents

    design = example(name)
    if wording in ("", design.wording):
        with _drawn_once(name):
            return once(f"contents {name}", lambda: contents(planned(name)))
    return once(f"contents {name} {wording}", lambda: sheet_words(planned_as(name, wording=wording)))


@lru_cache(maxsize=16)
def reeds_of(laid: Laid) -> list[Tube]:
    """The reeds of a basket in space: of the very same one, put there once."""
    from slype.space.tubes import tubes

    return tubes(laid)


def sheet_words(plan: Plan) -> dict:
    """All that the handout of a plan says, its pictures left out but for what is told of them."""
    from slype.paper import sheet as paper

    with mock.patch.object(paper.picture, "svg", lambda *_, **__: ""), mock.patch.object(
        paper.picture, "base_alone", lambda *_: ""
    ):
        return paper.contents(plan)


def _drawn_once(name: str):
    """Both papers show the same pictures of an example, which take longest."""
    from slype.paper import sheet as paper

    pictures = once(f"pictures {name}", lambda: paper._pictures(planned(name)))
    return mock.patch.object(paper, "_pictures", lambda made: pictures)
