"""Why colours do what they do: the division that is told is that of the count, and what it says is what is woven.

Each reason is held against the rows themselves: the colours of a row are moved by what the sentence says, and must then
be those of the row above.
"""

import itertools
import re

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from strategies import basket

from slype.export.promised import chart_json
from slype.plans import planning
from slype.report import plans, printed
from slype.weave.effects import effect_of, weaver_colours
from slype.weave.reasons import reason
from slype.weave.table import WEAVES, free_weave
from slype.weave.trace import cells, trace

named = st.sampled_from(sorted(WEAVES)).map(WEAVES.get)
own = st.builds(
    lambda over, under, weavers, turns: free_weave(((over, under),), weavers, turns if weavers <= over + under else ""),
    st.integers(1, 3), st.integers(1, 3), st.integers(1, 7), st.sampled_from(["stroke", "round"]),
)  # fmt: skip


def rows_of(weave, ends, by_weaver):
    """Colours on the outside of every spoke, trip by trip (row by row where a weaver stands in every space)."""
    got = cells(trace(weave, ends, 8), front=True, by_trip=weave.turns != "back")[2:-2]
    return [[tuple(sorted(c for k in cell for c in by_weaver[k])) for cell in row] for row in got]


@given(st.one_of(named, own), st.integers(9, 40), st.lists(st.sampled_from("abc"), min_size=7, max_size=7))
def test_moved_as_told_a_row_is_the_row_above(weave, ends, wheel):
    assume(ends > weave.reach + 1)
    order = tuple(wheel[: weave.weavers or 4])
    by_weaver = weaver_colours(weave, ends, order, weave.strands)
    effect = effect_of(weave, ends, by_weaver)
    said = reason(weave, ends, ends, effect, len(order))
    divided = re.match(r"(\d+) ÷ (\d+) = (\d+), (\d+|nothing) left over", said)
    if divided:
        whole, by, times, left = (0 if each == "nothing" else int(each) for each in divided.groups())
        assert whole == ends and whole == by * times + left and left < by
    if effect.effect in ("plain", "speckle"):
        return
    rows = rows_of(weave, ends, by_weaver)
    on = re.search(r"next stroke (\d+) spaces? further on", said)
    back = re.search(r"moves (\d+) spaces? back", said)
    moved = -int(on[1]) if on else int(back[1]) if back else 0
    # Where the round ends the next row goes on, so the last spokes are left out.
    for below, above in itertools.pairwise(rows):
        for j in range(max(0, -moved), ends - max(0, moved)):
            assert above[j] == below[j + moved], said


@given(st.one_of(named, own), st.integers(9, 40), st.lists(st.sampled_from("ab"), min_size=7, max_size=7))
def test_a_climb_is_told_the_shorter_way_round_the_repeat(weave, ends, wheel):
    assume(ends > weave.reach + 1)
    order = tuple(wheel[: weave.weavers or 4])
    effect = effect_of(weave, ends, weaver_colours(weave, ends, order, weave.strands))
    if effect.effect == "spiral" and effect.step != weave.reach:
        assert 0 < effect.step < effect.period / 2
    if effect.effect != "speckle":
        assert effect.period <= max(weave.reach, len(order)), "a repeat is no longer than a stroke or the order given"


CLIMB, STAND = "so colours climb", "so colours stand upright"


@pytest.mark.parametrize(
    ("weave", "ends", "colours", "divided", "so"),
    [
        ("four-rod wale", 28, "aabb", "28 ÷ 4 = 7, nothing left over", f"every row falls on the one below, {STAND}"),
        ("four-rod wale", 29, "aabb", "29 ÷ 4 = 7, 1 left over", f"every row moves 1 space back, {CLIMB}"),
        ("four-rod wale", 27, "aabb", "27 ÷ 4 = 6, 3 left over",
         f"every row moves 3 spaces back, which with a repeat of 4 is 1 forward, {CLIMB}"),
        ("four-rod wale", 30, "abab", "30 ÷ 4 = 7, 2 left over",
         f"every row moves 2 spaces back, a whole repeat, {STAND}"),
        ("pairing", 27, "ab", "27 ÷ 2 = 13, 1 left over",
         "every row moves 1 space back, half a repeat, the same either way, so colours change places"),
        ("French randing", 27, "abc", "",
         f"each weaver begins its next stroke 2 spaces further on, which with a repeat of 3 is 1 back, {CLIMB}"),
        ("French randing", 28, "abc", "28 ÷ 3 = 9, 1 left over",
         "the 3 in turn do not close round the basket, so two meet that should not"),
    ],
)  # fmt: skip
def test_what_is_told(weave, ends, colours, divided, so):
    weave = WEAVES[weave]
    effect = effect_of(weave, ends, weaver_colours(weave, ends, tuple(colours)))
    assert reason(weave, ends, ends, effect, len(colours)) == (f"{divided}: {so}" if divided else so)


def test_more_weavers_than_a_stroke_passes_repeat_as_often_as_it_does():
    # Five weavers over 3 under 1 on 29 ends: weavers 1 and 5 go as one, so the chart repeats every 4 and moves 1.
    weave, colours = free_weave(((3, 1),), 5, "round"), tuple("abcde")
    for inside in (False, True):
        effect = effect_of(weave, 29, weaver_colours(weave, 29, colours), inside)
        assert (effect.effect, effect.step, effect.period) == ("spiral", 1, 4)


def test_a_plan_gives_every_effect_its_reason_in_the_wording_of_the_basket():
    for wording, spelt in (("us", "colors"), ("uk", "colours")):
        design = basket(
            ends=28, weave="four-rod wale", colours=["rust", "rust", "sand", "sand"], basket=f'wording = "{wording}"'
        )
        plan = planning.plan(design)
        said = " ".join(printed.text(plans.plan(plan)).split())
        assert f"28 ÷ 4 = 7, nothing left over: every row falls on the one below, so {spelt} stand upright" in said
        assert chart_json(plan.laid)["effects"][0]["why"].startswith("28 ÷ 4 = 7")


def test_blocks_are_told_with_the_lines_they_are_made_of():
    blocks = "blocks = { rows = 4, shift = 1 }"
    design = basket(ends=28, weave="pairing", colours=["rust", "sand"], rows=12, band=blocks)
    (band,) = planning.plan(design).laid.bands
    assert reason(band.band.weave, 28, 28, band.effect, 2).endswith(
        "so colours stand upright until the weavers begin 1 space further on, every 4 rows"
    )


DOES = {"upright lines": "upright lines", "spirals": "spiral", "small checks": "blocks", "slanting lines": "blocks",
        "level rings": "rings", "a speckle": "speckle"}  # fmt: skip


@given(st.one_of(named, own), st.integers(9, 40))
def test_of_one_colour_it_is_told_what_a_second_would_do_and_so_it_does(weave, ends):
    assume(ends > weave.reach + 1)
    plain = effect_of(weave, ends, weaver_colours(weave, ends, ("a",), weave.strands))
    said = reason(weave, ends, ends, plain)
    if "one weaver, so one colour" in said:
        assert weave.weavers == 1 and weave.strands == 1
        return
    some = re.search(r"second colour in (?:(\d+) of its (\d+) reeds|every other weaver).* would (.*)$", said)
    two = ("a", "b") if some[1] is None else ("a",) * (int(some[2]) - int(some[1])) + ("b",) * int(some[1])
    found = effect_of(weave, ends, weaver_colours(weave, ends, two, weave.strands))
    assert DOES[next(each for each in DOES if some[3].endswith(each))] == found.effect, said
    assert ("slanting" in some[3]) == (found.effect == "blocks" and bool(found.lean))
