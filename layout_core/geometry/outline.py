"""Sound outlines: valid unions, and lighter copies that stay within a stated distance."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry


def valid_union(shape: BaseGeometry) -> MultiPolygon:
    """The area the shape covers as a valid MultiPolygon, unit and frame unchanged.

    Overlapping parts become one, self-crossings are resolved by the even-odd rule, and points, lines and
    parts without area are dropped; an empty shape gives an empty MultiPolygon.
    """
    parts = polygon_parts(shape)
    if not len(parts):
        return MultiPolygon()
    merged = MultiPolygon(list(parts))
    if not merged.is_valid:
        sound = polygon_parts(shapely.GeometryCollection(list(shapely.make_valid(parts))))
        merged = MultiPolygon(list(polygon_parts(shapely.union_all(sound))))
    return merged


def polygon_parts(shape: BaseGeometry) -> NDArray[np.object_]:
    """Every polygon inside the shape, however deeply collected, that has an area."""
    parts = shapely.get_parts(shape)
    while len(parts) and (shapely.get_type_id(parts) > shapely.GeometryType.POLYGON).any():
        parts = shapely.get_parts(parts)
    is_area = (shapely.get_type_id(parts) == shapely.GeometryType.POLYGON) & (shapely.area(parts) > 0.0)
    found: NDArray[np.object_] = parts[is_area]
    return found


def simplified(outline: MultiPolygon, tolerance_mm: float) -> MultiPolygon:
    """The outline with fewer vertices, still valid, its edge nowhere further than the tolerance away (mm).

    A part or counter never vanishes and never merges with another.
    """
    parts = shapely.simplify(np.array(outline.geoms, dtype=object), tolerance_mm)
    return valid_union(MultiPolygon([part for part in parts if isinstance(part, Polygon)]))


def light_outline(outline: MultiPolygon, tolerance_mm: float) -> MultiPolygon:
    """A light copy to draw or to grab, in mm and the same frame.

    Counters and parts that fit in a square of the tolerance are left out, the rest is simplified by it; an
    outline that would lose everything keeps its largest part.
    """
    kept = [_without_small_holes(part, tolerance_mm) for part in outline.geoms if _spans(part, tolerance_mm)]
    if not kept and not outline.is_empty:
        kept = [Polygon(max(outline.geoms, key=lambda part: part.area).exterior)]
    return simplified(MultiPolygon(kept), tolerance_mm)


def _without_small_holes(part: Polygon, least_mm: float) -> Polygon:
    return Polygon(part.exterior, [hole for hole in part.interiors if _spans(hole, least_mm)])


def _spans(shape: BaseGeometry, least_mm: float) -> bool:
    min_x, min_y, max_x, max_y = shape.bounds
    return bool(max(max_x - min_x, max_y - min_y) > least_mm)
