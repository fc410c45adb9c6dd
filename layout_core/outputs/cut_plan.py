"""Where to cut a sheet apart: straight cuts as long as one parts what is left, then outlines.

A straight cut from edge to edge parts one block of film in two, so as many blocks as there are pieces take
one cut fewer than pieces, and no order of cuts takes fewer. A cut that is possible stays possible after any
other, so taking each as it is found leaves the fewest blocks that only a knife along outlines can part.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from layout_core.geometry.outline import simplified
from layout_core.job.model import Job, Sheet
from layout_core.outputs.sheet_ink import printed_shapes
from layout_core.progress import Progress, no_progress
from layout_core.units import mm

Direction = Literal["across", "down"]
Box = tuple[float, float, float, float]

LEAST_GAP_MM = mm(0.04)
"""Clear film that a straight cut needs; a steady hand keeps half of it either side. Invented."""
_CONTOUR_TOLERANCE_MM = 0.05
_OUTLINE_TOLERANCE_MM = 0.02
_REACHES_MM = (2.0, 5.0, 10.0, 20.0, 40.0)
"""How far the parts of one piece are bridged, tried in turn; then its convex hull. Invented."""


@dataclass(frozen=True, slots=True)
class StraightCut:
    """One cut from edge to edge of a block of film, mm in the sheet frame; `number` is its turn, from 1.

    "across" is a horizontal cut at y = `at_mm`, "down" a vertical one at x = `at_mm`; it runs from `start_mm`
    to `end_mm`. `clear_mm` is the film between the pieces on either side. `block` names what is cut: 0 is the
    whole sheet, and cut n makes the blocks 2n - 1 (upper or left) and 2n (lower or right). `from_edge_mm` is
    the distance from the upper or left edge of that block.
    """

    number: int
    direction: Direction
    at_mm: float
    start_mm: float
    end_mm: float
    clear_mm: float
    block: int
    from_edge_mm: float

    @property
    def ends_mm(self) -> tuple[tuple[float, float], tuple[float, float]]:
        if self.direction == "across":
            return (self.start_mm, self.at_mm), (self.end_mm, self.at_mm)
        return (self.at_mm, self.start_mm), (self.at_mm, self.end_mm)


@dataclass(frozen=True, slots=True)
class ContourCut:
    """The line round one copy that no straight cut frees, in mm in the sheet frame.

    More than one part means that its neighbours lie between its own parts.
    """

    placed_id: int
    shape: MultiPolygon


@dataclass(frozen=True, slots=True)
class CutPlan:
    """All cuts of one sheet; `copies` counts what lies on it."""

    sheet_id: int
    copies: int
    cuts: tuple[StraightCut, ...]
    contours: tuple[ContourCut, ...]


def cut_plan(job: Job, sheet: Sheet, progress: Progress = no_progress) -> CutPlan:
    """The cuts of the sheet, in the order they are made. A sheet with fewer than two copies needs none."""
    return plan_of(printed_shapes(job, sheet), sheet, progress)


def plan_of(shapes: dict[int, MultiPolygon], sheet: Sheet, progress: Progress = no_progress) -> CutPlan:
    """As `cut_plan`, of the shapes that lie on the sheet by placed id."""
    ids = list(shapes)
    boxes = np.array([shapes[key].bounds for key in ids]).reshape(-1, 4)
    cuts: list[StraightCut] = []
    stuck: list[list[int]] = []
    waiting: list[tuple[list[int], Box, int]] = [
        (list(range(len(ids))), (0.0, 0.0, sheet.width_mm, sheet.length_mm), 0)
    ]
    while waiting:
        members, block, number = waiting.pop()
        progress(len(cuts) / max(len(ids), 1) * 0.5, "Planning the cuts")
        cut = _best_cut(boxes[members], block)
        if cut is None:
            if len(members) > 1:
                stuck.append(members)
            continue
        axis, at, clear = cut
        turn = len(cuts) + 1
        cuts.append(_straight(turn, axis, at, clear, block, number))
        first = [one for one in members if boxes[one, axis + 2] <= at]
        second = [one for one in members if boxes[one, axis + 2] > at]
        waiting.append((second, _part(block, axis, at, is_second=True), 2 * turn))
        waiting.append((first, _part(block, axis, at, is_second=False), 2 * turn - 1))
    contours: list[ContourCut] = []
    for number, members in enumerate(stuck):
        progress(0.5 + 0.5 * number / len(stuck), "Drawing outlines to cut along")
        contours += _contours([ids[one] for one in members], shapes, sheet)
    return CutPlan(sheet.sheet_id, len(ids), tuple(cuts), tuple(contours))


def _best_cut(boxes: NDArray[np.float64], block: Box) -> tuple[int, float, float] | None:
    """(axis, at, clear film) of the shortest cut that parts the boxes, the most even of those; or None.

    Short cuts come first because a small block is easier to cut straight.
    """
    best: tuple[tuple[float, int, float], tuple[int, float, float]] | None = None
    for axis in (1, 0):
        length = block[3 - axis] - block[1 - axis]
        order = np.argsort(boxes[:, axis], kind="stable")
        starts, ends = boxes[order, axis], np.maximum.accumulate(boxes[order, axis + 2])
        for i in np.flatnonzero(starts[1:] - ends[:-1] >= LEAST_GAP_MM).tolist():
            clear = float(starts[i + 1] - ends[i])
            unevenness = abs(len(boxes) - 2 * (i + 1))
            rank = (round(length, 3), unevenness, -clear)
            if best is None or rank < best[0]:
                best = (rank, (axis, float(ends[i] + starts[i + 1]) / 2.0, clear))
    return None if best is None else best[1]


def _straight(turn: int, axis: int, at: float, clear: float, block: Box, number: int) -> StraightCut:
    along = 1 - axis
    direction: Direction = "across" if axis == 1 else "down"
    start, end, edge = block[along], block[along + 2], block[axis]
    return StraightCut(turn, direction, at, start, end, clear, number, at - edge)


def _part(block: Box, axis: int, at: float, *, is_second: bool) -> Box:
    left, top, right, bottom = block
    if axis == 1:
        return (left, at, right, bottom) if is_second else (left, top, right, at)
    return (at, top, right, bottom) if is_second else (left, top, at, bottom)


def _contours(ids: Sequence[int], shapes: dict[int, MultiPolygon], sheet: Sheet) -> list[ContourCut]:
    """A line round each of the copies, half the gap from its ink, that keeps clear of the others."""
    light = [simplified(shapes[key], _OUTLINE_TOLERANCE_MM) for key in ids]
    tree = shapely.STRtree(light)
    film = shapely.box(0.0, 0.0, sheet.width_mm, sheet.length_mm)
    contours = []
    for i, key in enumerate(ids):
        near = [j for j in tree.query(light[i].buffer(2 * sheet.gap_mm + 1.0)).tolist() if j != i]
        others = shapely.union_all([light[j] for j in near]) if near else Polygon()
        half = sheet.gap_mm / 2.0
        if near:
            half = min(half, float(shapely.distance(light[i], others)) / 2.0)
        # what lies in the neighbours' half belongs to them
        theirs = others.buffer(half) if near and half > 0 else others
        contours.append(ContourCut(key, _one_piece(light[i], half, theirs, film)))
    return contours


def _one_piece(shape: MultiPolygon, half_mm: float, theirs: BaseGeometry, film: Polygon) -> MultiPolygon:
    """The ink grown by half the gap and joined into as few parts as the neighbours allow, without holes."""
    grown = shape.buffer(half_mm)
    best = _filled(grown.intersection(film))
    trials = [grown.buffer(reach).buffer(-reach) for reach in _REACHES_MM]
    for trial in (*trials, shape.convex_hull.buffer(half_mm)):
        if len(best.geoms) == 1:
            break
        kept = shapely.union(shapely.difference(_filled(trial), theirs), grown)
        parts = _filled(kept.intersection(film))
        best = min(best, parts, key=lambda one: len(one.geoms))
    return simplified(best, _CONTOUR_TOLERANCE_MM)


def _filled(shape: BaseGeometry) -> MultiPolygon:
    """The polygons of the shape without their holes."""
    parts = [Polygon(part.exterior) for part in shapely.get_parts(shape) if isinstance(part, Polygon)]
    merged = shapely.union_all(parts)
    return MultiPolygon([part for part in shapely.get_parts(merged) if isinstance(part, Polygon)])
