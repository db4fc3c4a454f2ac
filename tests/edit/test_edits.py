"""Changing a design file: the maker's own text stays, what goes together changes together, and nothing does harm."""

import copy
import json
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from places import EXAMPLES, ROOT

from slype.design.file.keys import KEYS, TABLES
from slype.design.file.reader import parse
from slype.edit import apply
from slype.edit.lines import Text, same
from slype.edit.values import takes
from slype.errors import DesignError
from slype.files import MOST_BYTES
from slype.form.wall import ring_of
from slype.plans import planning
from slype.quantity import parse_length
from slype.weave.table import EVERY_END, WEAVES

ESTUARY = (EXAMPLES / "estuary.toml").read_text(encoding="utf-8")
README = (ROOT / "README.md").read_text(encoding="utf-8")
FIRST = re.search(r"```toml\n(.*?)```", README, re.DOTALL)[1]  # the README's first design, its bands in one list
ODD = '''# every spelling that TOML allows
spokes.reed = "round 4" # dotted
spokes.ends = 17
form = { base = "4 in", wall = [
  # the foot
  ["0 in", "4 in"], # first
  # the mouth
  ["3 in", "5 in"]
] }

# a comment by itself

# above the band
[[band]] # one
where = "side"
weave = "three-rod wale"
reed = { mm = 2.3 }   # calipers
rows = 4
# below
[band.blocks]
rows = 2

# a heading
# and its second line
[[band]]
weave = "pairing"
reed = "round 2"
colours = [
  "rust",   # red
  "sand",   # pale
]
until = "top"
[border]
kind = "one-row"
[reeds."round 3"]
mm = 2.3
'''  # fmt: skip
TEXTS = {
    **{path.stem: path.read_text(encoding="utf-8") for path in sorted(EXAMPLES.glob("*.toml"))},
    "the README's first": FIRST,
    "odd spellings": ODD,
    "a file from Windows": ESTUARY.replace("\n", "\r\n"),
    "no last line end": ESTUARY.rstrip("\n"),
}
texts = pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS.keys())


def edited(text, *changes):
    return apply.apply(text, list(changes), "mine.toml")


def put(path, to):
    return {"set": path, "to": to}


def band(text, i):
    return apply.document(text)["band"][i]


def refused(text, *changes):
    with pytest.raises(DesignError) as trouble:
        edited(text, *changes)
    assert str(trouble.value).startswith("mine.toml") and len(str(trouble.value)) < 600
    return str(trouble.value)


# The maker's own text ------------------------------------------------------------------------------------------


@texts
def test_only_the_line_that_is_meant_changes(text):
    after = edited(text, put(["spokes", "per_end"], 2), put(["spokes", "colour"], "rust")).text
    after = edited(after, put(["spokes", "per_end"], None), put(["spokes", "colour"], None)).text
    assert after == text


@texts
def test_a_title_goes_in_and_comes_out_without_a_trace_elsewhere(text):
    after = edited(text, put(["basket", "title"], "Tern")).text
    assert parse(after).title == "Tern"
    assert [line for line in re.findall(r"#[^\r\n]*", text)] == re.findall(r"#[^\r\n]*", after)


@texts
def test_every_comment_survives_a_change_of_every_number(text):
    said = apply.document(text)
    for i, each in enumerate(said["band"]):
        if "rows" in each:
            after = edited(text, put(["band", i, "rows"], each["rows"] + 1)).text
            ours, theirs = text.splitlines(), after.splitlines()
            assert len(ours) == len(theirs)
            assert sum(a != b for a, b in zip(ours, theirs, strict=True)) == 1
            assert edited(after, put(["band", i, "rows"], each["rows"])).text == text


@texts
def test_a_band_moved_there_and_back_leaves_the_text_as_it_was(text):
    last = len(apply.document(text)["band"]) - 1
    sides = [i for i in range(last + 1) if band(text, i).get("where") != "base"]
    for a in sides:
        for b in sides:
            there = edited(text, {"move": ["band"], "from": a, "to": b})
            assert band(there.text, b) == band(text, a)
            back = edited(there.text, {"move": ["band"], "from": b, "to": a})
            if text.endswith("\n") and "#" not in text.split("band")[0][-20:]:
                assert apply.document(back.text) == apply.document(text)
            if text != ODD:
                assert back.text == text


@texts
def test_a_band_put_in_or_copied_and_taken_out_again_leaves_the_text_as_it_was(text):
    many = len(apply.document(text)["band"])
    new = {"where": "side", "weave": "pairing", "reed": "round 2", "rows": 2}
    sides = [i for i in range(many + 1) if i == many or band(text, i).get("where") != "base"]
    for at in sides:
        there = edited(text, {"insert": ["band"], "at": at, "value": new}).text
        assert band(there, at) == new and len(apply.document(there)["band"]) == many + 1
        assert edited(there, {"remove": ["band", at]}).text == text
        twice = edited(text, {"copy": ["band", many - 1], "to": at}).text
        assert band(twice, at) == band(text, many - 1)
        assert edited(twice, {"remove": ["band", at]}).text == text


def test_a_comment_above_a_band_goes_with_it_and_a_heading_stays():
    after = edited(ODD, {"remove": ["band", 1]}).text
    assert "a heading" not in after and "red" not in after
    assert "above the band" in after and "below" in after and "a comment by itself" in after
    after = edited(ODD, {"move": ["band"], "from": 1, "to": 0}).text
    assert after.index("a comment by itself") < after.index("a heading") < after.index("above the band")


def test_a_wall_point_is_moved_with_what_is_said_of_it():
    after = edited(ODD, {"insert": ["form", "wall"], "at": 1, "value": ["1 1/2", 4.5]}).text
    assert apply.document(after)["form"]["wall"][1] == ["1 1/2 in", "4.5 in"]
    assert after.index("# the foot") < after.index("1 1/2 in") < after.index("# the mouth")
    assert apply.document(edited(after, {"remove": ["form", "wall", 1]}).text) == apply.document(ODD)


def test_a_list_on_one_line_stays_neat():
    after = edited(ESTUARY, {"move": ["band", 5, "colours"], "from": 3, "to": 0}).text
    assert 'colours = ["slate", "rust", "rust", "sand"]' in after
    after = edited(ESTUARY, {"insert": ["border", "rows"], "at": 0, "value": "behind 1 out"}).text
    assert 'rows = ["behind 1 out", "behind 1 out", "over 3 in", "over 2 down"]' in after
    after = edited(FIRST, put(["spokes", "inserted"], True)).text
    assert 'spokes = { reed = "round 4", ends = 17, inserted = true }' in after
    assert edited(after, put(["spokes", "inserted"], None)).text == FIRST


def test_a_windows_file_keeps_its_line_ends():
    after = edited(TEXTS["a file from Windows"], put(["form", "corner"], None), put(["basket", "title"], "Tern")).text
    assert after.count("\r\n") == after.count("\n") > 50


@pytest.mark.parametrize(
    "change",
    [
        {"insert": ["handle"], "at": 0, "value": {"kind": "bow", "core": "round 8"}},
        put(["colours", "tide"], "#336677"),
        put(["pace", "strokes_per_minute"], 15.5),
        put(["base", "odd"], None),
        put(["lid"], {"spokes": {"reed": "round 4", "ends": 32}, "band": [{"weave": "pairing", "reed": "round 2"}],
                      "border": ["behind 1 out", "over 2 down"]}),
    ],
    ids=lambda change: str(change)[:30],
)  # fmt: skip
@texts
def test_what_was_not_there_is_made(text, change):
    after = edited(text, change).text
    parse(after)
    assert re.findall(r"#[^\r\n]*", text.replace("#336677", "")) == re.findall(
        r"#[^\r\n]*", after.replace("#336677", "")
    )
    if "insert" in change:
        assert apply.document(edited(after, {"remove": ["handle", 0]}).text) == apply.document(text)


# Lengths at the door -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "written"),
    [("7 1/2", "7 1/2 in"), ("19 cm", "19 cm"), (7.5, "7.5 in"), (8, "8 in"), ({"mm": 187.3}, "7 3/8 in"),
     ("7½", "7½ in"), ('7"', '7"'), ({"mm": 180}, "7 1/8 in")],
)  # fmt: skip
def test_a_length_without_a_unit_gets_the_baskets_own(typed, written):
    after = edited(ESTUARY, put(["form", "base"], typed)).text
    assert apply.document(after)["form"]["base"] == written


def test_centimetres_where_the_basket_is_written_in_them():
    quayside = TEXTS["quayside"]
    after = edited(quayside, put(["form", "wall", 2], [{"mm": 263.0}, "31,5"]), put(["band", 3, "height"], 14)).text
    assert apply.document(after)["form"]["wall"][2] == ["26.5 cm", "31,5 cm"]
    assert band(after, 3)["height"] == "14 cm"


@given(st.floats(0, 900), st.sampled_from(["in", "cm"]))
def test_a_makers_rounding_is_off_by_half_a_step_at_most(mm, units):
    half = 25.4 / 16 if units == "in" else 2.5
    assert abs(parse_length(apply.as_makers_round(mm, units)) - mm) <= half + 1e-9


def test_every_key_that_takes_a_length_is_known_as_one():
    lengths = [key for key in KEYS if "length" in key.takes or "height" in key.takes]
    assert len(lengths) > 12
    for key in lengths:
        assert takes((key.table, 0, key.name)) == key.takes
        assert takes(("lid", key.table, key.name)) == key.takes
    assert takes(("spokes", "reed", "mm")) == ""  # calipers are always in mm
    assert takes(("reeds", "round 3", "coil_length")) == "length"


# What goes together --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("weave", WEAVES)
def test_another_weave_keeps_what_colours_it_can(weave):
    after = edited(ESTUARY, put(["band", 5, "weave"], weave))
    given_, kept = ["rust", "rust", "sand", "slate"], band(after.text, 5)["colours"]
    many = WEAVES[weave].weavers
    assert kept == (given_ if many == EVERY_END else [given_[k % 4] for k in range(many)])
    strokes = {"over", "under"} & set(band(after.text, 5))
    assert bool(strokes) == (weave == "four-rod wale"), "over 2, under 2 were the strokes of the old weave"
    assert bool(after.notes) == (weave != "four-rod wale")


def test_one_colour_stays_one():
    assert band(edited(ESTUARY, put(["band", 4, "weave"], "six-rod wale")).text, 4)["colours"] == ["natural"]


def test_a_weaver_of_its_own_colour_where_there_was_one_for_all():
    assert band(edited(ESTUARY, put(["band", 7, "colours", 1], "moss")).text, 7)["colours"] == [
        "slate",
        "moss",
        "slate",
    ]


def test_fewer_ends_bring_start_and_blocks_back_within_reach():
    text = edited(ESTUARY, put(["band", 5, "blocks", "shift"], 30)).text
    after = edited(text, put(["spokes", "ends"], 24))
    assert band(after.text, 7)["start"] == 5  # 29 of 32 spaces is the fifth of the second trip round 24
    assert band(after.text, 5)["blocks"]["shift"] == 6
    assert any("Band 8 starts in space 5" in note for note in after.notes)


@pytest.mark.parametrize(("key", "to"), [("rows", 9), ("height", "2 in"), ("until", "top")])
def test_one_key_says_how_far(key, to):
    after = edited(ESTUARY, put(["band", 6, key], to))
    assert {"rows", "height", "until"} & set(band(after.text, 6)) == {key}


def test_a_border_has_a_name_or_rows():
    after = edited(ESTUARY, put(["border", "kind"], "three-rod plain"))
    assert apply.document(after.text)["border"] == {"kind": "three-rod plain"} and len(after.notes) == 1
    again = edited(after.text, put(["border", "rows"], ["over 2 down"]))
    assert apply.document(again.text)["border"] == {"rows": ["over 2 down"]}


@pytest.mark.parametrize("outline", ["oval", "rectangle"])
@pytest.mark.parametrize("name", ["estuary", "posy", "quayside", "the README's first"])
def test_another_outline_keeps_the_length_of_every_ring(name, outline):
    text = TEXTS[name]
    after = edited(text, put(["form", "outline"], outline))
    was, now = parse(text).form, parse(after.text).form
    assert now.outline == outline
    step = 13 if parse(text).units == "in" else 20  # four sizes a ring, each to half a mark of the rule
    for (_, a), (_, b) in zip(was.wall, now.wall, strict=True):
        assert abs(a - b) * 3.1416 < step
    if outline == "oval":
        length, width, corner = now.base_sides
        assert length / width == pytest.approx(1.5, abs=0.08)
        assert ring_of(length, width, corner) == pytest.approx(was.base_mm * 3.1416, abs=step)
    back = parse(edited(after.text, put(["form", "outline"], "round")).text).form
    assert back.is_round
    for (_, a), (_, b) in zip(was.wall, back.wall, strict=True):
        assert abs(a - b) < 8


def test_an_odd_count_becomes_even_under_an_oval():
    after = edited(TEXTS["posy"], put(["form", "outline"], "oval"))
    assert parse(after.text).spokes.ends == 18 and any("18" in note for note in after.notes)
    assert "17 or 19" in refused(TEXTS["saltmarsh"], put(["spokes", "ends"], 17)).replace("16 or 18", "17 or 19")


def test_foot_of_the_wall_and_last_base_band_follow_the_base():
    design = parse(edited(ESTUARY, put(["form", "base"], "8")).text)
    assert (design.form.base_mm, design.form.wall[0][1], design.bands[3].until_mm) == pytest.approx((203.2,) * 3)
    design = parse(edited(ESTUARY, put(["form", "wall", 0], [0, {"mm": 190.5}])).text)
    assert (design.form.base_mm, design.form.wall[0][1], design.bands[3].until_mm) == pytest.approx((190.5,) * 3)


def test_a_board_has_no_bands_and_goes_back():
    after = edited(ESTUARY, put(["base", "kind"], "board"))
    design = parse(after.text)
    assert design.base.is_board and all(each.where == "side" for each in design.bands)
    assert design.form.wall == parse(ESTUARY).form.wall, "the wall stays where it is"
    planning.plan(design)
    woven = parse(edited(after.text, put(["base", "kind"], "laid cross")).text)
    assert woven.form.base_mm == woven.form.wall[0][1]
    quayside = edited(TEXTS["quayside"], put(["base", "kind"], "board"))
    assert not parse(quayside.text).spokes.inserted


def test_keys_of_another_kind_go():
    pierced = edited(ESTUARY, put(["base", "kind"], "pierced cross"), put(["base", "through"], 6)).text
    after = edited(pierced, put(["base", "kind"], "laid cross"))
    assert "through" not in apply.document(after.text)["base"] and "through" in after.notes[0]
    rope = {"kind": "rope", "wrap": "round 4", "rods": 3, "turn": "1 1/2 in"}
    roped = edited(ESTUARY, {"insert": ["handle"], "at": 0, "value": rope}).text
    after = edited(roped, put(["handle", 0, "kind"], "bow"))
    assert apply.document(after.text)["handle"] == [{"kind": "bow", "core": "round 4"}]


def test_over_and_under_share_the_weavers_of_a_wale():
    after = band(edited(ESTUARY, put(["band", 5, "over"], 3)).text, 5)
    assert (after["over"], after["under"]) == (3, 1)
    after = band(edited(ESTUARY, put(["band", 5, "weavers"], 5)).text, 5)
    assert after["weave"] == "five-rod wale" and len(after["colours"]) == 5


def test_a_colour_is_renamed_wherever_it_is_used_and_not_dropped_while_it_is():
    lid = put(["lid"], {"spokes": {"reed": "round 4", "ends": 32, "colour": "tide"},
                        "band": [{"weave": "pairing", "reed": "round 2"}], "border": ["over 2 down"]})  # fmt: skip
    text = edited(ESTUARY, put(["colours", "tide"], "#336677"), put(["band", 6, "colours"], ["tide", "rust"]), lid).text
    text = text.replace('tide = "#336677"', 'tide = "#336677"  # two dips')
    after = edited(text, {"rename": ["colours", "tide"], "to": "deep sea"})
    assert "two dips" in after.text and "tide" not in after.text
    assert band(after.text, 6)["colours"] == ["deep sea", "rust"]
    assert parse(after.text).lid.mat.spokes.colour == "deep sea"
    assert "still used: band 7 and lid" in refused(text, put(["colours", "tide"], None))
    assert "band 7" in refused(text, {"remove": ["colours"]})
    own = edited(text, put(["colours", "rust"], "#112233")).text
    edited(own, put(["colours", "rust"], None))  # slype has a rust of its own


@texts
def test_a_name_given_and_taken_back_leaves_the_text_as_it_was(text):
    own = edited(text, put(["colours", "tide"], "#336677"), put(["spokes", "colour"], "tide")).text
    there = edited(own, {"rename": ["colours", "tide"], "to": "ebb and flow"}).text
    assert parse(there).spokes.colour == "ebb and flow"
    assert edited(there, {"rename": ["colours", "ebb and flow"], "to": "tide"}).text == own


@texts
def test_a_band_taken_out_and_put_in_again_is_the_same_design(text):
    for i, each in enumerate(apply.document(text)["band"]):
        if each.get("where") != "base" and i:
            gone = edited(text, {"remove": ["band", i]}).text
            back = edited(gone, {"insert": ["band"], "at": i, "value": each}).text
            assert apply.document(back) == apply.document(text) and parse(back) == parse(text)


def test_what_was_asked_for_is_never_mended_away():
    assert "band 8, start" in refused(ESTUARY, put(["band", 7, "start"], 99))
    assert "Give 1 or 4" in refused(ESTUARY, put(["band", 5, "colours"], ["rust", "sand"]))
    assert "cross" in refused(ESTUARY, put(["base", "through"], 3))
    both = edited(ESTUARY, put(["band", 5, "weave"], "pairing"), put(["band", 5, "colours"], ["moss", "plum"]))
    assert band(both.text, 5)["colours"] == ["moss", "plum"]


@texts
def test_what_is_set_and_set_back_is_the_same_design(text):
    said, before = apply.document(text), parse(text)
    for key in ("spokes", "form"):
        for name, value in said[key].items():
            assert parse(edited(text, put([key, name], value)).text) == before
    for i, each in enumerate(said["band"]):
        for name, value in each.items():
            assert edited(text, put(["band", i, name], value)).text == text
        assert edited(text, put(["band", i], each)).text == text


# A new basket --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("wording", ["us", "uk"])
@pytest.mark.parametrize("units", ["in", "cm"])
def test_a_new_basket_can_be_woven_as_it_stands(hand, wording, units):
    text = apply.blank(hand, wording, units)
    design = parse(text)
    assert (design.hand, design.wording, design.units) == (hand, wording, units)
    assert {finding.rule.weight for finding in planning.plan(design).advice} <= {"note"}
    assert text.count("#") > 8 and ("stake" in text) == (wording == "uk")


def test_a_new_basket_is_of_known_kinds_only():
    with pytest.raises(DesignError):
        apply.blank("both")
    with pytest.raises(DesignError):
        apply.blank(units=["in"])


# Harm ----------------------------------------------------------------------------------------------------------


@texts
def test_the_tables_can_be_sent_to_a_page(text):
    said = apply.document(text)
    assert json.loads(json.dumps(said, allow_nan=False)) == said
    assert all(isinstance(each, dict) for each in said["band"])


def test_tables_that_json_does_not_know_are_sent_as_texts():
    said = apply.document("a = 1979-05-27\nb = nan\nc = [inf, 07:32:00]\nband = { x = 1 }")
    assert said["band"] == [{"x": 1}] and said["b"] == "nan"
    json.dumps(said, allow_nan=False)


@pytest.mark.parametrize(
    "change",
    [
        put(["band", 99, "rows"], 3), put(["band", "x"], 3), put(["spokes", 0], 3), put([], 3), put([0], 3),
        put(["spokes", "ends"], float("nan")), put(["spokes", "ends"], 10**30), put(["spokes", "ends"], "many"),
        put(["basket", "title"], "a\x00b"), put(["basket", "title"], "x" * 10_000), put(["basket", "title"], "a\nb"),
        put(["__proto__"], 1), put(["__proto__", "polluted"], 1), put(["spokes", "constructor"], {"prototype": 1}),
        put(["band"], [{}] * 100_000), put(["form", "wall"], [[[[[[[[["0 in"]]]]]]]]]), put(["band"], None),
        put(["spokes", "reed"], [None]), put(["spokes", "reed"], {1: 2}), put(["spokes", "reed"], {"": 2}),
        put(["spokes", "reed"], b"round 5"), put(["form", "base"], {"mm": "7"}), put(["form", "base"], {"mm": 1e99}),
        put(["a"] * 50, 1), put(["band", True, "rows"], 3), put(["band", -1, "rows"], 3), put(["x" * 5000], 3),
        put("band", 3), put(None, 3), put(["band", 0, "rows", "deep"], 3), {"set": ["band"]}, {}, None, 3, "set",
        {"set": ["a"], "to": 1, "more": 2}, {"set": ["a"], "remove": ["a"], "to": 1}, {"sat": ["a"], "to": 1},
        {"insert": ["band"], "at": 99, "value": {}}, {"insert": ["band"], "at": "0", "value": {}},
        {"insert": ["band"], "at": 0, "value": None}, {"insert": ["spokes"], "at": 0, "value": 1},
        {"insert": ["nowhere", "x"], "at": 0, "value": 1}, {"remove": ["lid"]}, {"remove": ["band", 77]},
        {"remove": ["spokes"]}, {"move": ["band"], "from": 0, "to": 99}, {"move": ["spokes"], "from": 0, "to": 1},
        {"move": ["handle"], "from": 0, "to": 0}, {"copy": ["band"], "to": 0}, {"copy": ["band", 77], "to": 0},
        {"rename": ["spokes", "reed"], "to": "x"}, {"rename": ["colours", "rust"], "to": "x"},
        {"rename": ["colours"], "to": 5},
    ],
    ids=lambda change: str(change)[:40],
)  # fmt: skip
@pytest.mark.parametrize("text", [ESTUARY, FIRST, ODD], ids=["estuary", "first", "odd"])
def test_what_cannot_be_changed_is_refused_in_one_clear_message(text, change):
    assert refused(text, change)


def test_texts_that_are_no_design_or_too_large_are_refused():
    for text in ("", "=", "[", "x" * (MOST_BYTES + 1), "\x00", "a = " + "[" * 5000, 5, None):
        with pytest.raises(DesignError):
            apply.apply(text, [])
        with pytest.raises(DesignError):
            apply.document(text)
    for deep in (100, 450, 480, 490, 495, 600, 5000):
        for text in (
            f"a = {'[' * deep}{']' * deep}",
            "a" + ".a" * deep + " = 1",
            "[a" + ".a" * deep + "]\nb = 1",
            ESTUARY.replace("ends = 32", f"ends = {'{a=' * deep}1{'}' * deep}"),
        ):
            with pytest.raises(DesignError):
                apply.apply(text, [put(["basket", "title"], "x"), {"move": ["band"], "from": 1, "to": 0}])
            if "ends" not in text:
                with pytest.raises(DesignError):
                    apply.document(text)
    for changes in (None, "set", {"set": 1}, [put(["basket", "title"], "x")] * 1000):
        with pytest.raises(DesignError):
            apply.apply(ESTUARY, changes)
    big = ESTUARY + "#" + "x" * (MOST_BYTES - len(ESTUARY) - 20)
    assert "larger" in refused(big, put(["basket", "title"], "A title that is longer than the old one was by far"))


steps = st.one_of(
    st.sampled_from([*TABLES, "ends", "reed", "rows", "colours", "wall", "kind", "weave", "seat", "outline", "mm"]),
    st.sampled_from([key.name for key in KEYS]),
    st.integers(-1, 9),
    st.text(max_size=6),
)
values = st.recursive(
    st.one_of(
        st.none(), st.booleans(), st.integers(-3, 500), st.floats(), st.text(max_size=12),
        st.sampled_from(["round 3", "rust", "pairing", "top", "7 in", "7", "oval", "board", "base", "side", "bow",
                         "over 2 down", "rectangle", "round", "randing", "over", "inside", "__proto__"]),
    ),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(
        st.sampled_from([key.name for key in KEYS] + ["mm", "__proto__"]), inner, max_size=4),
    max_leaves=8,
)  # fmt: skip


@st.composite
def known_paths(draw):
    key = draw(st.sampled_from(KEYS))
    path = ["lid"] if draw(st.integers(0, 5)) == 0 else []
    path += [key.table] if key.table else []
    if key.table in ("band", "handle"):
        path.append(draw(st.integers(0, 8)))
    path.append(key.name)
    return path + draw(st.lists(st.integers(0, 3), max_size=2))


paths = known_paths() | st.lists(steps, max_size=5)
any_change = st.one_of(
    st.builds(put, paths, values),
    st.builds(lambda path, at, value: {"insert": path, "at": at, "value": value}, paths, st.integers(-1, 9), values),
    st.builds(lambda path: {"remove": path}, paths),
    st.builds(lambda path, a, b: {"move": path, "from": a, "to": b},
              paths | st.sampled_from([["band"], ["form", "wall"]]), st.integers(0, 8), st.integers(0, 8)),
    st.builds(lambda path, to: {"copy": path, "to": to},
              paths | st.integers(0, 8).map(lambda i: ["band", i]), st.integers(0, 8)),
    st.builds(lambda path, to: {"rename": path, "to": to}, paths, values),
    values,
)  # fmt: skip


@given(st.sampled_from(sorted(TEXTS)), st.lists(any_change, min_size=1, max_size=4))
def test_any_changes_are_made_and_readable_or_refused(name, changes):
    before = copy.deepcopy(changes)
    try:
        after = apply.apply(TEXTS[name], changes)
    except DesignError as trouble:
        assert str(trouble)
    else:
        parse(after.text)
        assert all(note[-1] in ".!" and not re.search(r"[{}]", note.replace("{ ", "")) for note in after.notes)
        apply.apply(after.text, [])
    assert repr(before) == repr(changes), "the changes themselves are left alone"


# The text, without regard to what it means ---------------------------------------------------------------------


def _paths(said, path=()):
    yield path
    for key, inner in said.items() if isinstance(said, dict) else enumerate(said) if isinstance(said, list) else ():
        yield from _paths(inner, (*path, key))


def _at(said, path):
    for key in path:
        said = said[key]
    return said


@given(st.sampled_from(sorted(TEXTS)), st.data())
def test_the_text_always_says_what_the_tables_say(name, data):
    import tomllib

    text = Text(TEXTS[name], TABLES)
    said = tomllib.loads(TEXTS[name])
    for _ in range(data.draw(st.integers(1, 3))):
        what = data.draw(st.sampled_from(["put", "new", "drop", "insert", "move", "copy"]))
        there = [path for path in _paths(said) if path]
        if what == "put":
            path = data.draw(st.sampled_from([p for p in there if not isinstance(_at(said, p), dict | list)]))
            value = data.draw(st.sampled_from(['a "quoted" #', 5, True, 2.5, ["a"], {"mm": 2.5}, {}, []]))
            _at(said, path[:-1])[path[-1]] = copy.deepcopy(value)
            text.put(path, value)
        elif what == "new":
            path = data.draw(st.sampled_from([p for p in there if isinstance(_at(said, p), dict)]))
            key = data.draw(st.sampled_from(["new", "a key", 'q"']))
            if key in _at(said, path):
                continue
            _at(said, path)[key] = {"x": [1]}
            text.put((*path, key), {"x": [1]})
        elif what == "drop":
            path = data.draw(st.sampled_from(there))
            held = _at(said, path[:-1])
            if isinstance(held, list) and len(held) == 1:
                continue  # an empty list of [[tables]] cannot be said
            del held[path[-1]]
            text.drop(path)
        else:
            path = data.draw(st.sampled_from([p for p in there if isinstance(_at(said, p), list) and _at(said, p)]))
            entries = _at(said, path)
            at, to = (data.draw(st.integers(0, len(entries) - 1)) for _ in range(2))
            if what == "insert":
                entries.insert(at, copy.deepcopy(entries[to]))
                text.insert(path, at, entries[at])
            elif what == "copy":
                entries.insert(to, copy.deepcopy(entries[at]))
                text.copy(path, at, to)
            else:
                entries.insert(to, entries.pop(at))
                text.move(path, at, to)
    assert same(tomllib.loads(str(text)), said), str(text)
