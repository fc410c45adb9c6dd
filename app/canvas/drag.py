"""What a person is told while something is carried over a sheet: where it catches, how much room it has."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import shapely
from shapely import MultiPolygon
from shapely.geometry.base import BaseGeometry

from app.canvas.snapping import Box, Guide, SheetLines, Snapper
from layout_core.geometry.clearance import Clearance, Gap
from layout_core.job.model import Sheet

TOUCHING_MM = 1e-6
SAME_MM = 0.0005
"""Half a thousandth of a millimetre decides no gap: poses are sums of decimal steps."""


class Verdict(StrEnum):
    """How something may lie; worst last."""

    CLEAR = "clear"
    CLOSE = "too close"
    MARGIN = "in the margin"
    OVERLAP = "overlaps"
    OFF_SHEET = "off the sheet"


@dataclass(frozen=True, slots=True)
class Room:
    """The distance (mm) to show, between two points of the sheet frame; no points where there is no line."""

    verdict: Verdict
    distance_mm: float | None = None
    from_mm: tuple[float, float] | None = None
    to_mm: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class DragStep:
    """Where the carried shape lies: its shift from the start (mm), what caught it, how much room it has."""

    dx_mm: float
    dy_mm: float
    guides: tuple[Guide, ...]
    room: Room


class Ground:
    """One sheet under a carried shape: its lines and everything else that lies there."""

    def __init__(self, sheet: Sheet, others: Mapping[int, BaseGeometry]) -> None:
        self._sheet = sheet
        lines = SheetLines(sheet.width_mm, sheet.length_mm, sheet.margin_mm, sheet.gap_mm)
        self._snapper = Snapper(lines, [box_of(shape) for shape in others.values()])
        self._reach_mm = max(2.0 * sheet.gap_mm, 10.0)
        self._clearance = Clearance(others, None, self._reach_mm) if others else None

    def step(self, mover: BaseGeometry, dx_mm: float, dy_mm: float, snap_reach_mm: float | None) -> DragStep:
        """The shape, given where it started, after a shift; None reaches for no line."""
        guides: tuple[Guide, ...] = ()
        if snap_reach_mm is not None:
            left, top, right, bottom = box_of(mover)
            wanted = (left + dx_mm, top + dy_mm, right + dx_mm, bottom + dy_mm)
            snap = self._snapper.snap(wanted, snap_reach_mm)
            dx_mm, dy_mm, guides = dx_mm + snap.dx_mm, dy_mm + snap.dy_mm, snap.guides
        moved = shapely.transform(mover, lambda xy: xy + np.array((dx_mm, dy_mm)))
        return DragStep(dx_mm, dy_mm, guides, self.room(moved))

    def room(self, mover: BaseGeometry) -> Room:
        """How much room the shape has where it lies."""
        box = box_of(mover)
        if self._beyond_mm(box, 0.0) > SAME_MM:
            return Room(Verdict.OFF_SHEET)
        gap = None if self._clearance is None else self._clearance.nearest(mover)
        if gap is not None and not self._is_clear(mover):
            if gap.distance_mm <= TOUCHING_MM:
                return Room(Verdict.OVERLAP, 0.0)
            return Room(Verdict.CLOSE, gap.distance_mm, gap.from_mm, gap.to_mm)
        if self._beyond_mm(box, self._sheet.margin_mm) > SAME_MM:
            return Room(Verdict.MARGIN)
        return self._clear_room(box, gap)

    def _is_clear(self, mover: BaseGeometry) -> bool:
        return self._clearance is None or self._clearance.is_clear(
            mover, max(self._sheet.gap_mm - SAME_MM, 0.0)
        )

    def _beyond_mm(self, box: Box, margin_mm: float) -> float:
        width, length = self._sheet.width_mm, self._sheet.length_mm
        return max(
            margin_mm - box[0], margin_mm - box[1], box[2] - width + margin_mm, box[3] - length + margin_mm
        )

    def _clear_room(self, box: Box, gap: Gap | None) -> Room:
        edge = self._edge_room(box)
        if gap is None or (edge.distance_mm or 0.0) < gap.distance_mm:
            return edge if (edge.distance_mm or 0.0) <= self._reach_mm else Room(Verdict.CLEAR)
        return Room(Verdict.CLEAR, gap.distance_mm, gap.from_mm, gap.to_mm)

    def _edge_room(self, box: Box) -> Room:
        across, down = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
        width, length = self._sheet.width_mm, self._sheet.length_mm
        ways = (
            (box[0], (box[0], down), (0.0, down)),
            (width - box[2], (box[2], down), (width, down)),
            (box[1], (across, box[1]), (across, 0.0)),
            (length - box[3], (across, box[3]), (across, length)),
        )
        distance, start, end = min(ways, key=lambda way: way[0])
        return Room(Verdict.CLEAR, max(distance, 0.0), start, end)


def box_of(shape: BaseGeometry) -> Box:
    """Left, top, right and bottom of a shape."""
    left, top, right, bottom = shapely.bounds(shape)
    return float(left), float(top), float(right), float(bottom)


def together(shapes: Mapping[int, BaseGeometry]) -> BaseGeometry:
    """Several shapes carried as one."""
    if len(shapes) == 1:
        return next(iter(shapes.values()))
    parts = shapely.get_parts(np.array(list(shapes.values()), dtype=object))
    return MultiPolygon(list(shapely.get_parts(parts)))
