"""How many dots a picture has, however tall it is."""

import pytest
from strategies import basket_text

from slype.design.file.reader import parse
from slype.draw import camera, views
from slype.errors import DesignError
from slype.plans.planning import plan

TOWER = dict(
    ends=6, weave="pairing", base="2 in", wall=[["0 in", "2 in"], ["2 m", "2 in"]], reed="round 8", rows=60,
    spoke="round 4",
)  # fmt: skip


@pytest.mark.parametrize("view", ["outside", "unrolled"])
def test_a_tower_is_drawn_as_wide_as_its_height_leaves_room_for_and_not_wider(view):
    tower = plan(parse(basket_text(**TOWER), "tower.toml"))
    with pytest.raises(DesignError, match=r"width: 4,500 dots across would be .* down.*At most [\d,]+ across"):
        (views.painted_png if view == "outside" else views.drawn_png)(tower, view, 4500)


@pytest.mark.parametrize("aspect", [0.1, 1.0, 7.0, 40.0])
def test_no_picture_has_more_dots_than_are_kept_in_mind(aspect):
    for asked in (50, None, camera.of_picture(None, aspect, camera.MOST_PAINTED)):
        wide, many = camera.of_painting(asked, aspect)
        all_of_them = wide * wide * aspect
        assert all_of_them <= camera.MOST_PAINTED and many == (2 if all_of_them <= camera.MOST_FINE else 1)
        assert asked in (None, wide)
    wide, _ = camera.read(1300, aspect)
    assert wide <= 1300 and wide * wide * aspect <= camera.MOST_READ
    assert camera.of_painting(None, 1.0) == (1600, 2), "a bowl is painted as it always was"
