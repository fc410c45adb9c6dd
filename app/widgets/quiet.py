"""Fields that a wheel meant for the panel cannot change by accident."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QPaintEvent, QValidator, QWheelEvent
from PySide6.QtWidgets import (
    QComboBox,
    QDoubleSpinBox,
    QSpinBox,
    QStyle,
    QStyleOptionComboBox,
    QStylePainter,
    QWidget,
)

FIELD_PX = 32
"""The height of every one-line field, so that rows line up."""


class QuietCombo(QComboBox):
    """A combo box that scrolls its panel, not its value, under the wheel."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setFixedHeight(FIELD_PX)
        self.setMinimumContentsLength(4)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()

    def paintEvent(self, event: QPaintEvent) -> None:
        """A choice too long for the field ends in an ellipsis; the opened list tells the whole."""
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        style, text = self.style(), self.currentText()
        field = style.subControlRect(
            QStyle.ComplexControl.CC_ComboBox, option, QStyle.SubControl.SC_ComboBoxEditField, self
        )
        shown = self.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, field.width() - 2)
        option.currentText = shown  # type: ignore[misc, unused-ignore]
        painter = QStylePainter(self)
        painter.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option)
        if not self.isEditable():
            painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option)
        painter.end()


class QuietSpin(QSpinBox):
    """A whole number; tells its value only when the entry is finished."""

    def __init__(self, name: str, least: int, most: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.lineEdit().setAccessibleName(name)
        self.setRange(least, most)
        self.setFixedHeight(FIELD_PX)
        self.setKeyboardTracking(False)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()


class TurnField(QDoubleSpinBox):
    """A turn in degrees, clockwise, that goes round at 360; steps by 15."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.lineEdit().setAccessibleName(name)
        self.setDecimals(1)
        self.setRange(0.0, 359.9)
        self.setWrapping(True)
        self.setSingleStep(15.0)
        self.setSuffix("°")
        self.setFixedHeight(FIELD_PX)
        self.setKeyboardTracking(False)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def stepBy(self, steps: int) -> None:
        self.setValue((self.value() + steps * self.singleStep()) % 360.0)

    def textFromValue(self, value: float) -> str:
        return f"{value:.1f}".rstrip("0").rstrip(".")

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()


class QuietDecimal(QDoubleSpinBox):
    """A figure with its unit behind it; tells its value only when the entry is finished."""

    def __init__(self, name: str, least: float, most: float, suffix: str = "", decimals: int = 1) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.lineEdit().setAccessibleName(name)
        self.setDecimals(decimals)
        self.setRange(least, most)
        self.setSuffix(suffix)
        self.setFixedHeight(FIELD_PX)
        self.setKeyboardTracking(False)
        self.setGroupSeparatorShown(False)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def textFromValue(self, value: float) -> str:
        text = f"{value:.{self.decimals()}f}"
        return text.rstrip("0").rstrip(".") if "." in text else text

    def valueFromText(self, text: str) -> float:
        return _number(text.removesuffix(self.suffix()))

    def validate(self, text: str, at: int) -> tuple[QValidator.State, str, int]:
        """Point and comma both divide, whatever the system's language; everything else waits."""
        typed = text.removesuffix(self.suffix()).strip()
        digits = typed.removeprefix("-") if self.minimum() < 0.0 else typed
        if any(sign not in "0123456789.," for sign in digits):
            return QValidator.State.Invalid, text, at
        within = digits != "" and self.minimum() <= _number(typed) <= self.maximum()
        return (QValidator.State.Acceptable if within else QValidator.State.Intermediate), text, at

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()


def _number(text: str) -> float:
    try:
        return float(text.strip().replace(",", "."))
    except ValueError:
        return 0.0
