"""The search for a run plan: proven floor first, then plans that the packing oracle can really lay."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace

from layout_core.errors import Cancelled, PlanError
from layout_core.plan.clock import SLACK, Clock
from layout_core.plan.found import Found, Template
from layout_core.plan.in_turn import first_plan
from layout_core.plan.likely import BOXES, bettered
from layout_core.plan.master import Answer, Templates, cheapest, loosest, possible
from layout_core.plan.oracle import PackingOracle
from layout_core.plan.problem import Counts, PlanProblem
from layout_core.plan.sweep import Best, cheaper_runs, may_cover
from layout_core.progress import Progress, no_progress

USUAL_SECONDS = 10.0
_FLOOR_SHARE = 0.15
_AGAIN_SHARE = 0.6
_FIRST_SHARE = 0.2
_GOOD = 1.1
_LOOSEN_S = 1.5
_ROUNDS_WITH_RUNS = 12
_FIRST_MODEL_SHARE = 0.1
_MODEL_SHARE = 0.4
_SWEEP_SHARE = 0.4
_SWEEP_S = 0.5
_DRAW_S = 0.0002
_NOTHING = 1 << 62
"""The floor of so few sheet designs that the cuts alone leave none possible."""


def search(
    problem: PlanProblem,
    oracle: PackingOracle,
    *,
    floor_of: PlanProblem | None = None,
    seconds: float = USUAL_SECONDS,
    slack: float = SLACK,
    progress: Progress = no_progress,
    on_templates: Callable[[int, int], None] | None = None,
) -> Found:
    """The cheapest plan found in the time. Raises PlanError when not one was found.

    `seconds` counts work, as a common desktop core does it, so that the same problem gives the same plan;
    only on a machine so busy or slow that `slack` times the seconds are over does the search end early.
    Stop ends it with the best so far, with `Cancelled` when there is none yet.

    `on_templates` hears the best cost with at most so many templates, each number once it is searched.
    `floor_of` is the same problem under cuts that hold for any layout, where those of `problem` do not.
    """
    clock = Clock(seconds, progress, slack=slack)
    floor = None if floor_of is None or floor_of == problem else _Search(floor_of, oracle, clock).floor()
    found = _Search(problem, oracle, clock).run(on_templates)
    if floor is None or floor_of is None:
        return found
    if floor < found.cost and not clock.is_over:
        with suppress(Cancelled):
            floor = max(floor, _Search(floor_of, oracle, clock).floor(_AGAIN_SHARE))
    return replace(found, floor=min(floor, found.cost), seconds=clock.wall_s, work_s=clock.spent_s)


class _Search:
    def __init__(self, problem: PlanProblem, oracle: PackingOracle, clock: Clock) -> None:
        self.problem, self.oracle, self.clock = problem, oracle, clock
        self.no_goods: list[Counts] = []
        self.best: tuple[Template, ...] | None = None
        self.cost: int | None = None
        self.cost_with: dict[int, int] = {}
        self.relaxed: dict[int, Templates] = {}
        self.floors: dict[int, int] = {}
        self.is_complete = True

    def run(self, on_templates: Callable[[int, int], None] | None = None) -> Found:
        most = min(self.problem.most_templates, len(self.problem.designs))
        self._find_floors(most)
        try:
            self._find_first(most)
            self._find_all(most, on_templates)
            if self.cost is not None:
                self._raise_floor(most)
        except Cancelled:
            self.is_complete = False
            if self.best is None:
                raise
        if self.floors[most] == _NOTHING:
            raise PlanError(f"not even the film of {most} sheet designs holds one of each; allow more")
        if self.best is None:
            raise PlanError(
                f"no plan with {most} sheet design{'s or fewer' if most > 1 else ''} was found "
                f"in {self.clock.wall_s:.0f} s; allow more designs of sheet, or give it more time"
            )
        floor = min(self.floors[most], self.cost or 0)
        return Found(
            self.best, self.cost or 0, floor, floor, self.is_complete, self.clock.wall_s, self.clock.spent_s
        )

    def _find_first(self, most: int) -> None:
        """What the cuts alone would print, if it can be laid; then templates that all run alike."""
        self.clock.label = "Filling the first sheets"
        for templates in range(1, most + 1):
            candidate = self.relaxed.get(templates)
            if candidate is not None and self._is_open(templates) and not self.clock.is_over:
                laid = self._laid_with_runs(candidate)
                if laid is not None:
                    self._keep(laid)
        seconds = _FIRST_SHARE * self.clock.left_s
        for templates in range(1, most + 1):
            if self._is_open(templates) and (self.cost or _NOTHING) > _GOOD * self.floors[templates]:
                found = first_plan(
                    self.problem, self.oracle, templates, self.clock, seconds=seconds, below=self.cost
                )
                if found is not None:
                    self._keep(found)

    def _is_open(self, templates: int) -> bool:
        """Whether so many sheet designs may yet give something cheaper."""
        return self.floors[templates] < (_NOTHING if self.cost is None else self.cost)

    def _find_all(self, most: int, on_templates: Callable[[int, int], None] | None) -> None:
        for templates in range(1, most + 1):
            self.is_complete = not self._is_open(templates)
            if not self.is_complete:
                self.is_complete = self._find_with(templates, most)
            known = [cost for number, cost in self.cost_with.items() if number <= templates]
            if on_templates is not None and known:
                on_templates(templates, min(known))

    def floor(self, share: float = _FLOOR_SHARE) -> int:
        """What no plan with so many templates can cost less than, by the cuts alone."""
        most = min(self.problem.most_templates, len(self.problem.designs))
        self._find_floors(most, share)
        return self.floors[most]

    def _find_floors(self, most: int, share: float = _FLOOR_SHARE) -> None:
        """For each number of templates, the cost that the cuts alone prove."""
        self.clock.label = "Finding what nobody can go below"
        hint: Templates = ()
        until = self.clock.spent_s + share * self.clock.left_s
        for templates in range(1, most + 1):
            worth = self.problem.cost(run for _, run in hint) if hint else None
            answer = self._floor_with(templates, (), worth, hint, until - self.clock.spent_s)
            is_hopeless = answer.is_proven and answer.templates is None and worth is None
            self.floors[templates] = _NOTHING if is_hopeless else max(answer.bound, self._simple_floor())
            if answer.templates is not None:
                hint = self.relaxed[templates] = answer.templates

    def _raise_floor(self, templates: int) -> None:
        """What is proven impossible to lay holds for everybody, so the floor may lie higher than by cuts."""
        proven = [bad for bad in self.no_goods if self.oracle.is_impossible(bad)]
        if proven and self.cost is not None and self.floors[templates] < self.cost and not self.clock.is_over:
            answer = self._floor_with(templates, proven, self.cost, self._hint(), self.clock.left_s)
            self.floors[templates] = max(self.floors[templates], answer.bound)

    def _floor_with(
        self, templates: int, no_goods: Sequence[Counts], below: int | None, hint: Templates, seconds: float
    ) -> Answer:
        return cheapest(
            self.problem, templates, no_goods, self.clock, seconds=seconds, below=below, hint=hint
        )

    def _simple_floor(self) -> int:
        """All sheets at the lowest price that any run may have, with one set-up."""
        price = self.problem.price
        return self.problem.least_sheets * min(each for _, each in price.tiers) + price.setup

    def _find_with(self, templates: int, most: int) -> bool:
        """By the whole model for a share of the time; what it leaves open by drawing runs, then once more.

        Whether the search ended by itself.
        """
        self.clock.label = f"Trying {templates} sheet designs" if templates > 1 else "Trying one sheet design"
        share = self.clock.left_s / (1 if templates == most else 2)
        if self._find_plans(templates, _FIRST_MODEL_SHARE * share):
            return True
        if self.oracle.follows_cuts or self.best is None:
            self._sweep(templates, _SWEEP_SHARE * share)
        else:
            self._better(templates, _SWEEP_SHARE * share)
        if not self._is_open(templates) or self._find_plans(templates, _MODEL_SHARE * share):
            return True
        return templates == most and self._find_plans(templates, self.clock.left_s)

    def _better(self, templates: int, seconds: float) -> None:
        """Cheaper runs, those tried first whose sheets are likely to be laid."""
        known = Found(self.best or (), self.cost or 0, self.floors[templates], 0, False, 0.0, 0.0)
        problem = replace(self.problem, most_templates=templates)
        until = self.clock.spent_s + seconds
        found = bettered(problem, self.oracle, known, self.clock, until_s=until, shares=BOXES)
        self._keep(found.templates)

    def _sweep(self, templates: int, seconds: float) -> None:
        """Draw cheaper runs one after the other; whether they are possible is a small, linear question."""
        until = self.clock.spent_s + seconds
        usual = 3 * self.problem.cost([self.problem.least_sheets])
        best = Best(self.cost or usual, [template.run for template in self.best or ()])
        for runs in cheaper_runs(self.problem, templates, self.floors[templates], best):
            if self.clock.spent_s > until or self.clock.is_over:
                return
            self.clock.spend(_DRAW_S)
            if not may_cover(self.problem, runs):
                continue
            candidate = possible(self.problem, runs, self.no_goods, self.clock, seconds=_SWEEP_S)
            laid = self._laid_with_runs(candidate) if candidate is not None else None
            if laid is not None:
                self._keep(laid)
                best.cost, best.runs = self.cost or best.cost, tuple(one.run for one in self.best or ())

    def _find_plans(self, templates: int, seconds: float) -> bool:
        """Whether the model was searched to its end."""
        until = self.clock.spent_s + seconds
        candidate: Templates | None = self.relaxed.get(templates)
        is_complete = True
        while True:
            if self.clock.is_over or self.clock.spent_s > until:
                return False
            if candidate is None:
                answer = cheapest(
                    self.problem, templates, self.no_goods, self.clock,
                    seconds=until - self.clock.spent_s, below=self.cost, hint=self._hint(),
                )  # fmt: skip
                if not self.no_goods:  # then only the cuts spoke, which hold for everybody
                    self.floors[templates] = max(self.floors[templates], answer.bound)
                if answer.templates is None:
                    return is_complete and answer.is_proven
                is_complete &= answer.is_proven
                candidate = answer.templates
            laid = self._laid_with_runs(candidate)
            if laid is not None:
                self._keep(laid)
                if self.cost is not None and self.cost <= self.floors[templates]:
                    return True
            candidate = None

    def _laid_with_runs(self, candidate: Templates) -> tuple[Template, ...] | None:
        """The plan laid out, else another one with the same runs that can be; None when none was found."""
        runs = [run for _, run in candidate]
        for _ in range(_ROUNDS_WITH_RUNS):
            laid = self._laid(self.problem.trimmed(candidate))
            if laid is not None:
                return laid
            looser = loosest(self.problem, runs, self.no_goods, self.clock, seconds=_LOOSEN_S)
            if looser is None or self.clock.is_over:
                return None
            candidate = looser
        return None

    def _laid(self, templates: Templates) -> tuple[Template, ...] | None:
        """Every template laid; a template that cannot be leaves the smallest part of it as a no-good."""
        found = []
        for counts, run in templates:
            laid = self.oracle.laid(counts, self.clock)
            if laid is None:
                self.no_goods.append(self._smallest_failing(counts))
            else:
                found.append(Template(counts, run, laid))
        return tuple(found) if len(found) == len(templates) else None

    def _smallest_failing(self, counts: Counts) -> Counts:
        """The counts lessened one by one as long as the oracle still finds no layout."""
        left = list(counts)
        for at in range(len(left)):
            while left[at]:
                left[at] -= 1
                if self.clock.is_over or self.oracle.laid(tuple(left), self.clock) is not None:
                    left[at] += 1
                    break
        return tuple(left)

    def _keep(self, templates: tuple[Template, ...]) -> None:
        cost = self.problem.cost(template.run for template in templates)
        known = self.cost_with.get(len(templates))
        self.cost_with[len(templates)] = cost if known is None else min(cost, known)
        if self.cost is None or cost < self.cost:
            self.best, self.cost = templates, cost

    def _hint(self) -> Templates:
        return tuple((template.counts, template.run) for template in self.best or ())
