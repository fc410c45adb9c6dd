"""Tells a person that the job just opened is open in another window too."""

from PySide6.QtCore import QObject

from app.document import Document
from app.messages import Message
from app.notices import Notices
from layout_core.job.open_jobs import OpenJob


class OpenWatch(QObject):
    """Follows the file of the document."""

    def __init__(self, document: Document, notices: Notices, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._notices = notices
        self._open = OpenJob()
        document.path_changed.connect(self._follow)

    def end(self) -> None:
        self._open.release()

    def _follow(self) -> None:
        path = self._document.path
        if path is None:
            self._open.release()
        elif self._open.claim(path):
            self._notices.tell(
                Message(
                    f"{path.name} is open in another window too; the one that saves last wins",
                    path.name,
                    "Work in one of them, or save this one under another name",
                ),
                "caution",
            )
