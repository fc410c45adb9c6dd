"""Plans made by filling one sheet after the other: quick, and what they hold is laid by construction."""

from collections.abc import Sequence

from layout_core.plan.clock import Clock
from layout_core.plan.found import Template
from layout_core.plan.oracle import PackingOracle
from layout_core.plan.problem import PlanProblem

_LONGER = 1.2


def filled_in_turn(
    problem: PlanProblem, oracle: PackingOracle, runs: Sequence[int], clock: Clock
) -> tuple[Template, ...] | None:
    """A plan with these runs, each sheet filled with what the ones before leave; None when some is left.

    While a shorter run is to come, a copy is only asked for where half of it or more is wanted.
    """
    keys = [design.key for design in problem.designs]
    left = [design.wanted for design in problem.designs]
    found = []
    for at, run in enumerate(runs):
        has_shorter = at + 1 < len(runs) and runs[-1] < run
        wanted = tuple((n + run // 2) // run if has_shorter else -(-n // run) for n in left)
        if not any(wanted):
            continue
        laid = oracle.filled(wanted, clock)
        counts = tuple(sum(one.key == key for one in laid) for key in keys)
        left = [max(n - count * run, 0) for n, count in zip(left, counts, strict=True)]
        if any(counts):
            found.append(Template(counts, run, laid))
    return tuple(found) if not any(left) and found else None


def first_plan(
    problem: PlanProblem,
    oracle: PackingOracle,
    templates: int,
    clock: Clock,
    *,
    seconds: float,
    below: int | None = None,
) -> tuple[Template, ...] | None:
    """A plan of so many templates that all run alike, as short as they can be filled; None if none is found.

    `below` asks for a cheaper one than that.
    """
    until = clock.spent_s + seconds
    run = max(-(-problem.least_sheets // templates), problem.least_run)
    while run <= problem.longest_run and clock.spent_s < until and not clock.is_over:
        if below is not None and problem.cost([run] * templates) >= below:
            return None
        found = filled_in_turn(problem, oracle, [run] * templates, clock)
        if found is not None:
            return found
        if run == problem.longest_run:
            return None
        run = min(max(run + 1, int(run * _LONGER)), problem.longest_run)
    return None
