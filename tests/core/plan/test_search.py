"""Run plans against published optima, and cases worked out before."""

import json
from decimal import Decimal
from pathlib import Path

import pytest

from layout_core.errors import Cancelled, PlanError
from layout_core.packing.fill import Laid
from layout_core.plan.oracle import SlotOracle
from layout_core.plan.problem import Cut, Design, PlanProblem, RunPrice
from layout_core.plan.search import search
from layout_core.progress import StopFlag
from tests.bench.plan import read_cases

DATA = Path(__file__).resolve().parents[2] / "data"
UNHURRIED = 1000.0
"""Slack that leaves the counted work alone to end a search, however busy the machine."""

INSTANCES = {
    name: (problem, oracle)
    for name, problem, oracle, _ in read_cases(
        json.loads((DATA / "planner_instances.json").read_text("utf-8"))
    )
}
CASES = {
    name: (problem, oracle)
    for name, problem, oracle, _ in read_cases(json.loads((DATA / "planner_cases.json").read_text("utf-8")))
}


def slots(
    demand: tuple[int, ...], room: int, price: RunPrice, templates: int, least_run: int = 1
) -> PlanProblem:
    designs = tuple(Design(at, f"design {at + 1}", wanted) for at, wanted in enumerate(demand))
    return PlanProblem(designs, (Cut((1,) * len(demand), room),), price, least_run, templates)


def test_template_design_is_solved_to_the_published_optima() -> None:
    """Source: CSPLib prob002 (B. Smith; Proll & Smith 1998): 550, 418 and 408 thousand pressings."""
    problem, oracle = INSTANCES["catfood"]
    best: dict[int, int] = {}
    found = search(problem, oracle, seconds=10, slack=UNHURRIED, on_templates=best.__setitem__)
    assert best == {1: 550, 2: 418, 3: 408}
    assert found.floor == 408
    assert min(problem.spares([(one.counts, one.run) for one in found.templates])) >= 0


def test_cover_printing_example_costs_less_than_its_page_says() -> None:
    """Source: worked example, instance page of D. Romero (UNAM), with Alonso-Pecina & Romero 2018.

    By hand: 7375 = 29500 / 4 sheets is the least; two templates: 7375 x 13.44 + 2 x 18676 = 136472.00.
    """
    problem, oracle = INSTANCES["page-example"]
    found = search(problem, oracle, seconds=10, slack=UNHURRIED)
    assert Decimal(found.cost) / 100 == Decimal("136472.00") == Decimal(7375) * Decimal("13.44") + 2 * 18676
    assert found.floor == found.cost
    assert sum(one.run for one in found.templates) == 7375


@pytest.mark.parametrize(
    ("name", "most"),
    [("P3 (front/chest/sleeve)", 206), ("P4", 265), ("P6", 242.8), ("P8", 280), ("P12", 293.8)],
)
def test_invented_cases_cost_no_more_than_was_found_before(name: str, most: float) -> None:
    problem, oracle = CASES[name]
    found = search(problem, oracle, seconds=10, slack=UNHURRIED)
    assert found.cost <= round(most * 100)
    assert found.floor == found.cost  # what could not be laid was proven impossible, so this is the optimum
    templates = [(one.counts, one.run) for one in found.templates]
    assert min(problem.spares(templates)) >= 0
    assert all(one.run >= problem.least_run for one in found.templates)
    assert all(cut.holds(counts) for counts, _ in templates for cut in problem.cuts)
    for one in found.templates:
        assert tuple(sum(laid.key == at for laid in one.laid) for at in range(len(one.counts))) == one.counts


def test_a_longer_run_is_taken_where_its_tier_is_cheaper() -> None:
    """By hand: 23 x 7.50 = 172.50, 24 x 6.20 = 148.80; all sheets of a run cost the tier's price."""
    price = RunPrice(((1, 900), (12, 750), (24, 620)))
    found = search(slots((23,), 1, price, 1), SlotOracle(), seconds=10, slack=UNHURRIED)
    assert [one.run for one in found.templates] == [24]
    assert (found.cost, price.cost(23)) == (14_880, 17_250)


def test_nothing_runs_shorter_than_the_smallest_run() -> None:
    found = search(
        slots((2, 9), 2, RunPrice(((1, 100),)), 3, least_run=6), SlotOracle(), seconds=10, slack=UNHURRIED
    )
    assert all(one.run >= 6 for one in found.templates)
    assert found.cost == found.floor == 900


def test_copies_that_only_make_spares_are_left_off() -> None:
    """P3 costs 206.00 with one or with three of the sleeve too many; nothing is printed for nobody."""
    problem, oracle = CASES["P3 (front/chest/sleeve)"]
    found = search(problem, oracle, seconds=10, slack=UNHURRIED)
    templates = [(one.counts, one.run) for one in found.templates]
    for spare in problem.spares(templates):
        assert spare < min(run for _, run in templates)


class NothingFits:
    follows_cuts = False

    def filled(self, counts: tuple[int, ...], progress: object = None) -> tuple[Laid, ...]:
        return ()

    def laid(self, counts: tuple[int, ...], progress: object = None) -> None:
        return None

    def laid_soon(self, counts: tuple[int, ...], progress: object = None) -> None:
        return None

    def is_impossible(self, counts: tuple[int, ...]) -> bool:
        return False


def test_a_plan_nothing_can_be_laid_for_is_refused_with_what_to_change() -> None:
    with pytest.raises(PlanError, match="more designs of sheet"):
        search(slots((5, 5), 4, RunPrice(((1, 100),)), 2), NothingFits(), seconds=5, slack=UNHURRIED)


def test_stop_ends_the_search() -> None:
    flag = StopFlag()
    flag.stop()
    with pytest.raises(Cancelled):
        search(*INSTANCES["herbs"], seconds=30, progress=flag.tick)


def test_a_published_set_is_planned_below_what_the_whole_model_gave() -> None:
    """Source: "herbs", CSPLib prob002: 30 designs on 42 slots, two templates. No fewer than 84 pressings make
    all that is wanted, with any number of templates; the whole model alone gave 88 in 25 s."""
    problem, oracle = INSTANCES["herbs"]
    assert -(-sum(design.wanted for design in problem.designs) // 42) == problem.least_sheets
    found = search(problem, oracle, seconds=3, slack=UNHURRIED)
    assert found.floor == problem.least_sheets == 84
    assert found.cost < 88
    assert min(problem.spares([(one.counts, one.run) for one in found.templates])) >= 0


def test_the_same_problem_gives_the_same_plan() -> None:
    problem, oracle = CASES["P4"]
    first, second = (search(problem, oracle, seconds=10, slack=UNHURRIED).templates for _ in range(2))
    assert first == second


@pytest.mark.parametrize("tiers", [(), ((2, 5),), ((1, 5), (1, 4)), ((1, -1),)])
def test_tiers_that_make_no_sense_are_refused(tiers: tuple[tuple[int, int], ...]) -> None:
    with pytest.raises(PlanError):
        RunPrice(tiers)
