"""What the player of strokes shows: from where the work is seen, what hangs from it, what comes after the border."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from in_order import of_solid, with_everything
from places import EXAMPLE_NAMES, EXAMPLES
from samples import BOARD, FLARED, FOOT, HANDLES, HIGH, LIDS
from strategies import basket
from worked import planned

from slype.design.file.reader import load, parse
from slype.draw.solid import unpacked
from slype.export.promised import moments_json
from slype.lay.laying import lay
from slype.order.kinds import ACTS, OTHERS, PARTS
from slype.order.moments import moments
from slype.order.viewpoints import places
from slype.plans import planning
from slype.studio.answers import ANSWERS, look
from slype.studio.told.baskets import MomentsTold, PartOfWork
from slype.tell.moments import sentences
from slype.tell.steps import steps
from slype.words import of_a_lid

FACES = 60.0  # degrees between where the work faces and where the eye stands


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
@pytest.mark.parametrize("example", EXAMPLE_NAMES)
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


def test_a_running_play_turns_evenly():
    """From one stroke to the next of a row the place goes on by a space and never jumps."""
    laid = planned("estuary").laid
    order = moments(laid)
    around = places(laid, order).around
    stroke = ACTS.index("stroke")
    same = (order.act[1:] == stroke) & (order.act[:-1] == stroke) & (order.part[1:] == order.part[:-1])
    same &= order.block[1:] == order.block[:-1]
    hop = np.abs((np.diff(around) + 180) % 360 - 180)[same]
    assert np.median(hop) < 1.3 * 360 / laid.design.top_ends and hop.max() <= 90


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_row_of_the_border_that_is_worked_inside_is_looked_at_across_the_mouth(estuary, hand):
    """As the steps say: "You look across at the far wall". The third row tucks down ends that lie inside."""
    laid = lay(replace(estuary, hand=hand))
    order, _, points, when = of_solid(laid)
    seen, led = places(laid, order), order.act == ACTS.index("border")
    assert set(order.row[led & seen.across].tolist()) == {2} and not seen.across[~led].any()
    for moment in np.flatnonzero(led)[::5].tolist():
        eye, high = np.radians(seen.eye[moment]), points[:, 2] > laid.finished_height_mm - 15
        mine = points[(np.ceil(when) - 1 == moment) & high].mean(axis=0)
        near = mine @ [np.sin(eye), -np.cos(eye), 0.0]
        assert near < 0 if order.row[moment] == 2 else near > 0


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
    laid = planned("estuary").laid
    said, parts = sentences(estuary, laid, moments(laid)), moments(laid).parts
    first = {(part.key, part.band): said[part.first] for part in parts}
    assert first["base", 0].startswith("Hold it with the underside toward you")
    assert "in 8 groups of 4, from space 1 on. Each group counts as one." in first["base", 1]
    assert "Weaver 2 then comes out at group space 2." in first["base", 1]
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
