"""The few settings: unit, theme, snapping, motion; each counts at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QCheckBox, QDialog, QDialogButtonBox, QVBoxLayout

from app.widgets.labels import label
from app.widgets.segmented import Segmented

if TYPE_CHECKING:
    from app.window import MainWindow


class SettingsDialog(QDialog):
    """Follows the settings, so a change made elsewhere shows here too."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self.setWindowTitle("Settings")
        self._settings = window.bench.settings
        self.unit = Segmented("Unit", [("in", "Inches"), ("mm", "Millimetres")])
        self.theme = Segmented("Theme", [("system", "System"), ("dark", "Dark"), ("light", "Light")])
        self.snapping = QCheckBox("Pieces catch on edges, middles and the gap")
        self.motion = QCheckBox("Pieces slide to their places")
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 18, 20, 16)
        column.setSpacing(10)
        column.addWidget(label("Settings", "title"))
        for caption, field in (("Unit", self.unit), ("Theme", self.theme)):
            column.addWidget(label(caption, "caption"))
            column.addWidget(field)
        column.addWidget(self.snapping)
        column.addWidget(self.motion)
        column.addSpacing(6)
        column.addWidget(buttons)
        self.setMinimumWidth(380)
        self.unit.chosen.connect(lambda key: self._settings.change(unit=key))
        self.theme.chosen.connect(lambda key: self._settings.change(theme=key))
        self.snapping.clicked.connect(lambda on: self._settings.change(snapping=on))
        self.motion.clicked.connect(lambda on: self._settings.change(motion=on))
        self._settings.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        self.unit.set_current(self._settings.unit)
        self.theme.set_current(self._settings.theme)
        self.snapping.setChecked(self._settings.snapping)
        self.motion.setChecked(self._settings.motion)
