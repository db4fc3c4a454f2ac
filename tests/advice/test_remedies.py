"""Remedies with a button, on baskets made by chance: each helps, and none does harm."""

from collections import Counter

import pytest
from strategies import basket_by_chance

from slype.advice.advise import WEIGHTS, advise
from slype.advice.tried import of_lid
from slype.design.file.reader import parse
from slype.edit import apply
from slype.errors import SlypeError
from slype.lay.courses import courses_of
from slype.lay.joins import plan_joins
from slype.lay.laying import lay
from slype.lay.lids import fit_lid
from slype.plans.planning import plan

CHOSEN = (
    3, 10, 11, 17, 21, 29, 32, 37, 41, 42, 57, 59, 82, 87, 89, 90, 94, 96, 103, 107, 111, 118, 122, 129, 132, 133, 143,
    144, 145, 150, 152, 156, 157, 176, 183, 188, 195, 203, 204, 208, 212, 216, 217, 221, 229, 233, 241, 251, 256, 269,
    271, 280, 284, 287, 299,
)  # fmt: skip
"""Of the first three hundred baskets by chance those that press each kind of remedy, of a basket and of a lid, four
times, or as often as all of them do (a lid that meets a handle once): the others press the same again."""
PARTS = 5


def remarks(text):
    """(remarks, bands of the basket, of its lid) of a text, in words alone: nothing is tried."""
    laid = lay(parse(text))
    found, bands = advise(laid, tuple(plan_joins(laid, courses_of(laid))[0])), [*laid.bands]
    seat = fit_lid(laid)
    if seat is not None:
        lid = lay(seat.design)
        found, bands = found + of_lid(advise(lid, tuple(plan_joins(lid, courses_of(lid))[0]))), [*bands, *lid.bands]
    return counted(found), bands


def counted(found):
    return Counter((each.rule.weight, each.rule.key, each.where.startswith("lid")) for each in found)


def harm(text, found, before, bands):
    """What is wrong with a remedy that has a button, in words; nothing where it is good. `before` are the remarks of
    the text, `bands` those of its basket and its lid."""
    try:
        after, then = remarks(apply.apply(text, found.changes).text)
    except SlypeError as refused:
        return [f"is refused: {refused}"]
    mine = (found.rule.weight, found.rule.key, found.where.startswith("lid"))
    grave = WEIGHTS[: WEIGHTS.index(found.rule.weight) + 1]
    out = [] if after[mine] < before[mine] else ["leaves its remark"]
    out += [f"adds {kind}" for kind in after if kind[0] in grave and after[kind] > before[kind]]
    if sum(band.band.add for band in then) == sum(band.band.add for band in bands):
        put_in = {change["at"] for change in found.changes if change.get("insert") == ["band"]}
        kept = [band for i, band in enumerate(then) if i not in put_in]
        for old, new in zip(bands, kept, strict=True):
            if set(old.band.colours) - set(new.band.colours):
                out.append(f"takes a colour out of band {old.index + 1}")
            if not old.effect.looks_like(new.effect) and new.effect.words() not in _either_hand(found.remedy):
                out.append(f"changes band {old.index + 1} from {old.effect.effect} without a word")
    return out


def _either_hand(remedy):
    return remedy.replace("left", "right") + remedy.replace("right", "left") + remedy


@pytest.mark.parametrize("part", range(PARTS))
def test_a_remedy_with_a_button_takes_its_remark_away_and_does_no_harm(part):
    seeds = CHOSEN[part::PARTS]
    pressed, faults = 0, []
    for seed in seeds:
        text = basket_by_chance(seed)
        try:
            made = plan(parse(text))
            said, before = made.advice, counted(made.advice)
        except SlypeError:
            continue  # no hands could weave it, and nothing is offered
        bands = [*made.laid.bands, *(made.lid.laid.bands if made.lid else ())]
        for found in said:
            if found.changes:
                pressed += 1
                faults += [f"basket {seed}, {found.where}, {found.rule.key}: {found.remedy} {what}"
                           for what in harm(text, found, before, bands)]  # fmt: skip
    assert pressed > len(seeds), "too few remedies to say anything"
    assert not faults, "\n".join(faults)
