"""Shifting what is chosen by the keyboard, the twin of dragging it."""

from PySide6.QtCore import QPointF

from app.canvas.board import Board
from app.canvas.drag import Ground, box_of, together
from app.chosen import Chosen


def nudge(board: Board, dx_mm: float, dy_mm: float) -> bool:
    """Shift the chosen pieces on their sheets; shifts of the same pieces in a row are one undo step."""
    return Chosen(board.document, board.selection).nudge(dx_mm, dy_mm)


def room_of_chosen(board: Board) -> None:
    """Draw how much room the chosen pieces have, when all of them lie on one sheet."""
    job, chosen = board.document.job, board.selection.placed_ids
    sheet = next((s for s in job.sheets if chosen and chosen <= {p.placed_id for p in s.placed}), None)
    if sheet is None:
        return
    mover = together({k: board.shapes.shape(job, job.placed(k)) for k in chosen})
    room = Ground(sheet, board.shapes.on_sheet(job, sheet, chosen)).room(mover)
    place = board.scene.matte.place(sheet.sheet_id)
    left, top, right, _ = box_of(mover)
    head = QPointF((left + right) / 2 + place.x_mm, top + place.y_mm)
    board.show_room(room, sheet.sheet_id, head)
