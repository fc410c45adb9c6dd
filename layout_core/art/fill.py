"""Rings that may cross become valid polygons under SVG's two fill rules."""

from collections.abc import Sequence
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from layout_core.art.affine import Points

Rule = Literal["nonzero", "evenodd"]
EMPTY = MultiPolygon()


def filled(rings: Sequence[Points], rule: Rule, tolerance: float) -> BaseGeometry:
    """The area the rings fill, a valid Polygon or MultiPolygon; open rings are closed.

    Crossings are rounded to tolerance / 1000, in the unit and frame of the rings.
    """
    closed = [_closed(ring) for ring in rings]
    closed = [ring for ring in closed if len(ring) >= 4]
    if not closed:
        return EMPTY
    if len(closed) == 1:
        single = Polygon(closed[0])
        if single.is_valid:
            return single
    lines = shapely.linestrings(np.concatenate(closed), indices=_owners(closed))
    noded = shapely.unary_union(lines, grid_size=tolerance / 1000)
    faces = shapely.get_parts(shapely.polygonize([noded]))
    if len(faces) == 0:
        return EMPTY
    winding = winding_numbers(shapely.get_coordinates(shapely.point_on_surface(faces)), closed)
    inside = winding != 0 if rule == "nonzero" else winding % 2 == 1
    kept = faces[inside]
    return merged(kept) if len(kept) else EMPTY


def merged(faces: NDArray[np.object_]) -> BaseGeometry:
    """The union of faces that touch along edges but do not overlap."""
    union = shapely.coverage_union_all(faces)
    if union.is_valid and union.geom_type in ("Polygon", "MultiPolygon"):
        return union
    return shapely.union_all(shapely.make_valid(faces))


def _closed(ring: Points) -> Points:
    moves = np.any(ring[1:] != ring[:-1], axis=1)
    ring = np.concatenate((ring[:1], ring[1:][moves]))
    if len(ring) > 1 and np.any(ring[0] != ring[-1]):
        ring = np.concatenate((ring, ring[:1]))
    return ring


def _owners(rings: Sequence[Points]) -> NDArray[np.int64]:
    return np.repeat(np.arange(len(rings)), [len(ring) for ring in rings])


def winding_numbers(points: Points, rings: Sequence[Points]) -> NDArray[np.int64]:
    """How often the closed rings turn round each point, counted along a ray to the right."""
    start = np.concatenate([ring[:-1] for ring in rings])
    end = np.concatenate([ring[1:] for ring in rings])
    edges = shapely.STRtree(np.asarray(shapely.linestrings(np.stack((start, end), axis=1)), dtype=object))
    far = float(max(start[:, 0].max(), end[:, 0].max())) + 1.0
    rays = shapely.linestrings(
        np.stack((points, np.column_stack((np.full(len(points), far), points[:, 1]))), 1)
    )
    ray, edge = edges.query(rays)
    x0, y0 = start[edge].T
    x1, y1 = end[edge].T
    px, py = points[ray].T
    side = (x1 - x0) * (py - y0) - (px - x0) * (y1 - y0)
    up = (y0 <= py) & (y1 > py) & (side > 0)
    down = (y1 <= py) & (y0 > py) & (side < 0)
    turns = up.astype(np.int64) - down.astype(np.int64)
    return np.bincount(ray, weights=turns, minlength=len(points)).round().astype(np.int64)
