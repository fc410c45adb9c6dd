"""Cases nobody tuned for: a plan is always found and really laid, and more time never makes it dearer."""

import random
from dataclasses import replace

import pytest
import shapely

from layout_core.packing.audit import breaches
from layout_core.packing.fill import FillSheet, MenuItem
from layout_core.plan.cuts import box_cuts, steps_of
from layout_core.plan.found import Found
from layout_core.plan.oracle import BOXES_FILL_S, SheetOracle
from layout_core.plan.problem import Design, PlanProblem, RunPrice
from layout_core.plan.search import search
from layout_core.units import mm

UNHURRIED = 1000.0
"""Slack that leaves the counted work alone to end a search, however busy the machine."""

LIMITS_S = (0.1, 0.7, 2.5)
SHEETS = 4
PRICES = (
    RunPrice(((1, 900), (12, 750), (24, 620), (48, 540), (96, 490)), 2000),
    RunPrice(((1, 1200), (10, 1000), (50, 800)), 1500),
    RunPrice(((1, 650),), 500),
)

Size = tuple[float, float]


def cut_up(size: Size, parts: int, chance: random.Random) -> list[Size]:
    """A rectangle cut into so many by straight cuts, the longer side first."""
    if parts == 1:
        return [size]
    first = chance.randint(1, parts - 1)
    share = chance.uniform(0.8, 1.2) * first / parts
    share = min(max(share, 0.15), 0.85)
    wide, high = size
    ends = (
        [(wide * share, high), (wide * (1 - share), high)]
        if wide >= high
        else [(wide, high * share), (wide, high * (1 - share))]
    )
    return cut_up(ends[0], first, chance) + cut_up(ends[1], parts - first, chance)


def generated(seed: int) -> tuple[PlanProblem, FillSheet, tuple[MenuItem, ...]]:
    """Ten to twelve boxes of which one each lies on four sheets: cut from these, then made smaller."""
    chance = random.Random(seed)
    film = FillSheet(mm(11.25), mm(chance.choice((19, 22, 30))), mm(0.25), mm(0.25))
    room = film.width_mm - 2 * film.margin_mm, film.length_mm - 2 * film.margin_mm
    sizes = [
        (wide * chance.uniform(0.6, 0.92) - film.gap_mm, high * chance.uniform(0.6, 0.92) - film.gap_mm)
        for parts in chance.choice(((3, 3, 3, 3), (2, 2, 3, 4), (1, 2, 3, 4)))
        for wide, high in cut_up(room, parts, chance)
    ]
    menu = tuple(
        MenuItem(at, shapely.MultiPolygon([shapely.box(0, 0, *size)]), size[0] * size[1], 1)
        for at, size in enumerate(sizes)
    )
    designs = tuple(Design(at, f"design {at + 1}", chance.randint(6, 90)) for at in range(len(sizes)))
    cuts = box_cuts(*steps_of(sizes, film))
    return PlanProblem(designs, cuts, PRICES[seed % 3], 6, SHEETS), film, menu


def planned(seed: int, seconds: float) -> Found:
    problem, film, menu = generated(seed)
    oracle = SheetOracle(film, menu, fill_s=BOXES_FILL_S)
    return search(problem, oracle, seconds=seconds, slack=UNHURRIED)


@pytest.mark.parametrize("seed", range(4))
def test_a_plan_is_found_that_covers_everything_and_a_longer_limit_never_makes_it_dearer(seed: int) -> None:
    problem, film, menu = generated(seed)
    costs = []
    for seconds in LIMITS_S:
        found = planned(seed, seconds)
        templates = [(one.counts, one.run) for one in found.templates]
        assert min(problem.spares(templates)) >= 0
        assert len(templates) <= SHEETS
        assert found.floor <= found.cost == problem.cost(run for _, run in templates)
        for one in found.templates:
            offered = [replace(item, most=n) for item, n in zip(menu, one.counts, strict=True) if n]
            assert breaches(film, one.laid, offered) == ()
            assert tuple(sum(laid.key == at for laid in one.laid) for at in range(len(menu))) == one.counts
        costs.append(found.cost)
    assert costs == sorted(costs, reverse=True)


def test_what_a_longer_limit_adds_comes_after_what_a_shorter_one_finds() -> None:
    """The work is the same up to the shorter limit, so the same limit twice gives the same plan as well."""
    first, second = (planned(1, 0.7) for _ in range(2))
    assert first.templates == second.templates
    assert (first.cost, first.floor) == (second.cost, second.floor)
