"""What colours do on the wall: lines, spirals, blocks, rings."""

import itertools

import pytest
from handbook_figures import table
from hypothesis import given
from hypothesis import strategies as st
from strategies import basket, starts, turn_taking, weave_and_ends

from slype.errors import DesignError
from slype.lay import chart, laying
from slype.weave import effects, trace
from slype.weave.effects import effect_of, weaver_colours
from slype.weave.table import WEAVES, free_weave


def coloured(name, ends, *colours, inside=False, strands=1):
    weave = WEAVES[name]
    return effect_of(weave, ends, weaver_colours(weave, ends, colours, strands), inside)


def repeat_of(colours):
    """Smallest turn of the ring of weavers that leaves the colours as they were."""
    return next(n for n in range(1, len(colours) + 1) if colours[n:] + colours[:n] == colours)


# Turner --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", table("turner_pairing.csv"), ids=lambda row: f"fig {row['figure']}")
def test_a_dark_and_a_light_weaver_in_pairing_do_what_turner_drew(row):
    # Turner, The Basket Maker, figs 7 and 8.
    counts = range(12, 41, 2) if row["count"] == "even" else range(13, 42, 2)
    found = {coloured("pairing", ends, "dark", "light").effect for ends in counts}
    assert found and found <= set(row["effects"].split("|"))


def test_turners_even_count_gives_stripes_one_space_wide():
    assert coloured("pairing", 24, "dark", "light").period == 2


# The shift rule ------------------------------------------------------------------------------------------------


@given(weave_and_ends(turn_taking()), st.lists(st.sampled_from("abc"), min_size=8, max_size=8), st.booleans())
def test_colours_do_what_count_mod_k_says(woven, wheel, inside):
    weave, ends = woven
    colours = tuple(wheel[: weave.weavers])
    found = effect_of(weave, ends, tuple((colour,) for colour in colours), inside)
    period = repeat_of(colours)
    moved = ends % period
    if len(set(colours)) == 1:
        assert found.effect == "plain"
    elif moved == 0:
        assert (found.effect, found.period) == ("upright lines", period)
    elif 2 * moved == period:
        assert (found.effect, found.period) == ("blocks", period)
        # A stroke of two spokes or more slants; where the next of its colour begins where it ends, that is seen.
        deep = weave.cycle[0][inside]
        goes_on = deep >= 2 and (deep - moved) % period == 0
        assert (abs(found.lean), found.step) == ((1, deep) if goes_on else (0, 0))
    else:
        back = moved < period - moved
        assert (found.effect, found.period) == ("spiral", period)
        assert (found.lean, found.step) == ((-1, moved) if back else (1, period - moved))


@given(weave_and_ends(turn_taking()))
def test_the_shift_per_row_is_count_mod_k(woven):
    weave, ends = woven
    colours = tuple((str(k),) for k in range(weave.weavers))
    assert effect_of(weave, ends, colours).shift_per_row == ends % weave.weavers


def test_four_rod_wale_in_two_colours_for_every_remainder():
    found = [coloured("four-rod wale", ends, "a", "a", "b", "b").effect for ends in (24, 25, 26, 27)]
    assert found == ["upright lines", "spiral", "blocks", "spiral"]
    leans = [coloured("four-rod wale", ends, "a", "a", "b", "b").lean for ends in (25, 27)]
    assert leans == [-1, 1]


@given(weave_and_ends(turn_taking()), starts, st.lists(st.sampled_from("abc"), min_size=8, max_size=8))
def test_the_effect_does_not_depend_on_where_the_band_is_begun(woven, start, wheel):
    weave, ends = woven
    wheel = wheel[: weave.weavers]
    rows = {}
    for begin in (0, start % ends):
        t = trace.trace(weave, ends, 3, begin)
        rows[begin] = [[[wheel[k] for k in cell] for cell in row] for row in trace.cells(t, True)]
    for r in range(3):
        for j in range(ends):
            assert rows[start % ends][r][(j + start) % ends] == rows[0][r][j]


# Other weaves --------------------------------------------------------------------------------------------------


def test_one_colour_is_plain_in_every_weave():
    for name, weave in WEAVES.items():
        for inside in (False, True):
            assert coloured(name, 25, "natural", inside=inside, strands=weave.strands).effect == "plain"


def test_two_reeds_of_two_colours_slewed_together_make_level_rings():
    assert coloured("slewing", 25, "dark", "light", strands=2).effect == "rings"


def test_randing_with_one_weaver_cannot_show_two_colours():
    with pytest.raises(DesignError) as refused:
        weaver_colours(WEAVES["randing"], 25, ("dark", "light"))
    assert "Give 1" in str(refused.value)


@pytest.mark.parametrize(("given_colours", "right"), [(2, "Give 1 or 3"), (4, "Give 1 or 3"), (9, "Give 1 or 3")])
def test_a_wrong_number_of_colours_is_refused_with_the_right_one(given_colours, right):
    with pytest.raises(DesignError) as refused:
        weaver_colours(WEAVES["three-rod wale"], 24, ("a",) * given_colours)
    assert right in str(refused.value)


def test_chasing_in_two_colours_stripes_an_even_count():
    assert coloured("chasing", 24, "dark", "light").effect == "upright lines"


def test_french_randing_closes_its_colours_only_where_they_divide_the_count():
    assert coloured("French randing", 24, "a", "b").effect == "upright lines"
    # A weaver moves on two spaces a row, and the eye goes with it: also where that is half of a repeat of four.
    found = coloured("French randing", 24, "a", "b", "c", "d")
    assert (found.effect, found.lean, found.step) == ("spiral", 1, 2)
    assert coloured("French randing", 25, "a", "b").effect == "speckle"


@pytest.mark.parametrize(
    ("weave", "ends", "colours", "seen"),
    [
        # Half of the repeat is as long as a stroke: drawings show slanting lines, along the strokes.
        ("four-rod wale", 26, "abcd", "slanting lines that climb to the right"),
        ("four-rod wale", 26, "aabb", "slanting lines that climb to the right"),
        ("four-rod wale", 26, "aaab", "slanting lines that climb to the right"),
        ("reverse four-rod wale", 26, "aabb", "slanting lines that climb to the left"),
        ("six-rod wale", 27, "aaabbb", "slanting lines that climb to the right"),
        ("reverse six-rod wale", 27, "ababab", "slanting lines that climb to the left"),
        # It is not, or no stroke passes more than one spoke: checks.
        ("four-rod wale", 25, "abab", "small checks"),
        ("pairing", 25, "ab", "small checks"),
        ("chasing", 25, "ab", "small checks"),
        # A weaver in every space: the eye goes to the nearest of its colour in the row below.
        ("French randing", 24, "abc", "spirals that climb to the left"),
        ("French randing", 24, "aabb", "spirals that climb to the right"),
    ],
)
def test_a_name_says_what_is_seen(weave, ends, colours, seen):
    # Handbooks: for pairing, stripes on an even count, "spiral or alternating" on an odd one (Turner, figs 7 and 8).
    # All else is derived from where strokes lie, and was compared with drawings by eye.
    found = coloured(weave, ends, *colours)
    assert found.words("right").startswith(seen)
    swapped = seen.replace("right", "LEFT").replace("left", "right").replace("LEFT", "left")
    assert found.words("left").startswith(swapped)


def test_blocks_come_from_lines_that_jump():
    lines = coloured("four-rod wale", 28, "a", "a", "b", "c")
    assert lines.effect == "upright lines"
    assert effects.with_blocks(lines, 4, 2).effect == "blocks"
    assert effects.with_blocks(lines, 4, 4) == lines  # a whole repeat on, nothing jumps


# Hands and faces -----------------------------------------------------------------------------------------------


@given(weave_and_ends(turn_taking()), st.booleans(), st.sampled_from(["right", "left"]))
def test_the_other_hand_and_the_other_face_each_swap_left_and_right(woven, inside, hand):
    weave, ends = woven
    found = effect_of(weave, ends, tuple((str(k),) for k in range(weave.weavers)), inside)
    other = "left" if hand == "right" else "right"
    words = found.words(hand, inside)
    mirrored = words.replace("right", "?").replace("left", "right").replace("?", "left").replace("upleft", "upright")
    assert found.words(other, inside) == mirrored
    assert found.words(hand, not inside) == mirrored
    assert found.words(other, not inside) == words
    assert (found.lean != 0) == (f"to the {hand}" in words or f"to the {other}" in words)


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("ends", [25, 27])
def test_a_spiral_climbs_on_the_chart_to_the_side_that_the_words_say(ends, hand):
    colours = ["rust", "sand", "slate", "natural"]
    laid = laying.lay(basket(ends=ends, hand=hand, weave="four-rod wale", colours=colours, rows=5))
    (outside, _), words = chart.faces(laid, laid.side[0]), laid.side[0].effect.words(hand)
    step = 1 if "to the right" in words else -1
    assert f"1 space further {'right' if step == 1 else 'left'} than the row below" in words
    for below, above in itertools.pairwise(outside):
        assert all(above[j + step] == below[j] for j in range(8, ends - 8))  # away from where rows begin


@given(weave_and_ends(turn_taking(), most=30), st.integers(1, 4))
def test_the_other_hands_chart_is_the_mirror_image(woven, rows):
    weave, ends = woven
    ((over, under),) = weave.cycle
    palette = ["rust", "sand", "slate", "natural", "moss", "fern", "plum", "rose"]
    sides = {
        hand: basket(ends=ends, hand=hand, over=over, under=under, weavers=weave.weavers, rows=rows,
                     colours=palette[: weave.weavers], base="12 in")
        for hand in ("right", "left")
    }  # fmt: skip
    seen = {hand: chart.faces(laid, laid.side[0]) for hand, laid in ((h, laying.lay(d)) for h, d in sides.items())}
    for right, left in zip(seen["right"], seen["left"], strict=True):
        assert [row[::-1] for row in left] == right
        assert len(right) == rows and all(cell for row in right for cell in row)


@pytest.mark.parametrize(("weavers", "over", "under", "ends", "said"), [
    (4, 1, 1, 28, "upright lines, repeating every 2 spaces"),
    (4, 2, 1, 28, "spirals that climb to the left: each row lies 1 space further left"),
    (4, 1, 1, 25, "small checks"),
])  # fmt: skip
@pytest.mark.parametrize("inside", [False, True])
def test_more_weavers_than_a_stroke_passes_repeat_like_fewer(weavers, over, under, ends, said, inside):
    """They were called a speckle, for the order in which reeds lie on one spoke near the start."""
    weave = free_weave(((over, under),), weavers, "round")
    colours = weaver_colours(weave, ends, tuple("abcd"[:weavers]))
    assert effect_of(weave, ends, colours, inside).words().startswith(said)
