"""The name of a weaver is at that weaver and at no other: the words of a stroke live by it."""

import re
from dataclasses import replace

import numpy as np
import pytest
from samples import MANY_ON_A_BASE as MANY
from worked import planned_as, taught

from slype.design.file import reader
from slype.draw.camera import look_at_points
from slype.figures.closeup import Scene, shot_of, shot_svg
from slype.figures.figure import Figures
from slype.figures.flat.marks import INK
from slype.figures.names import CROSSED
from slype.figures.pen import Inks
from slype.figures.reeds.stretch import MOVES, WAITS
from slype.paper.handout import wide_mm
from slype.plans import planning
from slype.surface.curve import TAILS

PATCH = re.compile(r'<rect x="(-?[\d.]+)" y="(-?[\d.]+)" width="([\d.]+)" height="([\d.]+)"[^>]*/>'
                   r'<text[^>]*>weaver (\d)<')  # fmt: skip
LEAD = re.compile(rf'<path d="M(\S+) (\S+?)L(\S+) (\S+?)" stroke="{INK}" stroke-width="')


def hanging(shot, of):
    """By the number of each weaver of a band that hangs free its last points on the drawing (k, 2)."""
    out = {}
    for each in shot.stretches:
        tube = each.tube
        free = tube.role == "weaver" and tube.band == of and tube.bit not in TAILS and tube.strand <= 0
        if free and each.state in (MOVES, WAITS) and each.cut[1]:
            out[tube.weaver + 1] = np.stack(look_at_points(shot.camera, tube.points[-25:])[:2], axis=1)
    return out


def lead_of(at, svg):
    """The line (40, 2) from a word at a place to what it names, None where it has none, or ends in a dot there."""
    leads = np.array(LEAD.findall(svg), float).reshape(-1, 2, 2)
    mine = [each for each in leads if np.hypot(*(each[1] - at)) < 0.1]
    return np.linspace(*mine[0], 40) if mine and f'<circle cx="{mine[0][0, 0]:.2f}" cy="' not in svg else None


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("name", ["estuary", "many"])
def test_no_name_of_a_weaver_lies_on_another_one_nor_leads_across_it(name, hand):
    """A name beside two that hang close had its line across the nearer one, and was read as that one's."""
    plan = planned_as(name, hand) if name == "estuary" else planning.plan(replace(reader.parse(MANY), hand=hand))
    making, names, leads = Figures(plan).making, 0, 0
    for step in taught(plan):
        for asked, wide in zip(step.drawings, wide_mm(step, False), strict=True):
            if step.band is None or step.of or asked.kind not in ("near", "whole") or asked.join is not None:
                continue
            scene = Scene(asked.first, asked.beyond, whole=asked.kind == "whole", arrow=asked.arrow,
                          spaces=asked.spaces, mm=wide, fold=asked.fold, band=step.band)  # fmt: skip
            shot = shot_of(making, scene)
            svg, lines = shot_svg(making, scene, Inks(True, plan.design.palette), shot), hanging(shot, step.band)
            for *box, number in PATCH.findall(svg):
                x, y, across, high = map(float, box)
                way = lead_of((x + across / 2, y + high / 2), svg)
                for other, line in lines.items():
                    if other == int(number):
                        continue
                    on = (line[:, 0] > x) & (line[:, 0] < x + across) & (line[:, 1] > y) & (line[:, 1] < y + high)
                    assert not on.any(), (step.number, asked.caption, number, other)
                    if way is not None:
                        gap = np.hypot(*(way[:, None] - line).T).min() * wide / shot.box[2]
                        assert gap > 0.8 * CROSSED, (step.number, asked.caption, number, other)
                        leads += 1
                names += 1
    assert names > 20 and leads > 5, (names, leads)
