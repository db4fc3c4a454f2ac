"""Handouts by reader: for the student, the teacher, the experienced (a card) and whoever shows it, as PDF.

All from one list of steps (`teach.steps`); which of it a reader gets is said in READERS. `handout.typ` sets it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from ..design.values import Pace
from ..draw import squares
from ..draw import views as picture
from ..errors import DesignError, did_you_mean
from ..figures.figure import Figures, figures_of
from ..figures.later import drawn
from ..figures.pen import greyed
from ..figures.strips import trouble_svg
from ..kit.pace import SKILLS
from ..lay.chart import letters_for, seen_rows
from ..offers import PAPERS, READERS
from ..plans.cautions import cautions
from ..plans.planning import Plan
from ..quantity import show_time
from ..teach.card import card
from ..teach.measures import DISAGREES, rows_changed, ruler_remedies
from ..teach.showing import script
from ..teach.step.bench import Bench, numbers
from ..teach.step.glossary import meaning, words_in
from ..teach.step.values import CLOSE, Step
from ..teach.steps import taught
from ..teach.troubles import strokes_in_rows, troubled_band, troubles
from ..tell.attachments import handle_facts, lid_facts
from ..tell.bases import clock_above
from ..tell.bundled import BundleRow, bundle_rows, spare_told
from ..tell.lists import CutRow, cut_list, first_up, opened, pieced, ruler, sources_line, watch_list
from ..tell.steps import tools
from ..tell.voice import base_across, in_both, length_to_cut, ring_across, title_of_band, voice, with_cm, worded
from .typeset import Said, paper_named, set_pages, short

"""student: numbered steps with drawings, one number for each thing; teacher: that with ranges, advice, times, answers;
card: one page for the experienced, in large type more; showing: the script of whoever shows it to a class."""
PACES = tuple((skill.who, skill.times) for skill in SKILLS.values())
"""(who, how many times as long as the plan's own pace, which is a beginner's, everything takes)."""


@dataclass(frozen=True)
class Style:
    """How it is set: `large` type (18 pt) for weak eyes, `grey` for prints without colour."""

    large: bool = False
    grey: bool = False


def make(plan: Plan, reader: str = "student", paper: str = "a4", style: Style = Style()) -> bytes:
    """The handout of a plan for one of READERS, as PDF bytes. Raises DesignError for another reader or paper."""
    if reader not in READERS:
        raise DesignError(f'"{reader:.20}" is no reader I know.', "for", did_you_mean(reader[:20], READERS))
    return set_pages("handout.typ", lambda: outline(plan, reader, paper, style))


def contents(plan: Plan, reader: str, paper: str = "a4", style: Style = Style()) -> dict[str, Any]:
    """All that a handout says, as text and lists ready to print."""
    said: dict[str, Any] = drawn(outline(plan, reader, paper, style))
    return said


def outline(plan: Plan, reader: str, paper: str = "a4", style: Style = Style()) -> Said:
    """The same with drawings of the work as `figures.later.Later`: framed, and not drawn yet."""
    tell, _ = voice(plan.design)
    steps, early = taught(plan), _first_words(plan, reader)
    figures = figures_of(plan, not style.grey)
    return {
        "title": plan.design.title,
        "short": short(plan.design.title),
        "paper": PAPERS[paper_named(paper)].typst,
        "region": "GB" if plan.design.wording == "uk" else "US",
        "reader": reader,
        "large": style.large,
        "close": CLOSE_WIDE,
        "facts": _facts(plan),
        "picture": {"svg": figures.picture,
                    "alt": picture.describe(plan, "outside" if plan.laid.side else "under")},
        "bundles": [_bundle(each) for each in bundle_rows(plan)],
        "spare": spare_told(plan),
        "tools": ", ".join(tools(plan)),
        "early": [list(meaning(key, plan.design)) for key in early],
        "chapters": _chapters(figures, _without(steps, early), reader, style.large)
        if reader in ("student", "teacher") else [],
        "charts": _charts(plan, style) if plan.laid.side else [],
        "reading": [first_up(tell(WORDS["squares"])), *squares.reading(plan), *_halved(plan)],
        "key": _key(plan, style),
        "watch": watch_list(plan) if reader == "teacher" else [],
        "first": _cautions(plan, reader, first=True),
        "cautions": _cautions(plan, reader, first=False),
        "times": _times(plan) if reader in ("teacher", "showing") else [],
        "troubles": _troubles(plan, style) if reader in ("student", "teacher") else [],
        "trouble": _trouble_band(plan),
        "measures": _measures(plan) if reader != "card" else {},
        "card": [list(line) for line in card(plan)] if reader == "card" else [],
        "script": _script(figures, steps) if reader == "showing" else [],
        "opened": [*pieced(plan), *opened(plan)] if reader == "teacher" else [],
        "ranges": _ranges(plan) if reader == "teacher" else [],
        "sources": sources_line(plan) if reader == "teacher" else [],
        "words": {key: first_up(tell(text)) for key, text in WORDS.items()},
    }  # fmt: skip


WORDS = {
    "reed": "{reed}",
    "colour": "{colour}",
    "squares": "Seen from outside, the first row at the foot: a square for each stroke that is seen. {Spokes} are "
    "numbered below, spaces in rings between them. Strokes run towards the {forward}. Tick a box for each row.",
    "short-caution": "Blades, bodkins and wet floors: take the usual care; labels and local rules go first. Strength "
    "is not rated.",
}


def _first_words(plan: Plan, reader: str) -> tuple[str, ...]:
    """Keys of the words of the trade on the first page: what is cut, tools, what to read before beginning."""
    if reader not in ("student", "teacher"):
        return ()
    listed_there = [text for row in bundle_rows(plan) for text in (row.what, row.reed, *row.cut)]
    cared = [text for _, text in _cautions(plan, reader, first=True)]
    facts = [f"{name} {fact}" for name, fact in _facts(plan)]
    found = words_in(" ".join([*listed_there, *tools(plan), *facts, *cared]), plan.design)
    return tuple(key for key in found if key != "awl" or "awl" in " ".join(tools(plan)))


def _without(steps: tuple[Step, ...], told: tuple[str, ...]) -> tuple[Step, ...]:
    """The steps without the words that are told before them."""
    return tuple(replace(step, words=tuple(key for key in step.words if key not in told)) for step in steps)


def _cautions(plan: Plan, reader: str, first: bool) -> list[list[str]]:
    """(heading, text): those to read before the first step, or the others; of finishes only whoever teaches."""
    found = [(each, text) for each, text in cautions(plan) if each.first == first]
    if reader in ("student", "teacher"):  # the others stand at their steps
        found = [(each, text) for each, text in found if each.first or (each.finish and reader == "teacher")]
    return [[first_up(worded(each.key, plan.design.wording)), text] for each, text in found]


def _facts(plan: Plan) -> list[list[str]]:
    tell, long = voice(plan.design)
    design = plan.design
    out = [["Base", f"{base_across(design)} across"]]
    if plan.board is not None:
        thick = with_cm(design, long(design.base.thickness_mm), design.base.thickness_mm)
        out.append(["Board", f"{base_across(design)}, {thick} thick"])
    if plan.laid.side:
        out += [
            ["Mouth", f"{ring_across(design, plan.laid.top_s)} across"],
            ["Height", with_cm(design, long(plan.laid.finished_height_mm), plan.laid.finished_height_mm)],
        ]
    out += [
        [first_up(tell("{spokes}")), f"{design.top_ends} stand all round"],
        *(["Handle", fact] for fact in handle_facts(plan)),
        *(["Lid", first_up(fact)] for fact in lid_facts(plan)),
        ["Hand", tell("{side}: you work towards the {forward}", side=design.hand) + _from_above(plan)],
        [
            "Time",
            f"about {show_time(plan.time.seconds)}, besides cutting, "
            f"{'drilling, ' if plan.board else ''}soaking and drying",
        ],
    ]
    return out


def _from_above(plan: Plan) -> str:
    return f", {clock_above(plan.design)} seen from above" if plan.laid.side else ""


def _times(plan: Plan) -> list[list[str]]:
    """About how long it takes, for several paces; at the maker's own where that is stated."""
    if plan.design.pace != Pace():
        return [["at your pace", f"about {show_time(plan.time.seconds)}"]]
    return [[who, f"about {show_time(plan.time.seconds * share)}"] for who, share in PACES]


def _bundle(row: BundleRow) -> list[object]:
    """(number, for what, count, reed, colour, cut)."""
    return [str(row.number), row.what, str(row.count), row.reed, row.colour, list(row.cut)]


def _chapters(figures: Figures, steps: tuple[Step, ...], reader: str, large: bool) -> list[dict[str, Any]]:
    out: list[dict[str, Any]] = []
    for step in steps:
        if not out or out[-1]["title"] != step.chapter:
            out.append({"title": step.chapter, "steps": []})
        out[-1]["steps"].append(_step(figures, step, reader, large))
    return out


LARGER = 2.1
"""How many times larger everything is written on drawings for weak eyes, as 18 pt is to 10 and a little more, for a
drawing's numbers are small on any page (as it looked best, no source)."""


MANY_GROUPS, MANY_ENDS = 10, 20
"""A base of more groups is drawn larger where all of them are numbered, and one of more ends larger still."""


CLOSE_WIDE = 58.0
"""A close view of the work that stands alone, mm."""
ALL_WIDE = 172.0
"""A drawing that takes all of the page, mm."""


def _all_round(step: Step, singly: bool) -> int:
    """How many ends or groups a step counts all round a base."""
    return max((len(each.numbers) if each.what == "groups" else each.numbers[0] for each in step.counts
                if each.what in ("groups", "spaces", *(("ends",) if singly else ()))), default=0)  # fmt: skip


def _many_all_round(step: Step, singly: bool) -> bool:
    """True where a drawing numbers so many all round that in large type it needs the width of the page."""
    if step.drawings[0].kind == "board":
        return True
    flat = step.drawings[0].kind == "whole" and step.part in ("cross", "base")
    return flat and _all_round(step, singly) > MANY_GROUPS


def wide_mm(step: Step, singly: bool, large: bool = False) -> list[float]:
    """How wide each drawing of a step stands on the page, so that what is written on it has its size there; `singly`
    where every end of the base is numbered by itself from the first, as none lie in arms."""
    kinds = ["near" if each.kind in CLOSE else "whole" for each in step.drawings]
    if large and len(kinds) == 1 and _many_all_round(step, singly):
        return [ALL_WIDE]
    if large:
        return [130.0 if kind == "near" else 100.0 for kind in kinds] if len(kinds) == 1 else [86.0] * len(kinds)
    if len(kinds) == 3:  # the last is the hardest to see: a half stick beside whole ones
        return [38.0, 38.0, CLOSE_WIDE]
    if kinds == ["whole"] and step.part in ("cross", "base"):
        many = _all_round(step, singly)
        return [84.0 if many > MANY_ENDS else 66.0 if many > MANY_GROUPS else 52.0]
    if [each.kind for each in step.drawings] == ["board"]:
        return [84.0]
    if any(each.kind == "tails" for each in step.drawings) or _closes(step):  # one below the other
        return [CLOSE_WIDE] * len(kinds)
    return [{"near": CLOSE_WIDE, "whole": 44.0}[kind] if len(kinds) == 1 else 47.5 for kind in kinds]


def _closes(step: Step) -> bool:
    """True where a row of a border is closed: each of its last moves is drawn by itself, with words on what it meets,
    and beside many sentences there is room for them one below the other."""
    drawn = [each for each in step.drawings if each.kind in CLOSE]
    return step.part == "border" and len(drawn) > 1 and all(each.beyond - each.first == 1 for each in drawn)


def _step(figures: Figures, step: Step, reader: str, large: bool) -> dict[str, object]:
    design, teacher = figures.plan.design, reader == "teacher"
    wides = wide_mm(step, not design.form.is_round, large)
    drawings = [(each, wide, figures.later(step, each, wide / (LARGER if large else 1.0)))
                for each, wide in zip(step.drawings, wides, strict=True)]  # fmt: skip
    return {
        "number": step.number,
        "title": step.title,
        "bundles": [str(number) for number in step.bundles],
        "does": step.on_paper,
        "table": None if step.table is None else [list(step.table.head), [list(row) for row in step.table.rows]],
        "looks": list(step.looks),
        "slips": [[slip.seen, slip.undo] for slip in step.slips],
        "rows": list(step.rows or ()),
        "marks": [[row, word] for row, word in step.marks],
        "drawings": [
            {
                "svg": later,
                "alt": each.alt,
                "caption": each.caption,
                "wide": wide,
                "high": later.high,
            }
            for each, wide, later in drawings
        ],
        "care": [list(each) for each in step.care],
        "minutes": "" if step.minutes is None or not teacher else f"about {show_time(step.minutes * 60)}",
        "why": [list(each) for each in step.why] if teacher else [],
        "watch": list(step.watch) if teacher else [],
        "words": [list(meaning(key, design)) for key in step.words],
    }


def _troubles(plan: Plan, style: Style) -> list[dict[str, object]]:
    bench = Bench(plan)
    return [
        {
            "title": each.title,
            "seen": list(each.seen),
            "undo": list(each.undo),
            "svg": trouble_svg(bench, each, not style.grey),
            "alt": each.alt,
        }
        for each in troubles(bench)
    ]


def _measures(plan: Plan) -> dict[str, object]:
    """What the ruler should say band by band, and what helps where it says something else."""
    bench, (tell, _) = Bench(plan), voice(plan.design)
    return {
        "title": DISAGREES,
        "ruler": ruler(plan),
        "changed": [tell(line) for line in rows_changed(bench)],
        "remedies": [[tell(each.seen), tell(each.undo)] for each in ruler_remedies(bench)],
    }


def _trouble_band(plan: Plan) -> str:
    """For which band troubles are drawn, and what its numbers are."""
    band = troubled_band(Bench(plan))
    if band is None:
        return ""
    title = title_of_band(plan.design, plan.laid, plan.laid.bands.index(band))
    drawn_for = f"Drawn for {title[:1].lower()}{title[1:]}, its first rows. Other bands go wrong in the same ways."
    rows = [f"{many} in {whose}{numbers(bands, *BANDS)}"
            for each, whose in ((plan, ""), (plan.lid, "the lid's ")) if each is not None
            for many, bands in strokes_in_rows(Bench(each))]  # fmt: skip
    twice = "Two thin bars, one above the other: two weavers lie on one {spoke}. " if any(
        each.doubled for each in troubles(Bench(plan))) else ""  # fmt: skip
    return worded(
        f"{drawn_for} A row back, in strokes: {'; '.join(rows)}. To take back a stroke, draw the weaver out the way it "
        f"came, the newest first. A ring marks where a slip shows first. {twice}Numbers below are those of the "
        "{spokes}.",
        plan.design.wording,
    )


BANDS = ("band", "bands")


def _script(figures: Figures, steps: tuple[Step, ...]) -> list[dict[str, object]]:
    return [
        {
            "title": part.title,
            "steps": list(part.steps),
            "ready": part.ready,
            "samples": part.samples,
            "look": part.look,
            "hold": part.hold,
            "say": [[number, title, list(lines)] for number, title, lines in part.say],
            "slips": [[slip.seen, slip.undo] for slip in part.slips],
            "minutes": [] if part.minutes is None else _by_pace(part.minutes),
            "other": part.other,
            "drawing": None
            if part.drawing is None
            else {"svg": figures.later(*part.drawing), "alt": part.drawing[1].alt, "caption": part.drawing[1].caption},
        }
        for part in script(figures.plan, steps)
    ]


def _by_pace(minutes: float) -> list[str]:
    return [f"about {show_time(minutes * 60 * share)} ({who})" for who, share in PACES[:2]]


def _ranges(plan: Plan) -> list[list[str]]:
    """(what, cut, from to) of every row of the cut list; for a British reader who measures in
    inches with the centimetres beside them."""
    return [
        [f"{row.what} ({row.remark})" if row.remark else row.what, *_ranged(plan, row)] for row in cut_list(plan)
    ]


def _ranged(plan: Plan, row: CutRow) -> tuple[str, str]:
    """(cut, from to) of a row of the cut list."""
    if not in_both(plan.design):
        return row.length, row.between
    low, high = (f"{mm / 10:.0f}" for mm in row.range_mm)
    return length_to_cut(plan.design, row.cut_mm, 2 if row.piece else 1), f"{row.between} ({low} to {high} cm)"


def _halved(plan: Plan) -> list[str]:
    """What the halves of squares are that stand at both edges of a chart of the whole round; nothing where there are
    none."""
    whole = plan.design.top_ends <= squares.MOST_SHEET_SPOKES
    rows = ((band.ends, row) for band in plan.laid.side for row in seen_rows(plan.laid, band))
    if whole and any(a < edge < b for ends, row in rows for a, b, _ in row for edge in (0, ends)):
        return ["The half squares at both edges of a row are one stroke: it passes space 1."]
    return []


def _key(plan: Plan, style: Style) -> list[dict[str, str]]:
    """What each colour looks like on the chart."""
    letters, shown = letters_for(plan.design), {name: squares.swatch(plan, name) for name in plan.design.palette}
    return [{"name": f"{name} ({letters[name].upper()})", "svg": greyed(svg) if style.grey else svg}
            for name, svg in shown.items()]  # fmt: skip


def _shape(svg: str) -> float:
    """How many times as high as wide a drawing is."""
    wide, high = svg.partition('viewBox="')[2].partition('"')[0].split()[2:]
    return float(high) / float(wide)


def _charts(plan: Plan, style: Style) -> list[dict[str, object]]:
    if not any(len(set(band.band.colours)) > 1 for band in plan.laid.side):
        return []
    about = picture.describe(plan, "squares")
    return [
        {
            "svg": greyed(svg) if style.grey else svg,
            "alt": f"{about} Here: {bands}.",
            "wide": round(wide, 1),
            "high": _shape(svg),
            "bands": bands,
        }
        for svg, wide, bands in picture.chart_pages(plan)
    ]
