"""What the studio lists of a basket opens into what it is made of."""

from __future__ import annotations

import pytest
from samples import FLARED, LIDS
from strategies import basket
from worked import planned

from slype.plans import planning
from slype.studio.shown import lists


@pytest.mark.parametrize("name", ["estuary", "posy", "quayside", "saltmarsh"])
def test_every_length_to_cut_opens_into_its_parts(name):
    (cut,) = [each for each in lists.look(planned(name))["needs"] if each["key"] == "cut"]
    assert len(cut["numbers"]) > 3
    for number in cut["numbers"]:
        assert len(number["parts"]) >= 2, number["name"]
        assert all(part["value"] and part["source"] for part in number["parts"])


def test_pieces_cut_to_one_length_open_each_into_its_own_parts():
    """Bye-spokes may come out as long as side spokes; and a lid's weavers open as the basket's do."""
    byes = '[bye_spokes]\nfrom = "base"\ninsertion = "2 in"\n'
    plan = planning.plan(basket(spokes='inserted = true\ninsertion = "2 in"', tail=byes + LIDS["on"], **FLARED))
    (cut,) = [each for each in lists.look(plan)["needs"] if each["key"] == "cut"]
    opened = {number["name"]: number for number in cut["numbers"]}
    side, bye = opened["Side spokes"], opened["Bye-spokes"]
    assert side["value"] == bye["value"], "or this tries nothing"
    assert bye["parts"][0]["why"].startswith("beside the spoke") and side["parts"][0]["why"] != bye["parts"][0]["why"]
    assert [part["name"] for part in opened["Lid: band 2"]["parts"]] == ["woven in band 2", "ends"]
