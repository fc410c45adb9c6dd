"""Something carried over the sheets: the sheet beneath it, what catches it, how much room it has."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from PySide6.QtCore import QPointF
from shapely.geometry.base import BaseGeometry

from app.canvas.board import Board
from app.canvas.drag import DragStep, Ground, box_of, together


@dataclass(frozen=True, slots=True)
class Landing:
    """Where the carried thing would come to lie: shift on the matte (mm) and the sheet."""

    dx_mm: float
    dy_mm: float
    sheet_id: int


class Carry:
    """Carries shapes that start on one or more sheets.

    `shapes_on` gives them by sheet, in sheet frames. Over `home_id` only the shapes that lie there are
    measured (the others stay on their own sheets); over any other sheet all of them are.
    """

    def __init__(
        self,
        board: Board,
        home_id: int,
        shapes_on: Mapping[int, Mapping[int, BaseGeometry]],
        without: frozenset[int],
    ) -> None:
        self._board = board
        self._home_id = home_id
        self._without = without
        on_matte = {sheet_id: self._on_matte(sheet_id, shapes) for sheet_id, shapes in shapes_on.items()}
        self._home_shape = on_matte[home_id]
        self._all_shapes = together(on_matte) if len(on_matte) > 1 else self._home_shape
        self._grounds: dict[int, Ground] = {}

    def _on_matte(self, sheet_id: int, shapes: Mapping[int, BaseGeometry]) -> BaseGeometry:
        place = self._board.scene.matte.place(sheet_id)
        corner = np.array((place.x_mm, place.y_mm))
        return shapely.transform(together(shapes), lambda xy: xy + corner)

    def ground(self, sheet_id: int) -> Ground:
        """What lies on a sheet beside the carried things; made once a gesture."""
        if sheet_id not in self._grounds:
            job = self._board.document.job
            sheet = job.sheet(sheet_id)
            others = self._board.shapes.on_sheet(job, sheet, self._without)
            self._grounds[sheet_id] = Ground(sheet, others)
        return self._grounds[sheet_id]

    def step(self, dx_mm: float, dy_mm: float, pointer: QPointF, *, is_free: bool) -> Landing:
        """Shift by (dx, dy) on the matte with the pointer there, and draw catches and distance."""
        scene = self._board.scene
        beneath = scene.matte.sheet_at(pointer.x(), pointer.y())
        sheet_id = self._home_id if beneath is None else beneath.sheet_id
        place = scene.matte.place(sheet_id)
        mover = self._home_shape if sheet_id == self._home_id else self._all_shapes
        reach_mm = self._board.snap_reach_mm(is_free)
        step = self.ground(sheet_id).step(mover, dx_mm - place.x_mm, dy_mm - place.y_mm, reach_mm)
        landing = Landing(step.dx_mm + place.x_mm, step.dy_mm + place.y_mm, sheet_id)
        self._show(step, landing, mover)
        return landing

    def _show(self, step: DragStep, landing: Landing, mover: BaseGeometry) -> None:
        scene = self._board.scene
        place = scene.matte.place(landing.sheet_id)
        scene.guides.setPos(place.x_mm, place.y_mm)
        scene.guides.show_guides(step.guides)
        left, top, right, _ = box_of(mover)
        head = QPointF((left + right) / 2 + landing.dx_mm, top + landing.dy_mm)
        self._board.show_room(step.room, landing.sheet_id, head)
        for sheet_id, item in scene.sheet_items.items():
            item.set_target(sheet_id == landing.sheet_id and sheet_id != self._home_id)
