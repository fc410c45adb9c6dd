"""Outlines for the strip solver: one ring round each piece, which knows neither holes nor parts."""

import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from layout_core.packing.variants import hiding, without_holes

_BRIDGE_MM = 0.05
_CLOSINGS = (0.5, 1.0, 2.0, 4.0)
"""Widths of film closed up between parts, in gaps: what is narrower than a gap is of no use to others."""


def one_ring(outline: MultiPolygon, gap_mm: float) -> Polygon:
    """A polygon without holes that hides the outline, as close to it as its parts allow."""
    solid = without_holes(outline)
    if len(solid.geoms) > 1:
        solid = _joined(solid, gap_mm)
    simple = without_holes(hiding(solid))
    return simple.geoms[0] if len(simple.geoms) == 1 else _hull(solid)


def _joined(solid: MultiPolygon, gap_mm: float) -> MultiPolygon:
    for share in _CLOSINGS:
        reach_mm = max(share * gap_mm, _BRIDGE_MM)
        closed = solid.buffer(reach_mm, quad_segs=4).buffer(-reach_mm, quad_segs=4)
        whole = without_holes(shapely.union_all([closed, solid]))
        if len(whole.geoms) == 1:
            return whole
    return MultiPolygon([_hull(solid)])


def _hull(shape: BaseGeometry) -> Polygon:
    hull = shape.convex_hull
    if not isinstance(hull, Polygon):
        raise ValueError("the outline has no area")
    return hull
