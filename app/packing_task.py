"""Runs autopack in the background and puts its layout into the job as one undo step."""

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QObject, Signal

from app.document import Document
from app.messages import Message
from app.notices import Notices
from app.tasks import TaskRunner
from layout_core.job.edits import lay_out
from layout_core.job.model import Job
from layout_core.packing.autopack import PackResult, autopack
from layout_core.progress import Progress


class PackingTask(QObject):
    """Starts and stops autopack. Stop keeps the best layout so far.

    `packed(placed_ids)` follows a layout that went into the job, so that the view can show what came.
    `running_changed` follows start and end.
    """

    packed = Signal(object)
    running_changed = Signal()

    def __init__(
        self, document: Document, tasks: TaskRunner, notices: Notices, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._tasks = tasks
        self._notices = notices
        self._task_id: int | None = None
        tasks.ended.connect(self._end)

    @property
    def is_running(self) -> bool:
        return self._task_id is not None

    def start(self, sheet_ids: Sequence[int] | None = None, engine: str = "boxes") -> None:
        """Fill these sheets, or all; while it runs already, nothing happens."""
        if self.is_running:
            return
        base = self._document.job

        def work(progress: Progress) -> tuple[Job, PackResult]:
            return base, autopack(base, sheet_ids=sheet_ids, engine=engine, progress=progress)

        self._task_id = self._tasks.start(
            "Autopack",
            work,
            self._take,
            lambda e: self._notices.tell_error(e, "autopacking"),
            keeps_partial=True,
        )
        self.running_changed.emit()

    def stop(self) -> None:
        """End the search; the best layout so far goes into the job."""
        if self._task_id is not None:
            self._tasks.stop(self._task_id)

    def _take(self, outcome: tuple[Job, PackResult]) -> None:
        base, result = outcome
        first = self._document.job.next_id
        if not result.added:
            self._tell_outcome(base, result)
            return
        moved_on = self._document.job is not base
        if moved_on and not _still_fits(base, self._document.job):
            self._notices.tell(
                Message("The sheets changed while autopack ran, so its layout was not used", "on the sheets",
                        "Autopack again"),
                "caution",
            )  # fmt: skip
            return
        edit = (lambda job: _with_added(job, result)) if moved_on else (lambda job: result.job)
        if self._document.apply("Autopack", edit):
            self._tell_outcome(base, result)
            self.packed.emit(tuple(range(first, self._document.job.next_id)))

    def _tell_outcome(self, base: Job, result: PackResult) -> None:
        stopped = "" if result.is_complete else "Stopped early: this is the best layout until then. "
        if result.unplaced:
            missing = sum(count for _, count in result.unplaced)
            names = ", ".join(base.piece(piece_id).name for piece_id, _ in result.unplaced[:3])
            copies = "copy" if missing == 1 else "copies"
            what = f"{stopped}{missing} ordered {copies} did not fit: {names}"
            self._notices.tell(Message(what, "on the sheets", "Add a sheet and autopack again"), "caution")
        elif not result.added:
            what = f"{stopped}Nothing more fits, or every copy lies on a sheet already"
            self._notices.tell(
                Message(what, "on the sheets", "Mark a piece as filler to use up the film that is left")
            )
        elif stopped:
            self._notices.tell(Message(stopped.strip(), "on the sheets", "Autopack again to search on"))

    def _end(self, task_id: int) -> None:
        if task_id == self._task_id:
            self._task_id = None
            self.running_changed.emit()


def _still_fits(base: Job, now: Job) -> bool:
    """Whether a layout made for the first job is as good for the second: same sheets, same pieces."""
    strip = [replace(job, name="", revision=1, waivers=(), orders=(), next_id=1) for job in (base, now)]
    return strip[0] == strip[1]


def _with_added(job: Job, result: PackResult) -> Job:
    """The job with the copies that autopack added, under fresh ids."""
    added = set(result.added)
    for sheet in result.job.sheets:
        copies = [(p.piece_id, p.pose) for p in sheet.placed if p.placed_id in added]
        if copies:
            job = lay_out(job, sheet.sheet_id, copies)
    return job
