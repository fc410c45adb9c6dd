"""Boxes and true outlines take turns of fixed lengths, so a longer limit never makes a plan dearer."""

from layout_core.plan.prices import load_prices
from layout_core.plan.run_plan import run_plan
from tests.core.plan.test_likely import elbows

UNHURRIED = 1000.0
"""Slack that leaves the counted work alone to end a search, however busy the machine."""


def test_more_time_for_outlines_never_makes_a_plan_dearer() -> None:
    job, prices = elbows(30), load_prices()
    plans = [run_plan(job, prices, seconds=seconds, slack=UNHURRIED) for seconds in (0.005, 1.5)]
    costs = [plan.cost for plan in plans]
    assert costs == sorted(costs, reverse=True)
    assert costs[0] > costs[-1]  # boxes answer soon, outlines nest
    assert all(plan.floor <= plan.cost for plan in plans)
    assert len(plans[0].sheets[0].laid) == 1 < len(plans[-1].sheets[0].laid)
