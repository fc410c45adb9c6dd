"""Small buttons of cards and panels, made with what they do."""

from collections.abc import Callable

from PySide6.QtWidgets import QHBoxLayout, QPushButton


def small_button(text: str, name: str, act: Callable[[], None], look: str = "compact") -> QPushButton:
    """A button with a short text; `name` says the whole to a screen reader."""
    button = QPushButton(text)
    button.setProperty("look", look)
    button.setAccessibleName(name)
    button.clicked.connect(lambda _checked=False: act())
    return button


def in_a_row(*buttons: QPushButton) -> QHBoxLayout:
    """The buttons side by side, as wide as they need."""
    row = QHBoxLayout()
    row.setSpacing(6)
    for button in buttons:
        row.addWidget(button)
    row.addStretch(1)
    return row
