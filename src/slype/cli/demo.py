"""`slype demo`: the example designs in a folder, and the first of them worked from end to end.

The folder is slype's own: it carries a note by which a second run knows it. A folder with anything else in it is left
alone, and so is an example that its reader has begun to change.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from importlib import resources
from textwrap import fill

from .. import files
from ..design.file.reader import load
from ..errors import FileTrouble
from ..export import plan as plan_json
from ..export.promised import chart_json
from ..make import baskets, papers, pictures
from ..offers import VIEWS
from ..plans import planning
from ..plans.planning import Plan
from ..quantity import show_length, show_mass, show_piece, show_time
from ..report import plans, printed, rests, tables
from ..tell.voice import effect_in_words, ring_across
from ..words import say, several

FIRST = "estuary.toml"
NOTE = "about-this-folder.txt"
LESSON = "lesson.html"
SHEETS = (  # hand, wording, units, papers by name
    ("right", "us", "in", {"right-a4": "a4", "right-letter": "letter"}),
    ("left", "uk", "cm", {"left-uk-a4": "a4"}),
)


def make(folder: str, progress: Callable[[str], None] = lambda words: None) -> list[str]:
    """Fill `folder` and return what to tell: where it is and the main figures.

    Raises FileTrouble, before anything is written, when the folder holds files that are not slype's.
    """
    _claim(folder)
    kept = _copy_examples(folder)
    design = load(os.path.join(folder, FIRST))
    progress("bringing the reeds to rest (half a minute, the first time)")

    def share(done: float) -> None:
        progress(f"bringing the reeds to rest, {done:.0%}")

    plan = baskets.planned(design, lambda each: baskets.settled(each, progress=share))
    _write_reports(folder, plan)
    for view in VIEWS:
        progress(f"drawing it {view}")
        for kind, picture in pictures.every_kind(plan, view).items():
            files.write(os.path.join(folder, f"picture-{view}.{kind}"), picture)
    progress("making it a solid")
    files.write(os.path.join(folder, "basket.glb"), pictures.solid(plan))
    progress("making the lesson")
    files.write(os.path.join(folder, LESSON), papers.lesson(plan))
    for hand, wording, units, named in SHEETS:
        progress(f"setting the sheet {' and '.join(named)}")
        other = planning.reworded(plan, hand=hand, wording=wording, units=units)
        for name, pdf in zip(named, papers.sheets(other, tuple(named.values())), strict=True):
            files.write(os.path.join(folder, f"sheet-{name}.pdf"), pdf)
    return [*_figures(folder, plan), *kept]


def _claim(folder: str) -> None:
    files.make_folder(folder)
    names = files.read_folder(folder)
    if names and NOTE not in names:
        raise FileTrouble(
            "this folder holds files that are not from slype.", folder, "Give a new or an empty folder with -o."
        )
    files.write(os.path.join(folder, NOTE), _NOTE)


_NOTE = """This folder was made by `slype demo`. Run again, it makes all anew but the designs
that you have changed.

*.toml         example designs: change anything, then try  slype plan NAME.toml
plan.txt       what to cut, weigh out, soak and allow time for
plan.json      the same for other programs: lengths in mm, masses in g
at-rest.txt    what the reeds say of heights, lengths, light and bends once they lie at rest
chart.json     which colour every row lays on every spoke
picture-*      the basket from every side and its charts, as .svg for print and .png for the screen
basket.glb     the basket as a solid, for programs that turn it in space
sheet-*.pdf    the pattern sheet to hand out, for either hand, A4 and Letter
lesson.html    plays the weaving stroke by stroke on a phone: send it, or open it here
"""


def _copy_examples(folder: str) -> list[str]:
    """Copy the examples; a line for each that is kept because it was changed."""
    kept = []
    for example in sorted(resources.files("slype").joinpath("examples").iterdir(), key=lambda each: each.name):
        if not example.name.endswith(".toml"):
            continue
        path, content = os.path.join(folder, example.name), example.read_bytes()
        if os.path.exists(path):
            with open(path, "rb") as file:
                if file.read() != content:
                    kept.append(f"{path} is not as it came with slype; it was left as it is.")
            continue
        files.write(path, content)
    return kept


def _write_reports(folder: str, plan: Plan) -> None:
    form = chart_json(plan.laid)
    for name, content in (
        ("plan.json", json.dumps(plan_json.as_json(plan), indent=1, ensure_ascii=False) + "\n"),
        ("chart.json", json.dumps(form, ensure_ascii=False) + "\n"),
        ("plan.txt", printed.text(plans.plan(plan))),
        ("at-rest.txt", printed.text(rests.at_rest(plan))),
        ("chart.txt", printed.text(tables.chart(plan.laid, form, width=80))),
    ):
        files.write(os.path.join(folder, name), content)


def _figures(folder: str, plan: Plan) -> list[str]:
    design, laid = plan.design, plan.laid
    high, mouth = show_length(laid.finished_height_mm, design.units), ring_across(design, laid.top_s)
    weight = sum(amount.mass_g for amount in plan.amounts)
    spokes, cut = say("{spokes}", design.wording), show_piece(plan.spokes.cut_mm, design.units)
    looks = [effect_in_words(band, design.hand) for band in laid.bands if len(set(band.band.colours)) > 1]
    figures = (
        ("finished", f"{high} high, {mouth} across the mouth"),
        (spokes, f"{plan.spokes.count} of {cut}, giving {design.spokes.ends} ends"),
        ("reed", f"{show_mass(weight, design.units)} in all"),
        ("time", f"about {show_time(plan.time.seconds)}"),
        *(("looks", words) for words in looks),
        ("advice", f"{several(len(plan.advice), 'remark')}, in plan.txt"),
    )
    return [
        f"{design.title}, in the folder {os.path.abspath(folder)}",
        *(fill(text, 80, initial_indent=f"  {name:<10} ", subsequent_indent=" " * 13) for name, text in figures),
        f"Hand out {os.path.join(folder, 'sheet-right-letter.pdf')}.",
        f"Open {os.path.join(folder, LESSON)} on a phone.",
        f"{NOTE} says what everything is.",
    ]
