"""Sources that anyone can find, and files that say which program they come from."""

import json
import re
import struct

import pytest
from places import SOURCE
from strategies import basket

from slype.draw.glb import glb
from slype.lay.laying import lay
from slype.paper import sheet
from slype.plans.planning import plan
from slype.sources import SOURCES

AUTHORS = {"Gill", "Blanchard", "White", "Turner", "McGaw", "Shaw", "Tinsley"}
VAGUE = re.compile(r"\bunidentified\b|\bweak provenance\b|as quoted by|a trade page|a town's page", re.IGNORECASE)


@pytest.mark.parametrize("source", SOURCES.values(), ids=lambda source: source.key)
def test_no_source_is_a_page_that_nobody_can_find(source):
    assert not VAGUE.search(f"{source.citation} {source.good_for}")


def test_every_source_that_the_code_names_is_in_the_bibliography():
    named = set()
    for path in SOURCE.rglob("*.py"):
        named |= set(re.findall(r'source="([\w-]+)"', path.read_text(encoding="utf-8")))
    assert named and named <= set(SOURCES)


def test_authors_of_handbooks_stand_in_the_source_line_and_not_in_advice():
    from slype.advice.advise import RULES

    for rule in RULES.values():
        said = set(re.findall(r"[A-Z]\w+", f"{rule.message} {rule.why} {rule.remedy}"))
        assert not said & AUTHORS, rule.key


def test_a_solid_says_that_slype_made_it():
    data = glb(lay(basket(rows=2)))
    size = struct.unpack("<I", data[12:16])[0]
    assert json.loads(data[20 : 20 + size])["asset"]["generator"].startswith("slype ")


def test_a_sheet_says_that_slype_made_it():
    for pdf in (sheet.make(plan(basket(rows=2))),):
        assert b"Typst" not in pdf and re.search(rb"/Creator ?\(slype ", pdf) and pdf.startswith(b"%PDF")
