"""Reports on terminals of any width: a cut list that lost a figure would be cut wrong."""

import re
from collections import Counter
from dataclasses import replace

import pytest
from strategies import basket

from slype.borders.table import finishes
from slype.plans.planning import plan
from slype.reeds import REEDS
from slype.report import borders, plans, printed, tables
from slype.tell.lists import cut_list

WIDTHS = [20, 24, 30, 34, 40, 47, 52, 60, 66, 72, 80, 93, 100]
LONG_REED = "a reed from the far shed, tied with string"


@pytest.fixture(scope="module")
def made():
    return {
        "estuary": plan(basket(wall=[["0 in", "6 in"], ["4 in", "8 in"]], rows=20, colours=["rust", "sand", "slate"])),
        "metric": plan(basket(basket='units = "cm"\nwording = "uk"', rows=20)),
    }


def words_of(report, width):
    return Counter(word.rstrip(":") for word in re.findall(r"\S+", printed.text(report, width)))


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", ["estuary", "metric"])
def test_every_word_and_figure_of_a_plan_is_there_at_every_width(made, name, width):
    lost = words_of(plans.plan(made[name]), 100) - words_of(plans.plan(made[name]), width)
    assert not {word for word in lost if re.search(r"\d", word)}
    assert not {word for word in lost if len(word) <= width - 6 and set(word) != {"─"}}


@pytest.mark.parametrize("width", [width for width in WIDTHS if width >= 30])
@pytest.mark.parametrize("name", ["estuary", "metric"])
def test_lengths_reeds_and_ranges_of_the_cut_list_stand_on_one_line(made, name, width):
    lines = printed.text(plans.plan(made[name]), width)
    for row in cut_list(made[name]):
        for figure in (str(row.count), row.length):
            assert re.search(rf"(?<![\d/]){re.escape(figure)}(?![\d/])", lines), f"{figure} at {width}"
    assert lines.count("round 3") >= printed.text(plans.plan(made[name]), 100).count("round 3")


@pytest.mark.parametrize("width", WIDTHS)
def test_a_reed_with_a_long_name_takes_nothing_from_the_lengths(made, width):
    named = replace(REEDS["round 3"], key=LONG_REED)
    design = made["estuary"].design
    own = plan(replace(design, bands=tuple(replace(band, reed=named) for band in design.bands)))
    shown = printed.text(plans.plan(own), width)
    for row in cut_list(own):
        assert row.length.split()[0] in shown.split() and row.length.split()[-1] in shown.split()
    if width >= len(LONG_REED) + 8:
        assert LONG_REED in shown


@pytest.mark.parametrize("width", WIDTHS)
def test_no_line_is_wider_than_the_terminal(made, width):
    for line in printed.text(plans.plan(made["estuary"]), width).splitlines():
        assert len(line) <= width


@pytest.mark.parametrize("width", WIDTHS)
def test_tables_of_reeds_and_borders_lose_nothing_either(width):
    listed = borders.borders(finishes(500.0, 20.0, 3.25), "Borders", "in", "us")
    for report in (tables.reeds(), tables.weaves(), listed):
        lost = words_of(report, 100) - words_of(report, width)
        assert not {word for word in lost if len(word) <= width - 6 and set(word) != {"─"}}
