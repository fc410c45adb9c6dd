"""An independent measure of width and space: klayout's edge-pair design-rule check (test-time only, GPL)."""

import math

import klayout.db as kdb
import numpy as np
import shapely
from shapely import MultiPolygon

GRID_MM = 1e-5
LEAST_ANGLE_DEG = 29.0
"""Edges that meet at this angle or more are no opposite walls (twice atan 1/4, rounded up)."""


def region_of(outline: MultiPolygon) -> kdb.Region:
    """The outline on the check's integer grid."""
    region = kdb.Region()
    for part in outline.geoms:
        polygon = kdb.Polygon(_points(part.exterior))
        for hole in part.interiors:
            polygon.insert_hole(_points(hole))
        region.insert(polygon)
    return region


def _points(ring: shapely.LinearRing) -> list[kdb.Point]:
    steps = np.rint(shapely.get_coordinates(ring)[:-1] / GRID_MM).astype(int)
    return [kdb.Point(int(x), int(y)) for x, y in steps]


def violations(region: kdb.Region, width_mm: float, is_ink: bool) -> kdb.EdgePairs:
    """Pairs of facing edges closer than the width: across ink, or across ground between and inside parts."""
    steps = round(width_mm / GRID_MM)
    options = (False, kdb.Region.Projection, LEAST_ANGLE_DEG, None, None)
    if is_ink:
        return region.width_check(steps, *options)
    return region.space_check(steps, *options) + region.notch_check(steps, *options)


def sustained_by_rule_mm(outline: MultiPolygon, limit_mm: float, is_ink: bool) -> float | None:
    """The least width whose violations hang together for twice the limit; None if there is none below it."""
    region = region_of(outline)
    low_mm, high_mm = 0.0, limit_mm
    if _longest_mm(violations(region, limit_mm, is_ink)) < 2.0 * limit_mm:
        return None
    while high_mm - low_mm > limit_mm / 200.0:
        middle_mm = (low_mm + high_mm) / 2.0
        if _longest_mm(violations(region, middle_mm, is_ink)) >= 2.0 * limit_mm:
            high_mm = middle_mm
        else:
            low_mm = middle_mm
    return (low_mm + high_mm) / 2.0


def _longest_mm(pairs: kdb.EdgePairs) -> float:
    """Length of the longest merged marker, as the strip that has its area and edge."""
    lengths = [0.0]
    for marker in pairs.polygons(2).merged().each():
        half_edge, area = marker.perimeter() / 2.0, marker.area()
        lengths.append((half_edge + math.sqrt(max(half_edge**2 - 4.0 * area, 0.0))) / 2.0 * GRID_MM)
    return max(lengths)
