"""Fields that a wheel meant for the panel cannot change by accident."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QComboBox, QDoubleSpinBox, QSpinBox, QWidget

FIELD_PX = 32
"""The height of every one-line field, so that rows line up."""


class QuietCombo(QComboBox):
    """A combo box that scrolls its panel, not its value, under the wheel."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setFixedHeight(FIELD_PX)
        self.setMinimumContentsLength(6)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()


class QuietSpin(QSpinBox):
    """A whole number; tells its value only when the entry is finished."""

    def __init__(self, name: str, least: int, most: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
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
