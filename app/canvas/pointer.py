"""Turns presses and moves of the mouse into choosing, and into gestures."""

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication, QWidget

from app.canvas.board import Board
from app.canvas.camera import Camera
from app.canvas.findings_layer import FindingsLayer
from app.canvas.frames import handle_at
from app.canvas.gestures import ADDING, Gesture, MoveGesture, ResizeGesture, RubberGesture
from app.canvas.words import step_name
from layout_core.job.edits import move_placed

DRAG_FROM_PX = 5


class Pointer:
    """At most one gesture runs at a time; it begins once the mouse has gone a few pixels from the press."""

    def __init__(self, board: Board, camera: Camera, findings: FindingsLayer, port: QWidget) -> None:
        self._board = board
        self._camera = camera
        self._findings = findings
        self._port = port
        self._pressed: QPoint | None = None
        self._grabbed: int | None = None
        self._corner: int | None = None
        self._panned: QPoint | None = None
        self._gesture: Gesture | None = None
        self.space_is_down = False

    @property
    def is_busy(self) -> bool:
        return self._gesture is not None or self._panned is not None

    def press(self, event: QMouseEvent) -> None:
        button, at = event.button(), event.position().toPoint()
        if button == Qt.MouseButton.MiddleButton or (
            self.space_is_down and button == Qt.MouseButton.LeftButton
        ):
            self._panned = at
            self.show_cursor(at)
        elif button == Qt.MouseButton.LeftButton:
            self._press_left(at, event.modifiers())
        elif button == Qt.MouseButton.RightButton and self._gesture is None:
            found = self._board.scene.piece_at(self._camera.to_matte(QPointF(at)))
            if found is not None and found not in self._board.selection.placed_ids:
                self._board.selection.choose_placed([found])

    def _press_left(self, at: QPoint, modifiers: Qt.KeyboardModifier) -> None:
        on_matte, selection = self._camera.to_matte(QPointF(at)), self._board.selection
        self._pressed = at
        self._corner = handle_at(self._board, on_matte)
        self._grabbed = None if self._corner is not None else self._board.scene.piece_at(on_matte)
        if self._grabbed is None:
            return
        chosen = selection.placed_ids
        if modifiers & ADDING:
            selection.choose_placed(chosen ^ {self._grabbed})
            if self._grabbed in chosen:
                self._pressed = self._grabbed = None
        elif self._grabbed not in chosen:
            selection.choose_placed([self._grabbed])

    def move(self, event: QMouseEvent) -> None:
        at = event.position().toPoint()
        if self._panned is not None:
            self._camera.pan(at - self._panned)
            self._panned = at
        elif self._gesture is not None:
            self._gesture.move(self._camera.to_matte(event.position()), event.modifiers())
        elif self._pressed is not None and event.buttons() & Qt.MouseButton.LeftButton:
            least = min(DRAG_FROM_PX, QApplication.startDragDistance())
            if (at - self._pressed).manhattanLength() >= least:
                self._begin(self._pressed, event.modifiers())
                self.move(event)
        else:
            self.show_cursor(at)

    def _begin(self, pressed: QPoint, modifiers: Qt.KeyboardModifier) -> None:
        board, self._pressed = self._board, None
        start = self._camera.to_matte(QPointF(pressed))
        if self._corner is not None:
            (placed_id,) = board.selection.placed_ids
            self._gesture = ResizeGesture(board, placed_id, self._corner)
            self._findings.hide_layout_of([placed_id])
        elif self._grabbed is not None:
            self._begin_move(self._grabbed, start)
        else:
            self._gesture = RubberGesture(board, start, modifiers)

    def _begin_move(self, grabbed: int, start: QPointF) -> None:
        board = self._board
        job, chosen = board.document.job, board.selection.placed_ids
        if job.placed(grabbed).locked:
            # The edit refuses in words that the window shows; nothing moves.
            board.document.apply(step_name("Move", job, frozenset({grabbed})),
                                 lambda job: move_placed(job, [grabbed], 1.0, 0.0))  # fmt: skip
            return
        self._gesture = MoveGesture(board, grabbed, start)
        self._findings.hide_layout_of(chosen)

    def release(self, event: QMouseEvent) -> None:
        at = event.position().toPoint()
        if self._panned is not None and event.button() in (
            Qt.MouseButton.MiddleButton,
            Qt.MouseButton.LeftButton,
        ):
            self._panned = None
            self.show_cursor(at)
            return
        if event.button() != Qt.MouseButton.LeftButton:
            return
        gesture, was_pressed, self._gesture = self._gesture, self._pressed is not None, None
        self._pressed = None
        if gesture is not None:
            gesture.finish()
        elif was_pressed and self._corner is None and not event.modifiers() & ADDING:
            self._click()
        self.show_cursor(at)

    def _click(self) -> None:
        if self._grabbed is None:
            self._board.selection.clear()
        elif self._board.selection.placed_ids != {self._grabbed}:
            self._board.selection.choose_placed([self._grabbed])

    def cancel(self) -> bool:
        """Stop the gesture and leave the job as it was; False when there was none."""
        gesture, self._gesture = self._gesture, None
        self._pressed = self._grabbed = None
        if gesture is None:
            return False
        gesture.cancel()
        return True

    def show_cursor(self, at: QPoint) -> None:
        """The shape of the pointer says what a press would do."""
        shape = Qt.CursorShape.ArrowCursor
        if self._panned is not None:
            shape = Qt.CursorShape.ClosedHandCursor
        elif self.space_is_down:
            shape = Qt.CursorShape.OpenHandCursor
        elif (corner := handle_at(self._board, self._camera.to_matte(QPointF(at)))) is not None:
            frame = self._board.scene.frames.frames[0].corners
            way = frame[(corner + 2) % 4] - frame[corner]
            falls = way.x() * way.y() > 0
            shape = Qt.CursorShape.SizeFDiagCursor if falls else Qt.CursorShape.SizeBDiagCursor
        if self._port.cursor().shape() != shape:
            self._port.setCursor(shape)
