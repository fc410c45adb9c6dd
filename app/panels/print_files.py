"""How the files for the printer are made: plates, spot names, underbase, mirror, marks; each an undo step."""

from dataclasses import replace
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from app.widgets.buttons import small_button
from app.widgets.labels import captioned, label
from app.widgets.quiet import FIELD_PX, QuietCombo, QuietDecimal
from app.wiring import Workbench
from layout_core.errors import LayoutError
from layout_core.job.edits import set_printing
from layout_core.job.printing import MOST_CHOKE_MM, PrintOptions, checked_printing
from layout_core.units import MM_PER_IN

RESOLUTIONS = (300, 600, 1200)
_THOUSANDTH_MM = MM_PER_IN / 1000.0
_SWITCHES = (
    ("has_cut_lines", "Cut lines, on a spot of their own"),
    ("has_underbase", "White underbase plate"),
    ("is_mirrored", "Mirrored: ink seen through the film"),
    ("has_marks", "Registration marks"),
    ("has_slug", "Slug: job, sheet, size, run"),
)


class PrintFiles(QWidget):
    """Shows and changes the job's print options; `refused` carries what cannot be taken."""

    refused = Signal(str)

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self.summary = label("", "small", wraps=True)
        self.open_button = small_button("Change", "Change how the print files are made", self._open)
        self.open_button.setCheckable(True)
        self.body = QWidget()
        self.dpi = QuietCombo("Plate resolution")
        self.ink_spot, self.cut_spot, self.under_spot = (QLineEdit() for _ in range(3))
        self.choke = QuietDecimal("Choke", 0.0, MOST_CHOKE_MM / _THOUSANDTH_MM, " thousandths of an inch", 1)
        self.switches = {name: QCheckBox(words) for name, words in _SWITCHES}
        self._spots = {"ink_spot": self.ink_spot, "cut_spot": self.cut_spot, "under_spot": self.under_spot}
        self._lay_out()
        self._connect()
        self.show_options(bench.document.job.printing)

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        head = QHBoxLayout()
        head.addWidget(label("Print files", "title"), 1)
        head.addWidget(self.open_button)
        column.addLayout(head)
        column.addWidget(self.summary)
        column.addWidget(self.body)
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 4, 0, 0)
        column.setSpacing(8)
        self.body.hide()
        self.ink_row = captioned("Ink's spot name", self.ink_spot)
        self.dpi_row = captioned("Plate resolution", self.dpi)
        self.cut_row = captioned("Cut lines' spot name", self.cut_spot)
        self.under_row = captioned("Underbase's spot name", self.under_spot)
        self.choke_row = captioned("Choke: how far it stays inside the ink", self.choke)
        for field in self._spots.values():
            field.setFixedHeight(FIELD_PX)
        for row in (self.ink_row, self.dpi_row):
            column.addWidget(row)
        column.addWidget(self.switches["has_cut_lines"])
        column.addWidget(self.cut_row)
        column.addWidget(self.switches["has_underbase"])
        column.addWidget(self.under_row)
        column.addWidget(self.choke_row)
        for name in ("is_mirrored", "has_marks", "has_slug"):
            column.addWidget(self.switches[name])

    def _connect(self) -> None:
        self.dpi.activated.connect(lambda: self._take("dpi", float(self.dpi.currentData())))
        self.choke.valueChanged.connect(self._take_choke)
        for name, field in self._spots.items():
            field.editingFinished.connect(lambda name=name, field=field: self._take_spot(name, field))
        for name, switch in self.switches.items():
            switch.clicked.connect(lambda is_on, name=name: self._take(name, is_on))

    def _open(self) -> None:
        is_open = self.open_button.isChecked()
        self.body.setVisible(is_open)
        self.open_button.setText("Close" if is_open else "Change")

    def show_options(self, printing: PrintOptions) -> None:
        """Show these without telling anyone."""
        choices = sorted({*map(float, RESOLUTIONS), printing.dpi})
        self.dpi.clear()
        for dpi in choices:
            self.dpi.addItem(f"{dpi:g} dpi", dpi)
        self.dpi.setCurrentIndex(choices.index(printing.dpi))
        for name, field in self._spots.items():
            if not field.isModified():
                field.setText(getattr(printing, name))
        self.choke.blockSignals(True)
        self.choke.setValue(printing.choke_mm / _THOUSANDTH_MM)
        self.choke.blockSignals(False)
        for name, switch in self.switches.items():
            switch.setChecked(getattr(printing, name))
        self.summary.setText(_summary(printing))
        self.cut_row.setVisible(printing.has_cut_lines)
        self.under_row.setVisible(printing.has_underbase)
        self.choke_row.setVisible(printing.has_underbase)

    def _take_choke(self, thousandths: float) -> None:
        if abs(thousandths * _THOUSANDTH_MM - self._bench.document.job.printing.choke_mm) > 1e-6:
            self._take("choke_mm", thousandths * _THOUSANDTH_MM)

    def _take_spot(self, name: str, field: QLineEdit) -> None:
        if field.isModified():
            field.setModified(False)
            self._take(name, field.text())

    def _take(self, name: str, value: Any) -> None:
        printing = self._bench.document.job.printing
        try:
            changed = checked_printing(replace(printing, **{name: value}))
        except LayoutError as error:
            self.refused.emit(str(error))
        else:
            if changed != printing:
                self._bench.document.apply("Print files", lambda job: set_printing(job, changed))
        self.show_options(self._bench.document.job.printing)


def _summary(printing: PrintOptions) -> str:
    """The options on one or two lines: "GLOW, 600 dpi plates, cut lines, marks, slug"."""
    words = [printing.ink_spot, f"{printing.dpi:g} dpi plates"]
    if printing.has_underbase:
        words.append(
            f"underbase choked {printing.choke_mm / _THOUSANDTH_MM:.1f}".removesuffix(".0") + "/1000 in"
        )
    named = (
        ("cut lines", printing.has_cut_lines),
        ("mirrored", printing.is_mirrored),
        ("marks", printing.has_marks),
        ("slug", printing.has_slug),
    )
    return ", ".join((*words, *(word for word, is_on in named if is_on)))
