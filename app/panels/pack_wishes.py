"""How autopack lays: holes, straight cuts, any angle, how long it searches; and the shortest sheet."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from app.panels.current_sheet import CurrentSheet
from app.widgets.labels import captioned, label
from app.widgets.quiet import QuietCombo
from app.wiring import Workbench

SECONDS = ((3.0, "3 s"), (6.0, "6 s"), (20.0, "20 s"), (60.0, "1 min"))
"""How long true outlines may be searched, as seconds of a common desktop core."""


class PackWishes(QWidget):
    """Switches that count for every job of the shop, so they are settings and nothing to undo."""

    def __init__(self, bench: Workbench, current: CurrentSheet, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self.holes = _switch("Use holes of rings", "What lies in a hole must be cut out with scissors")
        self.straight = _switch("Straight cuts only", "Every piece can be freed by cuts from edge to edge")
        self.any_angle = _switch("Any angle", "Also turn pieces by less than a quarter; give it a minute")
        self.seconds = QuietCombo("How long autopack searches")
        for seconds, words in SECONDS:
            self.seconds.addItem(words, seconds)
        self.shorten = QPushButton("Shortest sheet")
        self.shorten.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.shorten.setToolTip(
            "Rearrange all that is not locked, and what is still ordered, on as little film as possible"
        )
        self._lay_out()
        settings = bench.settings
        self.holes.toggled.connect(lambda on: settings.change(pack_in_holes=on))
        self.straight.toggled.connect(lambda on: settings.change(pack_straight_cuts=on))
        self.any_angle.toggled.connect(lambda on: settings.change(pack_any_angle=on))
        self.seconds.activated.connect(lambda: settings.change(pack_seconds=self.seconds.currentData()))
        self.shorten.clicked.connect(lambda: bench.packing.shorten(current.sheet.sheet_id))
        settings.changed.connect(self.refresh)
        bench.packing.running_changed.connect(self.refresh)
        bench.document.job_changed.connect(self.refresh)
        self.refresh()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addWidget(label("How autopack lays", "heading"))
        for switch in (self.holes, self.straight, self.any_angle):
            column.addWidget(switch)
        row = QHBoxLayout()
        row.setContentsMargins(0, 2, 0, 0)
        row.setSpacing(10)
        row.addWidget(captioned("Sear&ch for", self.seconds), 1)
        row.addWidget(self.shorten, 0, Qt.AlignmentFlag.AlignBottom)
        column.addLayout(row)

    def refresh(self) -> None:
        """Show the settings as they are; a switch that straight cuts leave no say is greyed."""
        choices = self._bench.settings.choices
        states = (
            (self.holes, choices.pack_in_holes),
            (self.straight, choices.pack_straight_cuts),
            (self.any_angle, choices.pack_any_angle),
        )
        for switch, is_on in states:
            was_blocked = switch.blockSignals(True)
            switch.setChecked(is_on)
            switch.blockSignals(was_blocked)
        self.holes.setEnabled(not choices.pack_straight_cuts)
        self.any_angle.setEnabled(not choices.pack_straight_cuts)
        nearest = min(range(len(SECONDS)), key=lambda at: abs(SECONDS[at][0] - choices.pack_seconds))
        self.seconds.setCurrentIndex(nearest)
        self.shorten.setEnabled(bool(self._bench.document.job.pieces) and not self._bench.packing.is_running)


def _switch(text: str, tip: str) -> QCheckBox:
    box = QCheckBox(text)
    box.setToolTip(tip)
    return box
