"""An empty place that says what to do next in one sentence and holds the one button that does it."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from app.widgets.labels import label


class EmptyState(QWidget):
    """One sentence and one button; `pressed` tells the button's click."""

    pressed = Signal()

    def __init__(
        self, sentence: str, button: str | None = None, *, title: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 24, 24, 24)
        column.setSpacing(12)
        column.addStretch(1)
        if title:
            head = label(title, "title")
            head.setAlignment(Qt.AlignmentFlag.AlignCenter)
            column.addWidget(head)
        text = label(sentence, "muted", wraps=True)
        text.setAlignment(Qt.AlignmentFlag.AlignCenter)
        column.addWidget(text)
        self.button: QPushButton | None = None
        if button is not None:
            self.button = QPushButton(button)
            self.button.setProperty("look", "tonal")
            self.button.clicked.connect(self.pressed)
            column.addWidget(self.button, 0, Qt.AlignmentFlag.AlignCenter)
        column.addStretch(1)
