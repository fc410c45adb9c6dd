"""Effort counts work and not time, reports it, and passes Stop on."""

import pytest

from layout_core.errors import Cancelled
from layout_core.packing.effort import WORK_PER_SECOND, Effort
from layout_core.progress import StopFlag


def test_effort_is_spent_when_its_work_is_done() -> None:
    effort = Effort(0.5)
    effort.spend(WORK_PER_SECOND // 2 - 1)
    states = [effort.is_spent]
    effort.spend(1)
    assert [*states, effort.is_spent, effort.is_exhausted] == [False, True, False]


def test_effort_is_begun_by_the_first_work() -> None:
    effort = Effort(0.5)
    states = [effort.is_begun]
    effort.spend(1)
    assert [*states, effort.is_begun] == [False, True]


def test_effort_far_beyond_its_budget_is_exhausted() -> None:
    effort = Effort(0.1)
    effort.spend(100 * WORK_PER_SECOND)
    assert effort.is_exhausted


def test_reported_fraction_never_exceeds_one() -> None:
    fractions: list[float] = []
    effort = Effort(0.001, lambda fraction, label: fractions.append(fraction))
    for _ in range(4):
        effort.spend(WORK_PER_SECOND // 2000)
    assert fractions == [0.5, 1.0, 1.0, 1.0]


def test_stop_comes_through() -> None:
    flag = StopFlag()
    flag.stop()
    with pytest.raises(Cancelled):
        Effort(1.0, flag.tick).spend(1)
