"""Hides a true outline, grown by the gap, under boxes on a grid of 1/1000 in; hollows and holes stay open."""

import math
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from layout_core.units import MM_PER_IN

GRID_MM = MM_PER_IN / 1000.0
"""One step of the packing grid. rectpack adds up sizes, so they must be whole numbers: with floats
three rectangles of 0.1 do not fit into 0.3."""

_GRID_DUST = 1e-6
_SLICE_MM = 2.54
_SLICES_MOST = 80
_QUARTER_SEGMENTS = 16
_DETAILED_VERTICES = 4000
_DETAIL_MM = 0.05

Span = tuple[float, float]
Bounds = tuple[float, float, float, float]


class GridBox(NamedTuple):
    """A rectangle of whole grid steps."""

    x0: int
    y0: int
    x1: int
    y1: int

    @property
    def area(self) -> int:
        return (self.x1 - self.x0) * (self.y1 - self.y0)

    def shifted(self, dx: int, dy: int) -> "GridBox":
        return GridBox(self.x0 + dx, self.y0 + dy, self.x1 + dx, self.y1 + dy)


def steps_up(length_mm: float) -> int:
    """The length in grid steps, never shorter than it is; dust of floating point does not count."""
    return math.ceil(length_mm / GRID_MM - _GRID_DUST)


def steps_down(length_mm: float) -> int:
    """The length in grid steps, never longer than it is; dust of floating point does not count."""
    return math.floor(length_mm / GRID_MM + _GRID_DUST)


def cover_boxes(
    outline: BaseGeometry, gap_mm: float, dx_mm: float, dy_mm: float, slice_mm: float = _SLICE_MM
) -> list[GridBox]:
    """Boxes that together hide the outline grown by the gap and moved by (dx, dy), rounded outwards.

    The outline is cut into horizontal slices of at most `slice_mm`; slices alike are one box. A very
    detailed outline is simplified first and grown by that much more.
    """
    if shapely.get_num_coordinates(outline) > _DETAILED_VERTICES:
        outline, gap_mm = outline.simplify(_DETAIL_MM), gap_mm + _DETAIL_MM
    # A round buffer of q segments a quarter lies inside the true one; this radius puts it outside.
    # It overshoots straight edges by 0.1 %, so that the bounds, which are exact, have the last word.
    radius_mm = gap_mm / math.cos(math.pi / (4 * _QUARTER_SEGMENTS))
    grown = outline.buffer(radius_mm, quad_segs=_QUARTER_SEGMENTS)
    least_x, least_y, most_x, most_y = shapely.bounds(outline).tolist()
    return [
        GridBox(
            steps_down(max(x0, least_x - gap_mm) + dx_mm),
            steps_down(max(y0, least_y - gap_mm) + dy_mm),
            steps_up(min(x1, most_x + gap_mm) + dx_mm),
            steps_up(min(y1, most_y + gap_mm) + dy_mm),
        )
        for x0, y0, x1, y1 in _slices(grown, slice_mm)
    ]


def _slices(shape: BaseGeometry, slice_mm: float) -> list[Bounds]:
    if shape.is_empty:
        return []
    min_x, min_y, max_x, max_y = shape.bounds
    count = min(max(math.ceil((max_y - min_y) / slice_mm), 1), _SLICES_MOST)
    edges = np.linspace(min_y, max_y, count + 1)
    sides = np.full((2, count), [[min_x - 1.0], [max_x + 1.0]])
    strips = shapely.box(sides[0], edges[:-1], sides[1], edges[1:])
    rows = shapely.intersection(shape, strips)
    open_runs: list[Bounds] = []
    closed: list[Bounds] = []
    for top, bottom, row in zip(edges[:-1].tolist(), edges[1:].tolist(), rows, strict=True):
        still: list[Bounds] = []
        for x0, x1 in _joined_spans(row):
            run = next((r for r in open_runs if abs(r[0] - x0) < GRID_MM and abs(r[2] - x1) < GRID_MM), None)
            if run is None:
                still.append((x0, top, x1, bottom))
            else:
                open_runs.remove(run)
                still.append((min(run[0], x0), run[1], max(run[2], x1), bottom))
        closed += open_runs
        open_runs = still
    return closed + open_runs


def _joined_spans(row: BaseGeometry) -> list[Span]:
    """The stretches of x that the parts of one slice take up, from left to right."""
    bounds = shapely.bounds(shapely.get_parts(row))
    joined: list[Span] = []
    for x0, x1 in sorted((float(b[0]), float(b[2])) for b in bounds if b[2] > b[0]):
        if joined and x0 <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], x1))
        else:
            joined.append((x0, x1))
    return joined
