"""What two beginners stumbled on in the students' sheets, held against the trace and the plan."""

import re
from collections import defaultdict
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from strategies import basket_text
from told import step_of
from worked import planned_as, taught

import slype
from slype.borders.sentences import closing, lay_first
from slype.borders.table import BORDERS
from slype.design.file import reader
from slype.design.values import group_sizes
from slype.lay.joins import CLEAR_SPACES
from slype.order.moments import moments
from slype.plans import planning
from slype.plans.bundles import bundles
from slype.quantity import parse_length, parse_mass
from slype.teach.step.bench import Bench
from slype.teach.step.values import sentences
from slype.teach.troubles import troubled_band, troubles
from slype.tell.bundled import spare_told
from slype.tell.voice import reed_short
from slype.words import say


def planned(name, **values):
    return planned_as(name, **values)


@pytest.fixture(scope="module")
def posy():
    plan = planned("posy")
    return plan, taught(plan)


@pytest.fixture(scope="module")
def estuary():
    plan = planned("estuary", hand="left", wording="uk")
    return plan, taught(plan)


def last_of(band, weaver):
    """The last that a weaver of a band passes behind before it is drawn in, from 1."""
    t = band.traces()[-1][1]
    mine = [i for i in range(len(t.spoke)) if t.weaver[i] == weaver and not t.front[i]]
    return int(t.spoke[mine[-1]]) + 1


@pytest.mark.parametrize("basket", ["posy", "estuary"])
def test_an_ended_tail_is_trimmed_between_the_last_it_passed_and_the_next_number(basket, request):
    plan, steps = request.getfixturevalue(basket)
    does = step_of(steps, "Trim the weavers").does
    said = next(line for line in does if line.startswith("So weaver"))
    weaver, at, one, after = map(int, re.findall(r"\d+", said))
    band = plan.laid.bands[at - 1]
    assert band is plan.laid.side[-1]
    assert one == last_of(band, weaver - 1)
    assert after == one % band.spaces + 1
    assert not any(
        " left" in line or " right" in line for line in does if "weaver was ended" in line or "set in" in line
    )


def test_where_a_spoke_cracks_each_remedy_says_until_when_it_holds(posy, estuary):
    for _, steps in (posy, estuary):
        found = [slip.seen for step in steps for slip in step.slips if "cracks" in slip.seen and "{" not in slip.seen]
        standing = [each for each in found if "while you weave" in each or "in the border" in each]
        assert len(standing) == 2
        assert standing[0].endswith("here or while you weave.")
        assert "now or in the border" in standing[1]


def test_the_base_is_laid_in_water_before_it_is_turned_up(posy, estuary):
    for plan, steps in (posy, estuary):
        does = " ".join(step_of(steps, "Turn up").does)
        assert "Lay the base in the basin, until water covers its edge and 1 in" in does
        assert plan.design.spokes.reed.soak().time in does


@pytest.mark.parametrize("basket", ["posy", "estuary"])
def test_joins_are_kept_as_far_apart_as_they_are_listed_and_as_the_plan_asks(basket, request):
    plan, steps = request.getfixturevalue(basket)
    told = 0
    for step in (each for each in steps if each.title == "Join a new length"):
        ends = next(each.spaces for each in plan.laid.bands if each.index == step.band)
        many = [int(re.search(r"at least (\d+)", line)[1]) for line in step.does if "two joins" in line]
        found = [(int(row), int(spoke)) for line in step.does
                 for row, spoke in re.findall(r"row (\d+) behind \w+ (\d+)", line)]  # fmt: skip
        near = [min((a - b) % ends, (b - a) % ends) for i, (row, a) in enumerate(found)
                for other, b in found[i + 1 :] if abs(row - other) <= 1]  # fmt: skip
        least = min([CLEAR_SPACES, *near])
        assert found and many == ([least] if least > 1 else [])
        told += len(many)
    assert told


def test_the_thread_of_the_cross_is_cut_off_where_it_is_due(posy, estuary):
    for (plan, steps), cross in ((posy, "cross"), (estuary, "slath")):
        step = step_of(steps, "Go round", plan.laid.base[0].index)
        assert (2, f"cut thread of {cross}") in step.marks
        assert f"After row 2 cut the thread that ties the {cross}, and draw it out." in step.does
        order = moments(plan.laid)
        before = plan.laid.base[0].spaces  # strokes of two rows of pairing, one from every space
        assert sum(order.row[m] < 2 for m in range(step.first, step.beyond)) <= 2 * before


def test_weaver_2_is_drawn_back_from_where_the_old_groups_left_it_to_where_the_new_ones_begin(estuary):
    plan, steps = estuary
    found = [
        tuple(map(int, re.findall(r"\d+", line)))[1:] for step in steps for line in step.does if "hangs between" in line
    ]
    sizes = [group_sizes(band.ends, band.band.group) for band in plan.laid.base]
    assert found == [(old[0], old[0] + 1, new[0], new[0] + 1) for old, new in pairwise(sizes)]


def test_an_open_border_s_spokes_are_cut_to_their_length_before_the_slant(posy):
    plan, steps = posy
    does = list(step_of(steps, "Make the spokes ready").does)
    cut = next(i for i, line in enumerate(does) if line.startswith("Now cut every spoke that is longer to"))
    assert does[cut - 1] == "Cut away from you."
    told = parse_length(re.search(r"to (.*) above", does[cut])[1])
    assert told == pytest.approx(plan.laid.border.length_mm, abs=2.0)
    assert cut < next(i for i, line in enumerate(does) if "on the slant" in line)


def test_the_short_end_of_the_half_spoke_lies_across_from_its_neighbour_and_is_not_counted(posy):
    plan, steps = posy
    does = step_of(steps, "Take the spokes in groups").does
    spoke, group = map(int, re.search(r"beside spoke (\d+): weave it with group (\d+)", " ".join(does)).groups())
    ends, half = moments(plan.laid).stick_ends, 4
    assert (half,) in ends
    assert any(set(each) == {half - 1, spoke - 1} for each in ends)
    sizes = group_sizes(plan.laid.base[0].ends, plan.laid.base[0].band.group)
    assert sum(sizes[: group - 1]) < spoke <= sum(sizes[:group])
    assert "Do not count it, and do not open it out." in does


def test_two_neighbours_that_look_alike_where_rows_begin_are_told(posy):
    plan, steps = posy
    told = 0
    for band in plan.laid.bands:
        step = next((each for each in steps if each.band == band.index and each.title.startswith("Go round")), None)
        line = next((each for each in step.looks if "look alike" in each), None)
        if line is None:
            continue
        a, b = (int(each) - 1 for each in re.findall(r"\d+", line))
        t = band.traces()[0][1]
        seen = list(zip(t.spoke.tolist(), t.row.tolist(), t.front.tolist(), t.weaver.tolist(), strict=True))
        for row in range(band.rows - 1):  # what is seen there from outside: whose weaver, or none
            left, right = ([w for s, r, f, w in seen if f and (s, r) == (each, row)] for each in (a, b))
            assert left == right, (band.index, row)
        told += 1
    assert told == 3
    slips = [slip.seen for step in steps for slip in step.slips if "twice running" in slip.seen]
    assert slips
    assert all("where no row begins" in each for each in slips)


def test_each_new_start_is_told_with_its_tails_and_at_its_row(estuary):
    plan, steps = estuary
    band = next(each for each in plan.laid.bands if each.band.blocks)
    again, row = step_of(steps, "End the weavers and start again"), step_of(steps, "Go round", band.index)
    due = [row_ for step in (row, again) for row_, what in step.marks if what == "start again"]
    assert due == [first for first, *_ in band.segments[1:]]
    for _, _, start in band.segments[1:]:
        behind = f"{(start - 1) % band.spaces + 1} to {(start + len(band.colours) - 2) % band.spaces + 1}"
        assert f"The new tails lie behind stakes {behind}." in again.does



@pytest.mark.parametrize("name", ["quayside", "estuary", "posy"])
def test_a_base_that_would_rock_is_pressed_up_and_only_another_one_flat(name):
    """By the rule that the advice has (common practice, no source)."""
    plan = planned(name)
    rocks = any("rocks if it is left flat" in each.message for each in plan.advice)
    told = " ".join(str(line) for step in taught(plan) for line in step.does)
    undone = " ".join(slip.undo for step in taught(plan) for slip in step.slips)
    assert rocks == (name == "quayside")
    assert ("Press the middle a little away from you" in told) == rocks
    assert ("press it flat on the table" in undone) != rocks


MAT = """[[band]]
where = "base"
weave = "pairing"
reed = "round 2"
groups = 4
rows = 3
[[band]]
where = "base"
weave = "pairing"
reed = "round 2"
until = "6 in"
"""
WALLED = re.compile(r"\b(?:[Ii]nside|outside|above the last|pliers upright|standing \w+s again)\b")


@pytest.mark.parametrize("border", [
    'rows = ["behind 1 out", "over 3 in", "over 2 down"]', 'rows = ["behind 2 in", "over 2 out", "over 1 down"]',
    'kind = "three-rod plain"', 'kind = "plaited with three pairs"', 'kind = "open over 2"',
])  # fmt: skip
def test_the_border_of_what_has_no_wall_is_told_without_one(border):
    """And the same of a basket with a wall, so that the words are known to stand there."""
    text = basket_text(before=MAT)
    walled, _ = text[: text.index("[border]")], text[text.index("[border]") :]
    flat = walled[: walled.index("[[band]]", walled.index("until"))]
    seen = []
    for whole in (flat, walled):
        plan = planning.plan(reader.parse(f"{whole}[border]\n{border}\n"))
        told = [line for step in taught(plan) if step.part in ("border", "trim")
                for line in (*step.does, *step.looks, *(each.alt for each in step.drawings),
                             *(each.caption for each in step.drawings))]  # fmt: skip
        assert plan.laid.is_mat == (whole is flat) and not [line for line in told if "{" in line]
        seen.append([line for line in told if WALLED.search(line) and "border from outside" not in line])
    assert not seen[0] and len(seen[1]) > 5


@pytest.mark.parametrize("name", ["estuary", "posy", "saltmarsh"])
def test_what_lies_loose_is_tied_when_all_of_it_lies_there_and_before_it_is_turned_over(name):
    plan = planned(name)
    laid, *rest = taught(plan)[2:]
    tie = next(i for i, line in enumerate(laid.does) if line.startswith("Tie them with thread over the middle"))
    assert not any(re.search(r"\b(Lay|Pass|Bend|Fan)\b", line) for line in laid.does[tie:])
    assert laid.due[tie] == laid.beyond, "all of it lies there"
    over = next(line for step in taught(plan) for line in step.does if line.startswith("Turn it over"))
    assert over not in laid.does and any(over in step.does for step in rest)
    assert laid.does[tie + 1] == "That thread is cut off after row 2 of band 1."


@pytest.mark.parametrize("name", ["estuary"])
def test_pieces_of_each_start_go_into_the_water_before_it_and_not_before_the_one_ahead_of_it(name):
    plan = planned(name)
    band = next(each for each in plan.laid.bands if each.band.blocks)
    mine = [step for step in taught(plan) if step.band == band.index]
    told = [(int(row), int(start)) for step in mine for line in step.does for row, start in
            re.findall(r"After row (\d+) put the pieces for start (\d+) in the water", line)]  # fmt: skip
    begins = [0, *(first for first, *_ in band.segments[1:])]
    assert [start for _, start in told] == list(range(2, len(begins) + 1))
    for row, start in told:
        assert begins[start - 2] < row < begins[start - 1] + 1
    first = [line for step in taught(plan) for line in step.does if line.endswith("only the pieces for start 1.")]
    assert first == ["Of bundles 4, 5 and 6 only the pieces for start 1."]
    for step in mine:
        for row, what in step.marks:
            if what.startswith("soak for start"):
                assert step.rows[0] <= row <= step.rows[1]


@pytest.mark.parametrize("name", ["posy", "quayside", "estuary"])
def test_a_start_one_space_off_speaks_of_the_first_weaver_only_where_there_are_several(name):
    bench = Bench(planned(name))
    band = troubled_band(bench)
    (off,) = [each for each in troubles(bench) if each.title == "A start one space off"]
    assert ("first weaver" in off.seen[0]) == (len(band.colours) > 1), off.seen[0]
    assert "weaver was set in at" in off.seen[0]


@pytest.mark.parametrize("name", ["quayside", "posy", "saltmarsh", "natural"])
def test_where_colour_comes_from_is_said_of_just_the_colours_that_are_not_natural(name):
    plan = planning.plan(reader.parse(basket_text())) if name == "natural" else planned(name, hand="left", wording="uk")
    step = next(step for step in taught(plan) if step.title == "Cut and bundle")
    told = [re.match(r"Buy (.*) (?:cane|reed) dyed", line) for line in step.does if "dye" in line]
    named = {colour for line in told if line for colour in re.split(r", | and ", line[1])}
    assert named == {each.colour for each in bundles(plan)} - {"natural"}
    assert any("packet of the dye" in line for line in step.does) == bool(named)
    assert any("safety sheet" in answer for _, answer in step.why) == bool(named)


@pytest.mark.parametrize("name", [each.name for each in BORDERS.values()])
def test_a_long_sentence_is_divided_and_loses_none_of_its_words(name):
    """What a sentence could do without is not struck from it: it has a sentence of its own where it is written."""
    border = BORDERS[name].border
    lines = [say(line, "uk", "left") for line in (*lay_first(border), *closing(border, 40))]

    def words(told):
        return [word for word in re.findall(r"[\w/-]+", " ".join(told).lower()) if word != "and"]

    assert words(sentences(*lines)) == words(lines)


@pytest.mark.parametrize("name", ["estuary", "posy", "quayside", "saltmarsh"])
@pytest.mark.parametrize("hand, wording", [("right", "us"), ("left", "uk")])
def test_nothing_is_left_unsaid_that_beginners_asked_for(name, hand, wording):
    """How a middle is marked, where thread goes, how the weave is opened for a new one, how long a spare length is,
    and how drawings are read, each once and where it is first needed."""
    plan = planned_as(name, hand, wording)
    steps = taught(plan)
    lines = [(step, line) for step in steps if not step.of for line in step.does]
    (marked,) = [line for _, line in lines if line.startswith("Mark the middle")]
    assert "with a pencil: half its length from one end." in marked
    tied = [line for _, line in lines if line.startswith("Tie them with thread")]
    assert len(tied) == 1 and "from corner to corner, both ways; knot it." in tied[0]
    undone = [slip.undo for step in steps for slip in step.slips if re.search(r"\bcracks\b.*(weave|border)", slip.seen)]
    assert undone
    assert all("Open the weave with a bodkin beside it" in each and f"on its {hand}." in each for each in undone)
    read = [step for step, line in lines if line.startswith("In drawings a number in a ring is a space")]
    numbered = next(step for step in steps for each in step.drawings if each.spaces != "none")
    assert read == [numbered] and any("What has just moved is dark" in line for line in numbered.does)
    assert not [line for _, line in lines if "tip of weaver" in line or "end of weaver" in line]


@pytest.mark.parametrize("name", ["estuary", "quayside", "saltmarsh"])
def test_a_joined_weaver_that_snaps_goes_on_with_its_next_piece_when_the_spare_runs_out(name):
    plan = planned(name)
    joined = {index for index, band in enumerate(plan.joins) if band.joins}
    slips = [(step.band, slip.undo) for step in taught(plan) for slip in step.slips if "snaps" in slip.seen]
    assert {band for band, _ in slips} >= joined
    for band, undo in slips:
        assert ("go on with its next piece." in undo) is (band in joined)


@pytest.mark.parametrize("name", ["estuary", "saltmarsh"])
def test_dry_ends_are_dipped_before_each_later_row_of_a_border_and_its_close_says_where_the_first_end_runs(name):
    """A row is long and the basin far; that the last ones run above the first was left to be worked out."""
    plan, ends = planned(name), planned(name).design.top_ends
    border = [step for step in taught(plan) if step.part == "border" and not step.of]
    dipped = [step.title for step in border if any("feel dry? Dip them" in line for line in step.does)]
    assert dipped == [f"Row {row}: the first spokes" for row in range(2, len(plan.design.border.rows) + 1)]
    for step in border:
        lower = [line for line in step.does if "of them still runs lower than the one before" in line]
        assert bool(lower) is any(line.startswith(f"So spoke 1 runs lower than spoke {ends},") for line in step.does)


@pytest.mark.parametrize("name", ["estuary", "quayside"])
def test_the_first_step_says_that_a_first_basket_is_cut_longer_as_the_list_does(name):
    plan = planned(name)
    does = taught(plan)[0].does
    assert any(line.startswith("Your first basket?") for line in does)
    assert any(line.startswith("Your first basket?") for line in spare_told(plan))
    first = taught(replace(plan, first_time=True))[0].does
    assert not any("first basket" in line for line in first) and any("spare lengths" in line for line in first)


def test_why_weavers_go_in_turn_is_told_as_their_stroke_is():
    """Of reverse pairing it was said that each passes over, where its step leads it under."""
    found = []
    for name in ("estuary", "posy", "quayside", "saltmarsh"):
        plan = planned(name)
        for step in taught(plan):
            why = " ".join(answer for asked, answer in step.why if asked.startswith("Why always the weaver furthest"))
            if why:
                band = next(each.band for each in plan.laid.bands if each.index == step.band)
                ways = {"under" if each else "over" for each in band.weave.reverse}
                assert set(re.findall(r"\b(?:over|under)\b", why)) == ways, (name, step.number)
                found.append(ways)
    assert {"over"} in found and {"under"} in found


LID = """
[lid]
seat = "on"
play = "1/8 in"
spokes = { reed = "round 5", ends = 32 }
band = [
  { weave = "pairing", reed = "round 2", groups = 4, rows = 3 },
  { weave = "pairing", reed = "round 2" },
]
border = ["behind 1 out", "over 2 down"]
"""


@pytest.mark.parametrize("name", ["estuary", "posy", "quayside", "saltmarsh", "with a lid"])
@pytest.mark.parametrize("hand, wording", [("right", "us"), ("left", "uk")])
def test_below_the_list_stand_the_spare_lengths_and_how_much_reed_all_of_it_takes(name, hand, wording):
    """Whoever dyed by it ran short: lengths were added up before they were rounded, without spares, longer stakes."""
    plan = planned("posy" if name == "with a lid" else name, hand=hand, wording=wording)
    if name == "with a lid":
        text = (Path(slype.__file__).parent / "examples" / "estuary.toml").read_text(encoding="utf-8") + LID
        plan = planning.plan(replace(reader.parse(text), hand=hand, wording=wording))
    _, in_hand, in_all = ([re.split(r": ", each) for each in re.split(r"(?<=\.) (?=[A-Z])", part)]
                          for part in spare_told(plan))  # fmt: skip
    spare = {head: told for head, told in in_hand[1:]}
    longest, needed = {}, defaultdict(float)
    for bundle in bundles(plan):  # of a size and colour the longest piece, whatever bundle it is in
        what = named(bundle.colour, bundle.reed, wording)
        if bundle.is_weaver:
            longest[what] = max(longest.get(what, 0.0), bundle.cut_mm)
            needed[what] += bundle.length_mm
        else:
            stands = bundle.piece.use == ("insert" if plan.design.spokes.inserted else "begin")
            needed[what] += bundle.count * max(bundle.cut_mm, bundle.piece.range_mm[1] if stands else 0.0)
    stake = "stake" if wording == "uk" else "spoke"
    ends = [stake.capitalize()] + ([f"Lid {stake}"] if plan.lid else [])
    assert set(spare) == {*longest, *ends}
    for what, mm in longest.items():
        assert in_mm(spare[what]) == pytest.approx(mm, abs=0.5)
        needed[what] += mm
    for whole, what in zip((plan, plan.lid), ends, strict=False):
        assert in_mm(spare[what]) >= whole.spokes.range_mm[1] - 0.5
        needed[named(whole.design.spokes.colour, whole.design.spokes.reed, wording)] += in_mm(spare[what])
    said = {head: told for head, told in in_all[2:]}
    assert len(said) == len(plan.amounts)
    for amount in plan.amounts:
        what = named(amount.colour, amount.reed, wording)
        long, heavy = said[what].split(" (")[0].split(", ")
        assert needed[what] - 0.5 <= in_mm(long) < 1.06 * needed[what] + 305.0, what
        grams = parse_mass(heavy.rstrip("."))
        assert grams >= amount.buy_g - 0.01 and grams >= in_mm(long) * amount.reed.g_per_mm * 0.97


def named(colour, reed, wording):
    return colour.capitalize() + " " + reed_short(reed, wording)


def in_mm(told):
    return parse_length(re.sub(r" \(.*", "", told).rstrip("."))
