"""Bends an outline along a circle: every point moves, so that letters follow the curve themselves."""

import math

import numpy as np
import shapely
from shapely import MultiPolygon

from layout_core.art.affine import Points
from layout_core.geometry.outline import valid_union


def bent(
    outline: MultiPolygon, radius_mm: float, centre_x_mm: float, line_y_mm: float, tolerance_mm: float
) -> MultiPolygon:
    """The outline with the level line at `line_y_mm` laid on a circle, its point at `centre_x_mm` unmoved.

    y runs down. A radius above 0 puts the circle's centre below (the ends droop, a rainbow), one below 0
    above it. Lengths along that line stay. Straight edges become curves within the tolerance. The outline
    must not reach the centre: raises ValueError.
    """
    _, top, _, bottom = outline.bounds
    inner_mm = radius_mm - (bottom - line_y_mm) if radius_mm > 0 else -radius_mm - (line_y_mm - top)
    if inner_mm <= 0.0:
        raise ValueError("the outline reaches the centre of the circle")
    step_mm = math.sqrt(8.0 * abs(radius_mm) * tolerance_mm)

    def onto_circle(points: Points) -> Points:
        angle = (points[:, 0] - centre_x_mm) / radius_mm
        distance = radius_mm - (points[:, 1] - line_y_mm)
        x = centre_x_mm + distance * np.sin(angle)
        y = line_y_mm + radius_mm - distance * np.cos(angle)
        return np.column_stack((x, y))

    return valid_union(shapely.transform(shapely.segmentize(outline, step_mm), onto_circle))
