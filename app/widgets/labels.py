"""Labels by what they mean; the look of each lives in `style`."""

from typing import Literal

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QStyle, QStyleOption, QVBoxLayout, QWidget

from app.widgets.plain_tip import plain_tip

Look = Literal[
    "title", "heading", "strong", "body", "muted", "small", "caption", "measure", "caution", "stop", "note"
]


def label(text: str, look: Look = "body", *, wraps: bool = False) -> QLabel:
    """A plain-text label in one of the few text styles."""
    made = QLabel(text)
    made.setTextFormat(Qt.TextFormat.PlainText)
    made.setWordWrap(wraps)
    set_look(made, look)
    return made


def set_look(widget: QWidget, look: Look | Literal["primary"]) -> None:
    """Change what a widget means, and with it its look."""
    if widget.property("look") != look:
        widget.setProperty("look", look)
        widget.style().unpolish(widget)
        widget.style().polish(widget)


def capital(text: str) -> str:
    """The text with a capital at its start, as a line of its own."""
    return text[:1].upper() + text[1:]


class ElidedLabel(QLabel):
    """A one-line label that shortens a long text with an ellipsis and tells the whole in its tool tip."""

    def __init__(self, text: str, look: Look = "body", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        set_look(self, look)
        self.setText(text)

    def minimumSizeHint(self) -> QSize:
        return QSize(24, super().minimumSizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        shown = self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, self.width())
        self.setToolTip(plain_tip(self.text()) if shown != self.text() else "")
        painter = QPainter(self)
        option = QStyleOption()
        option.initFrom(self)
        self.style().drawPrimitive(QStyle.PrimitiveElement.PE_Widget, option, painter, self)
        self.style().drawItemText(
            painter, self.rect(), self.alignment().value, self.palette(), True, shown, self.foregroundRole()
        )
        painter.end()


def captioned(caption: str, field: QWidget) -> QWidget:
    """A field with its caption above, joined as buddies so that the caption names the field."""
    holder = QWidget()
    column = QVBoxLayout(holder)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(4)
    head = label(caption, "caption")
    head.setBuddy(field)
    column.addWidget(head)
    column.addWidget(field)
    if not field.accessibleName():
        field.setAccessibleName(caption.replace("&", ""))
    return holder


def measure_row(name: str, value: QLabel) -> QHBoxLayout:
    """A muted name on the left and its measure on the right."""
    row = QHBoxLayout()
    row.setSpacing(12)
    head = label(name, "muted")
    head.setBuddy(value)
    row.addWidget(head)
    value.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
    row.addWidget(value, 1)
    return row
