"""Python's cycle collection, kept on the GUI thread: a widget freed by a worker thread would crash Qt."""

import gc

from PySide6.QtCore import QObject, QTimer

from app.cycles import collect_when_due

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
        self._timer.timeout.connect(collect_when_due)
        self._timer.start(EVERY_MS)

    def settle(self) -> None:
        """What is there now, the window and all that was imported, lives as long as the program.

        A whole collection need not look at its hundred thousand objects again, a tenth of a second each time.
        """
        gc.freeze()

    def end(self) -> None:
        self._timer.stop()
        gc.unfreeze()
        if self._was_enabled:
            gc.enable()
