"""Remembers where the window and its splitters stood, and never brings them back off every screen."""

from collections.abc import Iterable

from PySide6.QtCore import QByteArray, QRect
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QSplitter, QWidget

from app.settings import Settings

_LEAST_SEEN_PX = 120


def keep_state(window: QWidget, splitters: Iterable[QSplitter], settings: Settings) -> None:
    """Write the window's place and the splitters', each under its object name, into the settings."""
    states = {splitter.objectName(): _text(splitter.saveState()) for splitter in splitters}
    settings.change(window_geometry=_text(window.saveGeometry()), splitters=states)


def bring_back(window: QWidget, splitters: Iterable[QSplitter], settings: Settings) -> None:
    """Put window and splitters where they stood; what cannot be read or seen gets its default."""
    choices = settings.choices
    if choices.window_geometry:
        window.restoreGeometry(QByteArray.fromBase64(choices.window_geometry.encode("ascii", "ignore")))
    if not is_seen(window.frameGeometry()):
        pull_into_sight(window)
    for splitter in splitters:
        state = choices.splitters.get(splitter.objectName(), "")
        if state:
            splitter.restoreState(QByteArray.fromBase64(state.encode("ascii", "ignore")))


def is_seen(frame: QRect) -> bool:
    """True when enough of the window lies on some screen to take hold of it."""
    for screen in QGuiApplication.screens():
        seen = screen.availableGeometry().intersected(frame)
        if seen.width() >= _LEAST_SEEN_PX and seen.height() >= _LEAST_SEEN_PX:
            return True
    return False


def pull_into_sight(window: QWidget) -> None:
    """Put the window in the middle of the first screen, no larger than that."""
    room = QGuiApplication.primaryScreen().availableGeometry()
    size = window.size().boundedTo(room.size())
    place = QRect(room.topLeft(), size)
    place.moveCenter(room.center())
    window.setGeometry(place)


def _text(state: QByteArray) -> str:
    return bytes(state.toBase64().data()).decode("ascii")
