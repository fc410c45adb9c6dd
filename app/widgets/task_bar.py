"""The running task in the status line: what it does, how far it is, and a Stop that works."""

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QPushButton, QSizePolicy, QWidget

from app.tasks import TaskRunner
from app.widgets.labels import label

WAIT_MS = 300
"""What ends sooner needs no bar; the checks after each nudge would make it flicker."""


class TaskBar(QWidget):
    """Follows the task runner: shows the task that began last and stops it on request."""

    def __init__(self, tasks: TaskRunner, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._tasks = tasks
        self._running: dict[int, str] = {}
        self._label: QLabel = label("", "muted")
        self._bar = QProgressBar()
        self._bar.setRange(0, 1000)
        self._bar.setTextVisible(False)
        self._bar.setFixedSize(140, 6)
        self._bar.setAccessibleName("Progress")
        self._stop = QPushButton("Stop")
        self._stop.setProperty("look", "compact")
        self._stop.setAccessibleName("Stop the running task")
        self._stop.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self._stop.clicked.connect(self._stop_shown)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(10)
        row.addWidget(self._label)
        row.addWidget(self._bar, 0, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self._stop)
        row.addStretch(1)
        self._wait = QTimer(self, singleShot=True, interval=WAIT_MS)
        self._wait.timeout.connect(self.show)
        tasks.started.connect(self._begin)
        tasks.progressed.connect(self._progress)
        tasks.ended.connect(self._end)
        self.hide()

    @property
    def stop_button(self) -> QPushButton:
        return self._stop

    @property
    def text(self) -> str:
        return self._label.text()

    def _begin(self, task_id: int, text: str) -> None:
        self._running[task_id] = text
        self._label.setText(text)
        self._bar.setRange(0, 0)
        self._stop.setEnabled(True)
        if self.isHidden() and not self._wait.isActive():
            self._wait.start()

    def _progress(self, task_id: int, fraction: float, text: str) -> None:
        if task_id != self._shown:
            return
        self._bar.setRange(0, 1000)
        self._bar.setValue(int(1000 * fraction))
        if text:
            self._label.setText(f"{self._running[task_id]} · {text}")

    def _end(self, task_id: int) -> None:
        self._running.pop(task_id, None)
        if self._running:
            self._label.setText(self._running[max(self._running)])
            self._bar.setRange(0, 0)
        else:
            self._wait.stop()
            self.hide()

    @property
    def _shown(self) -> int | None:
        return max(self._running, default=None)

    def _stop_shown(self) -> None:
        if self._shown is not None:
            self._stop.setEnabled(False)
            self._tasks.stop(self._shown)
