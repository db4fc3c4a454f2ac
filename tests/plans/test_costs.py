"""What a basket costs: weights times prices and hours times a wage, added up by hand; nothing is guessed."""

import pytest
from strategies import basket

from slype.plans import planning
from slype.plans.costs import cost_of, left_out

COIL_G = 453.59237
"""A coil of American round reed is a pound."""


def costed(prices: str, **changes):
    plan = planning.plan(basket(tail=f"[prices]\n{prices}\n", colours=["rust", "natural", "sand"], **changes))
    return plan, cost_of(plan)


def test_a_basket_costs_its_coils_its_hours_and_a_share_of_both():
    """A coil of any reed 20, of the weavers' own 32, an hour 18, a tenth on top: line by line as on paper."""
    plan, cost = costed('currency = "kr "\ncoil = 20\ncoils = { "round 3" = 32 }\nhour = 18\noverhead_percent = 10')
    price = {"round 3": 32.0}
    reed = [each.buy_g / COIL_G * price.get(each.reed.key, 20.0) for each in plan.amounts]
    assert len({each.reed.key for each in plan.amounts}) > 1
    work = plan.time.seconds / 3600 * 18
    assert [amount for _, amount, _ in cost.lines] == pytest.approx([*reed, work, (sum(reed) + work) * 0.1], abs=0.006)
    assert cost.total == pytest.approx((sum(reed) + work) * 1.1, abs=0.03)
    printed = [float(cost.shown(amount).removeprefix("kr ")) for _, amount, _ in cost.lines]
    assert cost.shown(sum(printed)) == cost.shown(cost.total), "whoever adds up what is printed comes to the sum"
    assert cost.missing == () and left_out(cost) == ""
    assert cost.shown(12.4) == "kr 12.40"
    assert all("kr " in how for name, _, how in cost.lines if name != "overhead")


def test_what_has_no_price_is_named_and_not_counted():
    plan, cost = costed('coils = { "round 3" = 32 }')
    weight = sum(each.buy_g for each in plan.amounts if each.reed.key == "round 3")
    assert cost.total == pytest.approx(weight / COIL_G * 32, abs=0.02)
    assert "work" in cost.missing and any("No. 5" in each for each in cost.missing)
    assert left_out(cost).startswith("Not counted, for want of a price:")


def test_a_design_without_prices_costs_nothing_that_is_told():
    assert cost_of(planning.plan(basket())) is None
