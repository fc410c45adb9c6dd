"""Menus and sheets for the packing tests, in mm."""

from collections import Counter
from collections.abc import Sequence

import shapely
from shapely import MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from layout_core.packing.fill import FillSheet, MenuItem


def item(key: int, shape: BaseGeometry, *, most: int = 1, turn_deg: float = 0.0) -> MenuItem:
    """A menu item of the shape, moved to the origin, worth the area of its bounds."""
    min_x, min_y, max_x, max_y = shape.bounds
    moved = shapely.transform(shape, lambda xy: xy - (min_x, min_y))
    outline = MultiPolygon([part for part in shapely.get_parts(moved) if isinstance(part, Polygon)])
    return MenuItem(key, outline, (max_x - min_x) * (max_y - min_y), most, turn_deg)


def box(key: int, width_mm: float, height_mm: float, *, most: int = 1) -> MenuItem:
    return item(key, shapely.box(0, 0, width_mm, height_mm), most=most)


def boxes_of(rectangles: Sequence[tuple[float, float]]) -> list[MenuItem]:
    """One item for each size, either way up, as often as it comes."""
    counts = Counter((min(size), max(size)) for size in rectangles)
    return [box(key, *size, most=counts[size]) for key, size in enumerate(sorted(counts))]


def sheet(
    width_mm: float,
    length_mm: float,
    *obstacles: BaseGeometry,
    gap_mm: float = 0.0,
    margin_mm: float = 0.0,
) -> FillSheet:
    return FillSheet(width_mm, length_mm, margin_mm, gap_mm, tuple(obstacles))


def crescent(radius_mm: float) -> BaseGeometry:
    return Point(0, 0).buffer(radius_mm).difference(Point(radius_mm / 2, 0).buffer(radius_mm * 0.9))


def ring(outer_mm: float, inner_mm: float) -> BaseGeometry:
    return Point(0, 0).buffer(outer_mm).difference(Point(0, 0).buffer(inner_mm))
