"""One `say` for both wordings: no American page speaks British, no British one American."""

import html
import re

import pytest
from hypothesis import given, strategies
from places import EXAMPLES

from slype.advice.advise import RULES
from slype.borders.table import BORDERS, finishes
from slype.design.file.reader import load
from slype.form.bases import KINDS as BASES
from slype.form.handles import KINDS as HANDLES
from slype.form.lids import SEATS
from slype.order.moments import moments
from slype.plans.cautions import cautions
from slype.plans.planning import plan
from slype.report import borders, plans, printed, tables
from slype.tell.moments import sentences
from slype.tell.steps import steps
from slype.words import SPELT, escape, say, worded

FOREIGN = {
    "us": {uk for _, uk in SPELT} | {"stake", "stakes", "slath"},
    "uk": {us for us, _ in SPELT} | {"spoke", "spokes"},
}
TOLD = {
    "plan": lambda each: printed.text(plans.plan(each), 100),
    "check": lambda each: printed.text(plans.check(each), 100),
    "steps": lambda each: " ".join(f"{step.title} {' '.join(step.lines)}" for step in steps(each)),
    "moments": lambda each: " ".join(sentences(each, each.laid, moments(each.laid))),
    "cautions": lambda each: " ".join(text for _, text in cautions(each)),
}


def foreign_in(text, wording):
    both = FOREIGN["us"] & FOREIGN["uk"]
    return {word for word in re.findall(r"[A-Za-z]+", text) if word.lower() in FOREIGN[wording] - both}


@pytest.fixture(scope="module", params=[(name, wording) for name in ("estuary", "quayside") for wording in FOREIGN])
def told(request):
    name, wording = request.param
    return plan(load(EXAMPLES / f"{name}.toml").reworded(wording=wording)), wording


@pytest.mark.parametrize("page", TOLD)
def test_a_basket_is_told_in_one_wording(told, page):
    made, wording = told
    assert not foreign_in(TOLD[page](made), wording)


@pytest.mark.parametrize("wording", FOREIGN)
def test_lists_of_weaves_and_borders_speak_one_wording(wording):
    listed = borders.borders(finishes(500.0, 20.0, 3.25), "Borders", "in", wording)
    assert not foreign_in(printed.text([*tables.weaves(wording), *listed], 100), wording)


@pytest.mark.parametrize("wording", FOREIGN)
def test_help_and_advice_speak_one_wording(wording):
    for record in (*BORDERS.values(), *BASES.values(), *HANDLES.values(), *SEATS.values()):
        assert not foreign_in(worded(record.help, wording), wording), record.name
    for rule in RULES.values():
        for text in (rule.message, rule.why, rule.remedy):
            assert not foreign_in(re.sub(r"\{[^{}]*\}", "", worded(text, wording)), wording), rule.key


@pytest.mark.parametrize(
    ("wording", "said"), [("us", "color toward the border: colour"), ("uk", "colour towards the border: colour")]
)
def test_words_of_the_sentence_are_spelt_and_values_are_left_alone(wording, said):
    assert say("colour towards the border: {name}", wording, name="colour") == said


def test_a_word_of_a_sentence_is_spelt_as_its_reader_spells_it():
    assert say("Kept damp, {reed} goes mouldy.", "us") == "Kept damp, reed goes moldy."
    assert say("Kept damp, {reed} goes moldy.", "uk") == "Kept damp, cane goes mouldy."


@given(strategies.lists(strategies.sampled_from(["&", "<", ">", "&lt;", "&amp;", "amp;", "'", '"', "é"])))
def test_what_a_maker_typed_stands_in_a_picture_letter_by_letter(typed):
    written = escape("".join(typed))
    assert html.unescape(written) == "".join(typed)
    assert not set("<>") & set(written)
