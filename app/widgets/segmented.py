"""A segmented control: a few choices side by side, one of them in force."""

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QFrame, QHBoxLayout, QPushButton, QWidget


class Segmented(QFrame):
    """Exclusive choices by key; `chosen` tells the key when a person changes it."""

    chosen = Signal(str)

    def __init__(self, name: str, choices: Sequence[tuple[str, str]], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setProperty("look", "segmented")
        self._buttons: dict[str, QPushButton] = {}
        self._group = QButtonGroup(self)
        row = QHBoxLayout(self)
        row.setContentsMargins(3, 3, 3, 3)
        row.setSpacing(2)
        for key, text in choices:
            button = QPushButton(text)
            button.setCheckable(True)
            button.setAccessibleName(f"{name}: {text}")
            button.setProperty("look", "segment")
            button.clicked.connect(lambda _checked=False, key=key: self.chosen.emit(key))
            self._group.addButton(button)
            self._buttons[key] = button
            row.addWidget(button, 1)
        self.set_current(choices[0][0])

    @property
    def current(self) -> str:
        return next(key for key, button in self._buttons.items() if button.isChecked())

    def set_current(self, key: str) -> None:
        """Show a choice without telling anyone."""
        self._buttons[key].setChecked(True)

    def button(self, key: str) -> QPushButton:
        return self._buttons[key]
