"""Prices of orders, worked by hand, and every coin of what they share accounted for."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout_core.errors import PlanError
from layout_core.job import edits
from layout_core.plan.prices import PriceList, load_prices
from layout_core.plan.pricing import garment_counts, next_tiers, order_prices, with_more
from layout_core.plan.run_plan import PlanSheet, RunPlan, run_plan
from tests.core.plan.orders import two_orders

JOB = two_orders()


def plan_costing(cost: str, runs: tuple[int, ...] = (6,)) -> RunPlan:
    size = JOB.sheets[0].width_mm, JOB.sheets[0].length_mm
    sheets = tuple(PlanSheet(run, Decimal("9.00"), Decimal("9.00") * run, ()) for run in runs)
    zero = Decimal("0.00")
    return RunPlan(size, sheets, (), zero, zero, Decimal(cost), zero, zero, True, (), 0.0)


def test_an_order_is_priced_as_worked_by_hand() -> None:
    """Tide walk: 10 M and 2 2XL hoodies, one print each.

    Film: shell on an adult sleeve 3 in wide, on plus 3.5 in, 3 to 4 in proportion:
    10 x 76.2 x 57.15 = 10 x 4355 and 2 x 88.9 x 66.675 = 2 x 5927 square mm, together 55404.
    Moths: 4 x 228.6 x 205.74 (47032), 16 x 279.4 x 251.46 (70258) and 16 x 95.25 x 95.25 (9073):
    188128 + 1124128 + 145168 = 1457424. Of 200.00: 200 x 55404 / 1512828 = 7.3246 -> 7.32.
    Blanks 10 x 14.50 + 2 x 16.90 = 178.80; waste 2 % = 3.576 -> 3.58; press 12 x 1.5 min at 30.00 an hour
    = 9.00. Cost 198.70; markup 60 %: 317.92; a garment 26.4933 -> 26.49.
    Left for the sheets: 317.92 - 191.38 = 126.54 on 12 garments; 7.32 x 12 / 126.54 = 0.69 -> 1.
    """
    _, walk = order_prices(JOB, plan_costing("200.00"), load_prices())
    assert (walk.sheets, walk.blanks, walk.waste, walk.press) == tuple(
        map(Decimal, ("7.32", "178.80", "3.58", "9.00"))
    )
    assert (walk.cost, walk.price, walk.total, walk.each) == tuple(
        map(Decimal, ("198.70", "317.92", "317.92", "26.49"))
    )
    assert (walk.garments, walk.tax, walk.break_even) == (12, Decimal("0.00"), 1)


def test_margin_is_a_share_of_the_price_and_tax_comes_on_top() -> None:
    """Cost 198.70 with a margin of 40 %: 198.70 / 0.6 = 331.1667 -> 331.17; tax 7.25 %: 24.0098 -> 24.01."""
    prices = replace(
        load_prices(), charge_by="margin", charge_percent=Decimal(40), tax=("Sales tax", Decimal("7.25"))
    )
    _, walk = order_prices(JOB, plan_costing("200.00"), prices)
    assert (walk.price, walk.tax, walk.total) == tuple(map(Decimal, ("331.17", "24.01", "355.18")))


@given(st.integers(1, 10**7), st.integers(0, 4))
def test_every_coin_of_the_shared_cost_is_carried(coin_count: int, decimals: int) -> None:
    prices = replace(load_prices(), decimals=decimals)
    cost = Decimal(coin_count).scaleb(-decimals)
    orders = order_prices(JOB, plan_costing(str(cost)), prices)
    assert sum(order.sheets for order in orders) == cost
    for order in orders:
        assert order.cost == order.sheets + order.blanks + order.waste + order.press
        assert sum(group.price for group in order.groups) == order.price


def test_a_garment_with_two_prints_is_bought_once_and_pressed_twice() -> None:
    """Moth night: fronts 4 YM, 8 M, 8 L; the chest on the same 8 M and 8 L: 20 shirts, 36 presses of 0.75."""
    moths, _ = order_prices(JOB, plan_costing("200.00"), load_prices())
    assert moths.garments == 20
    assert moths.press == Decimal("27.00")
    assert garment_counts(JOB, JOB.orders[0].lines) == {"YM": 4, "M": 8, "L": 8}


def test_two_designs_on_the_same_placement_are_different_garments() -> None:
    order = JOB.orders[1]
    doubled = [*order.lines, *(replace(line, line_id=0) for line in order.lines)]
    job = edits.set_order_lines(JOB, order.order_id, doubled)
    assert garment_counts(job, job.order(order.order_id).lines) == {"M": 20, "2XL": 4}


def test_the_next_tier_is_priced_as_worked_by_hand() -> None:
    """20 sheets at 7.50 are 150.00; 24 at 6.20 are 148.80: four more save 1.20. From 96 on there is none."""
    (tier,) = next_tiers(plan_costing("1.00", (20, 96)), load_prices())
    assert (tier.sheet, tier.run, tier.more) == (0, 24, 4)
    assert (tier.each, tier.change) == (Decimal("6.20"), Decimal("-1.20"))


def test_more_garments_go_on_every_print_of_the_commonest_size() -> None:
    order_id = JOB.orders[0].order_id
    more = with_more(JOB, order_id, 6)
    assert garment_counts(more, more.order(order_id).lines) == {"YM": 4, "M": 14, "L": 8}
    prices = load_prices()
    assert run_plan(more, prices).cost >= run_plan(JOB, prices).floor
    with pytest.raises(PlanError, match="XS"):
        with_more(JOB, order_id, 6, size="XS")


def test_a_price_that_leaves_nothing_for_the_sheets_never_breaks_even() -> None:
    prices: PriceList = replace(
        load_prices(), charge_by="markup", charge_percent=Decimal(0), press_rate=Decimal(0)
    )
    free = replace(
        prices,
        blanks=tuple((name, tuple((size, Decimal(0)) for size, _ in sizes)) for name, sizes in prices.blanks),
    )
    assert all(order.break_even is None for order in order_prices(JOB, plan_costing("0.00"), free))
    assert all(order.break_even == order.garments for order in order_prices(JOB, plan_costing("50.00"), free))


def test_a_garment_without_a_price_is_named() -> None:
    order = JOB.orders[1]
    job = edits.set_order_lines(JOB, order.order_id, [replace(line, garment="cape") for line in order.lines])
    with pytest.raises(PlanError, match="“cape”"):
        order_prices(job, plan_costing("200.00"), load_prices())
