"""What a press of the mouse can become: moving pieces, resizing one, stretching a rubber band."""

from typing import Protocol

import shapely
from PySide6.QtCore import QPointF, QRectF, Qt

from app.canvas.board import Board
from app.canvas.carry import Carry, Landing
from app.canvas.frames import show_chosen
from app.canvas.words import piece_of, step_name, write_size
from layout_core.geometry.pose import Pose, to_sheet
from layout_core.job.edits import change_piece, move_placed, move_to_sheet, set_poses
from layout_core.job.model import Job
from layout_core.units import MM_PER_IN

Modifiers = Qt.KeyboardModifier
FREE = Qt.KeyboardModifier.AltModifier
ADDING = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.ControlModifier
LEAST_WIDTH_MM, MOST_WIDTH_MM = 2.0, 2000.0
WIDTH_STEP_MM = {"in": MM_PER_IN / 16, "mm": 1.0}


class Gesture(Protocol):
    """A gesture under way; points are on the matte, in mm. It ends in at most one edit of the job."""

    def move(self, at: QPointF, modifiers: Modifiers) -> None: ...

    def finish(self) -> None: ...

    def cancel(self) -> None: ...


class MoveGesture:
    """Carries the chosen pieces that are not locked."""

    def __init__(self, board: Board, grabbed_id: int, start: QPointF) -> None:
        self._board = board
        self._start = start
        job = board.document.job
        self._moved = frozenset(k for k in board.selection.placed_ids if not job.placed(k).locked)
        self._home_id = job.sheet_of(grabbed_id).sheet_id
        self._at = dict(board.scene.positions(self._moved))
        self._landing = Landing(0.0, 0.0, self._home_id)
        self._carry = self._carried(job)
        for placed_id in self._moved:
            board.scene.piece_items[placed_id].set_carried(True)

    def _carried(self, job: Job) -> Carry:
        shapes_on = {
            sheet.sheet_id: {
                placed.placed_id: self._board.shapes.shape(job, placed)
                for placed in sheet.placed
                if placed.placed_id in self._moved
            }
            for sheet in job.sheets
        }
        found = {sheet_id: shapes for sheet_id, shapes in shapes_on.items() if shapes}
        return Carry(self._board, self._home_id, found, self._moved)

    def move(self, at: QPointF, modifiers: Modifiers) -> None:
        shift = at - self._start
        is_free = bool(modifiers & FREE)
        landing = self._carry.step(shift.x(), shift.y(), at, is_free=is_free)
        shift = QPointF(landing.dx_mm, landing.dy_mm)
        for placed_id, start in self._at.items():
            self._board.scene.piece_items[placed_id].setPos(start + shift)
        self._board.scene.frames.setPos(shift)
        self._landing = landing

    def finish(self) -> None:
        landing, moved, matte = self._landing, self._moved, self._board.scene.matte
        self._board.clear_hints()
        self._board.scene.put_back(moved)

        def edit(job: Job) -> Job:
            if landing.sheet_id == self._home_id:
                return move_placed(job, moved, landing.dx_mm, landing.dy_mm)
            target = matte.place(landing.sheet_id)
            sources = {s.sheet_id: moved & {p.placed_id for p in s.placed} for s in job.sheets}
            for place in matte.places:
                ids = sources[place.sheet_id]
                if ids:
                    dx = landing.dx_mm + place.x_mm - target.x_mm
                    dy = landing.dy_mm + place.y_mm - target.y_mm
                    job = move_to_sheet(job, ids, landing.sheet_id, dx, dy)
            return job

        if not self._board.document.apply(step_name("Move", self._board.document.job, moved), edit):
            show_chosen(self._board)

    def cancel(self) -> None:
        self._board.clear_hints()
        self._board.scene.put_back(self._moved)
        show_chosen(self._board)


class ResizeGesture:
    """Draws a corner of one piece in or out; the opposite corner stays, every copy gets the new width."""

    def __init__(self, board: Board, placed_id: int, corner: int) -> None:
        self._board = board
        self._placed_id = placed_id
        job = board.document.job
        self._piece = piece_of(job, placed_id)
        self._sheet = job.sheet_of(placed_id)
        self._aspect = job.artwork_of(self._piece).aspect
        self._pose = job.placed(placed_id).pose
        corners = board.scene.frame_of(placed_id).corners
        self._anchor, self._grip = corners[(corner + 2) % 4], corners[corner]
        self._width_mm = self._piece.width_mm
        self._copies = frozenset(
            p.placed_id for s in job.sheets for p in s.placed if p.piece_id == self._piece.piece_id
        )
        self._shape = board.shapes.sized(job, self._piece)
        others = {self._sheet.sheet_id: {placed_id: board.shapes.shape(job, job.placed(placed_id))}}
        self._carry = Carry(board, self._sheet.sheet_id, others, frozenset({placed_id}))

    @property
    def _scale(self) -> float:
        return self._width_mm / self._piece.width_mm

    def move(self, at: QPointF, modifiers: Modifiers) -> None:
        diagonal, drawn = self._grip - self._anchor, at - self._anchor
        share = QPointF.dotProduct(drawn, diagonal) / max(QPointF.dotProduct(diagonal, diagonal), 1e-9)
        width = self._piece.width_mm * share
        if self._board.snap_reach_mm(bool(modifiers & FREE)) is not None:
            step = WIDTH_STEP_MM[self._board.scene.unit]
            width = round(width / step) * step
        self._width_mm = min(max(width, LEAST_WIDTH_MM), MOST_WIDTH_MM)
        self._show()

    def _show(self) -> None:
        scene, scale = self._board.scene, self._scale
        for copy_id in self._copies:
            scene.piece_items[copy_id].setScale(scale)
        place = scene.matte.place(self._sheet.sheet_id)
        pose = self._new_pose()
        scene.piece_items[self._placed_id].lay(place.x_mm, place.y_mm, pose)
        text = write_size(self._width_mm, self._width_mm * self._aspect, scene.unit)
        if len(self._copies) > 1:
            text += f" · {len(self._copies)} copies"
        frame = scene.frame_of(self._placed_id, self._piece.filler)
        scene.frames.show_frames([frame], text, has_handles=True)
        grown = shapely.transform(self._shape, lambda xy: xy * scale)
        laid = to_sheet(grown, self._width_mm, self._width_mm * self._aspect, pose)
        room = self._carry.ground(self._sheet.sheet_id).room(laid)
        self._board.show_room(room, self._sheet.sheet_id, frame.polygon.boundingRect().center())

    def _new_pose(self) -> Pose:
        place = self._board.scene.matte.place(self._sheet.sheet_id)
        anchor = self._anchor - QPointF(place.x_mm, place.y_mm)
        centre = QPointF(self._pose.x_mm, self._pose.y_mm)
        moved = anchor + (centre - anchor) * self._scale
        return Pose(moved.x(), moved.y(), self._pose.turn_deg)

    def finish(self) -> None:
        pose, width_mm = self._new_pose(), self._width_mm
        self.cancel()
        if width_mm == self._piece.width_mm:
            return

        def edit(job: Job) -> Job:
            wider = change_piece(job, self._piece.piece_id, width_mm=width_mm)
            return set_poses(wider, {self._placed_id: pose})

        self._board.document.apply(f"Resize {self._piece.name}", edit)

    def cancel(self) -> None:
        self._board.clear_hints()
        self._board.scene.put_back(self._copies)
        show_chosen(self._board)


class RubberGesture:
    """Chooses every piece that a box touches; adds to what was chosen when Shift or Ctrl is down."""

    def __init__(self, board: Board, start: QPointF, modifiers: Modifiers) -> None:
        self._board = board
        self._start = start
        self._kept = board.selection.placed_ids if modifiers & ADDING else frozenset()
        self._caught = self._kept

    def move(self, at: QPointF, modifiers: Modifiers) -> None:
        box = QRectF(self._start, at).normalized()
        scene = self._board.scene
        scene.rubber.show_band(box)
        caught = self._kept | scene.pieces_in(box)
        if caught != self._caught:
            self._caught = caught
            scene.frames.show_frames([scene.frame_of(placed_id) for placed_id in caught])

    def finish(self) -> None:
        self._board.clear_hints()
        self._board.selection.choose_placed(self._caught)
        show_chosen(self._board)

    def cancel(self) -> None:
        self._board.clear_hints()
        show_chosen(self._board)
