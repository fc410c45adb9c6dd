"""Real events on the canvas: mouse, keys, wheel and drops at points of a sheet."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QMimeData, QPoint, QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent, QKeyEvent, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QApplication

from app.canvas.view import SheetView

NONE = Qt.KeyboardModifier.NoModifier
LEFT = Qt.MouseButton.LeftButton
NO_BUTTON = Qt.MouseButton.NoButton


class Hands:
    """Presses, moves and lets go as a person does; points are pixels of the viewport."""

    def __init__(self, view: SheetView) -> None:
        self.view = view

    def px(self, x_mm: float, y_mm: float, sheet_id: int = 1) -> QPoint:
        """The pixel over a point of a sheet."""
        place = self.view.sheet_scene.matte.place(sheet_id)
        return self.view.mapFromScene(QPointF(place.x_mm + x_mm, place.y_mm + y_mm))

    def _mouse(
        self,
        kind: QEvent.Type,
        at: QPoint,
        button: Qt.MouseButton,
        held: Qt.MouseButton,
        keys: Qt.KeyboardModifier,
    ) -> None:
        port = self.view.viewport()
        event = QMouseEvent(kind, QPointF(at), QPointF(port.mapToGlobal(at)), button, held, keys)
        QApplication.sendEvent(port, event)

    def press(self, at: QPoint, keys: Qt.KeyboardModifier = NONE, button: Qt.MouseButton = LEFT) -> None:
        self._mouse(QEvent.Type.MouseButtonPress, at, button, button, keys)

    def move(self, at: QPoint, keys: Qt.KeyboardModifier = NONE, button: Qt.MouseButton = LEFT) -> None:
        self._mouse(QEvent.Type.MouseMove, at, NO_BUTTON, button, keys)

    def release(self, at: QPoint, keys: Qt.KeyboardModifier = NONE, button: Qt.MouseButton = LEFT) -> None:
        self._mouse(QEvent.Type.MouseButtonRelease, at, button, NO_BUTTON, keys)

    def click(self, at: QPoint, keys: Qt.KeyboardModifier = NONE) -> None:
        self.press(at, keys)
        self.release(at, keys)

    def carry(self, start: QPoint, end: QPoint, keys: Qt.KeyboardModifier = NONE) -> None:
        """Press at the start and move to the end, without letting go."""
        self.press(start)
        for share in (0.25, 0.5, 1.0):
            self.move(start + (end - start) * share, keys)

    def drag(self, start: QPoint, end: QPoint, keys: Qt.KeyboardModifier = NONE) -> None:
        self.carry(start, end, keys)
        self.release(end, keys)

    def hover(self, at: QPoint) -> None:
        self.move(at, button=NO_BUTTON)

    def key(self, key: Qt.Key, keys: Qt.KeyboardModifier = NONE, text: str = "") -> None:
        for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            QApplication.sendEvent(self.view, QKeyEvent(kind, key, keys, text))

    def hold(self, key: Qt.Key, *, is_down: bool) -> None:
        kind = QEvent.Type.KeyPress if is_down else QEvent.Type.KeyRelease
        QApplication.sendEvent(self.view, QKeyEvent(kind, key, NONE))

    def wheel(self, at: QPoint, eighths: int, keys: Qt.KeyboardModifier = NONE) -> None:
        port = self.view.viewport()
        event = QWheelEvent(
            QPointF(at), QPointF(port.mapToGlobal(at)), QPoint(), QPoint(0, eighths), NO_BUTTON, keys,
            Qt.ScrollPhase.NoScrollPhase, False,
        )  # fmt: skip
        QApplication.sendEvent(port, event)

    def enter(self, data: QMimeData, at: QPoint) -> bool:
        """Hold something from outside over the canvas; whether it would be taken."""
        copy = Qt.DropAction.CopyAction
        event = QDragEnterEvent(at, copy, data, LEFT, NONE)
        QApplication.sendEvent(self.view.viewport(), event)
        if event.isAccepted():
            move = QDragMoveEvent(at, copy, data, LEFT, NONE)
            QApplication.sendEvent(self.view.viewport(), move)
        return event.isAccepted()

    def drop(self, data: QMimeData, at: QPoint) -> bool:
        """Let something from outside go over the canvas; whether it was taken."""
        if not self.enter(data, at):
            return False
        event = QDropEvent(QPointF(at), Qt.DropAction.CopyAction, data, LEFT, NONE)
        QApplication.sendEvent(self.view.viewport(), event)
        return event.isAccepted()

    def shown_texts(self) -> Sequence[str]:
        """The labels that stand over the sheets now."""
        scene = self.view.sheet_scene
        return [text for text in (scene.frames.text, scene.measure.text) if text]
