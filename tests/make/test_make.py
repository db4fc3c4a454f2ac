"""Whoever asks for a basket's picture or paper, the command, a script or the studio, is answered alike."""

import pytest
from commands import slype_here
from places import EXAMPLES

import slype
from slype.errors import DesignError
from slype.make import baskets, papers, pictures
from slype.offers import VIEWS
from slype.plans import planning
from slype.studio import answers

POSY = (EXAMPLES / "posy.toml").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def posy():
    return planning.plan(slype.parse(POSY, "posy.toml"))


def quiet(share: float) -> None:
    """Progress that nobody watches."""


def test_command_script_and_studio_draw_the_same_picture(tmp_path, posy):
    (tmp_path / "posy.toml").write_text(POSY, encoding="utf-8")
    said = slype_here(tmp_path, "picture", "posy.toml", "--quick", "--view", "outside", "-o", "posy.svg")
    assert said.status == 0
    drawn = (tmp_path / "posy.svg").read_bytes()
    assert drawn == slype.picture(posy, "outside")
    assert drawn == answers.picture(POSY, "posy.toml", "a basket", "outside", {}, None, quiet)


@pytest.mark.parametrize(("view", "hatched"), [("sideways", False), ("squares", True)])
def test_a_picture_that_there_is_not_is_refused_by_all_with_the_same_words(tmp_path, posy, view, hatched):
    with pytest.raises(DesignError) as here:
        pictures.picture(posy, view, hatched=hatched)
    with pytest.raises(DesignError) as scripted:
        slype.picture(posy, view, hatched=hatched)
    with pytest.raises(DesignError) as in_studio:
        answers.picture(POSY, "posy.toml", "a basket", view, {"hatched": hatched}, None, quiet)
    assert str(here.value) == str(scripted.value) == str(in_studio.value)
    assert here.value.remedy


def test_an_unweavable_basket_is_drawn_quick_and_planned_not_at_all():
    design = slype.parse(POSY)

    def no_hands(design):
        raise slype.Unweavable("no hands could.", "band 1")

    assert baskets.planned(design, no_hands, or_quick=True).at_rest is None
    with pytest.raises(slype.Unweavable):
        baskets.planned(design, no_hands)


def test_only_flat_views_do_without_settled_reeds():
    assert [view for view in VIEWS if not pictures.needs_settling(view)] == ["unrolled", "unrolled-inside", "squares"]


def test_a_reader_whom_no_handout_is_for_is_refused_with_the_nearest(posy):
    with pytest.raises(DesignError) as refused:
        papers.sheet(posy, "studnt")
    assert refused.value.remedy == 'Did you mean "student"?'


def test_a_flat_view_drawn_once_for_every_kind_is_the_same_as_drawn_for_each(posy):
    apart = {kind: pictures.picture(posy, "squares", kind) for kind in ("svg", "png")}
    assert pictures.every_kind(posy, "squares") == apart
