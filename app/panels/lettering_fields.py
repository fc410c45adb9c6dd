"""How words are set: font, cap height, lines, tracking, bend and contour, as fields."""

from dataclasses import replace
from typing import cast

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QVBoxLayout, QWidget

from app.panels.face_chooser import FaceChooser
from app.widgets.labels import capital, captioned, label
from app.widgets.length_field import LengthField
from app.widgets.quiet import QuietDecimal
from app.widgets.segmented import Segmented
from app.wiring import Workbench
from layout_core.art.contours import Contouring
from layout_core.art.lettering import RANGES, Alignment, Lettering
from layout_core.errors import LetteringError
from layout_core.units import Unit

_ALIGNMENTS = (("left", "Left"), ("centre", "Centre"), ("right", "Right"))
_CONTOURS = (("none", "None"), ("inside", "Inside"), ("outside", "Outside"))


def fault_label() -> QLabel:
    """A sentence beside the field that it is about; hidden while there is none."""
    made = label("", "stop", wraps=True)
    made.hide()
    return made


def show_fault(where: QLabel, sentence: str) -> None:
    where.setText(capital(sentence))
    where.setVisible(bool(sentence))


class LetteringFields(QWidget):
    """Everything of a Lettering but its words. `changed` follows each good entry."""

    changed = Signal()

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._kept = Lettering("")
        self.faces = FaceChooser(bench)
        self.cap_height = self._length("Cap height", "cap_height_mm")
        self.alignment = Segmented("Alignment", _ALIGNMENTS)
        self.spacing = self._figure("Line spacing in cap heights", "line_spacing", "", 0.1, 2)
        self.tracking = self._figure("Tracking in thousandths of an em", "tracking", "", 10.0, 0)
        self.bend = self._figure("Bend in degrees", "bend_deg", "°", 10.0, 0)
        self.contour = Segmented("Contour", _CONTOURS)
        self.line = self._length("Line of the contour", "line_mm")
        self.gap = self._length("Gap of the contour", "gap_mm")
        self.font_fault, self.cap_fault, self.bend_fault, self.contour_fault = (
            fault_label() for _ in range(4)
        )
        self._lay_out()
        self._join()
        self.show_setting(self._kept)

    def lettering(self, text: str) -> Lettering:
        """The words set as the fields say."""
        return replace(
            self._kept,
            text=text,
            font=self.faces.name,
            cap_height_mm=_held(self.cap_height, self._kept.cap_height_mm),
            alignment=cast(Alignment, self.alignment.current),
            line_spacing=self.spacing.value(),
            tracking=self.tracking.value(),
            bend_deg=self.bend.value(),
            contour=cast(Contouring, self.contour.current),
            line_mm=_held(self.line, self._kept.line_mm),
            gap_mm=_held(self.gap, self._kept.gap_mm),
        )

    def show_setting(self, lettering: Lettering) -> None:
        """Show how a lettering is set without telling anyone; what has no field is kept."""
        self._kept = lettering
        self.faces.show_name(lettering.font)
        self.alignment.set_current(lettering.alignment)
        self.contour.set_current(lettering.contour)
        for length, value_mm in (
            (self.cap_height, lettering.cap_height_mm),
            (self.line, lettering.line_mm),
            (self.gap, lettering.gap_mm),
        ):
            length.set_value_mm(value_mm)
        for figure, value in (
            (self.spacing, lettering.line_spacing),
            (self.tracking, lettering.tracking),
            (self.bend, lettering.bend_deg),
        ):
            was = figure.blockSignals(True)
            figure.setValue(value)
            figure.blockSignals(was)
        self.show_error(None)
        self._show_contour()

    def set_unit(self, unit: Unit) -> None:
        for length in (self.cap_height, self.line, self.gap):
            length.set_unit(unit)

    def show_error(self, error: LetteringError | None) -> None:
        """Say what is in the way beside the field it is about; what is about the words is not said here."""
        about = "" if error is None else error.about
        show_fault(self.font_fault, str(error) if about == "font" else "")
        show_fault(self.bend_fault, str(error) if about == "bend" else "")

    def _length(self, name: str, field: str) -> LengthField:
        least_mm, most_mm, _ = RANGES[field]
        return LengthField(name, self._bench.settings.unit, least_mm=least_mm, most_mm=most_mm)

    def _figure(self, name: str, field: str, suffix: str, step: float, decimals: int) -> QuietDecimal:
        least, most, _ = RANGES[field]
        made = QuietDecimal(name, least, most, suffix, decimals)
        made.setSingleStep(step)
        return made

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(10)
        column.addWidget(captioned("Font", self.faces))
        column.addWidget(self.font_fault)
        grid = QGridLayout()
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(10)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)
        grid.addWidget(captioned("Cap height", self.cap_height), 0, 0)
        grid.addWidget(captioned("Bend", self.bend), 0, 1)
        grid.addWidget(self.cap_fault, 1, 0, 1, 2)
        grid.addWidget(self.bend_fault, 2, 0, 1, 2)
        grid.addWidget(captioned("Tracking", self.tracking), 3, 0)
        grid.addWidget(captioned("Line spacing", self.spacing), 3, 1)
        grid.addWidget(captioned("Lines", self.alignment), 4, 0, 1, 2)
        grid.addWidget(captioned("Contour", self.contour), 5, 0, 1, 2)
        self._line_holder = captioned("Its ink", self.line)
        self._gap_holder = captioned("Its gap", self.gap)
        grid.addWidget(self._line_holder, 6, 0)
        grid.addWidget(self._gap_holder, 6, 1)
        grid.addWidget(self.contour_fault, 7, 0, 1, 2)
        column.addLayout(grid)

    def _join(self) -> None:
        self.faces.chosen.connect(self.changed)
        for figure in (self.spacing, self.tracking, self.bend):
            figure.valueChanged.connect(self.changed)
        for choice in (self.alignment, self.contour):
            choice.chosen.connect(self.changed)
        self.contour.chosen.connect(self._show_contour)
        for length, fault in (
            (self.cap_height, self.cap_fault),
            (self.line, self.contour_fault),
            (self.gap, self.contour_fault),
        ):
            length.committed.connect(lambda _mm, fault=fault: show_fault(fault, ""))
            length.committed.connect(self.changed)
            length.refused.connect(lambda sentence, fault=fault: show_fault(fault, sentence))

    def _show_contour(self) -> None:
        has_contour = self.contour.current != "none"
        self._line_holder.setVisible(has_contour)
        self._gap_holder.setVisible(has_contour)


def _held(field: LengthField, otherwise_mm: float) -> float:
    return otherwise_mm if field.value_mm is None else field.value_mm
