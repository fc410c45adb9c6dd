"""The frames round what is chosen, and the handles they offer."""

import math

from PySide6.QtCore import QPointF

from app.canvas.board import Board
from app.canvas.overlays import FRAME_ROOM_PX, outset
from app.canvas.words import piece_of, write_size

GRAB_PX = 12.0
"""Half the side of a handle's grab zone. Source: WCAG 2.2, 2.5.8 asks for targets of 24 by 24 px."""


def show_chosen(board: Board) -> None:
    """Frame the chosen pieces where they lie; a single free one gets handles and its size."""
    scene, job, ids = board.scene, board.document.job, board.selection.placed_ids
    known = [placed_id for placed_id in sorted(ids) if placed_id in scene.piece_items]
    frames = [scene.frame_of(placed_id, piece_of(job, placed_id).filler) for placed_id in known]
    if len(known) != 1:
        scene.frames.show_frames(frames)
        return
    piece, placed = piece_of(job, known[0]), job.placed(known[0])
    text = write_size(*job.size_of(piece), scene.unit)
    if piece.filler:
        text = f"filler · {text}"
    scene.frames.show_frames(frames, text, has_handles=not placed.locked)


def handle_at(board: Board, at: QPointF) -> int | None:
    """The corner (0 to 3, clockwise from the piece's own top left) whose grab zone holds a matte point.

    Each zone reaches 12 px to every side of its corner, but inwards at most a quarter of the frame, so that
    a small piece can still be taken hold of in its middle.
    """
    scene = board.scene
    if not scene.frames.has_handles or len(scene.frames.frames) != 1:
        return None
    px = scene.px_per_mm
    corners = outset(scene.frames.frames[0].corners, FRAME_ROOM_PX / px)
    across, down = corners[1] - corners[0], corners[3] - corners[0]
    width, height = _length(across), _length(down)
    point = at - corners[0]
    x = QPointF.dotProduct(point, across) / width * px
    y = QPointF.dotProduct(point, down) / height * px
    is_left, is_right = _near(x, width * px), _near(width * px - x, width * px)
    is_top, is_bottom = _near(y, height * px), _near(height * px - y, height * px)
    ways = (is_left and is_top, is_right and is_top, is_right and is_bottom, is_left and is_bottom)
    return next((corner for corner, is_there in enumerate(ways) if is_there), None)


def _near(inwards_px: float, side_px: float) -> bool:
    return -GRAB_PX <= inwards_px <= min(GRAB_PX, side_px / 4)


def _length(way: QPointF) -> float:
    return max(math.hypot(way.x(), way.y()), 1e-9)
