"""Handouts as their readers get them: pages, words, drawings, and what a screen reader is told."""

import io
import re
from dataclasses import replace
from itertools import pairwise, product

import numpy as np
import pikepdf
import pypdfium2
import pypdfium2.raw as raw
import pytest
import typst
from pages import pages_of, tags_of
from places import SOURCE
from samples import BOARD
from worked import framed, framed_of, handout, outlined, planned_as, planned_of, taught

from slype.errors import DesignError
from slype.paper.handout import READERS, Style, contents, make, outline
from slype.paper.press import Press
from slype.plans.planning import plan
from slype.tell.bundled import bundle_rows

EDGE = 20.0  # points of white that every page keeps
FOREIGN = {
    "us": r"rim|stakes?|slath|cane|upsett|colou?rs?(?<!colors)(?<!color)|grey|anticlockwise|towards|mouldy",
    "uk": r"(?:bye-)?spokes?|rim|reeds?|upset|colors?|gray|counterclockwise|toward|moldy",
}
"""Words of the other wording."""
BOTH = [("us", "right"), ("uk", "left")]


def planned(name="posy", **values):
    return planned_as(name, **values)


def printed(reader_="student", name="posy", paper="a4", large=False, **values):
    return handout(name, reader_, paper, large, **values)


def words(pdf):
    return " ".join(" ".join(page.text.split()) for page in pages_of(pdf))


@pytest.mark.parametrize("asked, both", [*product(READERS, BOTH)])
def test_every_reader_gets_pages_in_one_wording_and_within_their_edges(asked, both):
    wording, hand = both
    pages = pages_of(printed(asked, wording=wording, hand=hand))
    within_edges(pages)
    for number, page in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in page.text
        found = re.findall(rf"\b(?:{FOREIGN[wording]})\b", page.text, re.IGNORECASE)
        assert not found, found
        assert not re.search(r"[{}]|\bNone\b|\bnan\b", page.text)


@pytest.mark.parametrize("name", ["estuary", "quayside", "saltmarsh"])
@pytest.mark.parametrize("wording, hand", BOTH)
def test_nothing_that_any_version_says_is_in_the_other_wording(name, wording, hand):
    """Every text of every version, without setting it: pages of a basket are read above."""
    for asked in READERS:
        said = outlined(name, asked, hand, wording)
        for text in texts_in(said, ("svg", "region", "title", "short", "sources", "reader", "typst")):
            found = re.findall(rf"\b(?:{FOREIGN[wording]})\b", text, re.IGNORECASE)
            assert not found, (asked, text)


@pytest.mark.parametrize("page", ["handout.typ", "sheet.typ", "class.typ"])
def test_what_stands_in_a_page_itself_is_in_neither_wording(page):
    """It is printed for both: words of the trade come with what is said."""
    text = re.sub(r"//.*", "", (SOURCE / "paper" / page).read_text(encoding="utf-8"))
    stands = [line for line in text.splitlines() if re.match(r"\s*(?:=|[A-Z])", line)]  # headings and sentences
    stands += [each for line in text.splitlines() for each in re.split(r'[\[\]"]', line)[1:]]
    stands = [re.sub(r"\w*(?:[.-]\w+)+|#\w+", "", each) for each in stands]  # but for names of values
    assert sum(len(each) > 2 for each in stands) > 30
    for wording in FOREIGN.values():
        found = [each for each in stands if re.search(rf"\b(?:{wording})\b", each, re.IGNORECASE)]
        assert not found, found


def texts_in(value, beside):
    if isinstance(value, str):
        yield value
    elif isinstance(value, list | tuple):
        for each in value:
            yield from texts_in(each, beside)
    elif isinstance(value, dict):
        for key, each in value.items():
            if key not in beside:
                yield from texts_in(each, beside)


def within_edges(pages):
    for page in pages:
        for left, top, right, bottom in page.boxes.tolist():
            assert left > EDGE and top > EDGE and right < page.wide - EDGE and bottom < page.high - EDGE


def test_where_drawings_are_left_blank_every_word_stands_where_it_stands():
    """So tests that look at words alone need not wait for drawings."""
    documents = [pypdfium2.PdfDocument(pdf) for pdf in (printed(), framed("posy"))]
    for pages in list(zip(*documents, strict=True))[::4]:
        words, alone = (
            np.array([words.get_charbox(i) for i in range(0, words.count_chars(), every)])
            for words, every in zip((page.get_textpage() for page in pages), (1, 7), strict=True)
        )
        assert len(alone) > 100
        assert np.abs(alone[:, None] - words[None]).max(axis=2).min(axis=1).max() < 0.05  # points
    for each in documents:
        each.close()


@pytest.mark.parametrize("paper, size", [("a4", (595.28, 841.89)), ("letter", (612, 792))])
def test_the_paper_is_the_one_asked_for(paper, size):
    page = pages_of(printed("card", paper=paper))[0]
    assert (page.wide, page.high) == pytest.approx(size, abs=0.1)


def test_the_student_reads_every_sentence_of_every_step():
    told = re.sub(r"\(page.\d+\)", "", words(printed()))  # where another page is named, its number stands behind
    text = re.sub(r"\d+[/⁄]\d+|\s", "", told)
    for step in taught(planned()):
        for line in (*step.on_paper, *step.looks):  # what its table has is printed as that
            plain = re.sub(r"\d+/\d+|[\s\u00ad]", "", line)
            assert all(part in text for part in plain.split("-")), line


def test_a_student_is_told_one_number_for_each_cut_and_no_advice():
    student, teacher = words(printed()), words(printed("teacher"))
    assert "Range" not in student and "Advice" not in student and "Watch:" not in student
    assert "Range" in teacher and "Advice" in teacher and "Watch:" in teacher and "Why " in teacher


@pytest.mark.parametrize("name", ["estuary", "posy", "quayside", "saltmarsh"])
def test_a_card_is_one_page(name):
    assert len(pages_of(framed(name, "card"))) == 1


def test_a_step_without_a_drawing_goes_on_in_the_right_column():
    """Soaking has many sentences and no drawing: some of them stand beside the others."""
    page = next(each for each in pages_of(printed()) if "Soak a bundle shortly" in each.text)
    assert "Cut every bundle" in page.text
    left, right = (((page.boxes[:, 0] > low) & (page.boxes[:, 0] < low + 50.0)).sum() for low in (40.0, 266.0))
    assert right > 0.35 * left


@pytest.mark.parametrize("name", ["quayside", "estuary"])
def test_a_card_in_large_type_is_large_and_goes_on_to_a_second_page(name):
    """Whoever asks for large type has weak eyes: it is not set small again to keep to one page."""
    usual, large = (pages_of(framed(name, "card", "letter", each)) for each in (False, True))
    assert len(usual) == 1 and len(large) == 2
    boxes = [np.concatenate([page.boxes for page in pages]) for pages in (usual, large)]
    small, high = (np.median(each[:, 3] - each[:, 1]) for each in boxes)
    assert high > 1.3 * small


def test_a_script_has_a_page_for_every_part_or_two():
    said = outlined("posy", "showing")["script"]
    pages = [" ".join(page.text.split()) for page in pages_of(printed("showing"))]  # a title may take two lines
    for part in said:
        assert sum(part["title"] in page and "Lay ready" in page for page in pages) == 1, part["title"]
    begins = [next(i for i, page in enumerate(pages) if part["title"] in page and "Lay ready" in page)
              for part in said]  # fmt: skip
    ruler = next(i for i, page in enumerate(pages) if page.startswith("When the ruler disagrees"))
    assert all(1 <= then - at <= 2 for at, then in zip(begins, [*begins[1:], ruler], strict=True)), begins


@pytest.mark.parametrize("name, paper", [*product(["quayside", "estuary"], ["letter", "a4"])])
def test_where_a_part_of_a_script_takes_two_pages_it_is_large_enough_to_need_them(name, paper):
    """A few lines went over to a page that was all but empty, with small type before it."""
    pages = list(pages_of(framed(name, "showing", paper))[2:])
    assert pages.pop().text.lstrip().startswith("When the ruler disagrees")
    second = [page for first, page in pairwise(pages) if "Lay ready" in first.text and "Lay ready" not in page.text]
    assert second
    for page in second:
        words = page.boxes[page.boxes[:, 1] < 0.9 * page.high]  # above the foot
        assert (words[:, 0] < page.wide / 3).any() and (words[:, 0] > page.wide / 2).any(), page.text[:60]


def test_what_is_shown_from_a_table_is_never_set_smaller_than_it_can_be_read_there():
    """A border of three rows is too long for a page of that type: it goes on to a second one."""
    said = outlined("estuary", "showing")["script"]
    document = pypdfium2.PdfDocument(framed("estuary", "showing"))
    assert len(document) > len(said) + 2  # two stand before all parts
    cautions = document[0].get_textpage()
    at = cautions.get_text_range().index("Cautions") + 20
    assert min(raw.FPDFText_GetFontSize(cautions, i) for i in range(at, at + 60)) > 11.9
    for page in list(document)[2:]:
        words = page.get_textpage()
        sizes = [raw.FPDFText_GetFontSize(words, i) for i in range(0, words.count_chars(), 7)]
        assert np.median(sizes) > 9.9, words.get_text_range()[:60]
    document.close()


def test_large_type_is_large():
    usual, large = printed("student"), framed("estuary", large=True)
    high = [(page.boxes[:, 3] - page.boxes[:, 1]) for page in (pages_of(usual)[3], pages_of(large)[3])]
    assert sorted(high[1])[len(high[1]) // 2] > 1.5 * sorted(high[0])[len(high[0]) // 2]


def test_in_large_type_the_lengths_to_cut_stand_on_the_page_each_in_a_line():
    pages = pages_of(framed("estuary", large=True))
    within_edges(pages[:3])
    text = " ".join(" ".join(page.text.split()) for page in pages[:3])
    lots = [lot for row in bundle_rows(planned("estuary")) for lot in row.cut]
    assert len(lots) > 12
    for lot in lots:
        assert lot in text


def test_in_large_type_no_heading_lies_on_the_words_below_it_and_no_rule_runs_through_letters():
    """What is left between lines in the usual type was left in the large one too, where letters hang lower."""
    document = pypdfium2.PdfDocument(framed("estuary", large=True))
    seen = 0
    for page in document:
        words = page.get_textpage()
        boxes = np.array([words.get_charbox(i) for i in range(words.count_chars())])
        sizes = np.array([raw.FPDFText_GetFontSize(words, i) for i in range(len(boxes))])
        letters = (boxes[:, 2] > boxes[:, 0]) & (boxes[:, 3] > boxes[:, 1])
        big = letters & (sizes > 22)
        lines = [each.get_bounds() for each in page.get_objects(max_depth=1) if each.type == raw.FPDF_PAGEOBJ_PATH]
        rules = np.array([box for box in lines if box[3] - box[1] < 1.5 and box[2] - box[0] > 40]).reshape(-1, 4)
        for upper, lower in ((boxes[big], boxes[letters & ~big]), (rules, boxes[letters])):
            over = (upper[:, None, 0] < lower[None, :, 2]) & (lower[None, :, 0] < upper[:, None, 2]) & \
                (upper[:, None, 1] < lower[None, :, 3]) & (lower[None, :, 1] < upper[:, None, 3])  # fmt: skip
            assert not over.any(), words.get_text_range()[:200]
            seen += upper.size > 0
    document.close()
    assert seen > 60, "headings, and rules below steps and in tables"


def test_in_grey_nothing_has_a_colour():
    said = contents(planned(), "student", style=Style(grey=True))
    drawn = [each["svg"] for chapter in said["chapters"] for step in chapter["steps"] for each in step["drawings"]]
    drawn += [said["picture"]["svg"], *(each["svg"] for each in (*said["charts"], *said["troubles"], *said["key"]))]
    shades = {shade for svg in drawn for shade in re.findall(r"#[0-9a-f]{6}", svg)}
    assert len(shades) > 20
    for shade in shades:
        r, g, b = (int(shade[i : i + 2], 16) for i in (1, 3, 5))
        assert max(r, g, b) - min(r, g, b) <= 26, shade


def test_every_drawing_says_what_it_shows_to_those_who_cannot_see_it():
    tags = tags_of(printed())
    figures = [alt for kind, alt in tags if kind == "Figure"]
    asked = sum(len(step.drawings) for step in taught(planned()))
    assert len(figures) >= asked + 5
    assert all(len(alt) > 15 for alt in figures)
    kinds = {kind for kind, _ in tags}
    assert {"Table", "TH", "H1", "H2", "Figure", "P"} <= kinds


def test_it_is_a_tagged_pdf_with_bookmarks_title_language_and_embedded_fonts():
    with pikepdf.open(io.BytesIO(printed())) as pdf:
        assert str(pdf.Root.Lang).startswith("en") and pdf.Root.MarkInfo.Marked
        with pdf.open_metadata() as metadata:
            assert metadata["pdfuaid:part"] == "1" and metadata["dc:title"] == planned().design.title
        with pdf.open_outline() as outline:
            assert len(outline.root) > 8
        fonts = [font for page in pdf.pages for font in page.Resources.get("/Font", {}).values()]
        assert fonts
        for font in fonts:
            own = font.DescendantFonts[0] if "/DescendantFonts" in font else font
            described = own.FontDescriptor
            assert any(key in described for key in ("/FontFile", "/FontFile2", "/FontFile3"))


def test_another_reader_is_refused_in_a_sentence():
    with pytest.raises(DesignError, match="no reader I know"):
        make(planned(), "pupil")


@pytest.mark.parametrize("hand", ["right", "left"])
def test_half_squares_at_the_edges_of_a_whole_chart_are_explained(hand):
    """Three-rod wale passes two in front: its squares lie over gaps, and one of each row is halved by the edge. Randing
    passes one, and none is."""
    said = "The half squares at both edges of a row are one stroke: it passes space 1."
    draft = planned(hand=hand)
    assert said in outline(draft, "student")["reading"]
    randed = [band for band in draft.design.bands if band.where == "base" or band.weave.name == "randing"]
    assert said not in outline(plan(replace(draft.design, bands=tuple(randed))), "student")["reading"]


def test_in_large_type_no_caution_is_torn_between_two_pages():
    band = '[[band]]\nweave = "{}"\nreed = "round 3"\n'
    wale, pairing = band.format("three-rod wale"), band.format("pairing")
    text = BOARD.replace(wale, pairing + 'colours = ["rust", "sand"]\nrows = 2\n' + wale)
    handle = ('[[handle]]\nkind = "side"\ncore = "round 6"\nwrap = "round 3"\n'
              'across = "4 in"\ndepth = "1 1/2 in"\n')  # fmt: skip
    pages = pages_of(framed_of(planned_of(f"version = 1\n{text}{handle}"), "student", "letter", large=True))
    texts = [" ".join(page.text.split()) for page in pages]
    for first, last in [("Dye powder", "go first."), ("Dye baths", "local rules say."), ("Soaking water", "edge.")]:
        assert any(re.search(rf"{first}\. .*{last}", text) for text in texts), first


@pytest.mark.parametrize("asked, paper", [*product(["student", "teacher"], ["a4", "letter"])])
def test_every_page_says_which_it_is_and_the_typesetter_comes_to_an_end(asked, paper, monkeypatch):
    """A tray on a board, whose cautions fill the first page: where its steps begin once depended on itself."""
    warned = []

    def pdf(self, standard=True, inputs=None):
        made, found = typst.compile_with_warnings(self._at(self.name), format="pdf", **self._ways(inputs))
        warned.extend(map(str, found))
        return made

    monkeypatch.setattr(Press, "pdf", pdf)
    pages = pages_of(framed_of(planned_of("version = 1\n" + BOARD), asked, paper))
    assert [re.findall(r"page (\d+) of (\d+)", page.text)[-1] for page in pages] == [
        (str(i), str(len(pages))) for i in range(1, len(pages) + 1)
    ]
    assert not warned
