"""The job that is open: its undo stack, its file, and whether it is saved."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoStack

from app.commands import JobEdit
from layout_core.errors import LayoutError
from layout_core.job.edits import new_job
from layout_core.job.file import read_job, write_job
from layout_core.job.model import Job


class Document(QObject):
    """Holds the current Job. Every change goes through `apply`; nothing else replaces it.

    `job_changed(old, new)` follows an edit, undo, redo and the opening of another job;
    `refused(sentence)` follows an edit that the job could not take.
    """

    job_changed = Signal(object, object)
    saved_changed = Signal()
    path_changed = Signal()
    refused = Signal(str)
    replaced = Signal()
    """Another job was put in place of this one, after `job_changed`."""

    def __init__(self, job: Job | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._job = new_job() if job is None else job
        self._path: Path | None = None
        self._file_mark: object = None
        self.undo_stack = QUndoStack(self)
        self.undo_stack.cleanChanged.connect(self.saved_changed)

    @property
    def job(self) -> Job:
        return self._job

    @property
    def path(self) -> Path | None:
        """The file the job was read from or last saved to."""
        return self._path

    @property
    def is_dirty(self) -> bool:
        return not self.undo_stack.isClean()

    def apply(self, text: str, edit: Callable[[Job], Job], merge_key: str | None = None) -> bool:
        """Change the job by a pure edit, as one undo step called `text`; True when the job is another one.

        Edits in a row with the same merge key are one step. An edit that changes nothing is not pushed;
        one that raises LayoutError leaves the job as it was and is told by `refused`.
        """
        before = self._job
        try:
            after = edit(before)
        except LayoutError as error:
            self.refused.emit(str(error))
            return False
        if after == before:
            return False
        self.undo_stack.push(JobEdit(text, before, after, self._show, merge_key))
        return True

    def open(self, path: Path) -> None:
        """Show the job of a file in place of this one; raises JobFileError and keeps this one."""
        self.adopt(read_job(path), path)

    def start_new(self, job: Job | None = None) -> None:
        """Show a job that has no file yet."""
        self.adopt(new_job() if job is None else job)

    def adopt(self, job: Job, path: Path | None = None, *, is_saved: bool = True) -> None:
        """Show another job; `is_saved` False marks what its file does not hold, as after a recovery."""
        was_dirty = self.is_dirty
        self.undo_stack.clear()
        self._set_path(path)
        self._file_mark = _mark_of(path)
        self._show(job)
        if not is_saved:
            self.undo_stack.resetClean()
        if was_dirty != self.is_dirty:
            self.saved_changed.emit()
        self.replaced.emit()

    def save(self, path: Path | None = None) -> None:
        """Write the job to the path, or to the file it came from.

        Raises SaveError, and the job is as unsaved as before; ValueError when there is no path at all.
        """
        target = self._path if path is None else path
        if target is None:
            raise ValueError("a job that has no file yet is saved to a path")
        write_job(target, self._job)
        self._set_path(target)
        self._file_mark = _mark_of(target)
        self.undo_stack.setClean()

    def is_changed_outside(self) -> bool:
        """Whether the job's file is another one by now than was read or saved last.

        Tells it once for each change, so that a person can decide to save over it.
        """
        mark = _mark_of(self._path)
        if mark is None or mark == self._file_mark:
            return False
        is_changed, self._file_mark = self._file_mark is not None, mark
        return is_changed

    def _show(self, job: Job) -> None:
        old, self._job = self._job, job
        self.job_changed.emit(old, job)

    def _set_path(self, path: Path | None) -> None:
        if path != self._path:
            self._path = path
            self.path_changed.emit()


def _mark_of(path: Path | None) -> object:
    """What tells a file from one written later in its place; None when there is none."""
    try:
        found = None if path is None else path.stat()
    except (OSError, ValueError):
        return None
    return None if found is None else (found.st_mtime_ns, found.st_size, found.st_ino)
