"""What the studio answers has the form it promises, for every example and for designs that nobody could weave; and no
design, however hostile, runs anything or holds up the others."""

from __future__ import annotations

import asyncio
import importlib.util
import json
import threading
import time
import typing
from collections import OrderedDict, deque
from concurrent.futures import ThreadPoolExecutor
from importlib import resources
from pathlib import Path

import pytest
from places import ROOT
from samples import pot_text
from studio_run import STACKED, Run

from slype.design.starters import FIRSTS
from slype.draw.solid import unpacked
from slype.edit import apply
from slype.errors import DesignError, SlypeError
from slype.make import pictures
from slype.plans import planning
from slype.rest import relax as rest
from slype.studio import answers as studio_answers
from slype.studio import remembered
from slype.studio.reading import Reading
from slype.studio.running import Studio
from slype.studio.shown import choices
from slype.studio.told.baskets import Look, State, Trouble
from slype.studio.told.figures import Number
from slype.studio.told.tables import Hello, Tables

EXAMPLES = {
    each.name: each.read_text(encoding="utf-8")
    for each in resources.files("slype").joinpath("examples").iterdir()
    if each.name.endswith(".toml")
}
CANNOT_BE_WOVEN = {
    "randing on an even count": pot_text().replace("three-rod wale", "randing"),
    "two ends too few": pot_text().replace("ends = 24", "ends = 4").replace("over 2 down", "over 5 down"),
    "spokes a foot apart": pot_text().replace("ends = 24", "ends = 3"),
    "spokes closer than they are thick": pot_text().replace("ends = 24", "ends = 400"),
}


def faults(value: object, form: object, where: str = "") -> list[str]:
    """Where `value` is not of the typed form `form`; empty where it is, key for key."""
    origin, inner = typing.get_origin(form), typing.get_args(form)
    if form is typing.Any:
        return []
    if typing.is_typeddict(form):
        if not isinstance(value, dict):
            return [f"{where}: {value!r:.40} is no {form.__name__}"]
        hints = typing.get_type_hints(form)
        out = [f"{where}: {key} is missing" for key in sorted(hints.keys() - value.keys())]
        out += [f"{where}: {key} is not promised" for key in sorted(value.keys() - hints.keys())]
        return out + [
            fault for key, each in value.items() if key in hints for fault in faults(each, hints[key], f"{where}.{key}")
        ]
    if origin is list:
        if not isinstance(value, list):
            return [f"{where}: {value!r:.40} is no list"]
        return [fault for i, each in enumerate(value) for fault in faults(each, inner[0], f"{where}[{i}]")]
    if origin is dict:
        if not isinstance(value, dict):
            return [f"{where}: {value!r:.40} is no table"]
        return [
            fault
            for key, each in value.items()
            for fault in faults(key, inner[0], f"{where} key") + faults(each, inner[1], f"{where}[{key}]")
        ]
    if inner:  # one of several
        each = [faults(value, option, where) for option in inner]
        return min(each, key=len) if all(each) else []
    if form is float:
        return [] if type(value) in (int, float) else [f"{where}: {value!r:.40} is no number"]
    return [] if type(value) is (type(None) if form is None else form) else [f"{where}: {value!r:.40}, not {form}"]


def test_the_checker_of_forms_sees_what_is_wrong():
    part = {"name": "a", "value": "b", "why": "", "source": ""}
    good = {"name": "high", "value": "3 in", "parts": [part], "note": ""}
    assert faults(good, Number) == []
    assert faults({**good, "note": None}, Number)
    assert faults({**good, "more": 1}, Number)
    assert faults({**good, "parts": [{**part, "why": 5}]}, Number) == [".parts[0].why: 5, not <class 'str'>"]
    assert faults({"high": 1}, dict[str, str]) and not faults(None, str | None)


def as_sent(value: object) -> object:
    """As it comes out at the other end of the line; NaN and infinity have no place there (RFC 8259, section 6)."""
    return json.loads(json.dumps(value, allow_nan=False))


@pytest.mark.parametrize("name", [*EXAMPLES, *CANNOT_BE_WOVEN])
def test_every_answer_has_the_form_it_promises(name):
    text = EXAMPLES.get(name) or CANNOT_BE_WOVEN[name]
    answer = studio_answers.look(text, name, 7, lambda share: None)
    assert faults(as_sent(answer["look"]), Look | None) == []
    assert faults(as_sent(answer["trouble"]), Trouble | None) == []
    assert (answer["look"] is None) == (answer["solid"] is None) == (answer["trouble"] is not None)
    assert as_sent(answer["document"]) == as_sent(apply.document(text))
    if answer["solid"] is not None:
        header = unpacked(answer["solid"])[0]
        assert header["revision"] == 7 and header["form"] == "stacked"
        bands = {strand["band"] for strand in header["strands"]} - {None}
        assert bands <= set(range(len(answer["look"]["bands"])))
    if name in CANNOT_BE_WOVEN:
        stop = answer["trouble"] or answer["look"]["stop"] or [each for each in answer["look"]["watch"]]
        assert stop, "nobody was told"


def test_after_an_undo_reeds_lie_as_they_lay_and_need_not_come_to_rest_again(monkeypatch):
    worked = []
    real = rest.relax
    monkeypatch.setattr(rest, "relax", lambda design, *more: worked.append(design) or real(design, *more))
    monkeypatch.setattr(remembered, "_rests", deque(maxlen=4))
    small = pot_text().replace("rows = 6", "rows = 3")
    taller = small.replace("rows = 3", "rows = 4")
    shown = [studio_answers.at_rest(text, "pot", 1, "b", lambda share: None)["look"] for text in (small, taller, small)]
    assert len(worked) == 2 and shown[0] == shown[2] != shown[1]
    retitled = studio_answers.at_rest(small.replace("Pot", "Jar"), "pot", 1, "b", lambda share: None)["look"]
    assert len(worked) == 2 and retitled == shown[0]


def test_what_is_drawn_of_reeds_at_rest_is_what_the_page_shows_and_settles_them_no_second_time(bench, monkeypatch):
    worked, real = [], rest.relax
    monkeypatch.setattr(rest, "relax", lambda design, *more: worked.append(design) or real(design, *more))

    class Here:
        """A worker that answers in this process, with a memory of its own."""

        def __init__(self) -> None:
            self.remembers = {"_plans": OrderedDict(), "_at_rest": OrderedDict(), "_rests": deque(maxlen=4)}

        async def ask(self, question, *args, seconds, progress=lambda share: None):
            for name, store in self.remembers.items():
                monkeypatch.setattr(remembered, name, store)
            return studio_answers.ANSWERS[question](*args, progress=progress)

    studio = Studio(bench, Reading(Here()))
    studio.slow, studio.papers = Here(), Here()
    basket = bench.open_text(pot_text().replace("rows = 6", "rows = 3"), "pot")

    async def story():
        await studio.state(basket)
        await studio.resting[basket.memory.id]
        shown = basket.rest
        drawn = [await studio.picture(basket, "outside", {"relaxed": relaxed}) for relaxed in (True, False)]
        return shown, drawn, await studio.paper(basket, "svg", {}), await studio.paper(basket, "glb", {})

    with ThreadPoolExecutor(1) as pool:
        shown, (settled, stacked), paper, solid = pool.submit(asyncio.run, story()).result()
    assert len(worked) == 1 and shown["look"]["relaxed"]
    assert paper == settled != stacked
    lies = planning.plan(worked[0], studio.slow.remembers["_rests"][0])
    assert solid == pictures.solid(lies) and paper == pictures.picture(lies)


def test_pictures_and_papers_wait_for_no_other_basket(bench):
    """What brings reeds to rest may be busy for minutes; then what draws settles them itself."""

    class Busy:
        async def ask(self, question, *args, seconds, progress=None):
            await asyncio.Event().wait()

    class Draws:
        async def ask(self, question, *args, seconds, progress=None):
            return args[-1]  # what it is handed of the reeds at rest

    studio = Studio(bench, Reading(Busy()))
    studio.slow, studio.papers = Busy(), Draws()
    basket = bench.open_text(pot_text(), "pot")

    async def drawn():
        async with asyncio.timeout(5):
            return await studio.picture(basket, "outside", {"relaxed": True}), await studio.paper(basket, "sheet", {})

    def found():
        with ThreadPoolExecutor(1) as pool:
            return pool.submit(asyncio.run, drawn()).result()

    assert found() == (None, None)
    basket.rest = {"text": basket.text, "lies": b"here"}
    assert found() == (b"here", b"here")
    basket.rest = {"text": basket.text + "\n", "lies": b"of another text"}
    assert found() == (None, None)


@pytest.fixture(scope="module")
def run(tmp_path_factory):
    here = tmp_path_factory.mktemp("answers")
    (here / "designs").mkdir()
    (here / "state").mkdir()
    (here / "designs" / "pot.toml").write_text(pot_text(), encoding="utf-8")
    started = Run(here / "designs", here / "state", python=STACKED)
    yield started
    started.stop()
    assert "Traceback" not in started.words()


def test_state_hello_and_tables_have_the_form_they_promise(run):
    states = [run.open(example=name.removesuffix(".toml")) for name in EXAMPLES]
    states += [run.open(text=text, name=name) for name, text in CANNOT_BE_WOVEN.items()]
    states += [run.open(new=True), run.open(path="pot.toml")]
    states.append(run.change(states[-1]["id"], {"set": ["spokes", "ends"], "to": 30}))
    for state in states:
        assert faults(state, State) == [], state["title"]
    assert faults(run.get("/api/hello").json, Hello) == []
    for wording in ("us", "uk", "elvish"):
        assert faults(run.get(f"/api/tables?wording={wording}").json, Tables) == []


def test_the_tables_name_everything_that_may_be_chosen_once():
    tables = choices.tables("uk")
    for kind in ("weaves", "reeds", "borders", "bases", "handles", "outlines"):
        keys = [each["key"] for each in tables[kind]]
        assert len(keys) == len(set(keys)) > 1


def test_the_pages_types_are_those_of_the_program():
    spec = importlib.util.spec_from_file_location("make_contract", ROOT / "docs" / "make_contract.py")
    maker = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(maker)
    assert maker.TARGET.read_text(encoding="utf-8") == maker.text(), "run docs/make_contract.py"
    named = {form.__name__ for form in maker.forms()}
    for module in (ROOT / "src" / "slype" / "studio" / "page" / "js").rglob("*.js"):
        import re

        used = set(re.findall(r'import\("\./contract\.js"\)\.(\w+)', module.read_text(encoding="utf-8")))
        assert used <= named, module.name


# Hostile designs -----------------------------------------------------------------------------------------------

MANY = "strands = 6\nrows = 2000\n"
HUGE = pot_text().replace("rows = 6\n", MANY).replace("ends = 24", "ends = 60")
REFUSED = {
    "a key of twenty thousand parts": pot_text() + "\n" + ".".join("a" * 20_000) + " = 1\n",
    "a quoted key of many parts": pot_text() + "\n" + ".".join(['"a b"'] * 9_000) + " = 1\n",
    "lists a thousand deep": pot_text() + "\n[pace]\nreserve = " + "[" * 5000 + "]" * 5000,
    "a border of twenty thousand moves": pot_text().replace("behind 1 out", "behind 1 " * 20_000 + "out"),
    "ten thousand ends": pot_text().replace("ends = 24", "ends = 10000"),
    "a number of a hundred thousand digits": pot_text().replace("ends = 24", "ends = " + "9" * 100_000),
    "two hundred bands": pot_text() + '\n[[band]]\nweave = "pairing"\nreed = "round 2"\nrows = 1\n' * 200,
    "a length of ninety thousand digits": pot_text().replace("6 in", "7" * 90_000 + " in", 1),
    "text over the limit": pot_text() + "# " + "x" * 200_000,
    "fifteen thousand handles": pot_text() + "[[handle]]\n" * 15_000,
}


@pytest.mark.parametrize("what", REFUSED)
def test_a_hostile_design_is_refused_at_once(run, what):
    began = time.monotonic()
    answer = run.post("/api/open", {"text": REFUSED[what], "name": what})
    assert answer.status == 422 and what in answer.sentence
    assert time.monotonic() - began < 10  # the worst found before took 21 s
    with pytest.raises(SlypeError):
        studio_answers.look(REFUSED[what], what, 1, lambda share: None)


def test_a_reader_that_does_not_end_is_stopped_and_the_text_refused(tmp_path):
    """A worker that reads for ever stands in for a text that would make it do so: none is known."""
    (tmp_path / "state").mkdir()
    (tmp_path / "sitecustomize.py").write_text(
        "import sys, time\n"
        "if 'studio' in sys.argv or any('spawn' in word for word in sys.orig_argv):\n"
        "    import slype.studio.reading as reading, slype.design.file.reader as files\n"
        "    reading.READ_S = 1.0\n"
        "    parse = files.parse\n"
        "    spin = lambda: any(False for _ in iter(int, 1))\n"
        "    files.parse = lambda text, *more: spin() if 'for ever' in text else parse(text, *more)\n"
    )
    import slype

    run = Run(tmp_path, tmp_path / "state", path=f"{tmp_path}:{Path(slype.__file__).parent.parent}", python=STACKED)
    try:
        began = time.monotonic()
        answers, meanwhile = [], 0
        asked = {"text": "# for ever\n" + pot_text(), "name": "endless"}
        reading = threading.Thread(target=lambda: answers.append(run.post("/api/open", asked)))
        reading.start()
        while reading.is_alive():
            assert run.get("/studio/page/icon.svg", seconds=10).status == 200, "others are answered meanwhile"
            meanwhile += 1
            time.sleep(0.03)
        (answer,) = answers
        assert meanwhile > 5
        assert answer.status == 422 and "endless takes far longer to read" in answer.sentence
        again = run.post("/api/open", {"text": "# for ever\n" + pot_text(), "name": "endless"}, seconds=2)
        assert again.sentence == answer.sentence, "what is known to be endless is not begun again"
        assert run.open(text=pot_text(), name="pot")["look"] is not None
        assert time.monotonic() - began < 30
    finally:
        run.stop()


def test_a_change_comes_with_its_picture(run):
    pot = run.open(text=pot_text(), name="pot with its picture")["id"]

    def shown(method: str, path: str, body=None) -> tuple[dict, bytes]:
        raw = run.ask(method, path, body).body
        size = int.from_bytes(raw[:4], "little")
        return json.loads(raw[4 : 4 + size]), raw[4 + size :]

    change = {"changes": [{"set": ["band", 0, "rows"], "to": 9}], "label": "rows"}
    state, plan = shown("POST", f"/api/baskets/{pot}/change?have=", change)
    assert state["document"]["band"][0]["rows"] == 9
    header, points, _ = unpacked(plan)
    assert header["revision"] == state["revision"] and header["form"] == "stacked" and len(points) > 100
    assert plan == run.get(f"/api/baskets/{pot}/solid?form=stacked").body
    have = f"{pot}.{state['revision']}.{header['form']}"
    later, nothing = shown("GET", f"/api/baskets/{pot}?have={have}")
    if later["look"]["relaxed"]:  # its reeds came to rest meanwhile, and that is another picture
        assert unpacked(nothing)[0]["form"] == "relaxed"
    else:
        assert nothing == b"" and later["revision"] == state["revision"]


def test_a_title_with_markup_stays_text(run):
    title = "<script>alert(1)</script><img src=x onerror=alert(1)>"
    basket = run.open(text=pot_text(title), name="<b>")
    assert basket["title"] == title
    answer = run.get(f"/api/baskets/{basket['id']}/picture?view=unrolled")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert b"<script" not in answer.body and b"<img" not in answer.body
    assert "script-src 'self'" in answer.headers["content-security-policy"]


@pytest.fixture
def impatient(tmp_path, monkeypatch):
    """A studio whose quick worker may take four seconds, so that the test need not wait for fifteen."""
    (tmp_path / "state").mkdir()
    (tmp_path / "sitecustomize.py").write_text(
        "import importlib.util, sys\n"
        "if 'studio' in sys.argv and 'slype' in ' '.join(sys.orig_argv):\n"
        "    import slype.studio.running as app\n    app.QUICK_S = 4.0\n"
        "import slype.lay.limits as limits, slype.plans.piece as piece\n"
        "limits.MOST_DRAWN = limits.MOST_HIGH_MM = 1e9\n"
        "limits.MOST_ACROSS_MM = piece.MOST_PIECE_MM = limits.MOST_JOINS = 1e9\n"
    )
    import slype

    both = f"{tmp_path}:{Path(slype.__file__).parent.parent}"
    started = Run(tmp_path, tmp_path / "state", path=both, python=STACKED)
    yield started
    started.stop()


def test_reckoning_without_end_is_stopped_and_can_be_undone(impatient):
    run = impatient
    pot = run.open(text=pot_text(), name="pot")["id"]
    began = time.monotonic()
    state = run.change(pot, {"set": ["spokes", "ends"], "to": 60}, {"set": ["band", 0, "strands"], "to": 6},
                       {"set": ["band", 0, "rows"], "to": 2000}, label="far too much")  # fmt: skip
    assert time.monotonic() - began < 12
    assert state["look"] is None and "took longer than 4 seconds" in state["trouble"]["message"]
    assert state["undo"] == "far too much" and state["document"]["band"][0]["rows"] == 2000
    assert run.get(f"/api/baskets/{pot}", seconds=2).json["look"] is None  # not reckoned in vain once more
    back = run.undo(pot)
    assert back["look"] is not None and back["document"]["band"][0]["rows"] == 6


def test_a_basket_of_more_strokes_than_a_picture_shows_keeps_its_figures_and_says_why_it_is_not_drawn():
    wall, base = [["0 in", "1 m"], ["1 m", "1 m"]], "1 m"
    many = {"set": ["band", 0, "rows"], "to": 400}
    text = apply.apply(
        pot_text(),
        [{"set": ["spokes", "ends"], "to": 60}, {"set": ["form", "wall"], "to": wall},
         {"set": ["form", "base"], "to": base}, many, {"set": ["band", 0, "reed"], "to": "round 0"}],
    ).text  # fmt: skip
    said = studio_answers.look(text, "pot", 1, lambda share: None)
    assert said["look"]["bands"][0]["rows"] == 400 and said["solid"] is None
    assert "24,000 strokes" in said["trouble"]["message"] and said["trouble"]["where"].startswith("Band 1")


def test_a_lid_changed_while_the_basket_rests_is_the_new_lid():
    """The basket's reeds lie the same; those of its lid do not."""

    def resting(text: str, basket: str) -> dict:
        return studio_answers.at_rest(text, "pot", 1, basket, lambda share: None)["look"]

    lidded = apply.apply(pot_text(), [{"set": ["lid"], "to": FIRSTS["lid"].value("us")}]).text
    finer = apply.apply(lidded, [{"set": ["lid", "spokes", "ends"], "to": 36}]).text
    before, after = resting(lidded, "bench"), resting(finer, "bench")
    assert [band["spaces"] for band in before["lid_bands"]][-1] == 24
    assert [band["spaces"] for band in after["lid_bands"]][-1] == 36
    alone = resting(finer, "another bench")["lid_bands"]
    assert [band["share"] for band in after["lid_bands"]] == pytest.approx([band["share"] for band in alone], rel=0.01)
    assert resting(pot_text(), "bench")["lid_bands"] == []


@pytest.mark.parametrize(("wording", "spelt", "thing"), [("us", "color", "spokes"), ("uk", "colour", "stakes")])
def test_what_is_refused_or_cannot_be_woven_is_told_in_the_wording_of_the_text(wording, spelt, thing):
    text = pot_text().replace("[basket]", f'[basket]\nwording = "{wording}"')

    def look(old, new):
        return studio_answers.ANSWERS["look"](text.replace(old, new), "pot", 1, lambda _: None)

    with pytest.raises(DesignError, match=f'the {spelt} "mauvish" is not defined'):
        look("rows = 6", 'colours = ["mauvish"]\nrows = 6')
    tight = look("ends = 24", "ends = 400")["trouble"]
    assert thing in f"{tight['message']} {tight['remedy']}", tight
