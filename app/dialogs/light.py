"""The light of the job, beside the work: ink, charge, venue and promise, own readings, the swatch card."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QTabWidget, QVBoxLayout

from app.dialogs.light_page import LightPage
from app.dialogs.own_ink_page import OwnInkPage
from app.dialogs.swatch_page import SwatchPage
from app.panels.seen_words import CAUTION
from app.widgets.labels import label

if TYPE_CHECKING:
    from app.window import MainWindow


class LightDialog(QDialog):
    """Each change counts at once and can be undone; nothing waits for a button."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self.setWindowTitle("Light and promise")
        self.light = LightPage(window.bench)
        self.own_ink = OwnInkPage(window.bench)
        self.swatch = SwatchPage(window.bench)
        self.tabs = QTabWidget()
        for page, name in (
            (self.light, "&Light and promise"),
            (self.own_ink, "&Own ink"),
            (self.swatch, "&Swatch card"),
        ):
            self.tabs.addTab(page, name)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 18, 20, 16)
        column.setSpacing(10)
        column.addWidget(self.tabs, 1)
        column.addWidget(label(CAUTION, "small", wraps=True))
        column.addWidget(buttons)
        self.setMinimumSize(520, 660)
        for page in (self.own_ink, self.swatch):
            page.kept.connect(self.light.read_tables)

    def showEvent(self, event: QShowEvent) -> None:
        self.light.read_tables()
        super().showEvent(event)
