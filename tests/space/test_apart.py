"""A lid while it is woven by itself: how it goes back to where it is woven, and what passes there."""

from __future__ import annotations

import json
import subprocess

import numpy as np
import pytest
from fitted_baskets import FLARED, HANDLES, LIDS
from node import node
from places import SOURCE
from strategies import basket

from slype.draw.solid import solid_of, unpacked
from slype.lay.lids import lid_laid
from slype.order.kinds import ACTS, APART, OTHERS
from slype.order.moments import moments
from slype.order.viewpoints import places
from slype.plans.planning import plan
from slype.space.tubes import tubes

BOW = f"[[handle]]\n{HANDLES['bow']}\n"
WORN = {**LIDS, "on, beside a bow": f"{BOW}{LIDS['on']}"}
HALF_A_MM = 0.5
IN_HAND = """
import { readFileSync } from "node:fs";
import { parse } from %s;
import { inHand } from %s;
const bytes = readFileSync(process.argv[1]);
const solid = parse(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
const told = ({ strands, points, when, across }) => ({ across, reeds: strands.map((strand) => {
  const here = [...Array(strand.count).keys()].map((i) => strand.first + i);
  return { name: strand.name, of: strand.apart?.of ?? "", until: strand.until, same: strands[strand.same]?.name ?? null,
    points: here.map((i) => [...points.subarray(3 * i, 3 * i + 3)]), when: here.map((i) => when[i]) };
}) });
console.log(JSON.stringify({ basket: told(inHand(solid, "")), lid: told(inHand(solid, "lid")),
  foot: inHand(solid, "foot") === inHand(solid, ""), again: inHand(solid, "lid") === inHand(solid, "lid") }));
"""


@pytest.fixture(scope="module", params=WORN)
def lidded(request):
    return plan(basket(**FLARED, tail=WORN[request.param]))


@pytest.fixture(scope="module")
def page(lidded, tmp_path_factory):
    """What a page has in hand of a lidded basket, and the solid it was sent."""
    raw, file = solid_of(lidded), tmp_path_factory.mktemp("apart") / "basket"
    file.write_bytes(raw)
    scene = SOURCE / "page" / "scene"
    ask = IN_HAND % tuple(json.dumps((scene / name).as_uri()) for name in ("solid-file.js", "apart.js"))
    run = [node(), "--input-type=module", "-e", ask, str(file)]
    said = json.loads(subprocess.run(run, capture_output=True, text=True, check=True, timeout=60).stdout)
    return said, unpacked(raw)


def test_the_lid_alone_lies_as_the_basket_that_it_is(lidded, page):
    """Not turned over, and over the middle of the table, whatever it is fitted to."""
    said, _ = page
    own = {f"lid, {each.name}": each for each in tubes(lid_laid(lidded.laid))}
    mine = {each["name"]: np.array(each["points"]) for each in said["lid"]["reeds"] if each["until"] is None}
    assert mine.keys() == own.keys()
    for name, line in mine.items():
        tips = own[name].points[[0, -1]]
        assert np.abs(line[[0, -1]] - tips).max() < HALF_A_MM, name
    across = max(np.ptp(np.concatenate(list(mine.values()))[:, axis]) for axis in (0, 1))
    assert said["lid"]["across"] == pytest.approx(across, abs=HALF_A_MM)


def test_nothing_but_the_lid_is_there_while_it_is_worked_and_nothing_of_it_before(lidded, page):
    said, _ = page
    order = moments(lidded.laid)
    begun, fitted = order.others["lid"].first, int(np.flatnonzero(order.act == ACTS.index("fit"))[0])
    assert {each["of"] for each in said["lid"]["reeds"]} == {"lid"}
    assert min(min(each["when"]) for each in said["lid"]["reeds"]) > begun
    of_lid = [each for each in said["basket"]["reeds"] if each["of"]]
    assert of_lid and all(fitted < at < fitted + 1 for each in of_lid for at in each["when"]), "put on in one move"
    assert all(each["until"] is None for each in of_lid)
    assert len(said["basket"]["reeds"]) > len(of_lid)


def test_the_ends_of_a_lid_stand_out_until_its_border_takes_them_and_tails_until_it_is_trimmed(lidded, page):
    said, _ = page
    order = moments(lidded.laid)
    other = order.others["lid"]
    passing = [each for each in said["lid"]["reeds"] if each["until"] is not None]
    ends = [each for each in passing if "standing end" in each["name"]]
    every = range(other.laid.design.top_ends)
    taken = [float(other.order.by_end["border", end][0] + other.first) for end in every]
    assert sorted(each["until"] for each in ends) == sorted(taken)
    tails = [each for each in passing if "tail left" in each["name"]]
    trims = other.first + int(np.flatnonzero(other.order.act == ACTS.index("trim"))[0])
    assert tails and {each["until"] for each in tails} == {trims + 0.5}
    reeds = {each["name"]: each["points"] for each in said["lid"]["reeds"]}
    for tail in tails:  # each from where its reed is drawn to end
        reed = reeds[tail["name"].rpartition(", ")[0]]
        assert min(np.linalg.norm(np.subtract(tail["points"][0], tip)) for tip in (reed[0], reed[-1])) < 0.01


def test_parts_of_one_reed_are_still_told_as_one_and_what_is_in_hand_is_found_once(page):
    said, (header, _, _) = page
    sent = {each["name"]: header["strands"][each["same"]]["name"] for each in header["strands"] if "same" in each}
    for each in [*said["lid"]["reeds"], *said["basket"]["reeds"]]:
        assert each["same"] == sent.get(each["name"])
    assert said["foot"] and said["again"], "a foot is worked on the basket"


def test_a_lid_is_looked_at_as_the_basket_that_it_is(lidded):
    """Held and set down as its steps say, that are a basket's: the cross on the table, its top towards the maker."""
    order = moments(lidded.laid)
    other, mine = order.others["lid"], order.of == OTHERS.index("lid")
    seen, own = places(lidded.laid, order), places(other.laid, other.order)
    assert (seen.up[mine] == own.up).all() and (seen.around[mine] == own.around).all()
    assert APART == ("lid",)
