"""Checks the job in the background after each change and holds the newest findings."""

from collections.abc import Mapping
from dataclasses import dataclass

from PySide6.QtCore import QObject, QTimer, Signal

from app.document import Document
from app.tasks import TaskRunner
from layout_core.checks.findings import Finding
from layout_core.checks.misses import Miss
from layout_core.checks.promise_fixes import piece_misses
from layout_core.checks.run import ArtReport, CheckCache, check_job, piece_report
from layout_core.job.model import Job
from layout_core.progress import Progress

WAIT_MS = 60
"""Changes within this time are checked together; far below the tenth of a second that feels instant."""


@dataclass(frozen=True, slots=True)
class _Outcome:
    """What one run found, and in which job."""

    job: Job
    findings: tuple[Finding, ...]
    reports: Mapping[int, ArtReport]
    misses: Mapping[int, tuple[Miss, ...]]


class Checker(QObject):
    """`findings` and `report` are those of the last job that was checked whole.

    While `is_busy` they may lag behind the document by one change; a result for a job that has moved on
    is dropped. `failed(exception)` follows a check that broke, and the old findings stand.
    """

    findings_changed = Signal()
    busy_changed = Signal()
    failed = Signal(object)

    def __init__(self, document: Document, tasks: TaskRunner, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._tasks = tasks
        self._cache = CheckCache()
        self._outcome: _Outcome | None = None
        self._task_id: int | None = None
        self._is_busy = False
        self._timer = QTimer(self, singleShot=True, interval=WAIT_MS)
        self._timer.timeout.connect(self._start)
        document.job_changed.connect(self._expect)
        self._expect()

    @property
    def findings(self) -> tuple[Finding, ...]:
        return () if self._outcome is None else self._outcome.findings

    @property
    def is_busy(self) -> bool:
        return self._is_busy

    def report(self, piece_id: int) -> ArtReport | None:
        """What the art of a piece measures at its size; None until it has been checked."""
        return None if self._outcome is None else self._outcome.reports.get(piece_id)

    def misses(self, piece_id: int) -> tuple[Miss, ...]:
        """What of a piece misses the promise of the job that was checked last, worst first."""
        return () if self._outcome is None else self._outcome.misses.get(piece_id, ())

    def _expect(self) -> None:
        # Not restarted by later changes, or a held arrow key would put every check off until it is let go.
        if not self._timer.isActive():
            self._timer.start()
        self._set_busy(True)

    def _start(self) -> None:
        if self._task_id is not None:
            self._tasks.stop(self._task_id)
        job, cache = self._document.job, self._cache

        def work(progress: Progress) -> _Outcome:
            findings = check_job(job, cache, progress)
            reports = {p.piece_id: piece_report(job, p, cache) for p in job.pieces}
            misses = {p.piece_id: piece_misses(job, p, cache) for p in job.pieces}
            return _Outcome(job, findings, reports, misses)

        self._task_id = self._tasks.start("Checking", work, self._take, self._tell_failure, lane="checks")

    def _take(self, outcome: _Outcome) -> None:
        if outcome.job is not self._document.job:
            return
        self._outcome = outcome
        self._set_busy(False)
        self.findings_changed.emit()

    def _tell_failure(self, error: Exception) -> None:
        self._set_busy(False)
        self.failed.emit(error)

    def _set_busy(self, is_busy: bool) -> None:
        if is_busy != self._is_busy:
            self._is_busy = is_busy
            self.busy_changed.emit()
