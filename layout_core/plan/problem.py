"""What a run plan is made from and what it is: designs wanted, cuts, prices, and the templates found."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from layout_core.errors import PlanError

MOST_WANTED = 100_000
"""Copies of one design that a plan takes; invented, far above what a shop prints."""

MOST_DESIGNS = 200
MOST_TEMPLATES = 8

Counts = tuple[int, ...]
"""How often each design lies on one sheet, in the order of the problem's designs."""


@dataclass(frozen=True, slots=True)
class Design:
    """A piece to be made `wanted` times, spares included; `key` is the piece's id."""

    key: int
    name: str
    wanted: int


@dataclass(frozen=True, slots=True)
class Cut:
    """What no sheet can break: the weights of all that lies on it add up to `room` at most."""

    weights: tuple[int, ...]
    room: int

    def holds(self, counts: Counts) -> bool:
        return sum(w * n for w, n in zip(self.weights, counts, strict=True)) <= self.room


@dataclass(frozen=True, slots=True)
class RunPrice:
    """What a run costs, in whole minor units of money (cents).

    `tiers` are (from this run, each sheet), from 1 upwards; all sheets of a run cost the price of its tier.
    `setup` is paid once a sheet design.
    """

    tiers: tuple[tuple[int, int], ...]
    setup: int = 0

    def __post_init__(self) -> None:
        runs = [run for run, _ in self.tiers]
        if not runs or runs[0] != 1 or any(a >= b for a, b in pairwise(runs)):
            raise PlanError("the tiers of a sheet's price must begin with 1 and rise from one to the next")
        if self.setup < 0 or any(each < 0 for _, each in self.tiers):
            raise PlanError("a sheet's price must not be below 0")

    def each(self, run: int) -> int:
        """The price of one sheet in a run of that length."""
        return next(each for least, each in reversed(self.tiers) if run >= least)

    def cost(self, run: int) -> int:
        """The price of the whole run with its set-up; 0 for no run."""
        return run * self.each(run) + self.setup if run else 0


@dataclass(frozen=True)
class PlanProblem:
    """Everything the search needs to know; nothing runs shorter than `least_run`."""

    designs: tuple[Design, ...]
    cuts: tuple[Cut, ...]
    price: RunPrice
    least_run: int = 1
    most_templates: int = 4

    @cached_property
    def most_each(self) -> Counts:
        """How often each design can lie on one sheet by the cuts alone."""
        return tuple(
            min([design.wanted, *(cut.room // cut.weights[at] for cut in self.cuts if cut.weights[at])])
            for at, design in enumerate(self.designs)
        )

    @cached_property
    def film(self) -> tuple[int, ...]:
        """Weights by which one sheet counts as fuller than another: those of the first cut."""
        return self.cuts[0].weights if self.cuts else (0,) * len(self.designs)

    @cached_property
    def least_sheets(self) -> int:
        """No plan prints fewer sheets, all runs together: what each cut weighs of everything wanted."""
        weighed = (
            (sum(w * d.wanted for w, d in zip(cut.weights, self.designs, strict=True)), cut.room)
            for cut in self.cuts
        )
        return max((-(-weight // room) for weight, room in weighed), default=0)

    def cost(self, runs: Iterable[int]) -> int:
        """Runs and set-ups, in minor units."""
        return sum(map(self.price.cost, runs))

    def spares(self, templates: Iterable[tuple[Counts, int]]) -> Counts:
        """How many of each design are made beyond what is wanted; negative where too few are."""
        made = [0] * len(self.designs)
        for counts, run in templates:
            for at, count in enumerate(counts):
                made[at] += count * run
        return tuple(number - design.wanted for number, design in zip(made, self.designs, strict=True))

    def trimmed(self, templates: Iterable[tuple[Counts, int]]) -> tuple[tuple[Counts, int], ...]:
        """The same without copies that only make spares: less to lay, and nothing printed for nobody."""
        known = tuple(templates)
        patterns = [list(counts) for counts, _ in known]
        spares = list(self.spares(known))
        for pattern, (_, run) in zip(patterns, known, strict=True):
            for at, count in enumerate(pattern):
                surplus = max(min(count, spares[at] // run), 0)
                pattern[at] -= surplus
                spares[at] -= surplus * run
        kept = zip(patterns, (run for _, run in known), strict=True)
        return tuple((tuple(pattern), run) for pattern, run in kept if any(pattern))

    @cached_property
    def longest_run(self) -> int:
        """A longer run makes nothing but spares, and no tier beyond it makes the whole run cheaper."""
        enough = max(self.least_run, *(design.wanted for design in self.designs))
        cheaper = [run for run, _ in self.price.tiers if self.price.cost(run) < self.price.cost(enough)]
        return max([enough, *cheaper])
