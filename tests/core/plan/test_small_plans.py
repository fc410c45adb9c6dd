"""Small random plans against trying everything: the cost found is the least, the floor never above it."""

import itertools
import random

from layout_core.plan.oracle import SlotOracle
from layout_core.plan.problem import Counts, Cut, Design, PlanProblem, RunPrice
from layout_core.plan.search import search


def random_problem(chance: random.Random) -> PlanProblem:
    designs = tuple(Design(at, f"{at}", chance.randint(1, 5)) for at in range(chance.randint(1, 3)))
    room = chance.randint(1, 3)
    first = chance.randint(2, 9)
    tiers = ((1, first), (chance.randint(2, 4), chance.randint(1, first)))
    price = RunPrice(tiers, chance.randint(0, 6))
    return PlanProblem(designs, (Cut((1,) * len(designs), room),), price, chance.randint(1, 3), 2)


def least_cost(problem: PlanProblem) -> int | None:
    """The cheapest of all plans with one or two templates, by trying every one."""
    room = problem.cuts[0].room
    patterns: list[Counts] = [
        counts
        for counts in itertools.product(range(room + 1), repeat=len(problem.designs))
        if 0 < sum(counts) <= room
    ]
    runs = range(problem.least_run, problem.longest_run + 1)
    sheets = list(itertools.product(patterns, runs))
    plans = itertools.chain(((one,) for one in sheets), itertools.combinations_with_replacement(sheets, 2))
    costs = [problem.cost(run for _, run in plan) for plan in plans if min(problem.spares(plan)) >= 0]
    return min(costs, default=None)


def test_small_plans_cost_what_trying_everything_costs() -> None:
    chance = random.Random(9)
    compared = 0
    while compared < 60:
        problem = random_problem(chance)
        least = least_cost(problem)
        if least is None:
            continue
        compared += 1
        found = search(problem, SlotOracle(), seconds=60)
        assert found.cost == least, problem
        assert found.floor <= least
        assert found.is_best_here
