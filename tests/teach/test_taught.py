"""The steps a beginner follows, held against the trace and the border's own order of work."""

import math
import re
from dataclasses import replace

import pytest
from reading import flesch, syllables
from samples import BOARD
from told import numbers_of
from worked import planned_as

from slype.borders.meetings import threads
from slype.borders.rows import parse_border
from slype.borders.work import work
from slype.design.file import reader
from slype.design.values import group_sizes
from slype.order.moments import moments
from slype.plans import planning
from slype.plans.bundles import bundles
from slype.surface.sticks import base_sticks
from slype.teach.step.bench import Bench
from slype.teach.step.glossary import WORDS
from slype.teach.steps import SLOW, UNTIMED_MINUTES, _row_minutes, taught
from slype.teach.troubles import strokes_in_rows, troubled_band, troubles
from slype.weave.table import WEAVES

EXAMPLES = ("estuary", "posy", "quayside", "saltmarsh")
MOST_WORDS = 20


def planned(name, **values):
    return planned_as(name, **values)


@pytest.fixture(scope="module", params=EXAMPLES)
def basket(request):
    plan = planned(request.param)
    return plan, taught(plan), moments(plan.laid)


def counts(steps, what, band=None):
    return [
        (step, count) for step in steps if band is None or step.band == band for count in step.counts
        if count.what == what
    ]  # fmt: skip


def test_steps_are_numbered_through_and_cover_the_work_in_order(basket):
    _, steps, plan = basket
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    covered = [step for step in steps if step.first < step.beyond]
    assert [step.first for step in covered if step.title != "Join a new length"] == sorted(
        step.first for step in covered if step.title != "Join a new length"
    )
    missing = set(range(len(plan))) - {m for step in covered for m in range(step.first, step.beyond)}
    assert not missing


def test_of_a_basket_on_a_board_no_cross_is_explained_though_its_ends_cross():
    steps = taught(planning.plan(reader.parse(BOARD)))
    assert any(re.search(r"\bcross", line) for step in steps for line in step.does)
    assert not any("cross" in step.words for step in steps)
    for wording in ("us", "uk"):
        assert "cross" in taught(planned("estuary", wording=wording))[2].words


def test_why_a_band_that_goes_backwards_is_set_in_there_does_not_say_that_row_1_begins_there():
    """French randing is set in from space 10 on; its first stroke comes from space 9, the last of row 1 from 10."""
    steps = taught(planned("posy"))
    at = next(i for i, step in enumerate(steps) if step.title == "Set in 17 weavers")
    (asked, why), = steps[at].why
    assert asked == "Why in space 10?" and why.endswith("There row 1 ends: it begins in the space before, and goes "
                                                        "backwards.")  # fmt: skip
    assert any(line.startswith("Stroke 1: weaver 17 from space 9") for line in steps[at + 1].does)
    assert any(line.startswith("Stroke 17 of row 1: from space 10") for line in steps[at + 2].does)


def test_no_sentence_of_a_step_is_long(basket):
    for step in basket[1]:
        for line in (*step.does, *step.looks, *(text for slip in step.slips for text in (slip.seen, slip.undo))):
            for part in re.split(r"(?<=[.!?])\s+(?=[A-Z])|;", line):  # what stands between semicolons is a list
                assert len(part.split()) <= MOST_WORDS, line


def test_every_step_says_what_it_looks_like_and_what_may_go_wrong(basket):
    for step in basket[1]:
        assert step.looks or step.title in ("Join a new length", "Leave the weavers hanging"), step.title
        assert step.slips or step.title == "Leave the weavers hanging", step.title


def test_weavers_are_set_in_where_the_trace_begins(basket):
    plan, steps, _ = basket
    for band in plan.laid.bands:
        for _, count in counts(steps, "set in", band.index):
            first = band.traces()[0][1]
            assert count.numbers == ((first.start + count.of - 1) % first.ends + 1,)


def test_strokes_go_where_the_trace_goes(basket):
    plan, steps, _ = basket
    checked = 0
    for band in plan.laid.bands:
        t = band.traces()[0][1]
        for nth, stroke in enumerate(dict.fromkeys(t.stroke.tolist()), start=1):
            mine = t.stroke == stroke
            spokes, front = t.spoke[mine] + 1, t.front[mine]
            for what, there in (("in front", spokes[front]), ("behind", spokes[~front])):
                for _, count in counts(steps, what, band.index):
                    if count.of == nth:
                        assert count.numbers == tuple(there.tolist())
                        checked += 1
            if nth >= 6:
                break
    assert checked > 10


def test_a_row_has_as_many_strokes_as_the_trace(basket):
    plan, steps, _ = basket
    for band in plan.laid.bands:
        t = band.traces()[0][1]
        for _, count in counts(steps, "strokes in a row", band.index):
            assert count.numbers == (len(set(t.stroke[t.row == 0].tolist())),)


def test_weavers_end_behind_the_last_spoke_that_the_trace_has_them_pass(basket):
    plan, steps, _ = basket
    for band in plan.laid.bands:
        t = band.traces()[-1][1]
        for _, count in counts(steps, "ends behind", band.index):
            last = next(i for i in range(len(t.spoke)) if t.weaver[i] == count.of - 1 and t.next_on_weaver[i] < 0)
            held = t.spoke[last] if not t.front[last] else t.spoke[last] + 1
            assert count.numbers == (held % t.ends + 1,)


def test_groups_are_those_that_are_woven_over(basket):
    plan, steps, _ = basket
    for band in plan.laid.bands:
        for _, count in counts(steps, "groups", band.index):
            assert list(count.numbers) == group_sizes(band.ends, band.band.group)


def test_border_moves_and_closing_are_those_of_the_border_worked_end_by_end(basket):
    plan, steps, _ = basket
    border, ends = plan.design.border, plan.design.top_ends
    worked, under = work(border, ends), threads(border, ends)
    led = {(p.end, p.spoke) for p in worked.passes}
    moves = counts(steps, "leads past")
    assert len(moves) >= 3
    for _, count in moves:
        assert {(count.of - 1, spoke - 1) for spoke in count.numbers} <= led
    told = {(count.of - 1, tuple(each - 1 for each in count.numbers)) for _, count in counts(steps, "under")}
    assert told <= {(end, found) for (end, _), found in under.items()}
    assert told


def test_numbers_counted_stand_in_the_sentences(basket):
    for step in basket[1]:
        said = " ".join((*step.does, *step.looks))
        for count in step.counts:
            if count.what in ("set in", "from", "out", "ends behind", "under", "leads past"):
                if len(step.does) < 20 and count.what != "set in":
                    assert all(str(number) in said for number in count.numbers), (step.title, count)


def test_bundles_are_taken_up_in_their_order_and_none_is_forgotten(basket):
    plan, steps, _ = basket
    taken = [number for step in steps for number in step.bundles]
    assert sorted(taken) == [each.number for each in bundles(plan)]
    assert taken == sorted(taken)


@pytest.mark.parametrize("wording, others", [("us", r"stakes?|rims?|cane|slath|upsett|colour\w*|grey"),
                                             ("uk", r"\w*spokes?|rim|reeds?|upset|color\w*|gray")])  # fmt: skip
def test_no_word_of_the_other_wording_is_left(wording, others):
    for name in EXAMPLES:
        for step in taught(planned(name, wording=wording)):
            texts = [step.title, step.chapter, *step.does, *step.looks, *step.watch]
            texts += [text for pair in step.why for text in pair]
            texts += [text for slip in step.slips for text in (slip.seen, slip.undo)]
            texts += [text for each in step.drawings for text in (each.caption, each.alt)]
            for text in texts:
                assert not re.search(rf"\b({others})\b", text, re.IGNORECASE), text


def test_a_folded_weaver_is_begun_round_an_arm():
    plan = planned("estuary")
    plan = planning.plan(replace(plan.design, base=replace(plan.design.base, begin="folded")))
    step = next(step for step in taught(plan) if step.title == "Set in 2 weavers")
    assert any("fold it" in line for line in step.does)


def test_syllables_are_counted_as_spoken():
    counted = {
        "weaver": 2,
        "spoke": 1,
        "behind": 2,
        "basket": 2,
        "underside": 3,
        "pairing": 2,
        "little": 2,
        "nipped": 1,
    }
    assert {word: syllables(word) for word in counted} == counted


def test_a_student_reads_it_easily(basket, record_property):
    """Flesch (1948): from 80 up a text is easy English."""
    draft, steps, _ = basket
    ease = flesch([line for step in steps for line in (*step.does, *step.looks)])
    record_property("reading ease", f"{draft.design.title} {ease:.0f}")
    assert ease > 80


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_word_of_the_trade_is_explained_once_where_it_first_stands(name):
    draft = planned(name)
    steps = taught(draft)
    told = [key for step in steps for key in step.words]
    assert len(told) == len(set(told))
    for trade in ("weaver", "stroke", "space", "end", "border", "row", "cross"):
        assert trade in told, trade
    weaves = {band.band.weave.name for band in draft.laid.bands}
    for weave in weaves:
        kind = "wale" if "wale" in weave else weave
        assert kind in told, weave


def test_the_other_hand_has_the_same_counts():
    for name in EXAMPLES:
        right, left = (taught(planned(name, hand=hand)) for hand in ("right", "left"))
        assert [step.counts for step in right] == [step.counts for step in left]


def test_every_weave_of_the_table_is_explained_where_its_name_first_stands():
    for wording in ("us", "uk"):
        for weave in WEAVES.values():
            name = weave.named(wording)
            assert any(re.search(word.found, name, re.IGNORECASE) for word in WORDS), name


@pytest.mark.parametrize("rows", [("behind 1 out", "over 3 in", "over 2 down"), ("behind 1 out", "over 2 down"),
                                  ("behind 2 out", "over 1, behind 1 in", "over 3 down")])  # fmt: skip
def test_an_end_is_tucked_down_under_the_one_that_comes_through_its_space(rows):
    """Told numbers against the border worked end by end: who came through there a row before, on the same face."""
    plan = planning.plan(replace(planned("estuary").design, border=parse_border(rows)))
    ends, last = plan.design.top_ends, len(rows) - 1
    worked = work(plan.design.border, ends)
    told = counts(taught(plan), "tucked")
    told = [count for _, count in told if count.numbers]
    assert {1, 2, ends} <= {count.of for count in told}
    for count in told:
        space, over = (each - 1 for each in count.numbers)
        own = [p for p in worked.passes if p.end == count.of - 1]
        other = [p for p in worked.passes if p.end == over]
        assert (own[-1].spoke + 1) % ends == space
        assert next(p.spoke for p in other if p.stage == last) == space  # it goes on from there ...
        assert next(p.outside for p in other if p.stage == last) == own[-1].outside  # ... on the same face


def test_the_last_ones_are_tucked_under_those_that_stay_loose():
    plan = planned("estuary")
    steps = [step for step in taught(plan) if step.title.startswith("Row 3")]
    first, close = steps[0], steps[-1]
    assert "Do not pull spokes 1 and 2 tight: a pencil must fit under each." in first.does
    assert "Take spoke 1 along the inside past 6 and 7, and tuck it down at space 8, under spoke 3." in first.does
    assert close.does[-3] == "Only its tip goes under: lift spokes 1 and 2 a little."
    assert close.does[-2] == "Tuck the tip down at space 7, under them."
    assert close.does[-1] == "Now draw spokes 1 and 2 close, like all others."
    assert all(each.kind == "inside" for step in steps for each in step.drawings)  # where the hands are


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_bundle_lies_in_the_water_about_as_long_as_it_must(name):
    """From where it goes in to where it is taken up, in the plan's minutes: not shorter than it must, nor for hours."""
    plan = planned(name)
    steps, known = taught(plan), {each.number: each for each in bundles(plan)}
    for i, step in enumerate(steps):
        for number in step.bundles:
            need = known[number].reed.soak().minutes
            at, row, beside = next(
                (k, re.search(r"After row (\d+) put", line), "beside the base" in line)
                for k, each in enumerate(steps[: i + 1])
                for line in each.does
                if "in the water" in line and number in numbers_of(line.split(":")[0].split("put ")[-1])
            )  # fmt: skip
            if steps[at].part == "soak":
                continue
            if beside:  # while what will bend is soaked, which takes as long
                assert sum(plan.design.spokes.reed.soak().minutes) >= sum(need) and at == i - 1
                assert steps[at].part == "turn" and steps[at].does[0].startswith("Soak the ")
                continue
            assert steps[at].rows or steps[at].part in SLOW
            between = sum(UNTIMED_MINUTES if each.minutes is None else each.minutes for each in steps[at + 1 : i]
                          if not each.rows)  # fmt: skip
            pace = {(each.band, each.of): _row_minutes(list(steps), each) for each in steps if each.rows}
            between += sum(pace[each.band, each.of] * (each.rows[1] - each.rows[0] + 1) for each in steps[at + 1 : i]
                           if each.rows)  # fmt: skip
            if row:
                between += pace[steps[at].band, steps[at].of] * (steps[at].rows[1] - int(row[1]))
                assert steps[at].rows[0] <= int(row[1]) < steps[at].rows[1]
                marked = [each for of, words in steps[at].marks if of == int(row[1]) and words.startswith("soak")
                          for each in numbers_of(words)]  # fmt: skip
                assert number in marked  # at the box that is ticked then
            assert between >= sum(need) / 2 - 1e-6, (step.title, number)
            slowest = pace.get((steps[at].band, steps[at].of), 0.0) if row else 30.0
            assert between <= sum(need) / 2 + slowest + 30.0, (step.title, number)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_work_turns_against_the_way_in_which_strokes_follow_each_other(hand):
    """Where each next stroke begins further on, the work comes back to the maker; where one back, it goes on."""
    plan = planned("posy", hand=hand)
    steps, back = taught(plan), {"right": "left", "left": "right"}[hand]
    checked = set()
    for band in plan.laid.bands:
        t = band.traces()[0][1]
        one, next_ = (int(t.spoke[t.stroke == stroke][0]) for stroke in (0, 1))
        on = (next_ - one) % t.ends < t.ends / 2
        for step in (each for each in steps if each.band == band.index):
            for line in step.does:
                if found := re.search(r"[Tt]urn the (?:base|basket) to the (\w+) as you go", line):
                    assert found[1] == (back if on else hand), (step.number, line)
                    checked.add(on)
    assert checked == {True, False}


def test_weavers_are_lifted_where_others_have_come_to_in_each_row_worked_backwards():
    plan = planned("posy")
    band = next(each for each in plan.laid.bands if each.band.weave.turns == "back")
    t = band.traces()[0][1]
    told = [count for _, count in counts(taught(plan), "lifts", band.index)]
    assert [count.of for count in told] == list(range(2, band.rows + 1))
    for count in told:
        mine = [int(t.spoke[t.stroke == stroke][0]) + 1 for stroke in dict.fromkeys(t.stroke[t.row == count.of - 1])]
        out = [(begin + band.band.weave.reach - 1) % t.ends + 1 for begin in mine]
        # Where the first of the row have come out since, two hang.
        assert count.numbers == tuple(begin for i, begin in enumerate(mine) if begin in out[:i])


@pytest.mark.parametrize("name", ["posy", "estuary"])
def test_by_the_row_that_is_told_opened_ends_stand_evenly_and_not_before(name):
    plan = planned(name)
    step, count = next(iter(counts(taught(plan), "even by row")))
    band = next(each for each in plan.laid.bands if each.index == step.band)
    assert any(f"by row {count.numbers[0]} they stand evenly" in line for line in step.does)
    for row, even in ((count.numbers[0], True), (count.numbers[0] - 1, False)):
        at = []
        for line in base_sticks(plan.laid):
            far = [float(x * x + y * y) ** 0.5 for x, y in line]
            k = next(i for i, each in enumerate(far) if each >= band.s[row - 1])
            share = (band.s[row - 1] - far[k - 1]) / (far[k] - far[k - 1])
            x, y = line[k - 1] + share * (line[k] - line[k - 1])
            at.append(math.atan2(y, x) % (2 * math.pi))
        at.sort()
        gaps = [(b - a) % (2 * math.pi) for a, b in zip(at, at[1:] + at[:1], strict=True)]
        assert (max(gaps) < 1.4 * min(gaps)) == even


@pytest.mark.parametrize("name", EXAMPLES)
def test_tails_are_trimmed_to_a_length_and_a_side(name):
    trim = next(step for step in taught(planned(name)) if step.title == "Trim the weavers' tails")
    said = " ".join(trim.does)
    assert re.search(r"Cut each tail half-way to the next (spoke|stake). That is about [\d./ ]+ (in|mm|cm)\b", said)
    assert "the cut face looks up to the mouth" in said


@pytest.mark.parametrize("name, inner", [("posy", True), ("estuary", False)])
def test_a_group_of_two_has_no_inner_ones_to_part(name, inner):
    step = next(step for step in taught(planned(name)) if step.title.startswith("Open the"))
    assert ("Then part the inner ones." in step.does) == inner


def test_a_row_back_is_told_alike_for_the_band_that_is_drawn_and_in_its_slips(basket):
    bench = Bench(basket[0])
    shown = troubled_band(bench)
    told = next(many for many, bands in strokes_in_rows(bench) if shown.index + 1 in bands).split(" or ")
    back = [int(found[1]) for each in troubles(bench) for line in each.undo
            if (found := re.search(r"take back (\d+) strokes?, to", line))]  # fmt: skip
    assert back and {str(each) for each in back} <= set(told)


def test_a_missed_spoke_is_seen_where_a_single_weaver_passes_one_more_than_it_should(basket):
    plan, steps, _ = basket
    for band in plan.laid.bands:
        if band.band.weave.turns == "round":
            most = max(over for over, _ in band.band.weave.cycle)
            seen = [slip.seen for step in steps if step.band == band.index for slip in step.slips]
            said = "twice running" if most == 1 else f"in front of {most + 1} "
            assert any(said in each for each in seen), band.index
