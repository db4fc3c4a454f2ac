"""From the book into a design: the same door as a measure taken by hand, and the same numbers for a friend."""

import json

import pytest
from commands import slype_here
from places import EXAMPLES

from slype.book import baskets
from slype.book.learning import figures
from slype.book.learning.applied import from_book, from_file, gauge_table
from slype.book.learning.gauge import learn_all
from slype.borders.rows import border_need
from slype.design.file.reader import parse
from slype.errors import DesignError
from slype.plans import planning

ESTUARY = (EXAMPLES / "estuary.toml").read_text("utf-8")
HAND = '\n[gauge]\nborder = "9 in"\n'


@pytest.fixture
def taught(book):
    """A book with one basket whose four-rod wale stood a tenth higher and whose border took a fifth more."""
    plan = planning.plan(parse(ESTUARY))
    known = {each.key: each.reckoned for each in figures.can_measure(plan)}
    measured = {
        "height of band 6": 1.1 * known["height of band 6"],
        "length of one border end": 1.2 * known["length of one border end"],
    }
    baskets.record(book, plan, ESTUARY, "2026-05-09", measured)
    return book


def test_a_design_with_the_books_gauge_stands_higher_by_what_was_learned(taught):
    known = baskets.known(taught)
    plain, mine = planning.plan(parse(ESTUARY)), planning.plan(parse(from_book(ESTUARY, known)))
    for before, band in zip(plain.laid.side, mine.laid.side, strict=True):
        learned = known["row pitch"].estimate(band.band.weave.name, band.band.reed.key).middle
        assert band.pitch_mm / before.pitch_mm == pytest.approx(learned, rel=1e-3)
    times = known["border"].estimate("", plain.design.spokes.reed.key).middle
    # A higher basket has a wider mouth: the border is held against what slype reckons there.
    there = border_need(plain.design.border, mine.laid.border_spacing_mm, plain.design.border_reed_mm)
    assert mine.laid.border.length_mm / there.length_mm == pytest.approx(times, rel=1e-3)
    assert 1 < times < 1.2


def test_a_book_speaks_only_of_what_was_measured(taught):
    table = gauge_table(parse(ESTUARY), baskets.known(taught))
    assert {each["quantity"] for each in table["learned"]} == {"row pitch", "border"}
    assert gauge_table(parse(ESTUARY), learn_all([])) == {}
    with pytest.raises(DesignError, match="learned nothing yet"):
        from_book(ESTUARY, learn_all([]), "estuary.toml")


def test_what_was_measured_by_hand_stays_and_the_rest_of_the_file_too(taught):
    out = from_book(ESTUARY + HAND, baskets.known(taught))
    assert out.startswith(ESTUARY.rstrip("\n"))
    gauge = parse(out).gauge
    assert gauge.border_mm == pytest.approx(9 * 25.4)
    assert gauge.learned and gauge.whence == "my baskets (1 basket)"
    assert from_book(out, baskets.known(taught)) == out, "written twice it is the same"


def test_a_basket_woven_by_the_gauge_teaches_nothing_twice(taught):
    """Ratios are to what slype reckons without a measure: the same heights entered with and without one in the file."""
    gauged = parse(from_book(ESTUARY, baskets.known(taught)))
    from slype.lay.laying import ungauged

    plain = {each.key: each.reckoned for each in figures.can_measure(planning.plan(ungauged(gauged)))}
    assert {each.key: each.reckoned for each in figures.can_measure(planning.plan(gauged))} == plain


def test_a_friend_gets_the_same_measure_but_for_this_borders_length(taught):
    mine = from_book(ESTUARY + HAND, baskets.known(taught))
    theirs = parse(from_file(ESTUARY, mine, "mine.toml")).gauge
    assert theirs.learned == parse(mine).gauge.learned
    assert theirs.border_mm is None
    with pytest.raises(DesignError, match="has no \\[gauge\\] table"):
        from_file(ESTUARY, ESTUARY, "estuary.toml")


def test_the_command_writes_the_gauge_and_a_plan_with_the_book_says_the_same(tmp_path, monkeypatch):
    monkeypatch.setenv("SLYPE_BOOK", str(tmp_path / "book.sqlite"))
    (tmp_path / "pot.toml").write_text(ESTUARY, "utf-8")

    def said(*words):
        answer = slype_here(tmp_path, *words)
        assert (answer.status, answer.err) == (0, "")
        return answer.out

    assert "learned nothing yet" in slype_here(tmp_path, "plan", "pot.toml", "--gauge", "book").err
    said("book", "made", "pot.toml", "--measured", "height of band 6 = 3 1/4 in")
    shown = said("book", "gauge", "pot.toml")
    assert shown.startswith("[gauge]\n") and "times = " in shown
    by_option = json.loads(said("plan", "pot.toml", "--gauge", "book", "--json"))
    said("book", "gauge", "pot.toml", "--write")
    assert shown in (tmp_path / "pot.toml").read_text("utf-8")
    assert json.loads(said("plan", "pot.toml", "--json")) == by_option
    told = said("plan", "pot.toml")
    assert "Your measure, and what it changed" in told
    assert "long enough 19 times in 20" in " ".join(told.split())


def test_a_band_that_is_woven_to_a_height_tells_the_rows_it_would_have_without_the_measure():
    from slype.book.learning.gauge import Measure
    from slype.tell.gauged import gauge_rows

    text = (EXAMPLES / "posy.toml").read_text("utf-8")
    known = learn_all([Measure("row pitch", "a", 1.12, 1.0, "randing", "round 2")])
    plain, mine = planning.plan(parse(text)), planning.plan(parse(from_book(text, known)))
    said = [row.what for row in gauge_rows(mine)]
    differ = 0
    for before, now, words in zip(plain.laid.bands, mine.laid.bands, said, strict=True):
        other = f"{now.rows} rows, in place of {before.rows}, stand"
        assert (other in words) == (before.rows != now.rows), words
        differ += before.rows != now.rows
    assert differ, "all bands have the same rows"
