"""Handles: arches, wrapping, twisted rods, and what they add to a basket."""

import json
import math
import re

import numpy as np
import pytest
from fitted_baskets import BOARD, BOARDS
from hypothesis import given
from hypothesis import strategies as st
from samples import BOW, HANDLES, HIGH, ROPE, ROPED, SIDE, SIDE_ROPE
from strategies import basket, basket_text
from worked import planned_of, sheet_words

from slype.errors import DesignError, Unweavable
from slype.export.plan import as_json
from slype.form.handles import (
    KINDS,
    NOT_RATED,
    arch_mm,
    girth_mm,
    helix_mm,
    kind_named,
    rods_that_cover,
    rope_radius,
    wrapping,
)
from slype.lay.attachments import lay_handles
from slype.lay.laying import lay
from slype.plans import planning
from slype.plans.cautions import cautions
from slype.quantity import MM_PER_IN
from slype.report.plans import plan as report_plan
from slype.report.printed import text
from slype.sources import SOURCES
from slype.space.footholds import on_wall
from slype.tell.steps import steps

mm = st.floats(1.0, 12.0)
spans = st.floats(50, 500)


def with_handle(handle, **changes):
    return planned_of(basket_text(tail=handle, **{**HIGH, **changes}))


# Geometry ------------------------------------------------------------------------------------------------------


@given(spans, st.floats(5, 500))
def test_an_arch_is_longer_than_the_way_over_its_top_and_shorter_than_round_its_box(across, height):
    assert 2 * math.hypot(across / 2, height) < arch_mm(across, height) + 1e-6 < across + 2 * height + 1e-5


def test_a_round_arch_is_half_a_circle():
    assert arch_mm(200, 100) == pytest.approx(math.pi * 100)


@given(st.floats(200, 900), st.floats(3.0, 12.0), st.floats(1.0, 4.0), st.integers(1, 2))
def test_wrapping_covers_the_inner_side_of_the_arch_with_turns_side_by_side(arch, core, wrap, strands):
    turns, length = wrapping(arch, 1, core, wrap, strands)
    inner, girth = arch - math.pi * (core + wrap) / 2, math.pi * (core + wrap)
    # One of two neighbours that lie aslant beside each other is so far from the other, square to them.
    apart = girth * (inner / turns) / math.hypot(girth, inner / turns)
    assert apart >= strands * wrap * (1 - 1e-9)
    one_more = girth * (inner / (turns + 1)) / math.hypot(girth, inner / (turns + 1))
    assert one_more < strands * wrap * (1 + 1e-6)
    assert length >= turns * girth


def hull_length(points):
    """Length of the hull of points (n, 2), by gift wrapping: the dull way."""
    start = int(np.argmin(points[:, 0] + 1e-9 * points[:, 1]))
    at, out = start, 0.0
    while True:
        nxt = (at + 1) % len(points)
        for other in range(len(points)):
            (ax, ay), (bx, by) = points[nxt] - points[at], points[other] - points[at]
            turn = ax * by - ay * bx
            if turn < -1e-12:
                nxt = other
        out += float(np.hypot(*(points[nxt] - points[at])))
        at = nxt
        if at == start:
            return out


@pytest.mark.parametrize("cores", [1, 2, 3, 4])
def test_one_turn_round_a_bundle_is_the_hull_of_its_rods(cores):
    core, wrap = 5.0, 2.0
    ring = 0.0 if cores == 1 else core / (2 * math.sin(math.pi / cores))
    middles = [ring * np.array([math.cos(a), math.sin(a)]) for a in 2 * np.pi * np.arange(cores) / cores]
    around = np.linspace(0, 2 * np.pi, 180, endpoint=False)
    circle = (core + wrap) / 2 * np.c_[np.cos(around), np.sin(around)]
    assert girth_mm(cores, core, wrap) == pytest.approx(
        hull_length(np.concatenate([circle + m for m in middles])), rel=3e-4
    )


@given(spans, st.floats(0.5, 8), st.floats(5, 80))
def test_a_twisted_rod_is_as_long_as_its_helix_walked_in_small_steps(arch, radius, turn):
    t = np.linspace(0, arch, 20_001)
    a = 2 * math.pi * t / turn
    steps_ = np.diff(np.c_[radius * np.cos(a), radius * np.sin(a), t], axis=0)
    walked = float(np.hypot(np.hypot(steps_[:, 0], steps_[:, 1]), steps_[:, 2]).sum())
    assert helix_mm(arch, radius, turn) == pytest.approx(walked, rel=1e-4)


@given(st.integers(2, 7), mm, st.floats(1.1, 8))
def test_rods_of_a_rope_touch_and_do_not_run_through_each_other(rods, thick, slack):
    turn = rods * thick * slack
    radius = rope_radius(rods, thick, turn)
    a = np.linspace(-math.pi, math.pi, 40_001)
    ahead = a + 2 * math.pi / rods
    axis = np.c_[radius * np.cos(ahead), radius * np.sin(ahead), turn / (2 * math.pi) * a]
    # From a point of one rod's axis to the next rod's axis: a thickness where they are nearest.
    assert float(np.linalg.norm(axis - [radius, 0, 0], axis=1).min()) == pytest.approx(thick, rel=1e-3)


@given(st.integers(2, 7), mm)
def test_rods_that_hardly_twist_stand_in_a_ring_of_coins(rods, thick):
    assert rope_radius(rods, thick, 1e6) == pytest.approx(thick / (2 * math.sin(math.pi / rods)), rel=1e-6)


def test_straight_rods_that_cover_a_core_of_their_own_size_are_six():
    # Six coins round one.
    assert rods_that_cover(5.0, 5.0, 1e9) == 6


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_every_kind_has_its_words_an_example_and_a_source(kind):
    assert kind.source in SOURCES and kind.pushed_source in SOURCES
    assert len(kind.help) > 30 and kind.count >= 1
    assert with_handle("[[handle]]\n" + kind.example).handles
    assert kind_named(kind.name) == kind_named(kind.uk)


# On a basket ---------------------------------------------------------------------------------------------------


def test_a_bow_left_to_slype_is_as_high_above_the_rim_as_the_basket_and_as_wide_as_the_mouth():
    # McGaw, p. 78.
    plan = with_handle(BOW)
    (bow,) = plan.handles
    assert bow.height_mm == pytest.approx(plan.laid.finished_height_mm)
    assert bow.across_mm == pytest.approx(plan.laid.mouth_mm)
    assert bow.depth_mm == 4.5 * MM_PER_IN and bow.spaces == 12


def test_a_bow_reckoned_by_hand():
    plan = with_handle(
        BOW + '\nacross = "8 in"\nheight = "4 in"\ndepth = "3 in"',
        wall=[["0 in", "8 in"], ["6 in", "8 in"]],
        base="8 in",
    )
    core, wrap = plan.pieces[-2:]
    arch = math.pi * 4 * MM_PER_IN
    assert core.length_mm == pytest.approx(arch + 6 * MM_PER_IN + 2 * 12.7)
    assert core.count == 1 and core.reed.key == "round 8"
    # On the inner side of the arch turns touch: there its radius is half of 8.0 mm less; they lie a little aslant.
    touching = 2.25 / math.cos(math.asin(2.25 / (math.pi * 8.0)))
    turns = math.floor((arch - math.pi * 4.0) / touching)
    turn = math.hypot(math.pi * 8.0, arch / turns)
    lengths = math.ceil(turns * turn / (3048 - 4 * MM_PER_IN))
    assert wrap.count == lengths
    assert wrap.length_mm == pytest.approx(turns * turn / lengths + 4 * MM_PER_IN)


@pytest.mark.parametrize("handle", HANDLES.values(), ids=HANDLES)
def test_a_handle_adds_its_own_pieces_reed_time_and_step_and_changes_nothing_else(handle):
    bare, plan = planning.plan(basket(**HIGH)), with_handle(handle)
    assert plan.pieces[: len(bare.pieces)] == bare.pieces and len(plan.pieces) > len(bare.pieces)
    assert plan.time.seconds > bare.time.seconds
    assert sum(a.length_mm for a in plan.amounts) - sum(a.length_mm for a in bare.amounts) == pytest.approx(
        sum(p.count * p.cut_mm for p in plan.pieces[len(bare.pieces) :])
    )
    told, plain = steps(plan), steps(bare)
    (new,) = [step for step in told if step.title.startswith("Put in")]
    assert len(told) == len(plain) + 1 and told[-2] is new
    assert new.minutes * 60 == pytest.approx(plan.time.seconds - bare.time.seconds)
    for piece in plan.pieces:
        assert piece.length_mm == pytest.approx(sum(part[1] for part in piece.parts))
        assert piece.range_mm[0] <= piece.length_mm <= piece.range_mm[1]


@pytest.mark.parametrize("handle", HANDLES.values(), ids=HANDLES)
def test_whoever_reads_of_a_handle_reads_that_its_strength_is_not_rated(handle):
    plan = with_handle(handle)
    assert NOT_RATED in text(report_plan(plan))
    assert any("strength not rated" in value for name, value in sheet_words(plan)["facts"] if name == "Handle")
    assert any(caution.key == "handles" and "not rated" in words for caution, words in cautions(plan))
    assert as_json(plan)["handles"][0]["strength"] == "not rated"
    assert not any(caution.key == "handles" for caution, _ in cautions(planning.plan(basket(**HIGH))))
    for rule in plan.advice:
        assert not re.search(r"\b(safe|strong enough|holds up to|carr(y|ies) up to)\b", rule.message + rule.remedy)


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("wording", ["us", "uk"])
@pytest.mark.parametrize("handle", HANDLES.values(), ids=HANDLES)
def test_the_step_is_told_for_either_hand_and_wording(handle, wording, hand):
    plan = with_handle(handle, hand=hand, basket=f'wording = "{wording}"')
    (step,) = [step for step in steps(plan) if step.title.startswith("Put in")]
    said = "\n".join(step.lines)
    assert not re.search(r"[{}]|\bNone\b|\bnan\b|  |\.\.", said), said
    assert f"{'towards' if wording == 'uk' else 'toward'} the {hand}" in said
    assert ("stakes" in said) == (wording == "uk") and ("spokes" in said) == (wording == "us")


@pytest.mark.parametrize("handle", [SIDE, SIDE_ROPE])
def test_side_handles_stand_opposite_each_other(handle):
    (step,) = [step for step in steps(with_handle(handle)) if step.title.startswith("Put in")]
    (a, b), (c, d) = [map(int, pair) for pair in re.findall(r"spokes (\d+) and (\d+)", " ".join(step.lines))]
    assert (c - a) % 24 == 12 and (d - b) % 24 == 12


def test_a_twisted_side_handle_is_a_small_rope_with_the_feet_of_a_side_handle():
    (plain,), (roped,), (rope,) = (with_handle(each).handles for each in (SIDE, SIDE_ROPE, ROPE))
    assert (roped.across_mm, roped.height_mm, roped.depth_mm) == (plain.across_mm, plain.height_mm, plain.depth_mm)
    assert roped.feet(24) == plain.feet(24) and roped.handle.count == 2
    # Twisted alike, each rod is longer than its arch by the same share (a helix: theory 3 of `form.handles`).
    assert roped.twist.length_mm / roped.arch_mm == pytest.approx(rope.twist.length_mm / rope.arch_mm)
    (rods,) = [piece for piece in with_handle(SIDE_ROPE).pieces if piece.use == "handle"]
    assert rods.count == 6 and rods.name == "side rope handle rod"


@pytest.mark.parametrize("name", ["side rope", "Side Rope handle", "roped side handle", "roped side"])
def test_a_twisted_side_handle_goes_by_its_name_in_either_wording(name):
    assert kind_named(name) == "side rope"


def test_the_promised_form_says_what_the_plan_says():
    (said,) = json.loads(json.dumps(as_json(with_handle(ROPE)), allow_nan=False))["handles"]
    assert said["twist"]["rods"] == 3 and said["wrapping"] is None and said["cores"] == 0
    (said,) = as_json(with_handle(BOW))["handles"]
    assert said["wrapping"]["turns"] == with_handle(BOW).handles[0].turns > 100


@pytest.mark.parametrize(
    ("handle", "message"),
    [
        ('[[handle]]\ncore = "round 8"', "handle 1, kind: is missing"),
        ('[[handle]]\nkind = "bough"\ncore = "round 8"', 'no kind of handle called "bough"'),
        ('[[handle]]\nkind = "bow"', "reed of the arch"),
        ('[[handle]]\nkind = "rope"\ncore = "round 8"', "no reed to twist"),
        (BOW + "\nrods = 3", "twisted rope handles"),
        (SIDE + "\nstrands = 2", "wrapped close"),
        (ROPE + "\ncores = 2", "with a core"),
        ("handle = 3", "band|handle"),
        (BOW + '\nhight = "3 in"', 'unknown key "hight"'),
        (ROPE + '\nturn = "5 mm"', "cannot twist once round"),
        (ROPED + "\nrods = 12", "do not fit side by side"),
        (BOW + '\nacross = "20 in"', "mouth is only"),
        (BOW + '\ndepth = "20 in"', "only .* deep"),
    ],
)
def test_a_handle_that_cannot_be_is_refused_in_one_sentence(handle, message):
    with pytest.raises((DesignError, Unweavable), match=message) as refused:
        with_handle(handle)
    assert "\n" not in str(refused.value)


def test_a_mat_has_no_side_to_push_a_handle_into():
    mat = '[spokes]\nreed = "round 4"\nends = 16\n[form]\nbase = "4 in"\nwall = [["0 in", "4 in"], ["1 in", "4 in"]]\n'
    mat += '[[band]]\nwhere = "base"\nweave = "pairing"\nreed = "round 2"\nuntil = "4 in"\n'
    mat += '[border]\nrows = ["over 2 down"]\n' + BOW
    from slype.design.file.reader import parse

    with pytest.raises(Unweavable, match="no side"):
        planning.plan(parse(mat))


@pytest.mark.parametrize("ends", [36, 38, 40, 42])
@pytest.mark.parametrize("across", ["2 in", "2 1/2 in", "3 in"])
def test_side_handles_of_an_oval_stand_over_the_middles_of_its_two_ends(ends, across):
    """Carried by the middles of its long sides a tray tips; they stood two spaces off even these."""
    laid = lay(basket(tail=f'{BOARD}{SIDE}\nacross = "{across}"\n', **{**BOARDS["oval"], "ends": ends}))
    each, half = lay_handles(laid)[0], laid.border_spacing_mm / 2
    for (a, b), way in zip(each.feet(ends), (-1, 1), strict=True):
        x, y, _ = np.mean([on_wall(laid, u + 0.5, laid.top_s)[0] for u in (a, b)], axis=0)
        assert x * way > 0 and abs(y) < half + 1.0
        # Quite even where a count of spaces that allows it lies within three quarters of what was asked.
        apart = each.across_mm / (2 * half)
        even = [n for n in (int(apart), int(apart) + 1) if n % 2 == (ends % 4 == 0) and abs(n - apart) < 0.75]
        assert (abs(y) < 1.0) == bool(even)
