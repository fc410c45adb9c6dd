"""Runs drawn below a known cost: cheaper each, never twice, and enough to better published sets."""

import json
import random
from itertools import islice
from pathlib import Path

from layout_core.plan.clock import Clock
from layout_core.plan.master import possible
from layout_core.plan.problem import Cut, Design, PlanProblem, RunPrice
from layout_core.plan.sweep import Best, cheaper_runs, may_cover
from tests.bench.plan import read_cases

DATA = Path(__file__).resolve().parents[2] / "data"
TIERS = RunPrice(((1, 900), (12, 750), (24, 620)), 2000)


def slots(demand: tuple[int, ...], room: int, price: RunPrice, least_run: int = 1) -> PlanProblem:
    designs = tuple(Design(at, f"design {at + 1}", wanted) for at, wanted in enumerate(demand))
    return PlanProblem(designs, (Cut((1,) * len(demand), room),), price, least_run, 3)


def test_what_is_drawn_is_cheaper_reaches_the_floor_and_comes_once() -> None:
    problem, best = slots((40, 30), 3, TIERS, least_run=6), Best(25_000)
    floor = 24 * 620 + 2000
    drawn = list(islice(cheaper_runs(problem, 2, floor, best), 60))
    assert len(set(drawn)) == len(drawn) > 20
    for runs in drawn:
        assert floor <= problem.cost(runs) < 25_000
        assert min(runs) >= 6
        assert sum(runs) >= problem.least_sheets


def test_the_cost_to_beat_may_fall_while_runs_are_drawn() -> None:
    problem, best = slots((40, 30), 3, TIERS), Best(25_000)
    draw = cheaper_runs(problem, 2, 0, best)
    next(draw)
    best.cost = 23_000
    assert all(problem.cost(runs) < 23_000 for runs in islice(draw, 20))


def test_the_draw_ends_when_nothing_cheaper_is_left_and_repeats() -> None:
    """By hand: 4 of one design, one a sheet, at 1 each: from 4 sheets on; only the run of 4 lies below 5."""
    problem = slots((4,), 1, RunPrice(((1, 1),)))
    assert list(cheaper_runs(problem, 1, 0, Best(5))) == [(4,)]
    wide = slots((40, 30), 3, TIERS)
    first, second = (list(islice(cheaper_runs(wide, 2, 0, Best(25_000)), 30)) for _ in range(2))
    assert first == second


def test_runs_of_a_published_set_are_proven_possible_below_what_was_found_before() -> None:
    """Source: "herbs", CSPLib prob002 (30 designs, 42 slots). Two templates: 88 pressings by the whole model
    in 25 s; with the runs given it is a linear question."""
    cases = read_cases(json.loads((DATA / "planner_instances.json").read_text("utf-8")))
    problem = next(problem for name, problem, _, _ in cases if name == "herbs")
    found = possible(problem, (72, 15), (), Clock(600), seconds=600)
    assert found is not None
    assert sum(run for _, run in found) == 87
    assert min(problem.spares(found)) >= 0
    assert all(cut.holds(counts) for counts, _ in found for cut in problem.cuts)
    assert possible(problem, (42, 41), (), Clock(600), seconds=600) is None  # 83: below the bound of 84


def test_runs_whose_sums_waste_too_much_are_proven_useless() -> None:
    """By hand: 5 and 5 on 3 slots. A run of 3 makes 6 + 6 of 9, one of 4 makes 8 + 8 of 12: too few slots."""
    problem = slots((5, 5), 3, TIERS)
    assert [run for run in range(1, 8) if may_cover(problem, (run,))] == [5, 6, 7]
    assert may_cover(problem, (3, 2))
    assert not may_cover(slots((40,), 3, TIERS), (13,))  # at most 3 a sheet, so 39


def test_runs_with_which_a_plan_exists_are_never_called_useless() -> None:
    chance = random.Random(7)
    answers = []
    for _ in range(40):
        demand = tuple(chance.randint(1, 30) for _ in range(chance.randint(1, 4)))
        problem = slots(demand, chance.randint(2, 6), TIERS)
        runs = tuple(chance.randint(1, 12) for _ in range(chance.randint(1, 3)))
        found = possible(problem, runs, (), Clock(60, slack=1000), seconds=60)
        answers.append((found is not None, may_cover(problem, runs)))
    assert (True, False) not in answers
    assert {(True, True), (False, False)} <= set(answers)
