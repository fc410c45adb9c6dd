"""The status line: the running task, the findings, the pointer's place, the zoom, the unit."""

from PySide6.QtCore import QPointF
from PySide6.QtWidgets import QLabel, QPushButton, QStatusBar, QWidget

from app.panels.job_words import open_findings, percent, severity_words
from app.panels.top_line import UNIT_WORDS
from app.widgets.labels import label
from app.widgets.task_bar import TaskBar
from app.wiring import Workbench
from layout_core.units import write_number


class StatusLine(QStatusBar):
    """Everything that is so right now, always in the same place."""

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._point: tuple[float, float, str] | None = None
        self.setSizeGripEnabled(False)
        self.setContentsMargins(10, 0, 10, 0)
        self.task = TaskBar(bench.tasks)
        self.findings: QLabel = label("", "muted")
        self.place: QLabel = label("", "muted")
        self.zoom: QLabel = label("", "muted")
        self.unit = QPushButton()
        self.unit.setProperty("look", "compact")
        self.unit.setToolTip("Change between inches and millimetres")
        self.unit.clicked.connect(self._change_unit)
        self.addWidget(self.task)
        for widget in (self.place, self.findings, self.zoom, self.unit):
            self.addPermanentWidget(widget)
            widget.setContentsMargins(0, 0, 12, 0)
        for signal in (
            bench.checker.findings_changed,
            bench.checker.busy_changed,
            bench.document.job_changed,
            bench.settings.changed,
        ):
            signal.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        bench = self._bench
        job, unit = bench.document.job, bench.settings.unit
        if not job.pieces:
            words = ""
        elif bench.checker.is_busy and not bench.checker.findings:
            words = "checking"
        else:
            words = severity_words(open_findings(job, bench.checker.findings))
        self.findings.setText(words)
        self.findings.setAccessibleName(f"Findings: {words}")
        self.unit.setText(UNIT_WORDS[unit])
        self.unit.setAccessibleName(f"Unit: {UNIT_WORDS[unit]}")
        self._show_place()

    def show_place(self, point: QPointF | tuple[float, float] | None, sheet_id: int | None) -> None:
        """The pointer's place on a sheet, mm in its frame; nothing off the sheets."""
        job = self._bench.document.job
        sheet = next((sheet for sheet in job.sheets if sheet.sheet_id == sheet_id), None)
        if point is None or sheet is None:
            self._point = None
        else:
            x_mm, y_mm = (point.x(), point.y()) if isinstance(point, QPointF) else point
            self._point = (x_mm, y_mm, sheet.name)
        self._show_place()

    def show_zoom(self, zoom: float) -> None:
        """The zoom as a share of true size."""
        self.zoom.setText(percent(zoom))
        self.zoom.setAccessibleName(f"Zoom: {percent(zoom)}")

    def _show_place(self) -> None:
        if self._point is None:
            self.place.setText("")
            return
        x_mm, y_mm, name = self._point
        unit = self._bench.settings.unit
        decimals = 2 if unit == "in" else 0
        x, y = (write_number(value, unit, decimals) for value in (x_mm, y_mm))
        self.place.setText(f"{name} · {x}, {y} {unit}")

    def _change_unit(self) -> None:
        settings = self._bench.settings
        settings.change(unit="mm" if settings.unit == "in" else "in")
