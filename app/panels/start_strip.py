"""What a first start says: what to do next, and the one button that opens the sample job."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QWidget

from app.widgets.labels import label
from app.wiring import Workbench


class StartStrip(QFrame):
    """Shown above the sheets while the job holds no art."""

    sample_asked = Signal()
    add_art_asked = Signal()

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self.setProperty("look", "start")
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 10, 12, 10)
        row.setSpacing(10)
        words = label("Drop your art on the sheet to begin, or look at a finished job first.", wraps=True)
        row.addWidget(words, 1)
        self.add_button = QPushButton("Add art")
        self.sample_button = QPushButton("Open the sample job")
        self.sample_button.setProperty("look", "primary")
        self.add_button.clicked.connect(self.add_art_asked)
        self.sample_button.clicked.connect(self.sample_asked)
        row.addWidget(self.add_button, 0, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.sample_button, 0, Qt.AlignmentFlag.AlignVCenter)
        bench.document.job_changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        self.setVisible(not self._bench.document.job.arts)
