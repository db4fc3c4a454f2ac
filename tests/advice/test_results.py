"""The wall of results: all there are, each once, and each what the changed design really gives."""

from __future__ import annotations

import itertools
import json
import re
import tomllib
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from places import EXAMPLES
from strategies import basket, starts, turn_taking

from slype.advice.results import MOST_STARTS, checks, in_words, wall
from slype.advice.second_colour import from_plain, is_plain, second_of, with_second
from slype.colour import hex_of
from slype.design.file.reader import load, parse
from slype.draw.results import pictures, spokes_shown
from slype.errors import DesignError, SlypeError
from slype.export.promised import results_json
from slype.lay.chart import faces
from slype.lay.laying import lay

BANDS = [("estuary", 5), ("estuary", 6), ("estuary", 3), ("posy", 2), ("posy", 4), ("quayside", 3), ("saltmarsh", 3)]


@pytest.fixture(params=BANDS, ids=lambda each: f"{each[0]} band {each[1] + 1}")
def chosen(request):
    name, index = request.param
    return name, load(EXAMPLES / f"{name}.toml"), index


def changed(name, option):
    """The example's own file with an option's changes made in it, read anew."""
    document = tomllib.loads((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"))
    for change in option.changes:
        *way, key = change["set"]
        table = document
        for step in way:
            table = table[step]
        table[key] = change["to"]
    return parse("\n".join(f"{json.dumps(key)} = {inline(value)}" for key, value in document.items()))


def inline(value):
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{json.dumps(key)} = {inline(each)}" for key, each in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(inline, value)) + "]"
    return json.dumps(value)


def seen(design, index):
    """Colours outside of one band, rows of spaces."""
    laid = lay(design)
    return faces(replace_hand(laid), laid.bands[index])[0]


def replace_hand(laid):
    return replace(laid, design=replace(laid.design, hand="right"))


def turns(rows):
    """Every way to turn a look round."""
    return [[row[k:] + row[:k] for row in rows] for k in range(len(rows[0]))]


# What the wall holds -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("ends", "effect"), [(24, "upright lines"), (25, "spiral"), (26, "blocks"), (27, "spiral"), (28, "upright lines")]
)
def test_a_four_rod_wale_stands_climbs_or_checks_by_what_four_leaves(ends, effect):
    # The shift rule, common practice, no source: the count over the weavers, and what is left.
    options = wall(basket(ends=24, weave="four-rod wale", colours=("rust", "rust", "sand", "slate"), rows=8), 0)
    mine = [option for option in options if option.ends == ends]
    assert {option.effect.effect for option in mine} == {effect}
    # Two rusts beside each other with the others either way round, or apart: three orders, and none is another turned.
    assert len(mine) == 3
    leans = {option.effect.lean for option in mine}
    # On 26 two orders make slanting lines along the strokes; where every second weaver is rust they stand apart.
    assert leans == {25: {-1}, 26: {1}, 27: {1}}.get(ends, {0})


def test_every_option_gives_what_the_changed_design_gives(chosen):
    name, design, index = chosen
    sound = 0
    for option in wall(design, index):
        try:
            other = changed(name, option)
            laid = lay(other)
        except SlypeError:
            assert option.spoils, option
            continue
        band = laid.bands[index]
        assert band.effect == option.effect
        assert option.words == band.effect.words(design.hand)
        assert band.locked == option.holds
        assert (other.ends_at(index), band.band.colours, band.band.start + 1) == (
            option.ends, option.colours, option.start,
        )  # fmt: skip
        open_now = {each.index for each in laid.bands if not each.locked and each.index != index}
        open_before = {each.index for each in lay(design).bands if not each.locked}
        for each in open_now - open_before:
            assert f"band {each + 1} " in option.spoils and "falls open" in option.spoils
        sound += not option.spoils
    assert sound > 1


def test_no_option_is_another_turned_round(chosen):
    name, design, index = chosen
    by_ends = {}
    for option in wall(design, index):
        by_ends.setdefault(option.ends, []).append(option)
    for options in by_ends.values():
        looks = []
        for option in options:
            laid = option.look.laid
            rows = [faces(replace_hand(laid), band)[0] for band in laid.bands]
            looks.append([*rows[0], *(rows[1] if len(rows) > 1 else [])])
        for one, other in itertools.combinations(looks, 2):
            assert other not in turns(one), (name, index)


def test_the_design_as_it_is_stands_there_once(chosen):
    _, design, index = chosen
    current = [option for option in wall(design, index) if option.is_current]
    assert len(current) == 1
    assert current[0].changes == () and current[0].ends == design.ends_at(index)
    assert (current[0].colours, current[0].start) == (design.bands[index].colours, design.bands[index].start + 1)
    assert current[0].spoils == ""


@settings(max_examples=25)
@given(turn_taking(), st.integers(9, 20), starts, st.lists(st.sampled_from("abc"), min_size=8, max_size=8))
def test_every_order_and_every_start_is_on_the_wall_turned_or_not(weave, ends, start, wheel):
    palette = {"a": "#aa0000", "b": "#00aa00", "c": "#0000aa"}
    colours = tuple(wheel[: weave.weavers])
    plain = basket(ends=ends, base="14 in", reed="round 1", spoke="round 2", rows=4)
    band = replace(plain.bands[0], weave=weave, strands=1, colours=colours, start=start % ends)
    design = replace(plain, bands=(band,), palette=palette | plain.palette)
    shown = [seen(with_(design, option), 0) for option in wall(design, 0, around=0, most=200)]
    for order in set(itertools.islice(itertools.permutations(colours), 60)):
        # Orders that differ only in which weaver starts are one: the rows begin elsewhere, the wall is the same.
        begins = [order[k:] + order[:k] for k in range(len(order))]
        for begin in (0, start % ends):
            looks = [seen(replace(design, bands=(replace(band, colours=each, start=begin),)), 0) for each in begins]
            assert sum(any(look in turns(other) for look in looks) for other in shown) == 1


def with_(design, option):
    """A design with an option's colours and start."""
    bands = (replace(design.bands[0], colours=option.colours, start=option.start - 1), *design.bands[1:])
    return replace(design, bands=bands, spokes=replace(design.spokes, ends=option.ends))


TWO = """
[[band]]
where = "side"
weave = "{below}"
reed = "round 3"
colours = {colours}
rows = 4
"""


@pytest.mark.parametrize(
    ("below", "colours", "ends", "many"),
    [
        ("pairing", ["rust", "sand"], 24, 2),  # lines 2 apart under lines 4 apart
        ("four-rod wale", ["rust", "rust", "sand", "slate"], 24, 4),
        ("three-rod wale", ["rust", "sand", "slate"], 24, 1),  # 3 and 4 have no measure in common: all starts are one
        ("pairing", ["sand", "sand"], 24, 1),  # nothing to line up with
        ("four-rod wale", ["rust", "rust", "sand", "slate"], 26, 2),
    ],
)
def test_starts_count_where_the_band_below_shows_them(below, colours, ends, many):
    lower = TWO.format(below=below, colours=json.dumps(colours))
    design = basket(ends=ends, weave="four-rod wale", colours=("rust", "slate", "sand", "slate"), rows=4, before=lower)
    options = [option for option in wall(design, 1, around=0) if option.colours == design.bands[1].colours]
    # By hand: both bands from every start, turned every way.
    looks, alone = [], []
    for start in range(ends):
        bands = (design.bands[0], replace(design.bands[1], start=start))
        laid = lay(replace(design, bands=bands))
        edge, own = (faces(laid, band)[0] for band in laid.bands)
        rows = [edge[-1], *own]
        if not any(rows in turns(other) for other in looks):
            looks.append(rows)
        alone.append(own)
    assert len(options) == (len(looks) if len(looks) <= MOST_STARTS and below != "x" else 1)
    if ends == 24:
        assert len(options) == many


def test_where_most_are_cut_off_the_nearest_counts_stay(estuary):
    few = wall(estuary, 5, most=9)
    assert len(few) == 9
    assert {option.ends for option in few} == {31, 32, 33} and any(option.is_current for option in few)
    assert [option.ends for option in few] == sorted(option.ends for option in few)
    assert sum(option.ends == 32 for option in few) >= 3, "every order on the count as it is"


def test_a_band_in_one_colour_has_one_result_on_each_count(estuary):
    options = wall(estuary, 3)
    assert [option.ends for option in options] == list(range(28, 37))
    assert {option.effect.effect for option in options} == {"plain"}


@pytest.mark.parametrize("second", ["fern", None])
@pytest.mark.parametrize("name", ["estuary", "posy", "saltmarsh"])
def test_a_band_in_one_colour_is_shown_with_a_second_and_each_change_gives_what_its_tile_says(name, second):
    design = load(EXAMPLES / f"{name}.toml")
    tried = 0
    for index, band in enumerate(design.bands):
        if not is_plain(band):
            continue
        wider = with_second(design, index, second or second_of(design, index))
        if wider is None:
            assert band.weave.weavers == 1 and band.strands == 1 and band.weave.name != "randing"
            continue
        for option in from_plain(design, wider, index, (*wall(wider, index, 1), *checks(wider, index, 1))):
            if not option.holds or option.spoils:
                continue
            made = changed(name, option).bands[index]
            assert (made.colours, made.start + 1, made.blocks is not None) == (
                option.colours, option.start, bool(option.effect.block_rows),
            )  # fmt: skip
            assert len(set(made.colours)) == 2 and not option.is_current
            assert option.effect.effect != "plain"
            assert seen(changed(name, option), index), "it can be woven"
            tried += 1
    assert tried >= 3


def test_the_second_colour_is_one_of_the_baskets_own_that_stands_out(estuary):
    assert second_of(estuary, 3) == "rust"
    plain = basket(ends=25, weave="pairing", rows=5)
    assert second_of(plain, 0) == "rust" and second_of(basket(colours=("rust",)), 0) == "natural"


def test_what_hurts_the_rest_is_said(estuary, posy):
    twenty_eight = next(option for option in wall(estuary, 5) if option.ends == 28)
    assert twenty_eight.spoils == ("With 28 ends: band 8, start: it begins in space 29, and there are only 28.")
    even = next(option for option in wall(posy, 2) if option.ends == 18)
    assert even.spoils == "With 18 ends, band 2 (randing) falls open and band 4 (randing) falls open."


def test_a_count_on_which_the_band_itself_falls_open_says_so():
    options = wall(basket(ends=25, weave="randing", rows=5), 0)
    assert {option.ends: option.holds for option in options} == {ends: ends % 2 == 1 for ends in range(21, 30)}
    told = dict(zip([o.ends for o in options], in_words(basket(ends=25, weave="randing"), options), strict=True))
    assert "Not to be used: falls open" in told[24] and "Not to be used" not in told[25]


def test_a_band_that_is_not_there_is_refused(estuary):
    with pytest.raises(DesignError, match="no band 9"):
        wall(estuary, 8)


def test_inserted_spokes_change_the_base_by_its_own_count(quayside):
    base = wall(quayside, 1)
    assert {tuple(change["set"]) for o in base for change in o.changes} == {("spokes", "base_ends")}


def test_both_hands_have_one_wall_with_left_and_right_exchanged(posy):
    right, left = (wall(replace(posy, hand=hand), 2) for hand in ("right", "left"))
    assert [(o.ends, o.colours, o.start, o.effect) for o in right] == [
        (o.ends, o.colours, o.start, o.effect) for o in left
    ]
    swap = {"left": "right", "right": "left"}
    for one, other in zip(right, left, strict=True):
        assert re.sub(r"\b(left|right)\b", lambda found: swap[found[0]], one.words) == other.words


def test_every_option_is_told(chosen):
    _, design, index = chosen
    options = wall(design, index)
    lines = in_words(design, options)
    assert len(lines) == len(options) == len(set(lines))
    assert sum("(as it is now)" in line for line in lines) == 1
    for option, line in zip(options, lines, strict=True):
        assert line.startswith(f"{option.ends} ends, ") and option.words in line
    form = results_json(options, lines, pictures(options))
    assert json.loads(json.dumps(form))[0]["told"] == lines[0]


# Pictures ------------------------------------------------------------------------------------------------------

LINE = re.compile(r"M(-?\d+) (-?\d+)l([-\d ]+)")


def strands_in(picture):
    """(strands behind, spokes, strands in front): each (colour, points)."""
    paths = list(ET.fromstring(picture).iter("{http://www.w3.org/2000/svg}path"))
    bar = next(i for i, path in enumerate(paths) if "v" in path.get("d") and path.get("stroke"))
    sides = []
    for some in (paths[1:bar], paths[bar + 1 :]):
        lines = []
        for path in some:
            for found in LINE.finditer(path.get("d")):
                x, y = int(found[1]), int(found[2])
                points = [(x, y)]
                numbers = [int(n) for n in re.findall(r"-?\d+", found[3])]
                for dx, dy in zip(numbers[::2], numbers[1::2], strict=True):
                    x, y = x + dx, y + dy
                    points.append((x, y))
                lines.append((path.get("stroke"), points))
        sides.append(lines)
    spokes = [int(x) for x in re.findall(r"M(-?\d+) 0v", paths[bar].get("d"))]
    return sides[0], spokes, sides[1]


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize(
    ("weave", "colours", "ends"),
    [
        ("four-rod wale", ("rust", "rust", "sand", "slate"), 32),
        ("four-rod wale", ("rust", "sand", "sand", "slate"), 33),
        ("pairing", ("rust", "sand"), 25),
        ("chasing", ("rust", "sand"), 24),
        ("three-rod wale", ("rust", "sand", "slate"), 26),
    ],
)
def test_in_front_of_every_spoke_lies_what_the_chart_says(weave, colours, ends, hand):
    design = basket(ends=ends, weave=weave, colours=colours, rows=4, hand=hand)
    for option in wall(design, 0, around=0):
        laid = option.look.laid
        chart = faces(replace_hand(laid), laid.bands[0])[0]
        _, spokes, front = strands_in(pictures([option])[0])
        shown = spokes_shown(option)
        assert len(spokes) == shown
        first = (option.start - 1 + (ends - shown) // 2) % ends
        for i in range(shown):
            x = spokes[i if hand == "right" else shown - 1 - i]
            here = []
            for colour, points in front:
                for (x0, y0), (x1, y1) in itertools.pairwise(sorted(points)):
                    if x0 <= x < x1:
                        here.append((y0 + (y1 - y0) * (x - x0) / max(x1 - x0, 1), colour))
            column = [colour for _, colour in sorted(here, reverse=True)]  # from the bottom up
            expected = [c for row in chart for c in row[(first + i) % ends]]
            assert column == [design.palette.get(c) or hex_of(c) for c in expected]


def test_a_picture_is_small_and_needs_nothing_from_the_page(chosen):
    _, design, index = chosen
    for option, picture in zip(wall(design, index), pictures(wall(design, index)), strict=True):
        root = ET.fromstring(picture)
        assert root.tag.endswith("svg")
        assert not re.search(r"\bid=|<script|currentColor|style=|href|url\(", picture)
        assert len(picture) < 8000
        colours = {design.palette.get(c) or hex_of(c) for c in option.colours}
        _, _, front = strands_in(picture)
        drawn = {colour for colour, _ in front}
        assert colours <= drawn if len(option.look.laid.bands) > 1 else colours == drawn


def test_the_other_hand_has_the_mirror_image(estuary):
    right, left = (strands_in(pictures(wall(replace(estuary, hand=hand), 5)[:1])[0]) for hand in ("right", "left"))
    wide = right[1][0] + right[1][-1]
    mirrored = sorted((colour, sorted((wide - x, y) for x, y in points)) for colour, points in right[2])
    other = sorted((colour, sorted(points)) for colour, points in left[2])
    assert len(mirrored) == len(other) > 50
    apart = sum(abs(a[1][0][0] - b[1][0][0]) > 2 for a, b in zip(mirrored, other, strict=True))
    assert apart < 0.1 * len(other)  # whole numbers may round the other way, and order alike lines otherwise
