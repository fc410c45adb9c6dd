"""The figures of a stock shape as fields, made for its kind."""

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLabel, QLineEdit, QVBoxLayout, QWidget

from app.panels.lettering_fields import fault_label, show_fault
from app.widgets.labels import captioned
from app.widgets.length_field import LengthField
from app.widgets.quiet import FIELD_PX, QuietCombo, QuietDecimal, QuietSpin
from app.wiring import Workbench
from layout_core.art.fonts import bundled_faces
from layout_core.art.stock import MOST_WORDS, Parameter, StockShape, Value, stock_kind, stock_shape
from layout_core.errors import LetteringError
from layout_core.units import Unit


@dataclass(frozen=True, slots=True)
class _Entry:
    """A field on the panel, and how its value is read."""

    field: QWidget
    value: Callable[[], Value]


class ShapeFields(QWidget):
    """Shows one shape at a time; `changed` follows each good entry."""

    changed = Signal()

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._kind: str | None = None
        self._entries: dict[str, _Entry] = {}
        self._holder: QWidget | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self.fault: QLabel = fault_label()
        self._column.addWidget(self.fault)

    @property
    def shape(self) -> StockShape | None:
        """The shape that the fields say; None while there is none, or one that cannot be."""
        if self._kind is None:
            return None
        try:
            return stock_shape(self._kind, **{name: one.value() for name, one in self._entries.items()})
        except LetteringError as error:
            show_fault(self.fault, str(error))
            return None

    def field(self, name: str) -> QWidget:
        return self._entries[name].field

    def show_shape(self, shape: StockShape | None) -> None:
        """Show a shape without telling anyone; None empties the panel."""
        self._clear()
        self._kind = None if shape is None else shape.kind
        show_fault(self.fault, "")
        if shape is None:
            return
        self._holder = QWidget()
        column = QVBoxLayout(self._holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(10)
        for parameter in stock_kind(shape.kind).parameters:
            entry = self._entry(parameter, shape.value(parameter.name))
            self._entries[parameter.name] = entry
            column.addWidget(captioned(parameter.words, entry.field))
        self._column.insertWidget(0, self._holder)

    def set_unit(self, unit: Unit) -> None:
        for entry in self._entries.values():
            if isinstance(entry.field, LengthField):
                entry.field.set_unit(unit)

    def _clear(self) -> None:
        if self._holder is not None:
            self._column.removeWidget(self._holder)
            self._holder.hide()
            self._holder.deleteLater()
        self._holder = None
        self._entries = {}

    def _tell(self) -> None:
        show_fault(self.fault, "")
        self.changed.emit()

    def _entry(self, parameter: Parameter, value: Value) -> _Entry:
        if isinstance(value, str):
            return self._words(parameter, value)
        if parameter.sort == "length":
            return self._length(parameter, value)
        if parameter.sort == "count":
            count = QuietSpin(parameter.words, int(parameter.least), int(parameter.most))
            count.setValue(int(value))
            count.valueChanged.connect(self._tell)
            return _Entry(count, lambda: float(count.value()))
        times, suffix = (100.0, " %") if parameter.sort == "share" else (1.0, "°")
        figure = QuietDecimal(parameter.words, parameter.least * times, parameter.most * times, suffix)
        figure.setSingleStep(5.0)
        figure.setValue(value * times)
        figure.valueChanged.connect(self._tell)
        return _Entry(figure, lambda: figure.value() / times)

    def _length(self, parameter: Parameter, value_mm: float) -> _Entry:
        length = LengthField(
            parameter.words, self._bench.settings.unit, least_mm=parameter.least, most_mm=parameter.most
        )
        length.set_value_mm(value_mm)
        length.committed.connect(self._tell)
        length.refused.connect(lambda sentence: show_fault(self.fault, sentence))
        return _Entry(length, lambda: value_mm if length.value_mm is None else length.value_mm)

    def _words(self, parameter: Parameter, value: str) -> _Entry:
        if parameter.sort == "words":
            words = QLineEdit(value)
            words.setAccessibleName(parameter.words)
            words.setMaxLength(MOST_WORDS)
            words.setFixedHeight(FIELD_PX)
            words.textChanged.connect(self._tell)
            return _Entry(words, words.text)
        combo = QuietCombo(parameter.words)
        choices = parameter.choices or tuple(face.name for face in bundled_faces())
        for choice in dict.fromkeys((*choices, value)):
            combo.addItem(choice[:1].upper() + choice[1:], choice)
        combo.setCurrentIndex(combo.findData(value))
        combo.activated.connect(self._tell)
        return _Entry(combo, lambda: str(combo.currentData()))
