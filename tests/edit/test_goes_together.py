"""What goes together changes together: another weave keeps its colours, another reed its spokes, a band its blocks."""

import pytest
from edited import ESTUARY, TEXTS, band, edited, put, refused, texts

from slype.design.file.reader import parse
from slype.edit import apply
from slype.form.wall import ring_of
from slype.plans import planning
from slype.weave.table import EVERY_END, WEAVES

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
