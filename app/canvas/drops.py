"""What may be dropped on the canvas: files, pictures, and pieces from the list."""

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from PySide6.QtCore import QByteArray, QMimeData, QPointF
from PySide6.QtGui import QImage

from app.canvas.board import Board
from app.canvas.carry import Carry, Landing
from app.canvas.items import PieceItem
from app.clipboard import can_take, local_files, png_bytes
from layout_core.geometry.pose import Pose, to_sheet
from layout_core.job.edits import place_piece

PIECE_MIME = "application/x-duskwright-piece"

DropKind = Literal["files", "picture", "piece", "paste"]


@dataclass(frozen=True, slots=True)
class Drop:
    """What is carried: files, a picture as PNG bytes, the id of a piece, or what pasting would take."""

    kind: DropKind
    paths: tuple[Path, ...] = ()
    png: bytes = b""
    piece_id: int = 0


def piece_mime(piece_id: int) -> QMimeData:
    """What a list hands over when one of its pieces is dragged out."""
    data = QMimeData()
    data.setData(PIECE_MIME, QByteArray(str(piece_id).encode("ascii")))
    return data


def kind_of(data: QMimeData) -> DropKind | None:
    """What it would be; None for what the canvas does not take."""
    if data.hasFormat(PIECE_MIME):
        return "piece"
    if local_files(data):
        return "files"
    if data.hasImage():
        return "picture"
    return "paste" if can_take(data) else None


def read_drop(data: QMimeData) -> Drop | None:
    """What was dropped; None for anything the canvas does not take or that cannot be read."""
    kind = kind_of(data)
    if kind == "piece":
        text = bytes(data.data(PIECE_MIME).data()).decode("ascii", "replace")
        return Drop("piece", piece_id=int(text)) if text.isdecimal() and len(text) < 18 else None
    if kind == "files":
        return Drop("files", paths=tuple(local_files(data)))
    if kind == "picture":
        image = data.imageData()
        is_picture = isinstance(image, QImage) and not image.isNull()
        return Drop("picture", png=png_bytes(image)) if is_picture else None
    return Drop("paste") if kind == "paste" else None


class Ghost:
    """A piece from the list held over the sheets: drawn pale, caught and measured like any other."""

    def __init__(self, board: Board, piece_id: int) -> None:
        self._board = board
        job = board.document.job
        self._piece = job.piece(piece_id)
        paths = board.scene.paths.paths(job.artwork_of(self._piece), self._piece.width_mm)
        self._item = PieceItem(0, paths, board.scene.look)
        self._item.set_carried(True)
        board.scene.addItem(self._item)
        self._landing: Landing | None = None
        self._carry = self._carried()

    def _carried(self) -> Carry | None:
        job, matte = self._board.document.job, self._board.scene.matte
        if not matte.places:
            return None
        home = matte.places[0]
        pose = Pose(0.0, 0.0, self._piece.turn_deg)
        shape = to_sheet(self._board.shapes.sized(job, self._piece), *job.size_of(self._piece), pose)
        # The shape starts with its centre in the corner of the first sheet, which is the matte's origin.
        return Carry(self._board, home.sheet_id, {home.sheet_id: {0: shape}}, frozenset())

    def move(self, at: QPointF, *, is_free: bool) -> None:
        """Follow the pointer; over bare matte the nearest sheet is meant."""
        scene = self._board.scene
        if self._carry is None:
            return
        beneath = scene.matte.sheet_at(at.x(), at.y())
        if beneath is None:
            self._landing = None
            self._board.clear_hints()
            self._item.setPos(at)
        else:
            self._landing = self._carry.step(at.x(), at.y(), at, is_free=is_free)
            self._item.setPos(self._landing.dx_mm, self._landing.dy_mm)
        for sheet_id, item in scene.sheet_items.items():
            item.set_target(beneath is not None and sheet_id == beneath.sheet_id)
        self._item.setRotation(self._piece.turn_deg)

    def drop(self) -> None:
        """Place a copy where the ghost lies and choose it; nothing happens over bare matte."""
        landing, piece = self._landing, self._piece
        self.leave()
        if landing is None:
            return
        place = self._board.scene.matte.place(landing.sheet_id)
        x_mm, y_mm = place.to_sheet(landing.dx_mm, landing.dy_mm)
        pose = Pose(x_mm, y_mm, piece.turn_deg)
        new_id = self._board.document.job.next_id
        if self._board.document.apply(
            f"Place {piece.name}", lambda job: place_piece(job, landing.sheet_id, piece.piece_id, pose)
        ):
            self._board.selection.choose_placed([new_id])

    def leave(self) -> None:
        """Take the ghost away."""
        self._board.clear_hints()
        if self._item.scene() is not None:
            self._board.scene.removeItem(self._item)
