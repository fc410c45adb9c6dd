"""Which sheet the panels and tools speak of: that of the chosen pieces, else the one looked at last."""

from PySide6.QtCore import QObject, Signal

from app.document import Document
from app.selection import Selection
from layout_core.job.model import Job, Sheet


class CurrentSheet(QObject):
    """Always a sheet of the job; `changed` tells when it becomes another one."""

    changed = Signal()

    def __init__(self, document: Document, selection: Selection, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._sheet_id = document.job.sheets[0].sheet_id
        selection.changed.connect(self._follow_selection)
        document.job_changed.connect(self._follow_job)

    @property
    def sheet_id(self) -> int:
        return self.sheet.sheet_id

    @property
    def sheet(self) -> Sheet:
        """The last sheet of the job from the moment the one looked at is gone, whoever hears of it first."""
        sheets = self._document.job.sheets
        return next((sheet for sheet in sheets if sheet.sheet_id == self._sheet_id), sheets[-1])

    def choose(self, sheet_id: int) -> None:
        """Speak of this sheet; one that is not in the job is passed over."""
        if sheet_id != self._sheet_id and any(s.sheet_id == sheet_id for s in self._document.job.sheets):
            self._sheet_id = sheet_id
            self.changed.emit()

    def _follow_selection(self) -> None:
        chosen = self._selection.placed_ids
        if chosen and not any(placed.placed_id in chosen for placed in self.sheet.placed):
            self.choose(self._document.job.sheet_of(min(chosen)).sheet_id)

    def _follow_job(self, old: Job, new: Job) -> None:
        if all(sheet.sheet_id != self._sheet_id for sheet in new.sheets):
            self._sheet_id = new.sheets[-1].sheet_id
            self.changed.emit()
