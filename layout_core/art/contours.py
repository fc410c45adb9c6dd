"""Lines that follow a shape: a contour round it, or a line knocked out of it along its edge."""

from typing import Literal

import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from layout_core.geometry.outline import valid_union

Contouring = Literal["none", "inside", "outside"]
_ROUND = 12
"""Segments a quarter turn: 0.1 mm off at most on a corner of 10 mm."""


def contoured(outline: MultiPolygon, kind: Contouring, line_mm: float, gap_mm: float) -> MultiPolygon:
    """The shape with its contour, in mm and the same frame.

    "outside" adds a line of ink `line_mm` wide round the whole at a distance of `gap_mm`; counters get none.
    "inside" leaves a rim of ink `line_mm` wide, then knocks out a line of `gap_mm`; what lies within stays
    solid where it is at least as wide as the rim. Neither draws a line of ink below `line_mm` or of ground
    below `gap_mm`; at a point where two of its curves meet a shorter waist may stay.
    """
    if kind == "none":
        return outline
    return _outside(outline, line_mm, gap_mm) if kind == "outside" else _inside(outline, line_mm, gap_mm)


def _outside(outline: MultiPolygon, line_mm: float, gap_mm: float) -> MultiPolygon:
    solid = shapely.union_all([Polygon(part.exterior) for part in outline.geoms])
    inner = _closed(_grown(solid, gap_mm), line_mm)
    outer = _closed(_grown(inner, line_mm), gap_mm)
    line = _opened(shapely.difference(outer, inner), line_mm)
    return valid_union(shapely.GeometryCollection([outline, line]))


def _inside(outline: MultiPolygon, line_mm: float, gap_mm: float) -> MultiPolygon:
    rim = shapely.difference(outline, _opened(_grown(outline, -line_mm), gap_mm))
    core = _opened(_grown(outline, -line_mm - gap_mm), line_mm)
    return valid_union(shapely.GeometryCollection([rim, core]))


def _grown(shape: BaseGeometry, by_mm: float) -> BaseGeometry:
    return shapely.buffer(shape, by_mm, quad_segs=_ROUND)


def _opened(shape: BaseGeometry, width_mm: float) -> BaseGeometry:
    """The shape without what is narrower than the width; a hair less, so that just as wide stays."""
    return _grown(_grown(shape, -0.49 * width_mm), 0.49 * width_mm)


def _closed(shape: BaseGeometry, width_mm: float) -> BaseGeometry:
    """The shape with everything filled that is narrower than the width."""
    return _grown(_grown(shape, 0.49 * width_mm), -0.49 * width_mm)
