"""What all work on the job in the background stands on: the job, the tasks, and where errors are told."""

from PySide6.QtCore import QObject, Signal

from app.document import Document
from app.notices import Notices
from app.tasks import TaskRunner


class JobWork(QObject):
    """`changed` follows whatever is to be shown anew; each kind of work says what the end of a task means."""

    changed = Signal()

    def __init__(
        self, document: Document, tasks: TaskRunner, notices: Notices, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._tasks = tasks
        self._notices = notices
        tasks.ended.connect(self._end)

    def _end(self, task_id: int) -> None:
        """A task has ended: done, stopped or failed; it may be anybody's."""
        raise NotImplementedError
