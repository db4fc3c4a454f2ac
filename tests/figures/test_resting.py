"""A weaver that rests on old rows is not bitten into by their crests; a spoke before it hides it still."""


import numpy as np
import pytest
from worked import planned_as, taught

from slype.draw import pixels
from slype.draw.painted import EVERYWHERE
from slype.figures import pen
from slype.figures.figure import Figures
from slype.figures.reeds.stretch import MOVES, OLD
from slype.order.kinds import ACTS
from slype.paper.handout import wide_mm

WALLS = [(name, hand) for name in ("quayside", "posy", "estuary") for hand in ("right", "left")]


def looked_at(name, hand, act="set in"):
    """(stretches, dots) of every drawing of a start on a wall that stands on rows of another band, or of moves of a
    border, from outside; and its caption."""
    plan = planned_as(name, hand)
    figures, out, seen = Figures(plan), [], []
    original = pen.lengths_seen
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pen, "lengths_seen", lambda all_, found, **k: seen.append(found) or original(all_, found, **k))
        real = pen.within
        lying = []
        patch.setattr(pen, "within", lambda *given: lying.append(real(*given)) or lying[-1])
        for step in taught(plan):
            on_wall = step.band not in (None, plan.laid.side[0].index) if act == "set in" else True
            on_wall = on_wall and step.part == {"set in": "side"}.get(act, act) and not step.of
            for asked, wide in zip(step.drawings, wide_mm(step, False), strict=True):
                if on_wall and ACTS[figures.making.order.act[asked.first]] == act and asked.kind == "near":
                    seen.clear()
                    lying.clear()
                    figures.svg(step, asked, wide)
                    out.append((lying[-1], seen[-1], asked.caption))
    return out


@pytest.mark.parametrize("name, hand", WALLS)
def test_a_weaver_that_is_set_in_is_seen_whole_but_where_a_spoke_stands_before_it(name, hand):
    drawings = looked_at(name, hand)
    for stretches, found, caption in drawings:
        of = found.seen.tube
        moving = np.array([each.state == MOVES and each.tube.role == "weaver" for each in stretches])[of]
        old = np.array([each.state == OLD and each.tube.role == "weaver" for each in stretches])[of]
        depth, seg = np.empty_like(found.depth), np.empty_like(found.seg)
        shown = found.seen.shown & ~old
        pixels.nearest(*found.in_dots(), of, shown, EVERYWHERE, depth, seg, *found.cuts())
        dark = (seg >= 0) & moving[np.maximum(seg, 0)]
        bitten = dark & ~moving[np.maximum(found.seg, 0)]
        assert bitten.sum() < 0.04 * dark.sum(), (caption, bitten.sum() / dark.sum())
        # Nothing shines through: the far side of the spokes is as hidden as it was.
        assert not (moving[np.maximum(found.seg, 0)] & (found.seg >= 0) & ~dark).any(), caption
    assert drawings


@pytest.mark.parametrize("name, hand", WALLS)
def test_an_end_of_the_border_that_is_led_is_not_hidden_by_the_last_row_it_rests_on(name, hand):
    """It looked as if it were threaded under the last weaver."""
    drawings = looked_at(name, hand, "border")
    for stretches, found, caption in drawings:
        of, top = found.seen.tube, max(each.tube.points[:, 2].max() for each in stretches if each.tube.role == "weaver")
        led = np.array([each.state == MOVES and each.tube.role == "border" for each in stretches])[of]
        old = np.array([each.state == OLD and each.tube.role == "weaver" for each in stretches])[of]
        high = np.concatenate([each.tube.points[:, 2] for each in stretches]) > top - stretches[0].tube.thick_mm
        depth, seg = np.empty_like(found.depth), np.empty_like(found.seg)
        pixels.nearest(*found.in_dots(), of, found.seen.shown & ~old, EVERYWHERE, depth, seg, *found.cuts())
        dark = (seg >= 0) & (led & high)[np.maximum(seg, 0)]
        bitten = dark & ~led[np.maximum(found.seg, 0)]
        assert bitten.sum() < 0.04 * dark.sum(), (caption, bitten.sum() / dark.sum())
    assert drawings
