"""Plans dealt copy by copy: there is one wherever one of each can be laid, and it repeats."""

import math

import pytest

from layout_core.errors import Cancelled
from layout_core.packing.fill import Laid
from layout_core.plan.clock import Clock
from layout_core.plan.dealt import Dealer
from layout_core.plan.found import Template
from layout_core.plan.oracle import SlotOracle
from layout_core.plan.problem import Counts, Cut, Design, PlanProblem, RunPrice
from layout_core.plan.search import search
from tests.bench.plan import boxes_case

PRICE = RunPrice(((1, 900), (12, 750), (24, 620)), 2000)
FLAT = RunPrice(((1, 900),))


def slots(demand: tuple[int, ...], room: int, templates: int, price: RunPrice = PRICE) -> PlanProblem:
    designs = tuple(Design(at, f"design {at + 1}", wanted) for at, wanted in enumerate(demand))
    return PlanProblem(designs, (Cut((1,) * len(demand), room),), price, 1, templates)


def unhurried() -> Clock:
    return Clock(60, slack=math.inf)


def runs_of(plan: tuple[Template, ...]) -> list[tuple[Counts, int]]:
    return [(one.counts, one.run) for one in plan]


def test_copies_go_where_they_shorten_the_runs() -> None:
    """By hand: 20, 10 and 10 on 4 slots: 2, 1 and 1 a sheet, run 10 times, and no slot is left empty."""
    *_, best = Dealer(slots((20, 10, 10), 4, 1, FLAT), SlotOracle(), unhurried()).first(1.0)
    assert runs_of(best) == [((2, 1, 1), 10)]


def test_each_plan_given_covers_everything_and_costs_less_than_the_one_before() -> None:
    problem, oracle = boxes_case(
        {"L": 19, "sizes": [[8, 8.5], [6, 7], [5, 5], [4, 4], [3, 3]], "demand": [31, 44, 12, 60, 75]},
        PRICE,
        6,
    )
    dealer = Dealer(problem, oracle, unhurried())
    plans = [*dealer.first(0.3), *dealer.better(0.8)]
    costs = [problem.cost(one.run for one in plan) for plan in plans]
    assert costs == sorted(set(costs), reverse=True)
    for plan in plans:
        assert min(problem.spares(runs_of(plan))) >= 0
        assert len(plan) <= problem.most_templates
        assert all(len(one.laid) == sum(one.counts) for one in plan)


def test_what_is_dealt_repeats() -> None:
    problem = slots((31, 44, 12, 60, 75, 8), 7, 3)
    dealers = [Dealer(problem, SlotOracle(), unhurried()) for _ in range(2)]
    first, second = ([*dealer.first(0.2), *dealer.better(0.5)] for dealer in dealers)
    assert first == second


def test_nothing_is_dealt_where_one_of_each_finds_no_room() -> None:
    dealer = Dealer(slots((5, 5, 5), 1, 2), SlotOracle(), unhurried())
    assert [*dealer.first(0.2), *dealer.better(0.4)] == []


class Reluctant(SlotOracle):
    """Lays nothing soon that it has not laid at length before."""

    follows_cuts = False

    def __init__(self) -> None:
        self._known: set[Counts] = set()

    def laid(self, counts: Counts, clock: Clock) -> tuple[Laid, ...] | None:
        self._known.add(counts)
        return ()

    def laid_soon(self, counts: Counts, clock: Clock) -> tuple[Laid, ...] | None:
        return () if counts in self._known else None


def test_one_of_each_that_hardly_fits_is_dealt_at_length() -> None:
    *_, best = Dealer(slots((20, 10, 10), 3, 1, FLAT), Reluctant(), unhurried()).first(0.2)
    assert runs_of(best) == [((1, 1, 1), 20)]


def test_stop_has_a_plan_before_anything_is_proven() -> None:
    def stopped(fraction: float, label: str) -> None:
        if label == "Finding what nobody can go below":
            raise Cancelled

    problem = slots((31, 44, 12, 60, 75, 8), 7, 3)
    found = search(problem, SlotOracle(), seconds=10, slack=math.inf, progress=stopped)
    assert min(problem.spares(runs_of(found.templates))) >= 0
    assert found.floor <= found.cost
    assert not found.is_best_here


@pytest.mark.parametrize("demand", [(1,), (100_000, 1), (1,) * 40])
def test_few_and_many_copies_are_dealt(demand: tuple[int, ...]) -> None:
    problem = slots(demand, 40, 2)
    *_, best = Dealer(problem, SlotOracle(), unhurried()).first(0.2)
    assert min(problem.spares(runs_of(best))) >= 0
