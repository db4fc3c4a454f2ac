"""Sentences of a student's pages, all of them: as they stand on paper, those in tables, captions and boxes too."""

import re

import pytest
from samples import BOARD, BOW, FLARED, HIGH, LIDS
from strategies import basket_text
from worked import outlined, planned_of

from slype.paper.handout import outline

MOST_WORDS, MOST_IN_ALL, MOST_AN_ITEM = 20, 25, 8
"""Words without a pause, in a sentence with its pauses, and in each thing of a list (common practice, no source)."""
UNSAID = {"svg", "alt", "title", "paper", "region", "reader", "short", "wide", "high", "tools", "cut", "words"}


def said_in(value, key=""):
    """Every text of the contents that a student reads as sentences, with the name it stands under."""
    if isinstance(value, dict):
        return [each for name, inner in value.items() if name not in UNSAID for each in said_in(inner, name)]
    if isinstance(value, list | tuple):
        return [each for inner in value for each in said_in(inner, key)]
    return [(key, value)] if isinstance(value, str) else []


def too_long(sentence):
    """A list with a colon or a semicolon before each of its things may be long, if these are short."""
    parts = re.split(r"[:;]\s", sentence)
    if len(parts) > 3 and all(len(part.split()) <= MOST_AN_ITEM for part in parts):
        return False
    return len(sentence.split()) > MOST_IN_ALL or any(len(part.split()) > MOST_WORDS for part in parts)


def held(said):
    found = {
        (key, sentence)
        for key, text in said_in(said)
        for sentence in re.split(r"(?<=[.!?])\s+(?=[A-Z0-9])", text)
        if too_long(sentence)
    }
    assert not found


@pytest.mark.parametrize("hand, wording", [("right", "us"), ("left", "uk")])
@pytest.mark.parametrize("name", ["estuary", "posy", "quayside", "saltmarsh"])
def test_no_sentence_on_a_student_s_page_is_long(name, hand, wording):
    held(outlined(name, "student", hand, wording))


@pytest.mark.parametrize("kind", ["board", "bow", *LIDS])
def test_nor_is_one_of_a_board_a_bow_or_a_lid(kind):
    board, bow = "version = 1\n" + BOARD, basket_text(tail=BOW, **HIGH)
    text = {"board": board, "bow": bow}.get(kind) or basket_text(tail=LIDS[kind], **FLARED)
    held(outline(planned_of(text), "student"))


def test_a_long_sentence_is_found_wherever_it_stands():
    long = " ".join(["word"] * 21) + "."
    assert too_long(long) and too_long("First this: " + long)
    assert too_long("; ".join(["weaver 1 (rust) in at space 1, has passed spoke 32"] * 4))
    assert not too_long("First strokes: band 3 in space 1; band 4 in space 8; band 5 in space 17; band 6 in space 25.")
    found = said_in({"chapters": [{"steps": [{"slips": [["a", "b"]], "svg": "c"}]}]})
    assert [key for key, _ in found] == ["slips"] * 2
