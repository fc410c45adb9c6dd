"""The top line: the job's name, whether it is saved and in what it is measured, and the menus."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QMenuBar, QSizePolicy, QWidget

from app.widgets.labels import label
from app.widgets.plain_tip import plain_tip
from app.widgets.quiet import FIELD_PX
from app.wiring import Workbench
from layout_core.job.edits import rename_job

UNIT_WORDS = {"in": "inches", "mm": "millimetres"}
_WIDEST_NAME_PX = 520
_ELIDE_RIGHT = Qt.TextElideMode.ElideRight


class JobName(QLineEdit):
    """The job's name, as wide as its words; Esc brings the old one back."""

    def __init__(self, bench: Workbench) -> None:
        super().__init__()
        self._bench = bench
        self._was_sized = False
        self.setAccessibleName("Job name")
        self.setProperty("look", "job")
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.textChanged.connect(self.updateGeometry)
        self.editingFinished.connect(self._rename)
        bench.document.job_changed.connect(self.refresh)
        self.refresh()

    def sizeHint(self) -> QSize:
        name = self.text() if self.hasFocus() else self._bench.document.job.name
        words = self.fontMetrics().horizontalAdvance(name + "  ")
        return QSize(min(words + 18, _WIDEST_NAME_PX), FIELD_PX)

    def minimumSizeHint(self) -> QSize:
        return QSize(60, FIELD_PX)

    def refresh(self) -> None:
        """Show the name; shortened with an ellipsis while nobody writes in it."""
        name = self._bench.document.job.name
        self.setToolTip(plain_tip(f"{name}: click to rename the job"))
        if self.isModified():
            return
        room = min(self.width() - 16, _WIDEST_NAME_PX - 18) if self._was_sized else _WIDEST_NAME_PX
        shown = name if self.hasFocus() else self.fontMetrics().elidedText(name, _ELIDE_RIGHT, room)
        self.setText(shown)
        self.setCursorPosition(0)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.setText(self._bench.document.job.name)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.refresh()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._was_sized = True
        if not self.hasFocus():
            self.refresh()

    def _rename(self) -> None:
        if self.isModified():
            self.setModified(False)
            name = self.text()
            self._bench.document.apply("Rename the job", lambda job: rename_job(job, name))
            self.refresh()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Escape, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if event.key() == Qt.Key.Key_Escape:
                self.setModified(False)
                self.refresh()
            self.clearFocus()
        else:
            super().keyPressEvent(event)


class TopLine(QWidget):
    """Name and state on the left, the menu bar on the right."""

    def __init__(self, bench: Workbench, menus: QMenuBar, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self.name = JobName(bench)
        self.state: QLabel = label("", "muted")
        # A long name gives way before a menu does.
        menus.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        row = QHBoxLayout(self)
        row.setContentsMargins(10, 6, 10, 0)
        row.setSpacing(6)
        row.addWidget(self.name)
        row.addWidget(self.state)
        row.addStretch(1)
        row.addWidget(menus)
        document = bench.document
        for signal in (
            document.saved_changed,
            document.path_changed,
            document.job_changed,
            bench.settings.changed,
        ):
            signal.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        document = self._bench.document
        if document.is_dirty:
            state = "unsaved changes"
        else:
            state = "saved" if document.path is not None else "not saved yet"
        self.state.setText(f"{state} · {UNIT_WORDS[self._bench.settings.unit]}")
        self.state.setAccessibleName(f"State: {self.state.text()}")
