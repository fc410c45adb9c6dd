"""Keeps snapshots of unsaved work while a person works, and brings back what a crash left."""

import threading
from collections.abc import Callable
from pathlib import Path
from typing import Protocol

from PySide6.QtCore import QObject, Qt, Signal

from app.document import Document
from app.messages import Message
from app.notices import Notices
from app.tasks import TaskRunner
from layout_core.job.model import Job
from layout_core.job.snapshots import (
    Recoverable,
    SnapshotKeeper,
    discard,
    recoverable,
    restore,
    sweep_snapshots,
)
from layout_core.progress import Progress

LATEST_S = 2.0
"""A snapshot is begun so long after the first change it holds; with the writing it is at most 3 s behind."""


class Later(Protocol):
    """Something that will happen, unless it is cancelled."""

    def start(self) -> None: ...

    def cancel(self) -> None: ...


class _Alarm(threading.Timer):
    """A timer that keeps no program from ending."""

    daemon = True


class Autosave(QObject):
    """Writes a snapshot in the background soon after each change of an unsaved job, and of the changes since.

    Neither the waiting nor the writing needs the window's thread: what a person ends because it hangs has
    kept its work. A save, the opening of another job and a clean end remove the snapshots; what was restored
    outlives the restore until the job is saved.
    """

    _failed = Signal(object)

    def __init__(
        self,
        document: Document,
        tasks: TaskRunner,
        notices: Notices,
        parent: QObject | None = None,
        later: Callable[[float, Callable[[], None]], Later] = _Alarm,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._tasks = tasks
        self._notices = notices
        self._later = later
        self._keeper = SnapshotKeeper()
        self._restored: Recoverable | None = None
        self._alarm: Later | None = None
        # One object, so that a worker never sees a half of it.
        self._unkept: tuple[SnapshotKeeper, Job, Path | None] | None = None
        self._may_have_written = False
        self._has_told_failure = False
        self._failed.connect(self._tell_failure, Qt.ConnectionType.QueuedConnection)
        document.job_changed.connect(self._expect)
        document.saved_changed.connect(self._forget_when_saved)
        document.replaced.connect(self._forget)

    def write_now(self) -> None:
        """Have the job as it is written, unless it is saved; any thread may ask."""
        self._alarm = None
        self._tasks.run_unseen(self._write, "saving")

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
        self._unkept = None
        if self._alarm is not None:
            self._alarm.cancel()
        self._drop()

    def _expect(self) -> None:
        self._keeper.settle()
        self._may_have_written = True
        self._unkept = (self._keeper, self._document.job, self._document.path)
        # Not restarted by later changes, or steady work would put every snapshot off.
        if self._alarm is None:
            self._alarm = self._later(LATEST_S, self.write_now)
            self._alarm.start()

    def _write(self) -> None:
        unkept = self._unkept
        if unkept is None:
            return
        keeper, job, path = unkept
        try:
            keeper.write(job, path)
        except Exception as error:
            self._failed.emit(error)
        else:
            self._has_told_failure = False

    def _forget_when_saved(self) -> None:
        if not self._document.is_dirty:
            self._forget()

    def _forget(self) -> None:
        if not self._may_have_written and self._restored is None:
            return
        self._may_have_written = self._document.is_dirty
        keeper, restored = self._keeper, self._restored
        self._keeper, self._restored = SnapshotKeeper(), None
        job, path = self._document.job, self._document.path
        self._unkept = (self._keeper, job, path) if self._document.is_dirty else None

        def work(progress: Progress) -> None:
            _remove(keeper, restored)

        # In the lane of the writes, or one under way would bring the folder back.
        self._tasks.start("Removing snapshots", work, lambda _: None, self._tell_failure, lane="saving")

    def _drop(self) -> None:
        _remove(self._keeper, self._restored)
        self._restored = None

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
