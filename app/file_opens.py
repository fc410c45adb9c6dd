"""Hears of the files that the desktop asks the running program to open."""

from pathlib import Path

from PySide6.QtCore import QEvent, QObject, Signal
from PySide6.QtGui import QFileOpenEvent


class FileOpens(QObject):
    """An event filter of the application: `asked(path)` follows a double click on a file, e.g. on macOS."""

    asked = Signal(object)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QFileOpenEvent) and event.file():
            self.asked.emit(Path(event.file()))
            return True
        return False
