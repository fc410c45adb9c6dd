"""One finding as a card: its mark, what is wrong, by how much, and the way to it."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from app.tokens import Theme
from app.widgets.buttons import small_button
from app.widgets.labels import label
from app.widgets.marks import Mark, StateMark
from app.widgets.plain_tip import plain_tip


class FindingCard(QFrame):
    """`show_asked` tells the way button; `waived(who, why)` and `unwaived` the two sides of a waiver.

    `fix_asked` carries the number of the fix whose button was pressed.
    """

    show_asked = Signal()
    fix_asked = Signal(int)
    waived = Signal(str, str)
    unwaived = Signal()

    def __init__(
        self,
        mark: Mark,
        title: str,
        detail: str,
        message: str,
        theme: Theme,
        *,
        fixes: Sequence[str] = (),
        waiver: str = "",
        may_waive: bool = True,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setProperty("look", "card")
        self.setAccessibleName(f"{mark.value}: {title}. {detail}".replace("\n", ", "))
        self.setToolTip(plain_tip(message))
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 10, 12, 10)
        row.setSpacing(10)
        row.addWidget(StateMark(mark, theme), 0, Qt.AlignmentFlag.AlignTop)
        self._column = QVBoxLayout()
        self._column.setSpacing(3)
        self._column.addWidget(label(title, "strong", wraps=True))
        if detail:
            self._column.addWidget(label(detail, "small", wraps=True))
        if waiver:
            self._column.addWidget(label(waiver, "small", wraps=True))
        self.fix_buttons = self._fixes(fixes, title)
        self._buttons = QHBoxLayout()
        self._buttons.setSpacing(6)
        self.show_button = self._button("Show", f"Show where: {title}")
        self.show_button.clicked.connect(self.show_asked)
        if waiver:
            self.back_button = self._button("Take back", f"Take back the waiver of: {title}")
            self.back_button.clicked.connect(self.unwaived)
        elif may_waive:
            self.waive_button = self._button("Waive…", f"Waive: {title}")
            self.waive_button.clicked.connect(self._open_form)
        self._buttons.addStretch(1)
        self._column.addSpacing(3)
        self._column.addLayout(self._buttons)
        self._form: QWidget | None = None
        row.addLayout(self._column, 1)

    def _fixes(self, fixes: Sequence[str], title: str) -> tuple[QPushButton, ...]:
        """One button a fix, each on a line of its own: a panel is narrow."""
        made = []
        lines = QVBoxLayout()
        lines.setSpacing(4)
        for number, text in enumerate(fixes):
            button = small_button(text, f"{text}: {title}", partial(self.fix_asked.emit, number), "fix")
            lines.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
            made.append(button)
        if made:
            self._column.addSpacing(3)
            self._column.addLayout(lines)
        return tuple(made)

    def _button(self, text: str, name: str) -> QPushButton:
        button = QPushButton(text)
        button.setAccessibleName(name)
        button.setProperty("look", "compact")
        self._buttons.addWidget(button)
        return button

    def _open_form(self) -> None:
        if self._form is not None:
            return
        self.waive_button.setEnabled(False)
        self._form = QWidget()
        column = QVBoxLayout(self._form)
        column.setContentsMargins(0, 6, 0, 0)
        column.setSpacing(6)
        self.who = _line("Who accepts it", column)
        self.reason = _line("Why", column)
        buttons = QHBoxLayout()
        self.accept_button = QPushButton("Waive")
        self.accept_button.setProperty("look", "compact")
        self.accept_button.setEnabled(False)
        self.accept_button.clicked.connect(self._accept)
        leave = QPushButton("Cancel")
        leave.setProperty("look", "compact")
        leave.clicked.connect(self._close_form)
        buttons.addWidget(self.accept_button)
        buttons.addWidget(leave)
        buttons.addStretch(1)
        column.addLayout(buttons)
        for field in (self.who, self.reason):
            field.textChanged.connect(self._weigh)
            field.returnPressed.connect(self._accept)
        self._column.addWidget(self._form)
        self.who.setFocus()

    def _weigh(self) -> None:
        self.accept_button.setEnabled(bool(self.who.text().strip() and self.reason.text().strip()))

    def _accept(self) -> None:
        if self.accept_button.isEnabled():
            self.waived.emit(self.who.text().strip(), self.reason.text().strip())

    def _close_form(self) -> None:
        if self._form is not None:
            self._form.deleteLater()
            self._form = None
        self.waive_button.setEnabled(True)
        self.waive_button.setFocus()


def _line(caption: str, column: QVBoxLayout) -> QLineEdit:
    field = QLineEdit()
    field.setPlaceholderText(caption)
    field.setAccessibleName(caption)
    field.setMinimumHeight(30)
    column.addWidget(field)
    return field
