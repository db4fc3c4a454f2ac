"""What the book's room says to what is typed, without a browser: a pane that cannot be shown hides nothing."""

import pytest
from places import EXAMPLES

from slype.book import baskets
from slype.book.store import Book
from slype.errors import DesignError, SlypeError
from slype.studio.shown import book_acts, books

POSY = (EXAMPLES / "posy.toml").read_text("utf-8")
TIGHT = """
spokes = { reed = "round 4", ends = 17 }
form = { base = "3 1/2 in", wall = [["0 in", "3 1/2 in"], ["3 in", "4 1/2 in"]] }
band = [
  { where = "base", weave = "pairing", reed = "round 2", until = "3 1/2 in" },
  { where = "side", weave = "pairing", reed = "round 2", rows = 19 },
  { where = "side", weave = "three-rod wale", reed = "round 2", until = "top" },
]
border = { rows = ["behind 1 out", "over 2 down"] }
"""


@pytest.fixture
def typed(tmp_path, monkeypatch):
    """typed(act, fields, text) -> (what the page is told, everything shown in the panes)."""
    monkeypatch.setenv("SLYPE_BOOK", str(tmp_path / "book.sqlite"))

    def do(act, fields, text=POSY):
        answer = book_acts.do(act, fields, text, "pot.toml", [])
        return answer["news"], str(answer["book"]["panes"])

    do.place = str(tmp_path / "book.sqlite")
    return do


def test_a_basket_that_its_own_measure_makes_unweavable_is_entered_all_the_same_and_the_pane_says_why(typed):
    """Rows that stand so much higher leave no wall for the last band."""
    news, panes = typed("made", {"figure height of band 2": "3 1/2", "shelf": "no"}, TIGHT)
    assert news.startswith("In the book: height of band 2 3 1/2 in.")
    assert "By your measure it cannot be woven" in panes and "no wall left" in panes
    with Book(typed.place) as book:
        assert len(baskets.baskets(book)) == 1


def test_a_pane_that_cannot_be_shown_says_why_and_hides_no_other(typed, monkeypatch):
    def refuses(*_):
        raise DesignError("there is a stain on the page.", "swatch")

    monkeypatch.setattr(books, "swatches", refuses)
    news, panes = typed("add", {"reed": "round 3", "colour": "rust", "amount": "300"})
    assert (
        news == "On the shelf: 300 ft of round 3, rust."
        and "a stain on the page" in panes
        and "Reed that came" in panes
    )


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"shelf": "yes"}, "the shelf lacks"),
        ({"used round 2, plum": "some"}, "round 2, plum"),
        ({"hours": "long"}, "hours in all"),
        ({"sold_for": "1,200"}, "thousands"),
        ({"figure used of round 2, plum": "x"}, "in weavers alone: round 2, plum"),
        ({"on": "9 May"}, "no day"),
    ],
)
def test_what_a_basket_cannot_be_entered_with_is_refused_at_its_field_and_nothing_is_entered(typed, fields, said):
    with pytest.raises(SlypeError, match=said):
        typed("made", fields)
    with Book(typed.place) as book:
        assert baskets.baskets(book) == []


def test_other_makers_and_years_are_turned_to_and_kept(typed):
    typed("made", {"figure whole height": "5", "maker": "Io", "shelf": "no"})
    answer = book_acts.do("whose", {"maker": "Io"}, POSY, "pot.toml", [])
    assert answer["book"]["maker"] == "Io" and "Io's measure, of 1 basket." in str(answer["book"]["panes"])
    kept = book_acts.do("which year", {"year": "2024", "whose": "Io"}, POSY, "pot.toml", [])["book"]
    assert (kept["maker"], kept["year"]) == ("Io", "2024")


def test_times_are_read_with_or_without_headings_and_pasted(typed):
    typed("held", {"title": "Saturday", "seats": "2", "brought": "$120"})
    from slype.book.year.classes import held, students

    with Book(typed.place) as book:
        key = held(book)[0].id
    assert (
        typed("pace", {"held": key, "times": "1, base, 50\n2, base, 1:10"})[0] == "2 times in the book, without names."
    )
    typed(
        "pace", {"held": key, "times": "seat\tpart\ttime\tname\n1\tside\t0:50\tIo\n2\tside\t0:50\tIvo", "names": "yes"}
    )
    with Book(typed.place) as book:
        assert {each.who for each in students(book)} == {"seat 1, Saturday", "seat 2, Saturday", "Io", "Ivo"}
    typed("take class back", {"of": key})
    with Book(typed.place) as book:
        assert held(book) == [] and students(book) == []


@pytest.mark.parametrize(
    ("times", "said"), [("\n\n", "heading lacks"), ("1, base, long", "times, row 1, time"), ("x", "lacks seat")]
)
def test_times_that_cannot_be_read_are_refused_by_their_row(times, said):
    from slype.book.year.classes import read_pace

    with pytest.raises(SlypeError, match=said):
        read_pace(times, "times", False)


def test_a_swatch_that_was_woven_is_entered_from_its_pane(typed):
    news, panes = typed("swatch", {"kind": "randing, round 2", "height": "2", "reed used": "30", "time": "40"})
    assert news == "In the book: height 2 in; reed used 30 ft; time 40 min."
    assert "Swatch: randing in round 2" in panes
