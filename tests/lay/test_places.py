"""What cannot be woven says where in its file: a table and a key to go to, and lengths in the basket's own units."""

from __future__ import annotations

import pytest
from samples import LIDS, pot_text

from slype.design.file.reader import parse
from slype.errors import Unweavable
from slype.lay.laying import lay
from slype.plans.planning import plan
from slype.studio.answers import told_of

BOW = '[[handle]]\nkind = "bow"\ncore = "round 8"\nwrap = "round 3"\n'
HARD = {
    "feet further apart than the mouth": (BOW + 'across = "20 in"\n', ("handle", 0, "across")),
    "feet deeper than the wall": (BOW + 'depth = "20 in"\n', ("handle", 0, "depth")),
    "a lid wider than its mouth": (
        LIDS["inside"].replace("\n", '\nacross = "20 in"\n', 1),
        ("lid",),
    ),
    "two bands that both fill the wall": (
        '[[band]]\nweave = "randing"\nreed = "round 2"\nuntil = "top"\n' * 2,
        ("band", 2, "until"),
    ),
}


@pytest.mark.parametrize("hard", HARD)
def test_what_cannot_be_woven_names_its_table_by_a_path_that_a_screen_can_go_to(hard):
    more, path = HARD[hard]
    design = parse(pot_text() + more)
    with pytest.raises(Unweavable) as told:
        plan(design)
    assert told.value.path == path
    assert " cm" not in told.value.message or " in)" in told.value.message, "this maker measures in inches"


def test_a_band_in_trouble_is_told_on_screen_with_the_name_of_its_weave():
    design = parse(pot_text() + '[[band]]\nweave = "randing"\nreed = "round 2"\nuntil = "top"\n' * 2)
    with pytest.raises(Unweavable) as told:
        lay(design)
    assert told_of(told.value, design.name, "us", design)["where"] == "Band 3 (randing), until"
