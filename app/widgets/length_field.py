"""A field for a length as people write it: 3.5, 3 1/2, 89 mm; read by the core's own parser."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QLineEdit, QWidget

from app.widgets.plain_tip import plain_tip
from app.widgets.quiet import FIELD_PX
from layout_core.errors import UnitsError
from layout_core.units import LONGEST_MM, MM_PER_IN, Unit, parse_length_mm, write_length

_STEP_MM = {"in": MM_PER_IN / 8, "mm": 1.0, "cm": 1.0}


class LengthField(QLineEdit):
    """Holds a length in mm and shows it in the unit in force.

    `committed` carries the new length in mm once a person has finished a good entry; `refused` carries
    a sentence when the entry is no length or out of range, and the text stays for mending. Esc brings the
    old value back; the up and down keys step by 1/8 in or 1 mm.
    """

    committed = Signal(float)
    refused = Signal(str)

    def __init__(
        self,
        name: str,
        unit: Unit = "in",
        *,
        least_mm: float = 0.0,
        most_mm: float = LONGEST_MM,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._unit: Unit = unit
        self._value_mm: float | None = None
        self._least_mm, self._most_mm = least_mm, most_mm
        self.setFixedHeight(FIELD_PX)
        self.editingFinished.connect(self._finish)

    @property
    def value_mm(self) -> float | None:
        """The last good length; None while the field is empty."""
        return self._value_mm

    @property
    def is_wrong(self) -> bool:
        """True while the text shown is not a length that can be taken."""
        return bool(self.property("look") == "stop")

    def set_value_mm(self, value_mm: float | None) -> None:
        """Show a length without telling anyone."""
        self._value_mm = value_mm
        self._show()

    def set_unit(self, unit: Unit) -> None:
        self._unit = unit
        self._show()

    def set_range_mm(self, least_mm: float, most_mm: float) -> None:
        self._least_mm, self._most_mm = least_mm, most_mm

    def _show(self) -> None:
        self.setText("" if self._value_mm is None else write_length(self._value_mm, self._unit))
        self._mark_wrong("")

    def _mark_wrong(self, sentence: str) -> None:
        self.setProperty("look", "stop" if sentence else None)
        self.setToolTip(plain_tip(sentence))
        self.setAccessibleDescription(sentence)
        self.style().unpolish(self)
        self.style().polish(self)

    def _finish(self) -> None:
        if not self.isModified():
            return
        self.setModified(False)
        try:
            value_mm = parse_length_mm(self.text(), self._unit)
        except UnitsError as error:
            self._refuse(str(error))
            return
        self._take(value_mm)

    def _take(self, value_mm: float) -> None:
        if not self._least_mm - 1e-6 <= value_mm <= self._most_mm + 1e-6:
            shown = write_length(value_mm, self._unit)
            least, most = (write_length(limit, self._unit) for limit in (self._least_mm, self._most_mm))
            self._refuse(f"{self.accessibleName()} is {shown}; choose from {least} to {most}")
            return
        changed = self._value_mm is None or abs(value_mm - self._value_mm) > 1e-6
        self.set_value_mm(value_mm)
        if changed:
            self.committed.emit(value_mm)

    def _refuse(self, sentence: str) -> None:
        self._mark_wrong(sentence)
        self.refused.emit(sentence)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {Qt.Key.Key_Up: 1, Qt.Key.Key_Down: -1}.get(Qt.Key(event.key()))
        if event.key() == Qt.Key.Key_Escape and (self.isModified() or self.is_wrong):
            self._show()
            self.setModified(False)
        elif step is not None and self._value_mm is not None and not self.isReadOnly():
            stepped = self._value_mm + step * _STEP_MM[self._unit]
            self._take(min(max(stepped, self._least_mm), self._most_mm))
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason):
            self.selectAll()
