"""The one undo command: the job before an edit and the job after it."""

from collections.abc import Callable

from PySide6.QtGui import QUndoCommand

from layout_core.job.model import Job

NEVER_MERGES = -1
MAY_MERGE = 1


class JobEdit(QUndoCommand):
    """Swaps between two jobs; edits with the same merge key that follow each other become one step."""

    def __init__(
        self, text: str, before: Job, after: Job, show: Callable[[Job], None], merge_key: str | None = None
    ) -> None:
        super().__init__(text)
        self.before = before
        self.after = after
        self.merge_key = merge_key
        self._show = show

    def redo(self) -> None:
        self._show(self.after)

    def undo(self) -> None:
        self._show(self.before)

    def id(self) -> int:
        return NEVER_MERGES if self.merge_key is None else MAY_MERGE

    def mergeWith(self, other: QUndoCommand) -> bool:
        """Take in the edit that follows; a pair that ends where it began marks itself obsolete."""
        if not isinstance(other, JobEdit) or other.merge_key != self.merge_key:
            return False
        self.after = other.after
        self.setObsolete(self.after == self.before)
        return True
