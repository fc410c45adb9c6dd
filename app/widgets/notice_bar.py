"""A line across the window that says one thing: an error and the next step, or an offer with its buttons."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent, QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget

from app.tokens import Theme
from app.widgets.labels import label
from app.widgets.marks import Mark, StateMark

Button = tuple[str, Callable[[], None]]


class NoticeBar(QFrame):
    """Hidden until there is something to say; never takes the keyboard away from the work."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("look", "notice")
        self.setAccessibleName("Message")
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(16, 8, 8, 8)
        self._row.setSpacing(10)
        self._mark = StateMark(Mark.NOTE, theme)
        self._text: QLabel = label("", "body", wraps=True)
        self._text.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self._text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._row.addWidget(self._mark)
        self._row.addWidget(self._text, 1)
        self._buttons: list[QPushButton] = []
        self.hide()

    @property
    def text(self) -> str:
        return self._text.text()

    @property
    def mark(self) -> Mark:
        return self._mark.mark

    @property
    def buttons(self) -> tuple[QPushButton, ...]:
        return tuple(self._buttons)

    def say(self, mark: Mark, text: str, buttons: Sequence[Button] = (), *, close: str = "Close") -> None:
        """Show a sentence with its buttons; the last button always closes the line."""
        self._drop_buttons()
        self._mark.set_mark(mark)
        self._text.setText(text)
        for words, action in buttons:
            self._add_button(words, action)
        self._add_button(close, lambda: None)
        self.show()
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, text))

    def dismiss(self) -> None:
        self.hide()
        self._drop_buttons()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.dismiss()
        else:
            super().keyPressEvent(event)

    def _add_button(self, words: str, action: Callable[[], None]) -> None:
        button = QPushButton(words)
        button.setProperty("look", "compact")

        def act() -> None:
            self.dismiss()
            action()

        button.clicked.connect(act)
        self._buttons.append(button)
        self._row.addWidget(button)

    def _drop_buttons(self) -> None:
        for button in self._buttons:
            self._row.removeWidget(button)
            button.hide()
            button.deleteLater()
        self._buttons.clear()
