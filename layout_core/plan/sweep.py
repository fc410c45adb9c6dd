"""Draws runs of sheets that would be cheaper than a known plan, near ones first, each but once."""

import random
from collections.abc import Iterator, Sequence
from itertools import islice

from layout_core.plan.problem import PlanProblem

Runs = tuple[int, ...]
"""How often each template runs, the longest run first."""

_SEED = 5
_DRAWN_AT_ONCE = 4
_TRIES = 400
_NEAR_SHARE = 0.3


def cheaper_runs(
    problem: PlanProblem, templates: int, floor: int, best: "Best", *, number: int = 0
) -> Iterator[Runs]:
    """Runs of so many templates that cost less than `best` at that moment and no less than the floor.

    Ends when hardly any are left. The draw repeats: the same problem gives the same runs in the same order,
    and another `number` other ones.
    Runs just below the best cost are drawn more often, since they are the likeliest to be possible.
    """
    chance = random.Random(_SEED + number)
    seen: set[Runs] = set()
    while True:
        fresh = (
            runs
            for runs in (_drawn(problem, templates, best, chance) for _ in range(_TRIES))
            if runs is not None and runs not in seen and floor <= problem.cost(runs) < best.cost
        )
        drawn = list(islice(fresh, _DRAWN_AT_ONCE))
        if not drawn:
            return
        runs = max(drawn, key=problem.cost)
        seen.add(runs)
        yield runs


def may_cover(problem: PlanProblem, runs: Sequence[int]) -> bool:
    """Whether these runs can make enough of every design and still keep the cuts of all sheets together.

    A no is proven. Runs make a design only in sums of themselves, so some of it is spare whatever lies where.
    """
    least = [
        _least_made(runs, most, design.wanted)
        for most, design in zip(problem.most_each, problem.designs, strict=True)
    ]
    made = [number for number in least if number is not None]
    if len(made) < len(least):
        return False
    sheets = sum(runs)
    return all(
        sum(w * n for w, n in zip(cut.weights, made, strict=True)) <= cut.room * sheets
        for cut in problem.cuts
    )


def _least_made(runs: Sequence[int], most: int, wanted: int) -> int | None:
    """The least number from `wanted` up that is a sum of runs, each taken up to `most` times.

    The bits of a whole number stand for the sums within reach.
    """
    sums = 1
    for run in runs:
        left, step = min(most, -(-wanted // run)), 1
        while left > 0:
            step = min(step, left)
            sums |= sums << step * run
            left, step = left - step, step * 2
    enough = sums >> wanted
    return wanted + (enough & -enough).bit_length() - 1 if enough else None


class Best:
    """The cost to beat and the runs that reach it; whoever finds a better plan changes it."""

    def __init__(self, cost: int, runs: Sequence[int] = ()) -> None:
        self.cost, self.runs = cost, tuple(runs)


def _drawn(problem: PlanProblem, templates: int, best: Best, chance: random.Random) -> Runs | None:
    if best.runs and len(best.runs) <= templates and chance.random() < _NEAR_SHARE:
        runs = _near(best.runs, templates, chance)
    else:
        runs = _split(problem, templates, best, chance)
    if not runs or min(runs) < problem.least_run or max(runs) > problem.longest_run:
        return None
    if sum(runs) < problem.least_sheets:
        return None
    return tuple(sorted(runs, reverse=True))


def _near(known: Sequence[int], templates: int, chance: random.Random) -> list[int]:
    """Known runs with some sheets moved from one to another, perhaps a new one, or left out."""
    runs = [*known, *[0] * (templates - len(known))]
    giver, taker = chance.randrange(len(runs)), chance.randrange(len(runs))
    moved = chance.randint(1, max(runs[giver] // 4, 1))
    runs[giver] -= moved
    runs[taker] += moved - chance.randint(0, 3) if taker != giver else 0
    return [run for run in runs if run > 0]


def _split(problem: PlanProblem, templates: int, best: Best, chance: random.Random) -> list[int]:
    """So many sheets in all, parted at random; now and then a run is rounded up to where a tier begins."""
    most = max(best.cost // max(min(each for _, each in problem.price.tiers), 1), problem.least_sheets)
    most = min(most, problem.longest_run * templates)
    least = max(problem.least_sheets, problem.least_run * templates, templates)
    if most < least:
        return []
    total = chance.randint(least, most)
    ends = sorted(chance.sample(range(1, total), templates - 1))
    runs = [end - start for start, end in zip([0, *ends], [*ends, total], strict=True)]
    starts = [start for start, _ in problem.price.tiers[1:]]
    if starts and chance.random() < 1 / 2:
        at = chance.randrange(len(runs))
        runs[at] = min((start for start in starts if start >= runs[at]), default=runs[at])
    return runs
