"""Spares hidden panels the work of following each change: they catch up when they are seen again."""

from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QWidget


class WhenSeen:
    """Mixed into a QWidget before its Qt class; connect signals to `follow` and do the work in `refresh`."""

    _is_behind = False

    def refresh(self) -> None:
        """Bring everything shown in line with the job."""
        raise NotImplementedError

    def follow(self) -> None:
        """Refresh now if somebody can see it, otherwise when it is shown."""
        if isinstance(self, QWidget) and not self.isVisible():
            self._is_behind = True
        else:
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        if self._is_behind:
            self._is_behind = False
            self.refresh()
        super().showEvent(event)  # type: ignore[misc]
