"""Sound outlines: valid unions, and lighter copies that stay within a stated distance."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry


def valid_union(shape: BaseGeometry) -> MultiPolygon:
    """The area the shape covers as a valid MultiPolygon, unit and frame unchanged.

    Overlapping parts become one, self-crossings are resolved by the even-odd rule; points, lines, parts
    without area and a precision grid that the shape may carry are dropped. Of an empty shape an empty one.
    """
    # a shape once rounded to a grid would round all that is ever worked out from it
    parts = shapely.set_precision(_polygons(shape), 0.0)
    merged = MultiPolygon(list(parts))
    # a part without area may be a ring that crosses itself and has some once it is taken apart
    if (shapely.area(parts) > 0.0).all() and merged.is_valid:
        return merged
    sound = _polygons(shapely.GeometryCollection(list(shapely.make_valid(parts))))
    union = _polygons(shapely.union_all(sound))
    return MultiPolygon(list(union[shapely.area(union) > 0.0]))


def _polygons(shape: BaseGeometry) -> NDArray[np.object_]:
    """Every polygon inside the shape, however deeply collected."""
    parts = shapely.get_parts(shape)
    while (shapely.get_type_id(parts) > shapely.GeometryType.POLYGON).any():
        parts = shapely.get_parts(parts)
    found: NDArray[np.object_] = parts[shapely.get_type_id(parts) == shapely.GeometryType.POLYGON]
    return found


def lighter(parts: NDArray[np.object_], tolerance_mm: float) -> NDArray[np.object_]:
    """Each polygon with fewer vertices, valid in itself, its edge within the tolerance (mm) of where it was.

    GEOS 3.14 drops a ring's starting vertex in a second pass, which may move the edge once more by as much;
    so it is given half.
    """
    light: NDArray[np.object_] = shapely.simplify(parts, tolerance_mm / 2.0)
    return light


def simplified(outline: MultiPolygon, tolerance_mm: float) -> MultiPolygon:
    """The outline with fewer vertices, still valid, no dropped vertex further than the tolerance away (mm).

    No part or counter vanishes; parts closer than the tolerance may merge.
    """
    return valid_union(MultiPolygon(list(lighter(np.array(outline.geoms, dtype=object), tolerance_mm))))


def light_outline(outline: MultiPolygon, tolerance_mm: float) -> MultiPolygon:
    """A light copy to draw or to grab, in mm and the same frame.

    Counters and parts that fit in a square of the tolerance are left out, the rest is simplified by it; of an
    outline that would lose everything the largest part stays as it is, without its counters.
    """
    kept = [_without_small_holes(part, tolerance_mm) for part in outline.geoms if _spans(part, tolerance_mm)]
    if not kept and not outline.is_empty:
        return MultiPolygon([Polygon(max(outline.geoms, key=lambda part: part.area).exterior)])
    return simplified(MultiPolygon(kept), tolerance_mm)


def _without_small_holes(part: Polygon, least_mm: float) -> Polygon:
    return Polygon(part.exterior, [hole for hole in part.interiors if _spans(hole, least_mm)])


def _spans(shape: BaseGeometry, least_mm: float) -> bool:
    min_x, min_y, max_x, max_y = shape.bounds
    return bool(max(max_x - min_x, max_y - min_y) > least_mm)
