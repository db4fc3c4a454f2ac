"""The design file: every key is understood, every fault is named, and nothing does worse than a refusal."""

import os
import pickle
import re
import stat

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from places import EXAMPLES
from strategies import basket_text

from slype.design.file.keys import KEYS, TABLES
from slype.design.file.reader import load, parse
from slype.errors import DesignError, FileTrouble, SlypeError
from slype.plans import planning

FILES = sorted(EXAMPLES.glob("*.toml"))
ESTUARY = (EXAMPLES / "estuary.toml").read_text(encoding="utf-8")
LINES = [i for i, line in enumerate(ESTUARY.splitlines()) if "=" in line.split("#")[0]]

FREE = {"over": 2, "under": 2, "weavers": 4}
INSERTED = "inserted = true\n"
OBLONG = {"base": ["9 in", "6 in"], "wall": [["0 in", "9 in", "6 in"], ["4 in", "10 in", "7 in"]]}

BOARD = {
    "base": "7 in",
    "wall": [["0 in", "6 in"], ["4 in", "6 in"]],
    "tail": '[base]\nkind = "board"\nfoot = "foot border"\nmargin = "1/2 in"\nthickness = "8 mm"',
}
BOW = {
    "rows": 20,
    "tail": '[[handle]]\nkind = "bow"\ncore = "round 6"\ncores = 2\nwrap = "round 2"\nstrands = 2\nacross = "5 in"\n'
    'height = "6 in"\ndepth = "2 in"',
}
ROPE = {"tail": '[[handle]]\nkind = "rope"\nwrap = "cane 8"\nrods = 4\nturn = "5 cm"\ncount = 2\ncolour = "rust"'}
BYE = {
    "tail": '[bye_spokes]\nreed = "round 4"\nfrom = "base"\nto = "below"\ninsertion = "1 1/2 in"\ncolour = "rust"',
}
FOOT = {
    "tail": '[foot]\nborder = "foot border"\nreed = "round 4"\ncolour = "rust"\ninsertion = "2 in"\nrows = 3\n'
    'weave = "pairing"\nweaver = "round 2"\ncolours = ["rust", "natural"]',
}
LID = {
    "tail": '[lid]\nseat = "over"\nplay = "3 mm"\nacross = "7 in"\ndepth = "1 in"\nborder = ["over 2 down"]\n'
    'spokes = { reed = "round 4", ends = 25 }\nbase = { odd = "cut out" }\n'
    'band = [{ weave = "pairing", reed = "round 2", until = "edge" }, { where = "side", weave = "pairing", '
    'reed = "round 2", rows = 3 }]'
}

FOLDED = {
    "before": '[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\ngroups = 6\nrows = 2',
    "tail": '[base]\nbegin = "folded"',
}

# For every key a basket that uses it: changes to the plain basket.
ACCEPTED = {
    (".", "version"): {},  # written in front, below
    ("basket", "title"): {"basket": 'title = "A basket"'},
    ("basket", "hand"): {"hand": "left"},
    ("basket", "wording"): {"basket": 'wording = "uk"'},
    ("basket", "units"): {"basket": 'units = "cm"'},
    ("spokes", "reed"): {"spoke": "cane 12"},
    ("spokes", "ends"): {"ends": 28},
    ("spokes", "inserted"): {"spokes": INSERTED},
    ("spokes", "per_end"): {"spokes": "per_end = 2"},
    ("spokes", "colour"): {"spokes": 'colour = "rust"'},
    ("spokes", "base_reed"): {"spokes": INSERTED + 'base_reed = "round 6"'},
    ("spokes", "base_ends"): {"spokes": INSERTED + "base_ends = 16"},
    ("spokes", "insertion"): {"spokes": INSERTED + 'insertion = "1 1/2 in"'},
    **{("bye_spokes", key): BYE for key in ("reed", "from", "to", "insertion", "colour")},
    **{("foot", key): FOOT for key in ("border", "reed", "colour", "insertion", "rows", "weave", "weaver", "colours")},
    ("form", "outline"): {"before": 'outline = "round"'},
    ("form", "base"): {"base": "7 in"},
    ("form", "corner"): {**OBLONG, "before": 'outline = "rectangle"\ncorner = "2 in"'},
    ("spokes", "long_sticks"): {**OBLONG, "before": 'outline = "oval"', "spokes": "long_sticks = 5"},
    ("form", "wall"): {"wall": [["0 in", "6 in"], ["2 in", "7 in"], ["4 in", "6 in"]]},
    ("band", "where"): {"before": '[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\nuntil = "6 in"'},
    ("band", "weave"): {"weave": "four-rod wale"},
    ("band", "weavers"): FREE,
    ("band", "over"): FREE,
    ("band", "under"): FREE,
    ("band", "cycle"): {"weavers": 2, "band": "cycle = [2, 1, 1, 1]"},
    ("band", "turns"): {"weavers": 2, "over": 1, "under": 1, "band": 'turns = "round"'},
    ("band", "reverse"): {"band": 'reverse = "alternate"'},
    ("band", "strands"): {"ends": 25, "weave": "slewing", "band": "strands = 3"},
    ("band", "groups"): {"band": "groups = 2"},
    ("band", "odd"): {"ends": 25, "band": 'groups = 4\nodd = "alone"'},
    ("band", "reed"): {"reed": "cane 3"},
    ("band", "colours"): {"colours": ["rust", "sand", "#123abc"]},
    ("band", "rows"): {"rows": 9},
    ("band", "height"): {"rows": None, "band": 'height = "2 in"'},
    ("band", "until"): {"rows": None, "band": 'until = "top"'},
    ("band", "start"): {"band": "start = 24"},
    ("band", "blocks"): {"band": "blocks = { rows = 3, shift = 2 }"},
    ("band", "length"): {"band": 'length = "9 ft"'},
    ("band", "add"): {"band": "add = 12"},
    ("band", "add_at"): {**OBLONG, "before": 'outline = "oval"', "band": 'add = 8\nadd_at = "curves"'},
    ("border", "kind"): {"kind": "three-rod plain"},
    ("border", "rows"): {"border": ["behind 1 out", "over 3 in", "over 2 down"]},
    **{("base", key): BOARD for key in ("kind", "foot", "margin", "thickness")},
    ("base", "through"): {"tail": '[base]\nkind = "pierced cross"\nthrough = 5'},
    ("base", "sets"): {"tail": '[base]\nkind = "interlaced"\nsets = 3'},
    ("base", "odd"): {"ends": 25, "tail": '[base]\nodd = "added"'},
    ("base", "begin"): FOLDED,
    ("base", "beside"): {"ends": 32, "spokes": INSERTED + "base_ends = 16", "tail": "[base]\nbeside = 2"},
    **{("handle", key): BOW for key in ("kind", "core", "cores", "wrap", "strands", "across", "height", "depth")},
    **{("handle", key): ROPE for key in ("rods", "turn", "count", "colour")},
    **{("lid", key): LID for key in ("seat", "spokes", "base", "band", "border", "play", "across", "depth")},
    ("colours", "*"): {"colours": ["tide"], "tail": '[colours]\ntide = "#336677"'},
    ("reeds", "*"): {"tail": '[reeds."round 3"]\nmm = 2.4\n[reeds.mine]\ncoil_mass = "1 lb"\ncoil_length = "700 ft"'},
    ("pace", "strokes_per_minute"): {"tail": "[pace]\nstrokes_per_minute = 15.5"},
    ("pace", "border_seconds"): {"tail": "[pace]\nborder_seconds = 20"},
    ("pace", "join_seconds"): {"tail": "[pace]\njoin_seconds = 60"},
    ("pace", "pack_seconds"): {"tail": "[pace]\npack_seconds = 0"},
    ("pace", "stick_seconds"): {"tail": "[pace]\nstick_seconds = 90"},
    ("pace", "push_seconds"): {"tail": "[pace]\npush_seconds = 45"},
    ("pace", "turn_seconds"): {"tail": "[pace]\nturn_seconds = 20"},
    ("pace", "trim_seconds"): {"tail": "[pace]\ntrim_seconds = 9"},
    ("pace", "reserve_percent"): {"tail": "[pace]\nreserve_percent = 25"},
    ("prices", "currency"): {"tail": '[prices]\ncurrency = "kr"'},
    ("prices", "coil"): {"tail": "[prices]\ncoil = 24.5"},
    ("prices", "coils"): {"tail": '[prices]\ncoils = { "round 3" = 21 }'},
    ("prices", "hour"): {"tail": "[prices]\nhour = 18"},
    ("prices", "overhead_percent"): {"tail": "[prices]\noverhead_percent = 15"},
    ("gauge", "rows"): {"tail": '[gauge]\nrows = [{ weave = "three-rod wale", rows = 6, height = "3/4 in" }]'},
    ("gauge", "border"): {"tail": '[gauge]\nborder = "7 in"'},
    ("gauge", "fingers"): {"tail": '[gauge]\nfingers = "1 in"'},
    ("gauge", "tail"): {"tail": '[gauge]\ntail = "3 in"'},
    ("gauge", "short_costs"): {"tail": "[gauge]\nshort_costs = 4"},
    ("gauge", "from"): {"tail": '[gauge]\nfrom = "my own hands"'},
    ("gauge", "learned"): {
        "tail": '[gauge]\nlearned = [{ quantity = "row pitch", times = 1.1, between = [1.0, 1.2] }]'
    },
}


def refusal(text, name="mine.toml"):
    with pytest.raises(DesignError) as refused:
        parse(text, name)
    return str(refused.value)


# Keys ----------------------------------------------------------------------------------------------------------


def test_every_key_has_a_basket_that_uses_it():
    assert len(KEYS) > 35
    assert {(key.table or ".", key.name) for key in KEYS} == set(ACCEPTED)
    assert all(key.help and key.takes for key in KEYS)


@pytest.mark.parametrize(("table", "key"), ACCEPTED, ids=lambda part: part)
def test_each_key_is_accepted_and_can_be_planned(table, key):
    text = "version = 1\n" + basket_text(**ACCEPTED[table, key])
    if key != "*":
        assert re.search(rf"\b{key} = ", text)
    planning.plan(parse(text))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_each_example_is_read_and_carries_its_file_name(path):
    design = load(path)
    assert design.name == path.name and design.bands


def test_what_is_written_reaches_the_design():
    colours = ["rust", "rust", "sand", "slate"]
    band = 'start = 5\nblocks = { rows = 4, shift = 2 }\nlength = "9 ft"\ngroups = 2'
    design = parse(basket_text(ends=56, weave="4-rod wale", rows=12, hand="left", colours=colours, band=band))
    assert (design.hand, design.spokes.ends, design.spokes.reed.key) == ("left", 56, "round 5")
    assert design.form.base_mm == pytest.approx(152.4)
    (read,) = design.bands
    assert (read.weave.name, read.rows, read.start, read.group) == ("four-rod wale", 12, 4, 2)
    assert (read.blocks.rows, read.blocks.shift, read.strand_mm) == (4, 2, pytest.approx(2743.2))
    assert read.colours == tuple(colours)
    assert design.palette.keys() == {"natural", "rust", "sand", "slate"}


def test_a_makers_own_reed_and_colour_are_used_in_place_of_the_tables():
    design = parse(basket_text(colours=["rust"], tail='[colours]\nrust = "#112233"\n[reeds."round 3"]\nmm = 2.6'))
    assert design.palette["rust"] == "#112233"
    assert design.bands[0].reed.diameter_mm == 2.6 and design.bands[0].reed.measured


# Faults --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("table", TABLES)
def test_an_unknown_key_names_its_table_and_the_nearest_known_one(table):
    known = next(key.name for key in KEYS if key.table == table)
    if known == "*":
        return
    wrong = known[:-1] + known[-1] * 2 if len(known) > 3 else known + "s"
    where = {"basket": "basket", "spokes": "spokes", "band": "band", "form": "before"}
    # Tables that come last need their own head, but for [border], which is open.
    head = {
        "pace": "[pace]\n",
        "base": "[base]\n",
        "handle": "[[handle]]\n",
        "lid": "[lid]\n",
        "prices": "[prices]\n",
        "gauge": "[gauge]\n",
        "bye_spokes": "[bye_spokes]\n",
        "foot": "[foot]\n",
    }.get(table, "")
    said = refusal(basket_text(**{where.get(table, "tail"): f"{head}{wrong} = 1"}))
    assert "mine.toml" in said and table in said and f'"{wrong}"' in said and f'"{known}"' in said


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"ends": 2}, "spokes, ends"),
        ({"ends": 401}, "spokes, ends"),
        ({"ends": -24}, "spokes, ends"),
        ({"ends": 24.5}, "spokes, ends"),
        ({"ends": "true"}, "spokes, ends"),
        ({"ends": "9" * 4000}, "spokes, ends"),
        ({"spoke": "round 99"}, "spokes, reed"),
        ({"spoke": "5"}, "cane 5"),
        ({"base": "6"}, "form, base"),
        ({"base": "-6 in"}, "form, base"),
        ({"base": "6 in", "wall": [["0 in", "9 in"], ["4 in", "9 in"]]}, "form, wall, point 1"),
        ({"wall": [["0 in", "6 in"], ["4 in", "6 in"], ["3 in", "7 in"]]}, "point 3"),
        ({"wall": [["0 in", "6 in"]]}, "two points"),
        ({"weave": "tree-rod wale"}, "three-rod wale"),
        ({"weave": "four-rod wale", "over": 2}, "add up to 4"),
        ({"colours": ["rust", "sand"]}, "Give 1 or 3"),
        ({"colours": ["rusty"]}, "rust"),
        ({"colours": []}, "band 1, colours"),
        ({"rows": 1_000_000}, "band 1, rows"),
        ({"rows": None}, "how far"),
        ({"band": 'height = "1 in"'}, "2 times"),
        ({"band": "start = 25"}, "band 1, start"),
        ({"band": "strands = 0"}, "band 1, strands"),
        ({"band": "reverse = 'sometimes'"}, "band 1, reverse"),
        ({"weave": "randing", "ends": 25, "band": "reverse = true"}, "no others"),
        ({"band": "blocks = { shift = 2 }"}, "blocks, rows"),
        ({"band": "blocks = 4"}, "band 1, blocks"),
        ({"under": 1, "weavers": 2, "band": "over = 0"}, "band 1, over"),
        ({"over": 1, "under": 1, "weavers": 3, "band": 'turns = "stroke"'}, "taking turns"),
        ({"border": []}, "border"),
        ({"border": ["sideways"]}, "border, rows, row 1"),
        ({"after": "[[band]]"}, "band 2"),
        ({"after": '[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\nrows = 1'}, "after a side band"),
        ({"before": 'outline = "egg"'}, "egg"),
        ({"before": 'outline = "oval"'}, "[length, width]"),
        ({"spokes": "base_ends = 16"}, "inserted"),
        ({"tail": "[colours]\nrust = 'red-ish'"}, "colours, rust"),
        ({"tail": "[reeds.mine]\nmm = 99"}, "reeds, mine"),
        ({"tail": "[pace]\nreserve_percent = 1000"}, "pace, reserve_percent"),
        ({"tail": "[pace]\nreserve_percent = nan"}, "pace, reserve_percent"),
        ({"tail": "[lining]\ncloth = 1"}, "lining"),
        ({"basket": 'wording = "cockney"'}, "basket, wording"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_naming_file_table_and_key(changes, said):
    message = refusal(basket_text(**changes))
    assert message.startswith("mine.toml") and said in message
    assert len(message) < 600


@pytest.mark.parametrize("table", ["spokes", "form", "band", "border"])
def test_a_missing_table_is_named(table):
    header = "[[band]]" if table == "band" else f"[{table}]"
    before, after = basket_text().split(header)
    rest = after[after.index("\n[") :] if "\n[" in after else ""
    assert f"the table {header} is missing" in refusal(before + rest)


def test_a_key_above_every_heading_and_a_table_below_another_are_told_where_to_stand():
    """A maker who writes inline tables and headings in one file is told what TOML makes of it."""
    inline = 'spokes = { reed = "round 4", ends = 17 }\n'
    titled = refusal('title = "Pot"\n' + inline)
    assert "title: stands in no table" in titled and "[basket]" in titled
    below = refusal('[basket]\ntitle = "Pot"\n' + inline)
    assert "spokes: stands inside the table [basket]" in below and "above [basket]" in below


@pytest.mark.parametrize(
    "text",
    ["", "=", "[", "spokes", "a = " + "[" * 5000 + "]" * 5000, "a = " + "9" * 5000, "\x00", "[spokes]\n[spokes]",
     "spokes = 1", "[[spokes]]", "band = {}", "[band]", "version = 'one'", "version = 0", "version = true",
     "version = 1.5"],
    ids=range(16),
)  # fmt: skip
def test_what_is_no_design_is_refused_in_one_message(text):
    assert refusal(text).startswith("mine.toml")


def test_a_newer_form_is_refused_politely():
    assert "newer slype" in refusal("version = 2\n" + basket_text())
    assert "newer slype" in refusal("version = 9" + "0" * 4000 + "\n" + basket_text())


def test_files_that_cannot_be_read_are_named(tmp_path):
    with pytest.raises(FileTrouble, match="no such file"):
        load(tmp_path / "none.toml")
    with pytest.raises(FileTrouble):
        load(tmp_path)
    (tmp_path / "latin.toml").write_bytes(basket_text().encode() + b'# caf\xe9\n[x]\nname = "\xff"')
    with pytest.raises(DesignError, match="UTF-8"):
        load(tmp_path / "latin.toml")
    (tmp_path / "huge.toml").write_text("# " + "x" * 250_000)
    with pytest.raises(DesignError, match="larger than any design"):
        load(tmp_path / "huge.toml")
    (tmp_path / "marked.toml").write_bytes(b"\xef\xbb\xbf" + basket_text().encode())
    assert load(tmp_path / "marked.toml").spokes.ends == 24  # a byte-order mark is no fault


@pytest.mark.skipif(os.geteuid() == 0 if hasattr(os, "geteuid") else True, reason="root may read everything")
def test_a_file_one_may_not_read_is_named(tmp_path):
    locked = tmp_path / "locked.toml"
    locked.write_text(basket_text())
    locked.chmod(stat.S_IWUSR)
    with pytest.raises(FileTrouble):
        load(locked)


# Random faults -------------------------------------------------------------------------------------------------

junk_values = st.one_of(
    st.sampled_from(
        ["true", "false", "nan", "inf", "-inf", "0", "-1", "1", "2", "3", "5", "24", "999999999", "1e300", "0.1", "[]",
         "{}", "[[]]", "[{}]", '""', '"natural"', '"top"', '"round 3"', '"7 in"', '"0 in"', '"1e9 in"', '"999 in"',
         '"alternate"', '"pairing"', '"French randing"', '"twill randing"', '"base"', '"side"', '["over 1 in"]',
         "[1, 1]", "[1, 2, 3]", "1979-05-27", "07:32:00", "{ mm = 3.3 }", "{ mm = 0 }", "{ rows = 1 }",
         "{ rows = 2, shift = 28 }", '[["0 in", "7 in"]]', '"\\u0000"', "9" * 5000]
    ),
    st.integers(-5, 500).map(str),
    st.text(max_size=12).map(lambda text: '"' + text.replace("\\", "").replace('"', "").replace("\n", " ") + '"'),
)  # fmt: skip


def survives(text):
    """Read and, where it can be read, plan; anything but a SlypeError comes through as a failure."""
    try:
        plan = planning.plan(parse(text, "mutant"))
    except SlypeError as refused:
        assert str(refused)
    else:
        assert plan.spokes.length_mm > 0


@given(st.sampled_from(LINES), junk_values)
def test_any_value_in_place_of_another_is_taken_or_refused(line, value):
    lines = ESTUARY.splitlines()
    lines[line] = f"{lines[line].split('=')[0]}= {value}"
    survives("\n".join(lines))


@given(st.lists(st.tuples(st.sampled_from(LINES), junk_values), min_size=2, max_size=4))
def test_several_wrong_values_at_once_are_taken_or_refused(changes):
    lines = ESTUARY.splitlines()
    for line, value in changes:
        lines[line] = f"{lines[line].split('=')[0]}= {value}"
    survives("\n".join(lines))


@given(
    st.lists(
        st.tuples(st.integers(0, len(ESTUARY) - 1), st.integers(0, 8), st.text(max_size=4)), min_size=1, max_size=4
    )
)
@example([(0, 0, "\x00")])
def test_any_letters_in_place_of_others_are_taken_or_refused(changes):
    text = ESTUARY
    for at, cut, put in changes:
        text = text[:at] + put + text[at + cut :]
    survives(text)


@given(st.lists(st.sampled_from(range(len(ESTUARY.splitlines()))), min_size=1, max_size=12, unique=True))
def test_any_lines_left_out_are_missed_or_refused(gone):
    survives("\n".join(line for i, line in enumerate(ESTUARY.splitlines()) if i not in gone))


@given(
    st.sampled_from([key for key in KEYS if key.name != "*" and key.table]), junk_values
)  # every key, with any value, in a table that may not have it yet
def test_any_key_with_any_value_is_taken_or_refused(key, value):
    header = f"[[{key.table}]]" if key.table == "band" else f"[{key.table}]"
    lines = [line for line in basket_text(tail="[pace]").splitlines() if line.split(" =")[0] != key.name]
    if header in lines:
        lines.insert(lines.index(header) + 1, f"{key.name} = {value}")
    survives("\n".join(lines))


@pytest.mark.parametrize(
    ("text", "where", "path"),
    [
        (basket_text(band="start = 99"), "band 1, start", ("band", 0, "start")),
        (basket_text(tail=BOW["tail"] + "\nrods = 3"), "handle 1, rods", ("handle", 0, "rods")),
        (
            basket_text(**{**LID, "tail": LID["tail"].replace('"round 2"', '"rond 2"', 1)}),
            "lid, band 1, reed", ("lid", "band", 0, "reed"),
        ),
        (basket_text(wall=[["0 in", "6 in"], ["4 in"]]), "form, wall, point 2", ("form", "wall", 1)),
    ],
)  # fmt: skip
def test_what_is_refused_is_known_by_its_path_as_well_as_in_words(text, where, path):
    with pytest.raises(DesignError) as refused:
        parse(text, "mine.toml")
    assert (refused.value.where, refused.value.path) == (f"mine.toml, {where}", path)
    again = pickle.loads(pickle.dumps(refused.value))  # as it comes from a worker
    assert (str(again), again.path) == (str(refused.value), path)


def test_a_base_is_begun_with_two_cut_weavers_or_one_folded():
    assert parse(basket_text(**FOLDED)).base.begin == "folded"
    assert parse(basket_text()).base.begin == "cut"
    assert "is not a way to begin" in refusal(basket_text(tail='[base]\nbegin = "fold"'))
    assert "makes two of one colour" in refusal(basket_text(tail=FOLDED["tail"]))
