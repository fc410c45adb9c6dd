"""Seeks a plan in turns by boxes, which answer soon and prove much, and by outlines that interlock."""

from dataclasses import dataclass, replace

from layout_core.errors import Cancelled, PlanError
from layout_core.plan.clock import Clock
from layout_core.plan.found import Found
from layout_core.plan.likely import bettered
from layout_core.plan.oracle import PackingOracle
from layout_core.plan.problem import PlanProblem
from layout_core.plan.search import RunSearch, in_stages, stage_lengths_s

_FIRST_STAGE_S = 2.5


@dataclass(frozen=True, slots=True)
class Way:
    """A problem under the cuts of a kind of layout, and what lays such layouts."""

    problem: PlanProblem
    oracle: PackingOracle


def found_in_two_ways(boxes: Way, outlines: Way, floor_of: PlanProblem, clock: Clock) -> Found:
    """The cheapest plan found by either until the clock is over.

    In each stage boxes have as much work as outlines, which go on from what boxes found. Where boxes find no
    plan in the first stage, outlines have the rest. Stop ends it with the best so far, with `Cancelled` when
    there is none yet. Raises PlanError when no plan was found.
    """
    staged = RunSearch(boxes.problem, boxes.oracle, clock, floor_of=floor_of)
    staged.go_on(clock.spent_s + _FIRST_STAGE_S)
    try:
        found = _so_far(staged)
    except PlanError:
        alone = RunSearch(outlines.problem, outlines.oracle, clock, floor_of=floor_of)
        return in_stages(alone, clock)
    for number, length_s in enumerate(stage_lengths_s(_FIRST_STAGE_S)):
        if number and not staged.is_over:
            staged.go_on(clock.spent_s + length_s)
            found = _so_far(staged)
        if staged.is_stopped or clock.is_over or found.cost <= found.floor:
            return found
        clock.label = "Trying true shapes"
        until_s = clock.spent_s + length_s
        before = found
        try:
            found = bettered(outlines.problem, outlines.oracle, found, clock, until_s=until_s, number=number)
        except Cancelled:
            return found
        staged.take(found.templates)
        if staged.is_over and clock.spent_s < until_s and found is before:
            return found  # both ended by themselves
    return found


def _so_far(staged: RunSearch) -> Found:
    """What boxes found; the best of all only where nobody can go below it."""
    found = staged.found()
    return replace(found, is_best_here=found.cost <= found.floor)
