"""Every key and what it does, generated from the actions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QVBoxLayout

from app.panels.table_model import Cell, TableModel
from app.widgets.labels import label
from app.widgets.table import Table

if TYPE_CHECKING:
    from app.window import MainWindow

CANVAS_KEYS = (
    ("Arrow keys", "Move the chosen pieces a little"),
    ("Shift + arrow keys", "Move the chosen pieces further"),
    ("Space and drag", "Move the view"),
    ("Wheel", "Zoom at the pointer"),
)


class KeysDialog(QDialog):
    """Stays open beside the work."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self.setWindowTitle("Keys")
        self.model = TableModel(("Key", "What it does"), parent=self)
        keys = (*window.actions_by_name.key_list(), *CANVAS_KEYS)
        self.model.show_rows([(Cell(key), Cell(does)) for key, does in keys])
        table = Table("Keys", self.model, stretched=1, grows=False)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 18, 20, 16)
        column.setSpacing(12)
        column.addWidget(label("Keys", "title"))
        column.addWidget(table, 1)
        column.addWidget(buttons)

    def sizeHint(self) -> QSize:
        return QSize(620, 620)
