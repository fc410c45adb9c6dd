"""How the sheets are looked at: carrier, garment or dark, and in the dark from how far and how long after.

A way of looking, not a fact of the job: never undoable, never saved with it.
"""

import math
from typing import Final, Literal

from PySide6.QtCore import QObject, Signal

View = Literal["carrier", "garment", "dark"]

VIEWS: Final[tuple[tuple[View, str], ...]] = (
    ("carrier", "Carrier"),
    ("garment", "Garment"),
    ("dark", "Dark"),
)
MOST_MINUTES = 480.0
LEAST_M, MOST_M = 0.3, 30.0


class Viewing(QObject):
    """`view_changed` follows another way of looking, `moved` another minute or distance."""

    view_changed = Signal()
    moved = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._view: View = "carrier"
        self._minutes = 20.0
        self._distance_m = 3.0

    @property
    def view(self) -> View:
        return self._view

    @property
    def minutes(self) -> float:
        """Minutes after lights-out."""
        return self._minutes

    @property
    def distance_m(self) -> float:
        return self._distance_m

    def look_at(self, view: View) -> None:
        if view != self._view:
            self._view = view
            self.view_changed.emit()

    def move_to(self, minutes: float | None = None, distance_m: float | None = None) -> None:
        """Another minute or distance, kept within what the strip shows and rounded to what it can tell."""
        minutes = self._minutes if minutes is None else round(min(max(minutes, 0.0), MOST_MINUTES), 1)
        distance = self._distance_m if distance_m is None else two_figures(distance_m)
        if (minutes, distance) != (self._minutes, self._distance_m):
            self._minutes, self._distance_m = minutes, distance
            self.moved.emit()


def two_figures(distance_m: float) -> float:
    """The distance with two figures, from 0.3 to 30 m: finer than that no eye and no model is."""
    within = min(max(distance_m, LEAST_M), MOST_M)
    return round(within, 1 - math.floor(math.log10(within)))


def minutes_words(minutes: float) -> str:
    """ "20 min", "2.5 min", "2 h 5 min"."""
    if minutes < 120.0:
        return f"{minutes:.3g} min"
    hours, rest = divmod(round(minutes), 60)
    return f"{hours} h {rest} min" if rest else f"{hours} h"
