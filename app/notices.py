"""The one way to tell a person something: whoever has a message tells it here, the window shows it."""

from typing import Literal

from PySide6.QtCore import QObject, Signal

from app.error_log import write_trace
from app.messages import Message, message_for
from layout_core.errors import DuskwrightError

Grade = Literal["note", "caution", "stop"]


class Notices(QObject):
    """Passes messages on by `told(Message, grade)` and remembers the last."""

    told = Signal(object, str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.last: Message | None = None

    def tell(self, message: Message, grade: Grade = "note") -> None:
        self.last = message
        self.told.emit(message, grade)

    def tell_error(self, error: BaseException, doing: str = "") -> None:
        """Tell an error in words; `doing` says what it broke, e.g. "saving".

        The trace of an error that nobody foresaw goes to the error log.
        """
        if not isinstance(error, DuskwrightError | OSError | MemoryError):
            write_trace(error)
        self.tell(message_for(error, doing), "stop")
