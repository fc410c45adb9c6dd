"""Works out the run plan in the background, prices its orders, and lays it out as one undo step."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import QObject, Signal

from app.document import Document
from app.job_work import JobWork
from app.notices import Notices
from app.plan_reports import longer_words, more_words
from app.quote_files import write_quotes
from app.tasks import TaskRunner
from layout_core.errors import DuskwrightError, TableError
from layout_core.job.model import Job
from layout_core.packing.engines import USUAL_WISH, FillWish
from layout_core.plan.prices import PriceList, load_prices
from layout_core.plan.pricing import NextTier, OrderPrice, next_tiers, order_prices
from layout_core.plan.run_plan import RunPlan, lay_out_plan, run_plan
from layout_core.plan.what_if import Room, room_of, with_garments, with_longer_sheet
from layout_core.progress import Progress

T = TypeVar("T")
USUAL_DESIGNS = 4


@dataclass(frozen=True, slots=True)
class Worked:
    """A run plan, the job and the prices it was made for, and what each order pays.

    `fault` says why the orders could not be priced; `orders` is empty then.
    """

    job: Job
    prices: PriceList
    plan: RunPlan
    orders: tuple[OrderPrice, ...]
    tiers: tuple[NextTier, ...]
    rooms: tuple[Room, ...]
    fault: str | None = None


class Planning(JobWork):
    """Keeps the plan worked out last. `changed` follows it, `running_changed` start and end."""

    running_changed = Signal()

    def __init__(
        self, document: Document, tasks: TaskRunner, notices: Notices, parent: QObject | None = None
    ) -> None:
        super().__init__(document, tasks, notices, parent)
        self._task_id: int | None = None
        self.worked: Worked | None = None
        self.answer = ""
        self._most_designs = USUAL_DESIGNS
        self.prices = _prices_known()
        document.replaced.connect(self._forget)

    @property
    def is_running(self) -> bool:
        return self._task_id is not None

    @property
    def is_current(self) -> bool:
        """Whether the plan still answers what the job asks."""
        return self.worked is not None and _asked(self.worked.job) == _asked(self._document.job)

    def start(self, most_designs: int, wish: FillWish = USUAL_WISH) -> None:
        """Search for the cheapest plan with so many designs of sheet, unless one is sought already."""
        if self.is_running:
            return
        job = self._document.job

        def work(progress: Progress) -> Worked:
            prices = load_prices()
            plan = run_plan(job, prices, most_designs=most_designs, wish=wish, progress=progress)
            return _worked(job, prices, plan)

        self._most_designs = most_designs
        self._begin("Working out the plan", work, self._take, keeps_partial=True)

    def ask_more(self, order_id: int, count: int) -> None:
        """What so many more garments of the order would cost; `answer` says it."""
        worked = self.worked
        if worked is None or not self.is_current:
            return

        def work(progress: Progress) -> str:
            found = with_garments(
                worked.job, worked.plan, worked.prices, order_id, count,
                most_designs=self._most_designs, progress=progress,
            )  # fmt: skip
            return more_words(found, worked.prices)

        self._begin("Asking what more garments cost", work, self._answered)

    def ask_longer(self) -> None:
        """What the plan would cost on sheets one inch longer; `answer` says it."""
        worked = self.worked
        if worked is None or not self.is_current:
            return

        def work(progress: Progress) -> str:
            found = with_longer_sheet(
                worked.job, worked.plan, worked.prices, most_designs=self._most_designs, progress=progress
            )
            return longer_words(found, worked.prices)

        self._begin("Asking what an inch more costs", work, self._answered)

    def _begin(
        self,
        label: str,
        work: Callable[[Progress], T],
        done: Callable[[T], None],
        *,
        keeps_partial: bool = False,
    ) -> None:
        if self.is_running:
            return
        self._task_id = self._tasks.start(
            label,
            work,
            done,
            lambda error: self._notices.tell_error(error, label[:1].lower() + label[1:]),
            lane="plan",
            keeps_partial=keeps_partial,
        )
        self.running_changed.emit()

    def _answered(self, words: str) -> None:
        self.answer = words
        self.changed.emit()

    def stop(self) -> None:
        """End the search; the best plan so far is kept, or the one worked out before."""
        if self._task_id is not None:
            self._tasks.stop(self._task_id)

    def lay_out(self) -> bool:
        """Put the plan's sheets in place of the job's, as one undo step."""
        worked = self.worked
        if worked is None or not self.is_current:
            return False
        return self._document.apply("Lay out the plan", lambda job: lay_out_plan(job, worked.plan))

    def save_quotes(self, folder: Path) -> tuple[Path, ...]:
        """Write the quote of each order, PDF and CSV; returns the files. Raises SaveError."""
        if self.worked is None:
            return ()
        return write_quotes(self.worked.job, self.worked.orders, self.worked.prices, folder)

    def _take(self, worked: Worked) -> None:
        self.worked, self.prices, self.answer = worked, worked.prices, ""
        self.changed.emit()

    def _forget(self) -> None:
        self.stop()
        self.worked, self.answer = None, ""
        self.changed.emit()

    def _end(self, task_id: int) -> None:
        if task_id == self._task_id:
            self._task_id = None
            self.running_changed.emit()


def _worked(job: Job, prices: PriceList, plan: RunPlan) -> Worked:
    try:
        orders, fault = order_prices(job, plan, prices), None
    except DuskwrightError as error:
        orders, fault = (), str(error)
    rooms = tuple(room_of(job, plan, sheet) for sheet in plan.sheets)
    return Worked(job, prices, plan, orders, next_tiers(plan, prices), rooms, fault)


def _prices_known() -> PriceList | None:
    """The price list, or None where it cannot be read; working out a plan then says why."""
    try:
        return load_prices()
    except TableError:
        return None


def _asked(job: Job) -> tuple[object, ...]:
    """What a plan answers: the pieces and their orders, the first sheet's size, and the smallest run."""
    first = job.sheets[0]
    return (
        job.arts,
        tuple(replace(piece, copies=1) for piece in job.pieces),
        job.orders,
        (first.width_mm, first.length_mm, first.margin_mm, first.gap_mm),
        job.limits.smallest_run,
    )
