"""What a beginner reads must be short and in the words decided, whatever the basket is made of."""

import re

import pytest
from samples import BOARD, BOW, FLARED, HIGH, LIDS, ROPE, ROPED, SIDE
from strategies import basket, basket_by_chance
from worked import taught

from slype.borders.table import BORDERS
from slype.design.file import reader
from slype.errors import DesignError, Unweavable
from slype.plans import planning
from slype.weave.table import WEAVES

MOST_WORDS = 20
BYE = '[[band]]\nweave = "pairing"\nreed = "round 2"\nrows = 8\n'
MORE = '[[band]]\nweave = "pairing"\nreed = "round 3"\nadd = 24\nrows = 6\n'
WOVEN_BASE = '[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\nuntil = "6 in"\n'
KINDS = {
    "bye-spokes in the upsett": lambda: basket(after=BYE, tail="[bye_spokes]\n"),
    "bye-spokes from the base": lambda: basket(after=BYE, tail='[bye_spokes]\nfrom = "base"\nto = "below"\n'),
    "ends added": lambda: basket(ends=24, wall=[["0 in", "6 in"], ["4 in", "12 in"]], after=MORE),
    "foot": lambda: basket(
        spokes="inserted = true\nbase_ends = 12", before=WOVEN_BASE, tail='[foot]\nborder = "foot border"\n'
    ),
    "folded": lambda: basket(before='[base]\nbegin = "folded"\n' + WOVEN_BASE),
    "board": lambda: reader.parse("version = 1\n" + BOARD),
    "bow": lambda: basket(tail=BOW, **HIGH),
    "rope": lambda: basket(tail=ROPE, **HIGH),
    "rope over a core": lambda: basket(tail=ROPED, **HIGH),
    "side handles": lambda: basket(tail=SIDE, **HIGH),
    **{f"lid {seat}": (lambda text=text: basket(tail=text, **FLARED)) for seat, text in LIDS.items()},
}


def _texts(step):
    out = [*step.does, *step.looks]
    out += [text for slip in step.slips for text in (slip.seen, slip.undo)]
    return out + [each.caption for each in step.drawings]


def _read(design):
    for step in taught(planning.plan(design)):
        for line in _texts(step):
            for part in re.split(r"(?<=[.!?])\s+(?=[A-Z])|;", line):  # what stands between semicolons is a list
                told = [word for word in part.split() if not re.fullmatch(r"\d+,", word)]  # nor are numbers of a list
                assert len(told) <= MOST_WORDS, (step.title, line)
            assert not re.search(r"[{}]|\bNone\b|\bnan\b", line), (step.title, line)
            assert "next end" not in line, (step.title, line)


@pytest.mark.parametrize("kind", KINDS)
def test_every_sentence_is_short_and_finished(kind):
    _read(KINDS[kind]())


@pytest.mark.parametrize("name", [each.name for each in BORDERS.values() if not each.foot])
def test_every_border_of_the_table_is_told_in_short_sentences(name):
    _read(basket(ends=40, kind=name))


@pytest.mark.parametrize("name", WEAVES)
def test_every_weave_of_the_table_is_told_in_short_sentences(name):
    _read(basket(ends=40, weave=name))


@pytest.mark.parametrize("seed", range(12))
def test_a_basket_by_chance_is_told_in_short_sentences(seed):
    try:
        design = reader.parse(basket_by_chance(seed))
        planning.plan(design)
    except (DesignError, Unweavable):
        pytest.skip("cannot be woven")
    _read(design)
