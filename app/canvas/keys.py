"""Which key nudges by how much."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from app.canvas.rulers import RulerUnit
from layout_core.units import mm

NUDGE_MM: dict[RulerUnit, tuple[float, float]] = {"in": (mm(0.01), mm(0.1)), "mm": (0.25, 2.5)}
"""A fine and, with Shift, a coarse step."""

_WAYS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}


def nudge_of(event: QKeyEvent, unit: RulerUnit) -> tuple[float, float] | None:
    """The shift (mm) that an arrow key asks for; None for any other key."""
    way = _WAYS.get(Qt.Key(event.key()))
    held = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
    if way is None or held not in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier):
        return None
    step_mm = NUDGE_MM[unit][1 if held == Qt.KeyboardModifier.ShiftModifier else 0]
    return way[0] * step_mm, way[1] * step_mm
