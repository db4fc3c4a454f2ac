"""What the player of strokes shows: from where the work is seen, what hangs from it, what comes after the border."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from places import EXAMPLES
from samples import BOARD, FLARED, HANDLES, HIGH, LIDS
from strategies import basket

from slype.borders.table import BORDERS
from slype.design.file.reader import load, parse
from slype.draw.solid import solid, unpacked
from slype.export.promised import moments_json
from slype.figures.making import Making
from slype.lay.courses import goes_on
from slype.lay.laying import lay
from slype.order.kinds import ACTS, OTHERS, PARTS
from slype.order.loose_ends import DRAWN_TAIL_MM, tail_lines
from slype.order.moments import moments
from slype.order.times import BENT_ASIDE, standing
from slype.order.viewpoints import places
from slype.plans import planning
from slype.rest.curves import relaxed_curves
from slype.rest.relax import relax
from slype.space.assembly import attachments, whole
from slype.studio.answers import ANSWERS, look
from slype.studio.told.baskets import MomentsTold, PartOfWork
from slype.surface.woven import stacked_curves
from slype.tell.moments import sentences
from slype.tell.steps import steps
from slype.words import of_a_lid

FILES = sorted(path.stem for path in EXAMPLES.glob("*.toml"))
FOOT = '[foot]\nborder = "foot border"\nrows = 2\ncolours = ["rust"]'
FITTED = {
    "a foot": dict(tail=FOOT, **HIGH),
    **{f"a handle: {name}": dict(tail=tail, **HIGH) for name, tail in HANDLES.items()},
    **{f"a lid: {name}": dict(tail=tail, **FLARED) for name, tail in LIDS.items()},
}
FACES = 60.0  # degrees between where the work faces and where the eye stands


@pytest.fixture(params=FILES)
def laid(request):
    return lay(load(EXAMPLES / f"{request.param}.toml"))


@pytest.fixture(params=FITTED)
def finished(request):
    return lay(basket(**FITTED[request.param]))


def of_solid(laid, curves=None):
    """(order, header, points, times) of a basket's solid."""
    order = moments(laid)
    return order, *unpacked(solid(laid, curves, order=order))


def with_everything(laid, order):
    """Every reed that is fitted to a basket, in its times."""
    return attachments(laid, [each for each in whole(laid) if each.role == "border"], order=order)


# Tails ---------------------------------------------------------------------------------------------------------


def loose(laid, order):
    """For every time the weavers that have begun and are not ended, told by walking through the moments."""
    bands = {band.index: i for i, band in enumerate(laid.bands)}
    now, out = set(), [set()]
    for act, band, weaver in zip(order.act.tolist(), order.band.tolist(), order.weaver.tolist(), strict=True):
        act = ACTS[act]
        if act == "set in":
            now.add((band, weaver))
        elif act == "end":
            now.remove((band, weaver))
        elif act == "stroke" and (band, weaver) not in now:  # it goes on from the band before
            before = laid.bands[bands[band] - 1]
            assert goes_on(before, laid.bands[bands[band]])
            now.remove((before.index, weaver))
            now.add((band, weaver))
        out.append(set(now))
    return out


def hung(header, time, role):
    """Strands of a role from which something hangs at a time."""
    out = []
    for strand in header["strands"]:
        begun = [line for at, line in strand.get("hangs", ()) if at <= time]
        if strand["role"] == role and begun and begun[-1]:
            out.append(strand)
    return out


def holds(laid, header, order):
    """A tail hangs at every begun and unfinished weaver, and at no other, at every time."""
    strands = {band.index: band.band.strands for band in laid.bands}
    seen = set()
    own = [moment for moment in range(len(order)) if order.of[moment] < 0 and ACTS[order.act[moment]] != "fit"]
    assert own == list(range(len(own)))
    for time, expected in enumerate(loose(laid, order)[: len(own) + 1]):
        found = sorted((each["band"], each["weaver"]) for each in hung(header, time, "weaver"))
        assert found == sorted(each for each in expected for _ in range(strands[each[0]])), time
        seen.add(len(expected))
    return seen


def test_a_tail_hangs_at_every_begun_and_unfinished_weaver(laid):
    order, header, *_ = of_solid(laid)
    assert max(holds(laid, header, order)) > 1, "somewhere several weavers wait at once"


def test_so_it_is_with_reeds_at_rest_which_are_joined_on_the_way(posy):
    rest = relax(posy)
    order, header, *_ = of_solid(rest.laid, relaxed_curves(rest))
    assert len({each["name"] for each in header["strands"] if each["role"] == "weaver"}) > 6
    holds(rest.laid, header, order)


def test_before_the_first_weaver_and_at_the_end_nothing_hangs(laid):
    order, header, *_ = of_solid(laid)
    for time in (0, 1, len(order) - 1, len(order)):
        assert not hung(header, time, "weaver") + hung(header, time, "border"), time


def test_an_end_of_the_border_hangs_from_its_first_move_until_its_last(laid):
    order, header, *_ = of_solid(laid)
    begins = next(part.first for part in order.parts if part.key == "border")
    for time in range(begins, len(order) + 1):
        expected = [
            end for end in range(laid.design.top_ends)
            if (moves := order.by_end["border", end])[0] < time <= moves[-1]
        ]  # fmt: skip
        assert [each["end"] for each in hung(header, time, "border")] == expected, time


def test_weavers_of_a_foot_and_a_lid_hang_too(finished):
    order = moments(finished)
    reeds = with_everything(finished, order)
    for name, other in order.others.items():
        mine = [reed for reed in reeds if reed.name.startswith(name) and reed.role == "weaver"]
        for time, expected in enumerate(loose(other.laid, other.order)):
            hanging = [[line for at, line in reed.hangs if at <= time + other.first] for reed in mine]
            assert sum(bool(lines and lines[-1]) for lines in hanging) == len(expected), (name, time)
        lines = tail_lines(finished, order)
        assert {line for reed in mine for _, line in reed.hangs} <= {"", *lines}
        assert all(line.startswith(name) for reed in mine for _, line in reed.hangs if line)


def test_a_tail_hangs_from_a_reed_that_is_laid_by_then(laid):
    order, header, _, when = of_solid(laid)
    for time in range(0, len(order) + 1, 7):
        for each in hung(header, time, "weaver") + hung(header, time, "border"):
            assert when[each["first"] + 1] <= time, (each["name"], time)


def test_tails_are_short_go_out_with_the_run_and_fall(laid):
    for name, line in tail_lines(laid).items():
        line = np.array(line)
        long = float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum())
        assert 25 < long < DRAWN_TAIL_MM + 2, name
        assert (np.diff(line[:, 0]) > 0).all() and (np.diff(line[:, 2]) >= 0).all(), name
        assert (np.diff(line[:, 1]) * (-1 if name == "in" else 1) > 0).all(), name
        if name == "side":  # by its own weight: steeper and steeper
            assert (np.diff(line[:, 2], 2) > 0).all()


def test_tails_add_next_to_nothing_to_what_is_sent(estuary):
    laid = lay(estuary)
    with_them = len(solid(laid, order=moments(laid)))
    _, header, *_ = of_solid(laid)
    of_them = sum(len(str(each["hangs"])) for each in header["strands"] if "hangs" in each) + len(str(header["tails"]))
    assert 0 < of_them < with_them / 50


# From where it is seen -----------------------------------------------------------------------------------------


def faced(order, points, when, moment):
    """Middle of what is laid in a moment; None where nothing is."""
    mine = points[(np.ceil(when) - 1 == moment)]
    return mine.mean(axis=0) if len(mine) else None


def off_the_eye(order, header, points, when, seen):
    """Degrees between where the work of each moment faces, outward, at the base down, of a cross on the table up, and
    where the eye stands."""
    stays = np.zeros(len(points), bool)
    for each in header["strands"]:
        stays[each["first"] : each["first"] + each["count"]] = each["until"] is None
    points, when = points[stays], when[stays]
    keys = [part.key for part in order.parts]
    out = {}
    for moment in range(len(order)):
        middle = faced(order, points, when, moment)
        act = ACTS[order.act[moment]]
        if middle is None or act == "trim":
            continue
        normal = np.array([*middle[:2] / np.linalg.norm(middle[:2]), 0.0])
        if keys[order.part[moment]] == "cross":
            normal = np.array([0.0, 0.0, 1.0])
        elif keys[order.part[moment]] in ("base", "insert"):
            normal = np.array([0.0, 0.0, -1.0])
        elif keys[order.part[moment]] == "border":
            normal = (normal + np.array([0.0, 0.0, 1.0])) / np.sqrt(2)
        around, up = np.radians([seen.around[moment], seen.up[moment]])
        eye = np.array([np.sin(around) * np.cos(up), -np.cos(around) * np.cos(up), np.sin(up)])
        out[moment] = float(np.degrees(np.arccos(np.clip(normal @ eye, -1, 1))))
    return out


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("example", FILES)
def test_every_stroke_faces_the_eye(example, hand):
    laid = lay(replace(load(EXAMPLES / f"{example}.toml"), hand=hand))
    order, header, points, when = of_solid(laid)
    off = off_the_eye(order, header, points, when, places(laid, order))
    assert len(off) > 0.9 * len(order)
    assert max(off.values()) < FACES, max(off, key=off.get)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_base_is_held_underside_up_and_worked_along_its_top_edge(estuary, hand):
    """As the steps say: the underside towards the maker, along the top edge towards the right, or the left."""
    laid = lay(replace(estuary, hand=hand))
    order, _, points, when = of_solid(laid)
    seen, checked = places(laid, order), 0
    # A stroke is seen on from its middle, for a maker works where it begins.
    for moment in range(20, len(order), 9):
        if order.parts[order.part[moment]].key != "base" or ACTS[order.act[moment]] != "stroke":
            continue
        around, up = np.radians([seen.around[moment], seen.up[moment]])
        right = np.array([np.cos(around), np.sin(around), 0.0])
        upward = np.array([-np.sin(around) * np.sin(up), np.cos(around) * np.sin(up), np.cos(up)])
        mine = points[np.ceil(when) - 1 == moment]
        assert mine.mean(axis=0) @ upward > 0.3 * np.linalg.norm(mine.mean(axis=0)), "along the top edge"
        run = (mine[-1] - mine[0]) @ right
        assert run > 0 if hand == "right" else run < 0
        checked += 1
    assert checked > 20


def test_a_foot_below_a_board_is_worked_from_below():
    laid = lay(parse(BOARD))
    order = moments(laid)
    seen = places(laid, order)
    assert (seen.up[order.act == ACTS.index("foot")] < 0).all()
    assert (seen.up[order.act == ACTS.index("hole")] > 0).all()


def test_a_running_play_turns_evenly(estuary):
    """From one stroke to the next of a row the place goes on by a space and never jumps."""
    laid = lay(estuary)
    order = moments(laid)
    around = places(laid, order).around
    stroke = ACTS.index("stroke")
    same = (order.act[1:] == stroke) & (order.act[:-1] == stroke) & (order.part[1:] == order.part[:-1])
    same &= order.block[1:] == order.block[:-1]
    hop = np.abs((np.diff(around) + 180) % 360 - 180)[same]
    assert np.median(hop) < 1.3 * 360 / laid.design.top_ends and hop.max() <= 90


# After the border ----------------------------------------------------------------------------------------------


def test_what_is_fitted_comes_after_the_trimmed_border_in_the_order_of_the_sheet(finished):
    order = moments(finished)
    own = [part for part in order.parts if not part.of]
    assert [PARTS.index(part.key) for part in own] == sorted(PARTS.index(part.key) for part in own)
    trimmed = next(part for part in own if part.key == "trim")
    after = [part for part in order.parts if part.first >= trimmed.beyond]
    assert after and all(part.of or part.key in ("handle", "fit") for part in after)
    assert all(
        (order.of[part.first : part.beyond] == (OTHERS.index(part.of) if part.of else -1)).all() for part in after
    )
    told = [step.title for step in steps(planning.plan(finished.design))]
    fitted_titles = [title for title in told if title.startswith(("Put in", "Fit the lid", "Lid: "))]
    titles = [part["title"] for part in moments_json(finished.design, finished, order)["parts"]]
    assert [title for title in titles if title.startswith(("Put in", "Fit the lid"))] == [
        title for title in fitted_titles if not title.startswith("Lid: ")
    ]
    lids = [title for title in titles if title.startswith("Lid: ") and title != "Lid: trim"]
    assert lids == [title for title in fitted_titles if title.startswith("Lid: ")]


def test_every_reed_that_is_fitted_is_laid_in_its_own_part_and_from_its_start_to_its_end(finished):
    order = moments(finished)
    trimmed = next(part.beyond for part in order.parts if part.key == "trim" and not part.of)
    reeds = with_everything(finished, order)
    assert reeds
    for reed in reeds:
        name = "lid" if reed.name.startswith("lid") else "foot" if reed.name.startswith("foot") else "handle"
        assert (np.diff(reed.when) >= 0).all(), reed.name
        parts = {order.part[int(np.ceil(at)) - 1] for at in reed.when}
        assert all(order.parts[part].of == name or order.parts[part].key == name for part in parts), reed.name
        assert reed.when[0] > trimmed


def test_a_wrapping_winds_once_round_in_every_moment():
    laid = lay(basket(tail=HANDLES["bow"], **HIGH))
    order = moments(laid)
    covered = order.arches[0, 0]
    core, wrap = (next(r for r in with_everything(laid, order) if r.name.endswith(name)) for name in ("core", "strand"))
    assert core.when[-1] <= covered.wrap < wrap.when[0], "the core stands before it is wrapped"
    assert int((order.act == ACTS.index("wrap")).sum()) == covered.turns > 100
    per_turn = np.bincount(np.ceil(wrap.when).astype(int) - 1 - covered.wrap)
    assert per_turn.max() - per_turn.min() <= 2, "as many chords in every turn"


def test_a_rope_is_twisted_before_its_second_foot_goes_in():
    laid = lay(basket(tail=HANDLES["rope"], **HIGH))
    order = moments(laid)
    acts = [ACTS[act] for act in order.act[order.parts[-1].first :]]
    assert acts[0] == acts[-1] == "push in" and set(acts[1:-1]) == {"wrap"}
    rods = [reed for reed in with_everything(laid, order) if "rod" in reed.name]
    for rod in rods:
        low = rod.points[:, 2] < rod.points[:, 2].max() / 3
        assert np.ceil(rod.when[low][-1]) == len(order) and np.ceil(rod.when[low][0]) == order.parts[-1].first + 1


@pytest.mark.parametrize(("hand", "forward"), [("right", "right"), ("left", "left")])
@pytest.mark.parametrize(("wording", "one", "edge"), [("us", "spoke", "border"), ("uk", "stake", "border")])
def test_handles_are_told_for_either_hand_and_wording(hand, forward, wording, one, edge):
    design = replace(basket(tail=HANDLES["rope over a core"], **HIGH), hand=hand, wording=wording)
    laid = lay(design)
    order = moments(laid)
    said = sentences(design, laid, order)[order.parts[-1].first :]
    assert f"beside {one} 1 with" in said[0] and f"top of the {edge}" in said[0] and "Cut away from you" in said[0]
    toward = "towards" if wording == "uk" else "toward"
    assert f"{toward} the {forward}, once round" in said[3]
    assert "strength is not rated" in said[-1]
    assert not any("{" in line for line in said)


@pytest.mark.parametrize("seat", LIDS)
def test_a_lid_is_told_as_any_basket_is(seat):
    plan = planning.plan(basket(tail=LIDS[seat], **FLARED))
    finished, order = plan.laid, moments(plan.laid)
    said = sentences(plan, finished, order)
    other = order.others["lid"]
    own = sentences(plan.lid, other.laid, other.order)
    assert [line.split(" ", 1)[1].lower() for line in said[other.first : other.first + len(own)]] == [
        of_a_lid(line).lower() for line in own
    ]
    assert said[-1].startswith("Set the lid on. Try it while basket and lid are still damp")


def test_what_goes_for_a_whole_part_is_said_with_its_first_move(estuary):
    laid = lay(estuary)
    said, parts = sentences(estuary, laid, moments(laid)), moments(laid).parts
    first = {(part.key, part.band): said[part.first] for part in parts}
    assert first["base", 0].startswith("Hold it with the underside toward you")
    assert "in 8 groups of 4, from space 1 on. Each group counts as one." in first["base", 1]
    assert "Weaver 2 now comes out at group space 2: draw its last stroke back as far" in first["base", 1]
    border = first["border", None]
    assert border.startswith("Soak the standing spokes again") and "Nip each spoke" in border
    turned = next(part for part in parts if part.key == "turn")
    assert "From here on the outside faces you" in said[turned.beyond - 1]
    assert sum("underside" in line for line in said) == 1


def test_a_foot_is_nipped_close_to_what_it_is_worked_on():
    board, foot = lay(parse(BOARD)), lay(basket(tail=FOOT, **HIGH))
    for laid, close in ((board, "close to the board"), (foot, "close to the last row")):
        said = sentences(laid.design, laid, moments(laid))
        assert sum(f"pliers {close}" in line for line in said) == 1


def test_trimming_says_to_cut_away_from_you(laid):
    assert sentences(laid.design, laid, moments(laid))[-1].endswith("Cut away from you.")


FINISHED = f"""
[form]
base = "6 in"
wall = [["0 in", "6 in"], ["6 in", "8 in"]]
[spokes]
reed = "round 4"
ends = 24
[[band]]
weave = "three-rod wale"
reed = "round 3"
rows = 34
[border]
rows = ["behind 1 out", "over 2 down"]
{HANDLES["bow"]}
{FOOT}
{LIDS["on"]}
"""


def test_the_answer_for_the_page_has_a_place_and_a_sentence_for_every_moment():
    told = ANSWERS["moments"](FINISHED, "x.toml", {}, lambda _: None)
    many = told["moments"]
    assert len(told["words"]) == len(told["around"]) == len(told["up"]) == many == told["parts"][-1]["last"]
    assert all(-180 <= each < 180 for each in told["around"]) and all(-90 < each < 90 for each in told["up"])
    assert {part["of"] for part in told["parts"]} == {"", "foot", "lid"}
    assert set(told) == set(MomentsTold.__annotations__)
    assert {key for part in told["parts"] for key in part} == set(PartOfWork.__annotations__)
    header, _, when = unpacked(look(FINISHED, "x.toml", 1, lambda _: None)["solid"])
    assert header["moments"] == many and many - 3 < when.max() <= many


# Arches of an open border ---------------------------------------------------------------------------------------


OPEN = [kind.name for kind in BORDERS.values() if kind.family == "open"]
TOUCHING = 1.0  # thicknesses between two middle lines


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("kind", OPEN)
def test_an_arch_passes_the_standing_ends_on_the_side_that_its_words_say(kind, hand):
    """Every arch, as soon as it is laid: wholly in front of the ends its sentence names, or wholly behind."""
    laid = lay(basket(ends=17, rows=6, kind=kind, hand=hand))
    order, checked = moments(laid), 0
    upright = standing(laid, order)
    arches = {each.end: each for each in stacked_curves(laid) if each.role == "border"}
    said = sentences(laid.design, laid, order)
    for end, arch in arches.items():
        move = int(order.by_end["border", end][0])
        front, behind = order.in_front(move), order.behind(move)
        assert ("in front of" in said[move]) == bool(front), said[move]
        for side, passed in ((1, front), (-1, behind)):
            for each in upright:
                if each.curve.end not in passed or not each.appears <= move + 1 <= each.vanishes:
                    continue
                at = int(np.argmin(np.abs(arch.u - each.curve.u[0])))
                level = np.interp(arch.s[at], each.curve.s, each.curve.n)
                assert side * (arch.n[at] - level) > TOUCHING * each.curve.thick_mm, (arch.name, each.curve.name)
                checked += 1
    assert checked >= 16


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize(("kind", "way"), [("open over 2", -1), ("open behind 1", 1)])
def test_so_they_stand_in_the_handout_and_on_the_screen_and_each_at_one_place_at_a_time(kind, way, hand):
    """Straight until the first arch goes past; then in four steps inward of one in front, outward of one behind."""
    laid = lay(basket(ends=17, rows=6, kind=kind, hand=hand))
    making = Making(laid)
    order = making.order
    header, points, when = unpacked(solid(laid, order=order))
    begins = next(part.first for part in order.parts if part.key == "border")
    first = [each for each in header["strands"] if each["name"].startswith("standing end 2")]
    straight = points[first[0]["first"]][:2]

    def leans(line):
        return float(np.hypot(*line[-1][:2]) - np.hypot(*straight))

    def on_screen(time):
        there = [each for each in first if when[each["first"]] <= time <= each["until"]]
        assert len(there) == 1, (time, there)
        return leans(points[there[0]["first"] : there[0]["first"] + there[0]["count"]])

    def on_paper(beyond):
        found = [each.tube for each in making.at(beyond - 1, beyond) if each.tube.name.startswith("standing end 2")]
        assert len(found) == 1, beyond
        return leans(found[0].points)

    held = way * BENT_ASIDE * laid.design.border_reed_mm
    assert on_screen(begins) == pytest.approx(0, abs=0.05) and on_paper(begins) == pytest.approx(0, abs=0.05)
    assert on_screen(begins + 1) == pytest.approx(held, abs=0.05)
    assert on_paper(begins + 1) == pytest.approx(held, abs=0.05)
    sway = [way * on_screen(begins + share) for share in np.linspace(0.01, 0.99, 60)]
    assert sway == sorted(sway) and len({round(each, 2) for each in sway}) == 4
    assert not [each for each in making.at(begins + 1, begins + 2) if each.tube.name.startswith("standing end 2")]
    kept = [each for each in header["strands"] if each.get("held")]
    assert len(kept) == 4 * len({each["end"] for each in kept}) > 0, "what makes room for a move does not glow with it"
    assert {each.curve.name for each in standing(laid, order) if each.held} == {each["name"] for each in kept}
    one_reed = {each.get("same", i) for i, each in enumerate(header["strands"]) if each["end"] == 1}
    assert len(one_reed) == 1, "a spoke, its waiting end and its arch are one reed"
