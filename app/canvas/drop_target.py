"""Takes what is dragged over the canvas from outside it, and says where it was let go."""

from PySide6.QtCore import QObject, QPointF, Qt, Signal
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent

from app.arrivals import DropPoint
from app.canvas.board import Board
from app.canvas.camera import Camera
from app.canvas.drops import Ghost, kind_of, read_drop
from app.canvas.gestures import FREE
from app.clipboard import Clipboard
from layout_core.geometry.pose import Pose


class DropTarget(QObject):
    """Shows where a drop would land while it hovers; emits what arrived, or places the piece itself."""

    files_dropped = Signal(list, object, object)
    picture_dropped = Signal(bytes, object, object)

    def __init__(self, board: Board, camera: Camera, clipboard: Clipboard) -> None:
        super().__init__()
        self._board = board
        self._camera = camera
        self._clipboard = clipboard
        self._ghost: Ghost | None = None

    def enter(self, event: QDragEnterEvent) -> None:
        kind = kind_of(event.mimeData())
        if kind is None:
            event.ignore()
            return
        self.leave()
        drop = read_drop(event.mimeData()) if kind == "piece" else None
        if kind == "piece":
            pieces = self._board.document.job.pieces
            if drop is None or not any(piece.piece_id == drop.piece_id for piece in pieces):
                event.ignore()
                return
            self._ghost = Ghost(self._board, drop.piece_id)
        event.setDropAction(Qt.DropAction.CopyAction)
        event.accept()

    def move(self, event: QDragMoveEvent) -> None:
        if kind_of(event.mimeData()) is None:
            event.ignore()
            return
        at = self._camera.to_matte(event.position())
        if self._ghost is not None:
            self._ghost.move(at, is_free=bool(event.modifiers() & FREE))
        else:
            self._mark_target(at)
        event.setDropAction(Qt.DropAction.CopyAction)
        event.accept()

    def _mark_target(self, at: QPointF) -> None:
        beneath = self._board.scene.matte.sheet_at(at.x(), at.y())
        for sheet_id, item in self._board.scene.sheet_items.items():
            item.set_target(beneath is not None and beneath.sheet_id == sheet_id)

    def drop(self, event: QDropEvent) -> None:
        at = self._camera.to_matte(event.position())
        ghost, self._ghost = self._ghost, None
        if ghost is not None:
            ghost.move(at, is_free=bool(event.modifiers() & FREE))
            ghost.drop()
            event.acceptProposedAction()
            return
        self._board.clear_hints()
        found = read_drop(event.mimeData())
        if found is None:
            event.ignore()
            return
        event.setDropAction(Qt.DropAction.CopyAction)
        event.accept()
        place = self._board.scene.matte.sheet_at(at.x(), at.y())
        sheet_id = None if place is None else place.sheet_id
        pose = None if place is None else Pose(*place.to_sheet(at.x(), at.y()))
        if found.kind == "files":
            self.files_dropped.emit(list(found.paths), sheet_id, pose)
        elif found.kind == "picture":
            self.picture_dropped.emit(found.png, sheet_id, pose)
        else:
            point = None if place is None else DropPoint(place.sheet_id, *place.to_sheet(at.x(), at.y()))
            self._clipboard.take(event.mimeData(), point)

    def leave(self) -> None:
        """Take every hint away."""
        ghost, self._ghost = self._ghost, None
        if ghost is not None:
            ghost.leave()
        else:
            self._board.clear_hints()
