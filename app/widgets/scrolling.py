"""A panel's column that scrolls when the window is low, and never sideways."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget


class ScrollColumn(QScrollArea):
    """`column` takes the widgets; they keep the top and the width of the panel."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setProperty("look", "panel")
        self.body = QWidget()
        self.body.setProperty("look", "panel")
        self.column = QVBoxLayout(self.body)
        self.column.setContentsMargins(16, 14, 16, 16)
        self.column.setSpacing(12)
        self.setWidget(self.body)
