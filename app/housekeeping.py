"""Python's cycle collection, kept on the GUI thread: a widget freed by a worker thread would crash Qt."""

import gc

from PySide6.QtCore import QObject, QTimer

EVERY_MS = 1000
"""How often it is looked whether there is enough to collect."""


class Housekeeping(QObject):
    """Collects cycles from a timer of the GUI thread, at the interpreter's own thresholds, while it lives.

    Reference counts free nearly everything at once; only cycles wait for this. `end` gives collection
    back to the interpreter.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._was_enabled = gc.isenabled()
        gc.disable()
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.tidy)
        self._timer.start(EVERY_MS)

    def tidy(self) -> int | None:
        """The oldest generation collected now, None if none was due."""
        counts, thresholds = gc.get_count(), gc.get_threshold()
        due = [level for level in range(3) if counts[level] > thresholds[level] > 0]
        if not due:
            return None
        gc.collect(due[-1])
        return due[-1]

    def end(self) -> None:
        self._timer.stop()
        if self._was_enabled:
            gc.enable()
