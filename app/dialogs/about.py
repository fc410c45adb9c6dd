"""What the program is, under which licence, and the cautions it states."""

from __future__ import annotations

from importlib.metadata import version
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QDialog, QDialogButtonBox, QVBoxLayout

from app.widgets.labels import label

if TYPE_CHECKING:
    from app.window import MainWindow

CAUTIONS = (
    "Hot platens burn on contact: wear gloves, never reach in, keep children away.",
    "Ventilate; stop at smoke or smell. Test-press one garment of the same fabric first.",
    "Follow the instructions of the ink, transfer, garment and press: they outrank any figure here.",
    "Glow prints are decoration, never a substitute for high-visibility clothing, safety signs or "
    "escape-route marking. Children's sleepwear has flammability law of its own.",
)


class AboutDialog(QDialog):
    """Plain words, no links: nothing leaves the machine."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self.setWindowTitle("About Duskwright")
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 20, 24, 16)
        column.setSpacing(10)
        column.addWidget(label(f"Duskwright {version('duskwright')}", "title"))
        column.addWidget(
            label("Lays out glow-in-the-dark transfer sheets. MIT licence. Built with Qt and PySide6 (LGPL).",
                  "muted", wraps=True)
        )  # fmt: skip
        column.addWidget(label("Cautions", "heading"))
        for caution in CAUTIONS:
            column.addWidget(label(caution, wraps=True))
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column.addWidget(buttons)
        self.setFixedWidth(520)
