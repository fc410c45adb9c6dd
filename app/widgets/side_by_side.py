"""A column of fields beside what they make, or beneath it where the window is narrow."""

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QWidget

NARROW_PX = 640
_MOST_PX = 16_777_215


class SideBySide(QWidget):
    """The fields keep their width while there is room for both."""

    def __init__(self, fields: QWidget, made: QWidget, fields_px: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._fields, self._fields_px = fields, fields_px
        self._box = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(0)
        self._box.addWidget(fields, 4)
        self._box.addWidget(made, 5)
        fields.setFixedWidth(fields_px)

    @property
    def is_narrow(self) -> bool:
        return self._box.direction() is QBoxLayout.Direction.BottomToTop

    def minimumSizeHint(self) -> QSize:
        return QSize(320, 320)

    def resizeEvent(self, event: QResizeEvent) -> None:
        narrow = event.size().width() < NARROW_PX
        if narrow != self.is_narrow:
            down, across = QBoxLayout.Direction.BottomToTop, QBoxLayout.Direction.LeftToRight
            self._box.setDirection(down if narrow else across)
            self._fields.setMinimumWidth(0 if narrow else self._fields_px)
            self._fields.setMaximumWidth(_MOST_PX if narrow else self._fields_px)
        super().resizeEvent(event)
