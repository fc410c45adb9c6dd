"""Keeps snapshots of unsaved work while a person works, and brings back what a crash left."""

from PySide6.QtCore import QObject, QTimer

from app.document import Document
from app.messages import Message
from app.notices import Notices
from app.tasks import TaskRunner
from layout_core.job.snapshots import (
    Recoverable,
    SnapshotKeeper,
    discard,
    recoverable,
    restore,
    sweep_snapshots,
)
from layout_core.progress import Progress

LATEST_MS = 2_000
"""A snapshot is begun so long after the first change it holds; with the writing it is at most 3 s behind."""


class Autosave(QObject):
    """Writes a snapshot in the background soon after each change of an unsaved job, and of the changes since.

    A save, the opening of another job and a clean end remove the snapshots; what was restored outlives
    the restore until the job is saved.
    """

    def __init__(
        self, document: Document, tasks: TaskRunner, notices: Notices, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._tasks = tasks
        self._notices = notices
        self._keeper = SnapshotKeeper()
        self._restored: Recoverable | None = None
        self._has_written = False
        self._has_told_failure = False
        self._due = QTimer(self, singleShot=True, interval=LATEST_MS)
        self._due.timeout.connect(self.write_now)
        document.job_changed.connect(self._expect)
        document.saved_changed.connect(self._forget_when_saved)
        document.replaced.connect(self._forget)

    def write_now(self) -> None:
        """Write a snapshot of the job as it is, unless it is saved."""
        self._due.stop()
        if not self._document.is_dirty:
            return
        self._has_written = True
        job, path, keeper = self._document.job, self._document.path, self._keeper

        def work(progress: Progress) -> None:
            keeper.write(job, path)

        self._tasks.start("Keeping a snapshot", work, self._rejoice, self._tell_failure, lane="saving")

    def left_behind(self) -> tuple[Recoverable, ...]:
        """The unsaved work of crashed windows, newest first."""
        sweep_snapshots()
        return recoverable()

    def bring_back(self, left: Recoverable) -> None:
        """Show the newest snapshot as an unsaved job. Raises JobFileError when none can be read."""
        self._document.adopt(restore(left), left.job_path, is_saved=False)
        self._restored = left
        self._keeper.follow(left)

    def decline(self, left: Recoverable) -> None:
        """Delete what was left behind."""
        discard(left)

    def finish(self) -> None:
        """Remove the snapshots at a clean end; the workers must have ended."""
        self._due.stop()
        self._drop()

    def _expect(self) -> None:
        self._keeper.settle()
        # Not restarted by later changes, or steady work would put every snapshot off.
        if not self._due.isActive():
            self._due.start()

    def _forget_when_saved(self) -> None:
        if not self._document.is_dirty:
            self._forget()

    def _forget(self) -> None:
        if not self._has_written and self._restored is None:
            return
        self._has_written = False
        keeper, restored = self._keeper, self._restored
        self._keeper, self._restored = SnapshotKeeper(), None

        def work(progress: Progress) -> None:
            _remove(keeper, restored)

        # In the lane of the writes, or one under way would bring the folder back.
        self._tasks.start("Removing snapshots", work, lambda _: None, self._tell_failure, lane="saving")

    def _drop(self) -> None:
        _remove(self._keeper, self._restored)
        self._restored = None

    def _rejoice(self, _: None) -> None:
        self._has_told_failure = False

    def _tell_failure(self, error: Exception) -> None:
        if not self._has_told_failure:
            self._has_told_failure = True
            self._notices.tell(
                Message(
                    f"No snapshot of the unsaved job could be kept: {error}", "autosave", "Save the job now"
                ),
                "caution",
            )


def _remove(keeper: SnapshotKeeper, restored: Recoverable | None) -> None:
    keeper.close()
    if restored is not None:
        discard(restored)
