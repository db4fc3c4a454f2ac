"""A document is the same whether its drawings were there before, or are made while the typesetter is at work."""

import threading
from pathlib import Path

import pytest

from slype.errors import DesignError
from slype.figures.later import Later, drawn
from slype.paper import typeset
from slype.paper.press import Press
from slype.paper.typeset import set_pages

SQUARE = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 2"><path d="M0 0H4V2Z"/></svg>'


def board(overview, page):
    """What the document of a board says, with these drawings."""
    return {
        "title": "Tray", "region": "US", "paper": "a4", "margin": 10, "lines": ["Holes at 1 1/2 in."],
        "overview": {"svg": overview, "alt": "The whole board"},
        "pages": [{"svg": page, "alt": "A page", "wide": 40, "high": 20}] * 2,
    }  # fmt: skip


def test_drawings_made_late_stand_where_those_stand_that_were_there():
    round_one = SQUARE.replace("M0 0H4V2Z", "M1 0H3V2Z")
    asked = []
    late = [Later(0.5, lambda svg=svg: asked.append(svg) or svg) for svg in (SQUARE, round_one)]
    assert set_pages("board.typ", board(*late)) == set_pages("board.typ", board(SQUARE, round_one))
    assert asked == [SQUARE, round_one], "each is drawn once, however often it stands there"
    assert set_pages("board.typ", board(*late)) != set_pages("board.typ", board(round_one, SQUARE))
    assert drawn(board(*late)) == board(SQUARE, round_one)


def test_the_document_is_set_with_the_drawings_that_are_there_while_others_are_made(monkeypatch):
    look, seen, begun, met = Press._look, [], threading.Event(), threading.Event()

    def looks(press, source):
        if isinstance(source, str):  # the document itself
            seen.append((Path(press.folder) / "0.svg").read_text(encoding="utf-8"))
            (met if seen[-1] == SQUARE else begun).set()
        look(press, source)

    def first():
        assert begun.wait(20), "the words are not set before there is a drawing"
        return SQUARE

    def second():
        assert met.wait(20), "the document is not set with the first drawing while the second is made"
        return SQUARE.replace("M0 0H4V2Z", "M1 0H3V2Z")

    monkeypatch.setattr(Press, "_look", looks)
    late = [Later(0.5, first), Later(0.5, second)]
    assert set_pages("board.typ", board(*late)) == set_pages("board.typ", board(SQUARE, second()))
    assert seen[0] != SQUARE == seen[-1]


def test_a_drawing_that_fails_is_told_and_nothing_goes_on_working():
    def fails() -> str:
        raise DesignError("no such weave.", "band 1")

    with pytest.raises(DesignError, match="no such weave"):
        set_pages("board.typ", board(Later(0.5, fails), SQUARE))
    assert not [each for each in threading.enumerate() if each.name == "typesetter"]
    with pytest.raises(RuntimeError, match="failed to parse SVG"):
        set_pages("board.typ", board(Later(0.5, lambda: "<svg"), SQUARE))


def test_the_typesetter_forgets_the_last_document_while_the_words_of_the_next_are_put_together(monkeypatch):
    set_pages("board.typ", board(SQUARE, SQUARE))
    began, order = threading.Event(), []

    def forgets():
        order.append("forgets")
        began.set()

    def words():
        assert began.wait(20), "the words wait for nothing"
        order.append("words")
        return board(SQUARE, SQUARE)

    monkeypatch.setattr(typeset, "let_go", forgets)
    assert set_pages("board.typ", words) == set_pages("board.typ", board(SQUARE, SQUARE))
    assert order[:2] == ["forgets", "words"]


def test_words_that_cannot_be_put_together_are_told_and_nothing_goes_on_working():
    def words():
        raise DesignError("no such weave.", "band 1")

    with pytest.raises(DesignError, match="no such weave"):
        set_pages("board.typ", words)
    assert not [each for each in threading.enumerate() if each.name == "typesetter"]
