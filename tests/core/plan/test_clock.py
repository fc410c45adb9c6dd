"""What a plan may take is counted in work; only a late clock ends it by time."""

import json
import math
from pathlib import Path

import pytest

from layout_core.plan.clock import Clock, OverTimeError
from layout_core.plan.master import cheapest
from tests.bench.plan import read_cases

DATA = Path(__file__).resolve().parents[2] / "data"
INSTANCES = json.loads((DATA / "planner_instances.json").read_text("utf-8"))


def test_work_ends_a_search_and_idle_time_does_not() -> None:
    clock = Clock(2.0, slack=math.inf)
    assert (clock.left_s, clock.is_over) == (2.0, False)
    clock.spend(1.5)
    assert (clock.spent_s, clock.left_s, clock.is_over) == (1.5, 0.5, False)
    clock.spend(0.5)
    assert clock.is_over
    assert not clock.is_late


def test_a_late_clock_leaves_no_work() -> None:
    clock = Clock(2.0, slack=0.0)
    assert clock.is_late
    assert (clock.left_s, clock.is_over) == (0.0, True)


def test_work_inside_counts_what_it_reports_once_and_never_backwards() -> None:
    heard: list[float] = []
    clock = Clock(4.0, lambda fraction, label: heard.append(fraction), slack=math.inf)
    listen = clock.inside(2.0)
    for fraction in (0.25, 0.5, 0.25, 0.5, 1.0):
        listen(fraction, "")
    assert clock.spent_s == 2.0
    assert heard == [0.125, 0.25, 0.25, 0.25, 0.5]


def test_a_fence_ends_work_only_while_it_stands() -> None:
    clock = Clock(10.0, slack=math.inf)
    clock.spend(3.0)
    with clock.fenced(3.0):
        clock.tick()
        clock.spend(0.5)
        with pytest.raises(OverTimeError):
            clock.tick()
    clock.tick()


def test_an_ended_clock_leaves_no_work() -> None:
    clock = Clock(2.0, slack=math.inf)
    clock.end()
    assert (clock.left_s, clock.is_over) == (0.0, True)


def test_half_a_search_cut_off_by_the_limit_gives_nothing() -> None:
    """herbs takes seconds to prove; at 0.05 s it would answer something else than in 10 s."""
    problem = next(problem for name, problem, _, _ in read_cases(INSTANCES) if name == "herbs")
    with pytest.raises(OverTimeError):
        cheapest(problem, 3, (), clock := Clock(0.05, slack=math.inf), seconds=10.0)
    assert clock.is_over
    cheapest(problem, 3, (), Clock(0.05, slack=math.inf), seconds=0.05)  # its own end, not the limit's
