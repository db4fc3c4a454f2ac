"""The handout as a reader gets it: its pages, its numbers, its words, and what a screen reader is told."""

import functools
import io
import re
from dataclasses import replace
from importlib import resources
from itertools import product

import pikepdf
import pytest
from pages import pages_of
from places import EXAMPLES
from worked import planned, sheet, sheet_contents, sheet_like

from slype.design.file import reader
from slype.draw.squares import MOST_SHEET_SPOKES, PAGE_HIGH_MM, PAGE_WIDE_MM, WIDE, squares_by_page
from slype.errors import DesignError
from slype.export.plan import as_json
from slype.lay.gauge import TUCK_MM
from slype.paper.sheet import make, on_each
from slype.plans import planning
from slype.quantity import parse_length, show_cut, show_length
from slype.space import assembly
from slype.tell.lists import bands_named, cut_list, pieced

NAMES = sorted(path.stem for path in EXAMPLES.glob("*.toml"))
POINTS = {"a4": (595.28, 841.89), "letter": (612, 792)}  # ISO 216 and ANSI, in points
POINT = 0.1
LEFTOVER = re.compile(r"[{}]|\bNone\b|\bnan\b|\binf\b")
HOSTILE = r"""Pot "of" 'gold' #let x = 1; $x^2$ \emph{z} \\ _a_ *b* `c` <d> @e // f [g] ~ 1/2"""


@pytest.fixture(scope="module")
def plan():
    return planned("estuary")


@functools.cache
def estuary(**values):
    """The sheet of the first example with some values of its design changed, printed once for all tests: its words are
    looked at, its pictures are the example's."""
    if not values:
        return sheet("estuary")
    text = resources.files("slype").joinpath("examples/estuary.toml").read_text(encoding="utf-8")
    return sheet_like("estuary", planning.plan(replace(reader.parse(text), **values)))


def text_of(pdf):
    return flat(" ".join(page.text for page in pages_of(pdf)))


def flat(text):
    """One space between words, soft line ends undone."""
    return " ".join(text.replace("\u00ad", "").split())


@pytest.mark.parametrize("name, paper", [*product(NAMES, POINTS)])
def test_every_example_prints_on_both_papers(name, paper):
    pdf = sheet(name, paper)
    pages = pages_of(pdf)
    assert 3 <= len(pages) <= 7
    for number, page in enumerate(pages, start=1):
        assert (page.wide, page.high) == pytest.approx(POINTS[paper], abs=POINT)
        assert f"page {number} of {len(pages)}" in page.text
        assert len(page.text.split()) > 60  # no page is all but empty
    printed = text_of(pdf)
    assert not LEFTOVER.search(printed), LEFTOVER.search(printed)
    at = [printed.replace(" ", "").index(flat(line).replace(" ", "")) for line in sheet_contents(name)["pieced"]]
    assert at == sorted(at), "weavers' pieces are read in the order of work, also over the end of a page"
    for said in sheet_contents(name)["steps"]:
        for line in said["lines"]:
            assert flat(line).replace(" ", "") in printed.replace(" ", "")


def rows_of(plan):
    return [row.cells for row in cut_list(plan)]


def test_the_cut_numbers_are_the_plans(plan):
    printed = text_of(estuary())
    spokes = plan.spokes
    assert f"{spokes.count} No. 5 round reed natural {show_length(spokes.cut_mm)}" in printed
    for row in rows_of(plan):
        assert flat(" ".join(row[1:5])) in printed
    assert show_length(plan.laid.border.length_mm) in printed
    wall = plan.laid.bands[-1]
    assert show_length(wall.end_s) in printed


def test_the_cut_list_counts_every_weaver_and_start(plan):
    rows = rows_of(plan)
    # Every setting-in of weavers is in the list: bands that go on with the same weavers stand in one row.
    wanted = sum(sum(len(strands) for strands in course.begins.colours) for course in plan.courses)
    assert sum(int(row[1]) for row in rows if row[0].startswith("Band")) == wanted
    assert "Bands 1 to 4" in {row[0] for row in rows}
    longest = max(plan.laid.bands, key=lambda band: len(band.segments))
    assert len(longest.segments) == 4
    pieces = [row[4] for row in rows if row[0] == f"Band {longest.index + 1}"]
    # All starts together hold at least the plan's length, and no more than an inch each above it.
    inches = [
        12 * int(feet) + int(rest or 0) for feet, rest in (re.findall(r"\d+", piece + " 0")[:2] for piece in pieces)
    ]
    planned = sum(course.weaver_mm for course in plan.courses if course.begins is longest)
    assert 0 <= sum(inches) * 25.4 - planned <= 4 * 25.4


def test_the_range_of_a_weaver_is_the_one_of_the_promised_form(plan):
    rows = {row[0]: row for row in rows_of(plan) if "start" not in row[6]}
    form = as_json(plan)
    seen = 0
    for course in plan.courses:
        if bands_named(course) in rows:
            low, high = (sum(form["bands"][i]["strands"][0]["range_mm"][end] for i in course.bands) for end in (0, 1))
            joined = sum(join["overlap_mm"] for join in form["joins"] if join["band"] in course.bands)
            told = rows[bands_named(course)][5].split(" to ")
            assert abs(_mm(told[0]) - low) < 26 + joined and abs(_mm(told[1]) - high) < 26 + joined
            seen += 1
    assert seen >= 4


def _mm(text):
    """Feet and inches as printed, in mm; the least of a range may leave out its unit."""
    return parse_length(text if text[-1].isalpha() else f"{text} in")


def blocks(rows, every):
    """A straight wall of three weavers, ended after `every` rows: its cut list's rows for that band."""
    text = f"""
        [spokes]
        reed = "round 5"
        ends = 24
        [form]
        base = "6 in"
        wall = [["0 in", "6 in"], ["4 in", "{7 if every == 1 else 6} in"]]
        [[band]]
        where = "side"
        weave = "three-rod wale"
        reed = "round 2"
        colours = ["rust", "sand", "sand"]
        rows = {rows}
        blocks = {{ rows = {every}, shift = 1 }}
        [border]
        rows = ["behind 1 out", "over 2 down"]
    """
    plan = planning.plan(reader.parse(text))
    return plan.laid.bands[0], [row for row in rows_of(plan) if row[0] == "Band 1"]


def test_starts_of_one_length_are_cut_together():
    _, rows = blocks(12, 3)
    assert [(row[1], row[3], row[6]) for row in rows] == [("12", "4 rust, 8 sand", "starts 1 to 4")]


def test_many_starts_are_all_cut_like_the_longest():
    band, rows = blocks(12, 1)
    assert [row[1] for row in rows] == ["36"]
    assert rows[0][4] == show_cut(float(band.row_mm.max()) + 2 * TUCK_MM, "in")
    assert show_cut(float(band.row_mm.min()) + 2 * TUCK_MM, "in") != rows[0][4]


def test_a_long_weaver_is_said_to_be_joined(plan):
    long = [course for course in plan.courses if course.weaver_mm > course.usable_mm]
    assert long
    rows = {row[0]: row for row in rows_of(plan)}
    assert "see pieces" in rows[bands_named(long[0])][6]
    told = [line for line in pieced(plan) if line.startswith(bands_named(long[0]))]
    assert len(told) == len(long[0].begins.colours)
    # The pieces make up the weaver, overlaps and all, and none is longer than the reed it comes from.
    for cut in plan.cuts:
        assert max(cut.pieces_mm) <= cut.course.usable_mm + 1e-6
        joined = [join.overlap_mm for join in plan.all_joins if join.band in cut.course.bands
                  and join.weaver == cut.weaver and cut.course.weaves(join.band, join.row)]  # fmt: skip
        assert len(joined) == len(cut.pieces_mm) - 1
        assert cut.length_mm == pytest.approx(cut.course.weaver_mm + sum(joined))


def test_a_left_handed_sheet_says_mirrored_words():
    right, left = (text_of(sheet) for sheet in (estuary(), estuary(hand="left")))
    assert "Take the left-hand weaver" in right and "Take the right-hand weaver" not in right
    assert "Take the right-hand weaver" in left and "Take the left-hand weaver" not in left
    assert "toward the left" in left and "toward the left" not in right


def test_wordings():
    british = text_of(estuary(wording="uk", units="cm"))
    assert "stakes" in british and "Colour chart" in british and "Work the border" in british
    assert not re.search(r"\b[Ss]pokes?\b|\b[Rr]im\b|\b[Cc]olors?\b|\bmoldy\b| in across", british)
    american = text_of(estuary())
    assert "spokes" in american and "Color chart" in american and "Work the border" in american
    assert not re.search(r"\b[Ss]takes?\b|\b[Rr]im\b|\b[Cc]olours?\b|\bmouldy\b|\d cm\b", american)


def test_pictures_have_text_and_the_document_a_title_and_language(plan):
    with pikepdf.open(io.BytesIO(estuary())) as pdf:
        assert str(pdf.Root.Lang).startswith("en")
        assert pdf.Root.MarkInfo.Marked
        assert pdf.Root.ViewerPreferences.DisplayDocTitle
        with pdf.open_metadata() as metadata:
            assert metadata["dc:title"] == plan.design.title
            assert metadata["pdfuaid:part"] == "1"
        figures = [tag for tag in tags(pdf.Root.StructTreeRoot) if str(tag.S) == "/Figure"]
        assert len(figures) == 5  # side, two unrolled, squares, base
        for figure in figures:
            assert len(str(figure.Alt)) > 40
        kinds = {str(tag.S) for tag in tags(pdf.Root.StructTreeRoot)}
    assert {"/Table", "/TH", "/H1", "/H2"} <= kinds


def tags(tag):
    """Every structure element below `tag`."""
    kids = tag.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield kid
            yield from tags(kid)


def test_a_hostile_title_is_printed_as_written():
    title = HOSTILE + "x" * (120 - len(HOSTILE))
    assert len(title) == 120
    pdf = estuary(title=title)
    printed = text_of(pdf).replace("½", "1/2").replace("1⁄2", "1/2").replace(" ", "")
    assert title.replace(" ", "") in printed.replace("-", "") or title.replace(" ", "") in printed
    with pikepdf.open(io.BytesIO(pdf)) as read, read.open_metadata() as metadata:
        assert metadata["dc:title"] == title


def test_signs_that_no_font_has_do_not_stop_the_press():
    pdf = estuary(title="Pot 🧺 of gold 𒀀")
    printed = text_of(pdf)
    assert "Pot " in printed and "gold" in printed


def test_users_colour_names_are_data(plan):
    bands = tuple(
        replace(band, colours=tuple("#lorem(9)*_" if c == "rust" else c for c in band.colours))
        for band in plan.design.bands
    )
    pdf = make(
        planning.plan(replace(plan.design, bands=bands, palette={**plan.design.palette, "#lorem(9)*_": "#a0a0a0"}))
    )
    assert "#lorem(9)*_" in text_of(pdf)


def test_the_same_plan_gives_the_same_sheet_alone_or_on_one_paper_after_the_other(plan):
    letter, a4 = on_each(planning.plan(plan.design), ("letter", "a4"))
    same = letter == sheet("estuary", "letter"), a4 == sheet("estuary")  # told apart in full, a failure took minutes
    assert same == (True, True)


def test_an_unweavable_design_is_said_so():
    text = resources.files("slype").joinpath("examples/posy.toml").read_text(encoding="utf-8")
    design = reader.parse(text.replace("ends = 17", "ends = 16"))
    assert "Cannot be woven." in text_of(make(planning.plan(design)))


def test_an_unknown_paper_is_refused(plan):
    with pytest.raises(DesignError, match="letter"):
        make(plan, "leter")


@pytest.mark.parametrize("name", NAMES)
def test_the_base_so_far_is_the_base_alone(name):
    """Nothing has turned up yet when it is looked at: no weaver of the wall, no border, every stick flat to its tip."""
    example = planned(name)
    tubes = assembly.base_alone(example.laid)
    assert {each.role for each in tubes} == {"stick", "weaver"}
    assert {each.band for each in tubes if each.role == "weaver"} == set(range(len(example.laid.base)))
    assert max(float(abs(each.points[:, 2]).max()) for each in tubes) < 12.0  # some thicknesses of reed
    reach = example.laid.base_reached_mm / 2
    far = [max(float((each.points[:, :2] ** 2).sum(axis=1).max()) ** 0.5 for each in tubes if each.role == role)
           for role in ("stick", "weaver")]  # fmt: skip
    assert far[0] > far[1] + 15.0 and (far[1] < reach + 15.0 or not example.design.form.is_round)
    shows = [step["title"] for step in sheet_contents(name)["steps"] if step["shows"]]
    assert len(shows) == 1 and f"Band {len(example.laid.base)}, base" in shows[0]
    assert "base" in sheet_contents(name)["pictures"] and "under" not in sheet_contents(name)["pictures"]


def every_text(value):
    """All words of the sheet's contents but those inside a drawing."""
    if isinstance(value, str):
        return [value]
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [text for key, each in inner if key != "svg" for text in every_text(each)]


@pytest.mark.parametrize("wording, foreign", [("us", "cane|canes"), ("uk", "reed|reeds")])
@pytest.mark.parametrize("name", NAMES)
def test_one_word_for_what_is_woven_with(name, wording, foreign):
    """Reed in America, cane in Britain, whichever numbers the design counts in."""
    said = sheet_contents(name, wording)
    texts = [
        text for key, each in said.items() if key not in ("sources", "title", "short") for text in every_text(each)
    ]
    assert len(texts) > 100
    found = [text for text in texts if re.search(rf"\b(?:{foreign})\b", text, re.IGNORECASE)]
    assert not found, found


@pytest.mark.parametrize("rows, ends", [(12, 20), (30, 32), (90, 32), (200, 24), (80, 60)])
def test_the_chart_to_count_by_has_every_row_once_in_as_few_pages_as_can_be_read(plan, rows, ends):
    first = plan.design.bands[0]
    wall = replace(next(band for band in plan.design.bands if band.where == "side"), rows=rows, height_mm=None,
                   until_mm=None, colours=("rust", "sand", "natural"))  # fmt: skip
    height = 12.0 * (rows + 10)
    form = replace(plan.design.form, base_mm=200.0, wall=((0.0, 200.0), (height, 230.0)))
    spokes = replace(plan.design.spokes, ends=ends)
    base = replace(first, group=1, rows=8, until_mm=None)
    tall = planning.plan(replace(plan.design, form=form, spokes=spokes, bands=(base, wall, replace(wall, rows=2))))
    pieces = squares_by_page(tall)
    shown = min(ends, MOST_SHEET_SPOKES)
    boxes = sum(each.drawing[0].count('h2.6v2.6h-2.6z') for each in pieces)
    assert boxes == rows + 2  # one to tick beside every row
    assert len(re.findall(r"<rect ", "".join(each.drawing[0] for each in pieces))) >= rows * shown
    assert len(pieces) == -(-(rows + 2) // 60) or len(pieces) == -(-(rows + 2) // 45)
    for each in pieces:
        _, _, wide, high = each.drawing[1]
        scale = each.wide_mm / wide
        assert each.wide_mm <= PAGE_WIDE_MM + 0.1 and high * scale <= PAGE_HIGH_MM + 10
        assert 4.1 <= WIDE * scale <= 6.7


@pytest.mark.parametrize("name, paper", [*product(NAMES, POINTS)])
def test_no_page_is_left_to_one_paragraph(name, paper):
    """The words of every page reach below its middle, or stand in both columns."""
    for number, page in enumerate(pages_of(sheet(name, paper)), start=1):
        above_foot = page.boxes[page.boxes[:, 3] < page.high - 60]
        low = max(above_foot[:, 3].max(), page.pictures[page.pictures[:, 3] < page.high - 60][:, 3].max(initial=0))
        assert low > 0.45 * page.high or above_foot[:, 0].max() > page.wide / 2, (number, low / page.high)
