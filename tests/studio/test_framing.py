"""From where the page looks at a basket: by the reeds it is sent, asked of the page's own module."""

import json
import subprocess
from dataclasses import replace

import numpy as np
import pytest
from node import node
from places import EXAMPLES, SOURCE
from samples import HANDLES

from slype.design.file import reader
from slype.draw.solid import solid_of, unpacked
from slype.plans.planning import plan

SCENE = SOURCE / "page" / "scene"
ASK = """
import { readFileSync } from "node:fs";
import { parse } from %s;
import { axes, sizeOf, viewOf } from %s;
const bytes = readFileSync(process.argv[1]);
const basket = parse(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
const view = viewOf("outside", basket, sizeOf(basket, true));
console.log(JSON.stringify({ ...view, ...axes(view.around, view.up) }));
"""


def looked_at(handle, hand, tmp_path):
    """(how the page looks at the posy pot with a handle, its reeds' header, their points)."""
    text = (EXAMPLES / "posy.toml").read_text(encoding="utf-8")
    made = plan(replace(reader.parse(text.replace("[border]", f"{handle}\n[border]")), hand=hand))
    raw = solid_of(made)
    (tmp_path / "basket").write_bytes(raw)
    ask = ASK % tuple(json.dumps((SCENE / name).as_uri()) for name in ("solid-file.js", "framing.js"))
    run = [node(), "--input-type=module", "-e", ask, str(tmp_path / "basket")]
    out = subprocess.run(run, capture_output=True, text=True, check=True, timeout=60)
    header, points, _ = unpacked(raw)
    return json.loads(out.stdout), header, points


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("kind", ["bow", "rope over a core"])
def test_a_bow_is_not_seen_edge_on(kind, hand, tmp_path):
    view, header, points = looked_at(HANDLES[kind], hand, tmp_path)
    bows = [points[each["first"] : each["first"] + each["count"]] for each in header["strands"] if each.get("over")]
    assert bows
    wide = max(np.ptp(np.asarray(each) @ view["right"]) for each in bows)
    assert wide > 0.7 * header["mouth"]


def test_a_bow_of_left_hands_is_seen_as_in_a_mirror(tmp_path):
    """So a lid that lies beside it is in sight, at its other side."""
    right, left = (looked_at(HANDLES["bow"], hand, tmp_path)[0] for hand in ("right", "left"))
    assert left["around"] == pytest.approx(-right["around"]) and right["around"] != 0


@pytest.mark.parametrize("kind", ["", "side", "side rope"])
def test_without_a_bow_the_near_side_is_seen(kind, tmp_path):
    view, _, _ = looked_at(HANDLES.get(kind, ""), "right", tmp_path)
    assert view["around"] == 0
