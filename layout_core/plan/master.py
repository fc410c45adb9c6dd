"""The master models of a run plan: which designs on which template, and how long each runs."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from layout_core.plan.clock import Clock
from layout_core.plan.problem import Counts, PlanProblem
from layout_core.plan.solver import cp_model, solved

Templates = tuple[tuple[Counts, int], ...]
"""Sheet designs with their runs, the longest run first."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a solve gave. `templates` None: none found below the limit asked for.

    `bound` is a cost that no plan within the cuts and no-goods goes below (`below` itself when there is no
    plan below it); `is_proven`: the search ended by itself.
    """

    templates: Templates | None
    bound: int
    is_proven: bool


def cheapest(
    problem: PlanProblem,
    templates: int,
    no_goods: Sequence[Counts],
    clock: Clock,
    *,
    seconds: float,
    below: int | None = None,
    hint: Templates = (),
) -> Answer:
    """The cheapest plan of at most so many templates that keeps the cuts and holds no no-good.

    Costs are whole minor units: runs and set-up. `below` asks for a cheaper one than that.
    """
    model = cp_model().CpModel()
    counts = [_counts(model, problem) for _ in range(templates)]
    priced = [_priced_run(model, problem) for _ in range(templates)]
    runs = [run for run, _ in priced]
    total = sum(cost for _, cost in priced)
    for first, second in pairwise(runs):
        model.add(first >= second)
    for pattern in counts:
        _keep_cuts(model, problem, pattern, no_goods)
    _cover(model, problem, counts, runs)
    if below is not None:
        model.add(total <= below - 1)
    model.minimize(total)
    for pattern, run, (hinted, length) in zip(counts, runs, hint, strict=False):
        model.add_hint(run, length)
        for variable, count in zip(pattern, hinted, strict=True):
            model.add_hint(variable, count)
    solver, status, bound = solved(model, clock, seconds)
    least = max(math.ceil(bound - 1e-6), 0) if math.isfinite(bound) else 0
    if status in (cp_model().OPTIMAL, cp_model().FEASIBLE):
        return Answer(_templates(solver, counts, runs), least, status == cp_model().OPTIMAL)
    is_proven = status == cp_model().INFEASIBLE
    return Answer(None, below or 0 if is_proven else least, is_proven)


def runs_with(
    problem: PlanProblem,
    patterns: Sequence[Counts],
    clock: Clock,
    *,
    seconds: float,
    below: int | None = None,
) -> tuple[int, ...] | None:
    """The cheapest runs of these sheets that make enough, 0 for one left out; None when none was found.

    `below` asks for a cheaper plan than that.
    """
    model = cp_model().CpModel()
    priced = [_priced_run(model, problem) for _ in patterns]
    runs = [run for run, _ in priced]
    total = sum(cost for _, cost in priced)
    for at, design in enumerate(problem.designs):
        made = sum(pattern[at] * run for pattern, run in zip(patterns, runs, strict=True))
        model.add(made >= design.wanted)
    if below is not None:
        model.add(total <= below - 1)
    model.minimize(total)
    solver, status, _ = solved(model, clock, seconds)
    if status not in (cp_model().OPTIMAL, cp_model().FEASIBLE):
        return None
    return tuple(solver.value(run) for run in runs)


def loosest(
    problem: PlanProblem, runs: Sequence[int], no_goods: Sequence[Counts], clock: Clock, *, seconds: float
) -> Templates | None:
    """The plan with exactly these runs whose fullest sheet is the least full; None when none was found.

    With the runs fixed the model is linear, so this takes a fraction of `cheapest`.
    """
    model, counts = _with_runs(problem, runs, no_goods)
    fullest = model.new_int_var(0, max((cut.room for cut in problem.cuts), default=0), "fullest")
    for pattern in counts:
        model.add(_weighed(problem.film, pattern) <= fullest)
    model.minimize(fullest)
    return _found_with(model, counts, runs, clock, seconds)


def possible(
    problem: PlanProblem, runs: Sequence[int], no_goods: Sequence[Counts], clock: Clock, *, seconds: float
) -> Templates | None:
    """Any plan with exactly these runs that keeps the cuts; None when none was found."""
    model, counts = _with_runs(problem, runs, no_goods)
    return _found_with(model, counts, runs, clock, seconds)


def _with_runs(
    problem: PlanProblem, runs: Sequence[int], no_goods: Sequence[Counts]
) -> tuple[Any, list[list[Any]]]:
    """The linear model of a plan whose runs are given."""
    model = cp_model().CpModel()
    counts = [_counts(model, problem) for _ in runs]
    for pattern in counts:
        _keep_cuts(model, problem, pattern, no_goods)
    for at, design in enumerate(problem.designs):
        made = sum(pattern[at] * run for pattern, run in zip(counts, runs, strict=True))
        model.add(made >= design.wanted)
    return model, counts


def _found_with(
    model: Any, counts: list[list[Any]], runs: Sequence[int], clock: Clock, seconds: float
) -> Templates | None:
    solver, status, _ = solved(model, clock, seconds, is_simplified=False)
    if status not in (cp_model().OPTIMAL, cp_model().FEASIBLE):
        return None
    return _templates(solver, counts, runs)


def _counts(model: Any, problem: PlanProblem) -> list[Any]:
    return [
        model.new_int_var(0, min(most, -(-design.wanted // problem.least_run)), "")
        for most, design in zip(problem.most_each, problem.designs, strict=True)
    ]


def _priced_run(model: Any, problem: PlanProblem) -> tuple[Any, Any]:
    """A run, 0 or within what may be run, and its cost: one switch a tier, which keeps the cost linear."""
    parts, switches, cost = [], [], 0
    tiers = problem.price.tiers
    ends = [start - 1 for start, _ in tiers[1:]] + [problem.longest_run]
    for (start, each), end in zip(tiers, ends, strict=True):
        low, high = max(start, problem.least_run), min(end, problem.longest_run)
        if low > high:
            continue
        switch = model.new_bool_var("")
        part = model.new_int_var(0, high, "")
        model.add(part >= low * switch)
        model.add(part <= high * switch)
        parts.append(part)
        switches.append(switch)
        cost += part * each + switch * problem.price.setup
    model.add_at_most_one(switches)
    run = model.new_int_var(0, problem.longest_run, "")
    model.add(run == sum(parts))
    return run, cost


def _keep_cuts(model: Any, problem: PlanProblem, pattern: list[Any], no_goods: Sequence[Counts]) -> None:
    for cut in problem.cuts:
        model.add(_weighed(cut.weights, pattern) <= cut.room)
    for bad in no_goods:
        fewer = []
        for variable, count in zip(pattern, bad, strict=True):
            if count:
                is_fewer = model.new_bool_var("")
                model.add(variable <= count - 1).only_enforce_if(is_fewer)
                fewer.append(is_fewer)
        model.add_bool_or(fewer)


def _cover(model: Any, problem: PlanProblem, counts: list[list[Any]], runs: list[Any]) -> None:
    """Every design is made as often as wanted; what that says of all runs together helps the search."""
    for at, (design, most) in enumerate(zip(problem.designs, problem.most_each, strict=True)):
        made = []
        for pattern, run in zip(counts, runs, strict=True):
            product = model.new_int_var(0, problem.longest_run * most, "")
            model.add_multiplication_equality(product, [pattern[at], run])
            made.append(product)
        model.add(sum(made) >= design.wanted)
    model.add(sum(runs) >= problem.least_sheets)


def _weighed(weights: Sequence[int], pattern: Sequence[Any]) -> Any:
    return sum(weight * variable for weight, variable in zip(weights, pattern, strict=True))


def _templates(solver: Any, counts: list[list[Any]], runs: Sequence[Any]) -> Templates:
    found = [
        (
            tuple(solver.value(variable) for variable in pattern),
            run if isinstance(run, int) else solver.value(run),
        )
        for pattern, run in zip(counts, runs, strict=True)
    ]
    used = [(pattern, run) for pattern, run in found if run and any(pattern)]
    return tuple(sorted(used, key=lambda template: (-template[1], template[0])))
