"""A new basket can be woven as it stands, and no change does harm to a design file or to its text."""

import copy
import json
import re

import pytest
from edited import ESTUARY, FIRST, ODD, TEXTS, put, refused, texts
from hypothesis import given
from hypothesis import strategies as st

from slype.design.file.keys import KEYS, TABLES
from slype.design.file.reader import parse
from slype.edit import apply
from slype.edit.lines import Text, same
from slype.errors import DesignError
from slype.files import MOST_BYTES
from slype.plans import planning

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
