"""Plans by dealing copies onto sheets one by one: one of each design first, then what shortens the runs."""

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from layout_core.packing.fill import Laid
from layout_core.plan.clock import Clock
from layout_core.plan.found import Template
from layout_core.plan.master import runs_with
from layout_core.plan.oracle import PackingOracle
from layout_core.plan.problem import Counts, PlanProblem, RunPrice

Plan = tuple[Template, ...]
Lay = Callable[[Counts, Clock], tuple[Laid, ...] | None]

_SEED = 3
_DEALS = 4
_THOROUGH_S = 2.0
_RUNS_S = 0.0015
_ADD_S = 5e-6
"""What a small linear program and a look at the cuts take on a common desktop core (measured on one)."""

_EXACT_S = 0.1
_NEAR = 1.02
_WORTHLESS = 1e-9
_NO_SIZE = 1e-9
_HOPEFUL = 1.1
_BEST_SHARE = 0.6
_DESIGNS_SHARE = 0.4
_SHEETS_SHARE = 0.1
_PARTS = (0.1, 0.25, 0.5, 1.0)
"""Shares and chances by which sheets are dealt anew (compared on nine generated cases)."""


@dataclass(slots=True)
class _Hand:
    """Copies on each sheet, the designs that are known not to fit beside them, and about what it costs."""

    sheets: list[list[int]]
    full: list[set[int]]
    cost: float = 0.0

    def copy(self) -> "_Hand":
        return _Hand([list(one) for one in self.sheets], [set(one) for one in self.full], self.cost)

    def clear(self, at: int, design: int) -> None:
        """Take all copies of the design off the sheet."""
        if self.sheets[at][design]:
            self.sheets[at][design] = 0
            self.full[at].clear()


class Dealer:
    """Deals plans and betters them, each copy laid by the oracle before the next one is dealt.

    Gives a plan whenever it has one that is cheaper than all it gave before. The draw repeats: the same
    calls give the same plans.
    """

    def __init__(self, problem: PlanProblem, oracle: PackingOracle, clock: Clock) -> None:
        self._problem, self._oracle, self._clock = problem, oracle, clock
        self._most = min(problem.most_templates, len(problem.designs))
        self._chance = random.Random(_SEED)
        self._designs = range(len(problem.designs))
        shape = len(problem.cuts), len(problem.designs)
        self._weights = np.array([cut.weights for cut in problem.cuts], dtype=np.int64).reshape(shape)
        self._rooms = np.array([cut.room for cut in problem.cuts], dtype=np.int64)
        self._sizes = (self._weights / self._rooms[:, None]).max(axis=0, initial=_NO_SIZE)
        self._wanted = np.array([design.wanted for design in problem.designs], dtype=float)
        self._hands: dict[int, _Hand] = {}
        self._cost: int | None = None
        self._until_s = 0.0

    def first(self, until_s: float) -> Iterator[Plan]:
        """Plans dealt from nothing, on one sheet, two and more, until the clock shows so many seconds.

        The first plan may take longer, and longer still where one of each hardly fits.
        """
        self._until_s = until_s
        for deal in range(_DEALS):
            for sheets in range(1, self._most + 1):
                if self._hands and self._is_over:
                    return
                hand = self._one_each(sheets, deal, self._oracle.laid_soon)
                if hand is not None:
                    yield from self._grown(hand)
        self._until_s = self._clock.spent_s + _THOROUGH_S
        for deal in range(_DEALS):
            if not self._hands and not self._is_over:
                hand = self._one_each(self._most, deal, self._oracle.laid)
                if hand is not None:
                    yield from self._grown(hand)

    def take(self, plan: Plan) -> None:
        """Go on from a plan found elsewhere, if none dealt on as many sheets is as cheap."""
        cost = self._problem.cost(one.run for one in plan)
        known = self._hands.get(len(plan))
        if known is None or cost < known.cost:
            sheets = [list(one.counts) for one in plan]
            self._hands[len(plan)] = _Hand(sheets, [set() for _ in plan], cost)
        self._cost = cost if self._cost is None else min(cost, self._cost)

    def better(self, until_s: float) -> Iterator[Plan]:
        """Plans for which sheets known are partly dealt anew, until the clock shows so many seconds."""
        self._until_s = until_s
        while self._hands and not self._is_over:
            least = min(hand.cost for hand in self._hands.values())
            share = 1.0 if self._chance.random() < _BEST_SHARE else _HOPEFUL
            known = [hand for hand in self._hands.values() if hand.cost <= share * least]
            hand = self._chance.choice(known).copy()
            self._take_off(hand)
            if self._dealt_missing(hand):
                yield from self._grown(hand)

    @property
    def _is_over(self) -> bool:
        return self._clock.is_over or self._clock.spent_s >= self._until_s

    def _one_each(self, sheets: int, deal: int, lay: Lay) -> _Hand | None:
        """One copy of each design, large ones first: on the fullest sheet that has room, or the emptiest."""
        hand = _Hand([[0 for _ in self._designs] for _ in range(sheets)], [set() for _ in range(sheets)])
        noise = 0.0 if deal < 2 else 0.4
        for design in self._large_first(self._designs, noise):
            loads = [float(self._sizes @ one) for one in hand.sheets]
            order = sorted(range(sheets), key=lambda at: -loads[at], reverse=bool(deal % 2))
            if not any(self._is_added(hand, at, design, lay) for at in order):
                return None
        return hand

    def _large_first(self, designs: Sequence[int], noise: float) -> list[int]:
        return sorted(
            designs, key=lambda design: -self._sizes[design] * self._chance.uniform(1 - noise, 1 + noise)
        )

    def _take_off(self, hand: _Hand) -> None:
        """Some designs from every sheet, or some copies from one or two sheets; perhaps add a sheet."""
        draw = self._chance
        if len(hand.sheets) < self._most and draw.random() < _SHEETS_SHARE:
            hand.sheets.append([0 for _ in self._designs])
            hand.full.append(set())
        if draw.random() < _DESIGNS_SHARE:
            for design in draw.sample(self._designs, min(draw.choice((1, 2, 3)), len(self._designs))):
                for at in range(len(hand.sheets)):
                    hand.clear(at, design)
            return
        number = min(draw.choice((1, 2)), len(hand.sheets))
        for at in draw.sample(range(len(hand.sheets)), number):
            copies = [design for design in self._designs for _ in range(hand.sheets[at][design])]
            if copies:
                for design in draw.sample(copies, max(1, round(draw.choice(_PARTS) * len(copies)))):
                    hand.sheets[at][design] -= 1
                hand.full[at].clear()

    def _dealt_missing(self, hand: _Hand) -> bool:
        """Deal one copy of each design that lies nowhere; whether they all found room."""
        missing = [design for design in self._designs if not any(one[design] for one in hand.sheets)]
        for design in self._large_first(missing, 0.3):
            order = self._chance.sample(range(len(hand.sheets)), len(hand.sheets))
            if not any(self._is_added(hand, at, design, self._oracle.laid_soon) for at in order):
                return False
        return True

    def _is_added(self, hand: _Hand, at: int, design: int, lay: Lay) -> bool:
        """Put one more copy on the sheet if the cuts leave room for it and the oracle lays it."""
        if design in hand.full[at]:
            return False
        self._clock.spend(_ADD_S)
        counts = list(hand.sheets[at])
        counts[design] += 1
        has_room = bool((self._weights @ np.array(counts) <= self._rooms).all())
        if not has_room or lay(tuple(counts), self._clock) is None:
            hand.full[at].add(design)
            return False
        hand.sheets[at] = counts
        return True

    def _grown(self, hand: _Hand) -> Iterator[Plan]:
        """Add copies, keep the hand if none of as many sheets costs less, and give its plan if it is best."""
        self._grow(hand)
        known = self._hands.get(len(hand.sheets))
        if known is not None and hand.cost > known.cost:
            return
        self._hands[len(hand.sheets)] = hand
        if self._cost is not None and hand.cost > self._cost * _NEAR:
            return
        patterns = [tuple(one) for one in hand.sheets if any(one)]
        runs = runs_with(self._problem, patterns, self._clock, seconds=_EXACT_S, below=self._cost)
        if runs is None:
            return
        used = [(pattern, run) for pattern, run in zip(patterns, runs, strict=True) if run]
        found = []
        for counts, run in sorted(self._problem.trimmed(used), key=lambda one: (-one[1], one[0])):
            laid = self._oracle.laid_soon(counts, self._clock)
            if laid is None:  # a part of what was laid is known, unless the oracle forgot it
                return
            found.append(Template(counts, run, laid))
        self._cost = self._problem.cost(one.run for one in found)
        hand.cost = min(hand.cost, self._cost)
        yield tuple(found)

    def _grow(self, hand: _Hand) -> None:
        """Add, one by one, the copy that shortens all runs together most, or most for the room it takes."""
        by_room = self._chance.random() < 0.5
        while True:
            runs, worth = self._relaxed_runs(hand)
            gains = np.outer(worth / self._sizes if by_room else worth, runs)
            noise = [[self._chance.uniform(0.8, 1.2) for _ in runs] for _ in worth]
            order = np.argsort(-gains * np.array(noise), axis=None, kind="stable")
            places = (
                divmod(int(place), len(runs)) for place in order[: np.count_nonzero(gains > _WORTHLESS)]
            )
            if self._is_over or not any(
                self._is_added(hand, at, design, self._oracle.laid_soon) for design, at in places
            ):
                hand.cost = sum(
                    _about(self._problem.price, run)
                    for one, run in zip(hand.sheets, runs, strict=True)
                    if any(one)
                )
                return

    def _relaxed_runs(self, hand: _Hand) -> tuple[Any, Any]:
        """The runs that make enough with the fewest sheets, fractions allowed, and what a copy is worth."""
        from scipy.optimize import linprog

        self._clock.tick()
        self._clock.spend(_RUNS_S)
        made = np.array(hand.sheets, dtype=float).T
        bounds = (self._problem.least_run, self._problem.longest_run)
        found = linprog(np.ones(made.shape[1]), A_ub=-made, b_ub=-self._wanted, bounds=bounds, method="highs")
        return found.x, -found.ineqlin.marginals


def _about(price: RunPrice, run: float) -> float:
    """What a run of a fraction would cost, at its own tier or from the start of a later one."""
    own = run * price.each(max(int(run), 1))
    return price.setup + min([own, *(start * each for start, each in price.tiers if start >= run)])
