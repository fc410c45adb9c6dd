"""Betters a plan by trying cheaper runs, those first whose saving is likeliest: boxes, or true outlines."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice

from layout_core.errors import Cancelled
from layout_core.plan.clock import Clock, OverTimeError
from layout_core.plan.found import Found, Template
from layout_core.plan.in_turn import filled_in_turn
from layout_core.plan.master import Templates, loosest
from layout_core.plan.oracle import PackingOracle
from layout_core.plan.problem import Counts, PlanProblem
from layout_core.plan.sweep import Best, Runs, cheaper_runs, may_cover

_LOOSEN_S = 0.5
_DRAWN_AT_ONCE = 12
_TRIES_WITH_RUNS = 2
_DRAWS_MOST = 240
_GRACE_S = 0.5
_DRAW_S = 0.0002


@dataclass(frozen=True, slots=True)
class Shares:
    """The shares of a sheet, as the film weighs, that are surely laid and that are beyond hope (measured)."""

    easy: float
    hopeless: float


OUTLINES = Shares(0.4, 0.8)
BOXES = Shares(0.8, 1.0)


def bettered(
    problem: PlanProblem,
    oracle: PackingOracle,
    found: Found,
    clock: Clock,
    *,
    until_s: float,
    shares: Shares = OUTLINES,
    number: int = 0,
) -> Found:
    """The plan, or a cheaper one whose sheets the oracle lays, sought until the clock shows so many seconds.

    Another `number` tries other runs. Lets `Cancelled` of the clock through only when the search has
    bettered nothing.
    """
    search = _Search(problem, oracle, found, clock, until_s, shares, number)
    try:
        with clock.fenced(until_s + _GRACE_S):
            search.run()
    except OverTimeError:
        pass
    except Cancelled:
        if search.found is found:
            raise
    return search.found


@dataclass(frozen=True, slots=True)
class _Try:
    """Runs with the copies that fill their fullest sheet least, and how full that is as the film weighs."""

    full: int
    runs: Runs
    templates: Templates


class _Search:
    def __init__(
        self,
        problem: PlanProblem,
        oracle: PackingOracle,
        found: Found,
        clock: Clock,
        until_s: float,
        shares: Shares,
        number: int,
    ) -> None:
        self.problem, self.oracle, self.found, self.clock = problem, oracle, found, clock
        self.until_s, self.shares, self.number = until_s, shares, number
        self.best = Best(found.cost, [one.run for one in found.templates])
        self.no_goods: list[Counts] = []

    @property
    def is_over(self) -> bool:
        return self.clock.is_over or self.clock.spent_s >= self.until_s

    def run(self) -> None:
        most = min(self.problem.most_templates, len(self.problem.designs))
        draws: list[Iterator[Runs]] = [
            cheaper_runs(self.problem, templates, self.found.floor, self.best, number=self.number)
            for templates in range(1, most + 1)
        ]
        waiting: list[_Try] = []
        drawn = 0
        while draws and drawn < _DRAWS_MOST and self.found.cost > self.found.floor and not self.is_over:
            waiting = [one for one in waiting if self.problem.cost(one.runs) < self.found.cost]
            for draw in list(draws):
                fresh = list(islice(draw, _DRAWN_AT_ONCE // len(draws) + 1))
                drawn += len(fresh)
                self.clock.spend(_DRAW_S * len(fresh))
                if not fresh:
                    draws.remove(draw)
                waiting += [one for runs in fresh if (one := self._loosened(runs)) is not None]
            if waiting:
                one = max(waiting, key=self._promise)
                waiting.remove(one)
                drawn *= not self._try(one)
        for one in sorted(waiting, key=self._promise, reverse=True):
            if self.problem.cost(one.runs) < self.found.cost and not self.is_over:
                self._try(one)

    def _loosened(self, runs: Runs) -> _Try | None:
        if self.is_over or not may_cover(self.problem, runs):
            return None
        templates = loosest(self.problem, runs, self.no_goods, self.clock, seconds=_LOOSEN_S)
        if templates is None:
            return None
        full = max(map(self._weight, templates))
        return (
            None if full > self.shares.hopeless * self.problem.cuts[0].room else _Try(full, runs, templates)
        )

    def _promise(self, one: _Try) -> float:
        """The saving, weighed by how likely its fullest sheet can be laid."""
        share = one.full / self.problem.cuts[0].room
        likely = min((self.shares.hopeless - share) / (self.shares.hopeless - self.shares.easy), 1.0)
        return likely * (self.found.cost - self.problem.cost(one.runs))

    def _weight(self, template: tuple[Counts, int]) -> int:
        return sum(w * n for w, n in zip(self.problem.film, template[0], strict=True))

    def _try(self, one: _Try) -> bool:
        """Whether a cheaper plan came of it."""
        in_turn = filled_in_turn(self.problem, self.oracle, one.runs, self.clock)
        if in_turn is not None:
            return self._kept(in_turn)
        candidate: _Try | None = one
        for _ in range(_TRIES_WITH_RUNS):
            if candidate is None or self.is_over:
                return False
            templates = self.problem.trimmed(candidate.templates)
            laid = self._laid(templates)
            if laid is not None:
                return self._kept(laid)
            candidate = self._loosened(candidate.runs)
        return False

    def _kept(self, laid: tuple[Template, ...]) -> bool:
        cost = self.problem.cost(template.run for template in laid)
        if cost >= self.found.cost:
            return False
        self.found = replace(self.found, templates=laid, cost=cost, is_best_here=cost <= self.found.floor)
        self.best.cost, self.best.runs = cost, tuple(template.run for template in laid)
        return True

    def _laid(self, templates: Templates) -> tuple[Template, ...] | None:
        """Every template laid, the fullest first, since that one fails if any does."""
        found = []
        for counts, run in sorted(templates, key=self._weight, reverse=True):
            laid = self.oracle.laid(counts, self.clock)
            if laid is None:
                self.no_goods.append(counts)
                return None
            found.append(Template(counts, run, laid))
        return tuple(sorted(found, key=lambda one: (-one.run, one.counts)))
