"""The search for a run plan: one dealt first, a proven floor, then plans that the oracle can really lay."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from itertools import count

from layout_core.errors import Cancelled, PlanError
from layout_core.plan.clock import SLACK, Clock, OverTimeError
from layout_core.plan.dealt import Dealer
from layout_core.plan.found import Found, Template
from layout_core.plan.in_turn import first_plan
from layout_core.plan.likely import BOXES, bettered
from layout_core.plan.master import Answer, Templates, cheapest, loosest, possible
from layout_core.plan.oracle import PackingOracle
from layout_core.plan.problem import Counts, PlanProblem
from layout_core.plan.sweep import Best, cheaper_runs, may_cover
from layout_core.progress import Progress, no_progress

USUAL_SECONDS = 10.0
_DEAL_S = 0.4
_DEAL_SHARE = 0.1
_LAST_DEAL_SHARE = 0.3
_FAR = 0.1
_FLOOR_SHARE = 0.15
_AGAIN_SHARE = 0.6
_FIRST_SHARE = 0.2
_LOOSEN_S = 1.5
_GRACE_S = 0.5
_ROUNDS_WITH_RUNS = 12
_FIRST_MODEL_SHARE = 0.05
_BEST_SHARE = 0.5
_OTHER_SHARE = 0.1
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
    A longer search begins as a shorter one does, so it never gives a dearer plan.
    Stop ends it with the best so far, with `Cancelled` when there is none yet.

    `on_templates` hears the best cost with at most so many templates, each number once it is searched.
    `floor_of` is the same problem under cuts that hold for any layout, where those of `problem` do not.
    """
    clock = Clock(seconds, progress, slack=slack)
    staged = RunSearch(problem, oracle, clock, floor_of=floor_of, on_templates=on_templates)
    return in_stages(staged, clock)


def in_stages(staged: "RunSearch", clock: Clock) -> Found:
    """What a search finds, one stage after the other, until it or the clock is over."""
    for length_s in stage_lengths_s(USUAL_SECONDS):
        staged.go_on(clock.spent_s + length_s)
        if staged.is_over:
            break
    return staged.found()


def stage_lengths_s(first_s: float) -> Iterator[float]:
    """How long each stage of a search lasts in work: from the second on, as long as all before it."""
    yield first_s
    for power in count():
        yield first_s * 2.0**power


class RunSearch:
    """A search that goes on stage by stage; what one stage finds and proves the next begins with.

    Nothing in a stage depends on the clock's limit, which only ends it.
    """

    def __init__(
        self,
        problem: PlanProblem,
        oracle: PackingOracle,
        clock: Clock,
        *,
        floor_of: PlanProblem | None = None,
        on_templates: Callable[[int, int], None] | None = None,
    ) -> None:
        self.problem, self.oracle, self.clock = problem, oracle, clock
        self.most = min(problem.most_templates, len(problem.designs))
        self.no_goods: list[Counts] = []
        self.best: tuple[Template, ...] | None = None
        self.cost: int | None = None
        self.cost_with: dict[int, int] = {}
        self.relaxed: dict[int, Templates] = {}
        self.floors = dict.fromkeys(range(1, self.most + 1), self._simple_floor())
        self.is_complete = False
        self.is_stopped = False
        self._stage = 0
        self._until_s = 0.0
        self._on_templates = on_templates
        self._dealer = Dealer(problem, oracle, clock)
        is_other = floor_of is not None and floor_of != problem
        self._wide = RunSearch(floor_of, oracle, clock) if floor_of is not None and is_other else None

    @property
    def is_over(self) -> bool:
        """Whether nothing more will come: it ended by itself, by the clock or by Stop."""
        return self.is_stopped or self.is_complete or self.clock.is_over

    def go_on(self, until_s: float) -> None:
        """One stage, until the clock shows so many seconds. `Cancelled` only while there is no plan yet."""
        self._until_s = until_s
        try:
            self._go_on()
        except OverTimeError:
            self.is_complete = False
        except Cancelled:
            self.is_complete, self.is_stopped = False, True
            if self.best is None:
                raise
        self._stage += 1

    def take(self, templates: tuple[Template, ...]) -> None:
        """Go on from a plan found elsewhere."""
        self._keep(templates)

    def found(self) -> Found:
        """The best plan so far. Raises PlanError when there is none."""
        most = self.most
        if self.floors[most] == _NOTHING:
            raise PlanError(f"not even the film of {most} sheet designs holds one of each; allow more")
        if self.best is None or self.cost is None:
            raise PlanError(
                f"no plan with {most} sheet design{'s or fewer' if most > 1 else ''} was found "
                f"in {self.clock.wall_s:.0f} s; allow more designs of sheet, or give it more time"
            )
        own = min(self.floors[most], self.cost)
        floor = own if self._wide is None else min(self._wide.floors[self._wide.most], self.cost)
        return Found(
            self.best, self.cost, floor, own, self.is_complete, self.clock.wall_s, self.clock.spent_s
        )

    @property
    def _left_s(self) -> float:
        """Work left in this stage."""
        return 0.0 if self.clock.is_over else self._until_s - self.clock.spent_s

    def _is_past(self, until_s: float) -> bool:
        return self.clock.is_over or self.clock.spent_s >= until_s

    def _go_on(self) -> None:
        if not self._stage:
            self._deal()
        if self._wide is not None:
            self._wide.raise_floors(self._until_s, _FLOOR_SHARE)
        self._find_floors(_FLOOR_SHARE)
        if self.floors[self.most] == _NOTHING:
            self.is_complete = True
            return
        self._find_first()
        self._find_all()
        if self.cost is not None:
            self._raise_floor()
            if self._wide is not None and self.is_complete and self._wide.floors[self._wide.most] < self.cost:
                self._wide.raise_floors(self._until_s, _AGAIN_SHARE)

    def _deal(self) -> None:
        """Plans dealt copy by copy, so that there is one early on; no better one than the simplest floor."""
        self.clock.label = "Dealing the first sheets"
        for dealt in self._dealer.first(self.clock.spent_s + _DEAL_S):
            self._keep(dealt)
            if self.cost is not None and self.cost <= self._simple_floor():
                return

    def _deal_better(self, seconds: float) -> None:
        """Deal partly anew for so long, or shorter where little is left between the cost and the floor."""
        self.clock.label = "Dealing sheets anew"
        if self.best is None or self.cost is None:
            return
        self._dealer.take(self.best)
        gap = self.cost / max(self.floors[self.most], 1) - 1.0
        for dealt in self._dealer.better(self.clock.spent_s + min(gap / _FAR, 1.0) * seconds):
            self._keep(dealt)
            if not self._is_open(self.most):
                return

    def _find_first(self) -> None:
        """Where every layout of the cuts can be had, what they alone would print; else, with nothing dealt,
        templates that all run alike."""
        if self.oracle.follows_cuts:
            for relaxed in self.relaxed.values():
                self._keep_if_laid(relaxed, self._until_s)
        until_s = self.clock.spent_s + _FIRST_SHARE * self._left_s
        for templates in range(1, self.most + 1):
            if self.best is None and not self._is_past(until_s):
                seconds = until_s - self.clock.spent_s
                found = first_plan(self.problem, self.oracle, templates, self.clock, seconds=seconds)
                if found is not None:
                    self._keep(found)

    def _is_open(self, templates: int) -> bool:
        """Whether so many sheet designs may yet give something cheaper."""
        return self.floors[templates] < (_NOTHING if self.cost is None else self.cost)

    def _find_all(self) -> None:
        """By the whole model for a moment, by dealing anew, then with each number of templates in turn."""
        if not self.oracle.follows_cuts:  # else a plan of the model needs no laying, which is quicker
            self._deal_better(_DEAL_SHARE * self._left_s)
        if self._each(self._quickly):
            return
        self._deal_better(_DEAL_SHARE * self._left_s)
        self._each(self._find_with)

    def _each(self, find: Callable[[int], bool]) -> bool:
        """Whether the search with one number of templates after the other ended by itself."""
        for templates in range(1, self.most + 1):
            self.is_complete = not self._is_open(templates) or find(templates)
            known = [cost for number, cost in self.cost_with.items() if number <= templates]
            if self._on_templates is not None and known:
                self._on_templates(templates, min(known))
        return self.is_complete

    def _quickly(self, templates: int) -> bool:
        seconds = _FIRST_MODEL_SHARE * self._left_s
        with suppress(OverTimeError), self.clock.fenced(self.clock.spent_s + seconds + _GRACE_S):
            return self._find_plans(templates, seconds)
        return False

    def _share(self, templates: int) -> float:
        """The work for so many templates: most where the cheapest plan known has as many."""
        if templates == self.most:
            return self._left_s
        least = min(self.cost_with, key=lambda number: self.cost_with[number], default=0)
        return self._left_s * (_BEST_SHARE if least in (0, templates) else _OTHER_SHARE)

    def raise_floors(self, until_s: float, share: float) -> None:
        """Spend that share of what is left until then on what the cuts alone prove."""
        self._until_s = until_s
        self._find_floors(share)

    def _find_floors(self, share: float) -> None:
        """For each number of templates, the cost that the cuts alone prove."""
        self.clock.label = "Finding what nobody can go below"
        until_s = self.clock.spent_s + share * self._left_s
        hint: Templates = ()
        for templates in range(1, self.most + 1):
            hint = self.relaxed.get(templates, hint)
            worth = self.problem.cost(run for _, run in hint) if hint else None
            if worth is not None and self.floors[templates] >= worth:
                continue
            answer = self._floor_with(templates, (), worth, hint, until_s - self.clock.spent_s)
            is_hopeless = answer.is_proven and answer.templates is None and worth is None
            self.floors[templates] = _NOTHING if is_hopeless else max(answer.bound, self.floors[templates])
            if answer.templates is not None:
                hint = self.relaxed[templates] = answer.templates

    def _raise_floor(self) -> None:
        """What is proven impossible to lay holds for everybody, so the floor may lie higher than by cuts."""
        proven = [bad for bad in self.no_goods if self.oracle.is_impossible(bad)]
        most = self.most
        if proven and self.cost is not None and self.floors[most] < self.cost and not self.clock.is_over:
            answer = self._floor_with(most, proven, self.cost, self._hint(), self._left_s)
            self.floors[most] = max(self.floors[most], answer.bound)

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

    def _find_with(self, templates: int) -> bool:
        """By the whole model for a share of the time; what it leaves open by drawing runs, then once more.

        Whether the search ended by itself.
        """
        self.clock.label = f"Trying {templates} sheet designs" if templates > 1 else "Trying one sheet design"
        share = self._share(templates)
        if self.oracle.follows_cuts or self.best is None:
            self._sweep(templates, _SWEEP_SHARE * share)
        else:
            self._better(templates, _SWEEP_SHARE * share)
        if not self._is_open(templates) or self._find_plans(templates, _MODEL_SHARE * share):
            return True
        if templates < self.most:
            return False
        self._deal_better(_LAST_DEAL_SHARE * self._left_s)
        return self._find_plans(templates, self._left_s)

    def _better(self, templates: int, seconds: float) -> None:
        """Cheaper runs, those tried first whose sheets are likely to be laid."""
        if self.clock.is_over:
            return
        known = Found(self.best or (), self.cost or 0, self.floors[templates], 0, False, 0.0, 0.0)
        problem = replace(self.problem, most_templates=templates)
        until = self.clock.spent_s + seconds
        found = bettered(
            problem, self.oracle, known, self.clock, until_s=until, shares=BOXES, number=self._stage
        )
        self._keep(found.templates)

    def _sweep(self, templates: int, seconds: float) -> None:
        """Draw cheaper runs one after the other; whether they are possible is a small, linear question."""
        until = self.clock.spent_s + seconds
        usual = 3 * self.problem.cost([self.problem.least_sheets])
        best = Best(self.cost or usual, [template.run for template in self.best or ()])
        floor = self.floors[templates]
        for runs in cheaper_runs(self.problem, templates, floor, best, number=self._stage):
            if self._is_past(until):
                return
            self.clock.spend(_DRAW_S)
            if not may_cover(self.problem, runs):
                continue
            candidate = possible(self.problem, runs, self.no_goods, self.clock, seconds=_SWEEP_S)
            if candidate is not None and self._keep_if_laid(candidate, until):
                best.cost, best.runs = self.cost or best.cost, tuple(one.run for one in self.best or ())

    def _find_plans(self, templates: int, seconds: float) -> bool:
        """Whether the model was searched to its end."""
        until = self.clock.spent_s + seconds
        candidate: Templates | None = self.relaxed.get(templates)
        is_complete = True
        while True:
            if self._is_past(until):
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
            if self._keep_if_laid(candidate, until) and not self._is_open(templates):
                return True
            candidate = None

    def _keep_if_laid(self, candidate: Templates, until_s: float) -> bool:
        """Keep the plan if it can be laid out, else another one with the same runs that can be."""
        runs = [run for _, run in candidate]
        for _ in range(_ROUNDS_WITH_RUNS):
            laid = self._laid(self.problem.trimmed(candidate))
            if laid is not None:
                self._keep(laid)
                return True
            if self._is_past(until_s):
                return False
            looser = loosest(self.problem, runs, self.no_goods, self.clock, seconds=_LOOSEN_S)
            if looser is None:
                return False
            candidate = looser
        return False

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
