"""Axes, origin and turning sense, stated once.

Sheet frame: origin at the sheet's top-left corner, x to the right, y down, millimetres.
Piece frame: the ink at its placed size, not turned, origin at the top-left corner of the ink's bounds.
A `Pose` says where the centre of those bounds lies on the sheet, and how far the piece is turned
about it; positive is clockwise as seen.
"""

import math
from dataclasses import dataclass
from typing import TypeVar

import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

G = TypeVar("G", bound=BaseGeometry)


@dataclass(frozen=True, slots=True)
class Pose:
    """Centre of the piece's unturned bounds on the sheet (mm) and its turn (degrees, clockwise)."""

    x_mm: float
    y_mm: float
    turn_deg: float = 0.0

    def shifted(self, dx_mm: float, dy_mm: float) -> "Pose":
        return Pose(self.x_mm + dx_mm, self.y_mm + dy_mm, self.turn_deg)

    def turned(self, by_deg: float) -> "Pose":
        return Pose(self.x_mm, self.y_mm, (self.turn_deg + by_deg) % 360.0)


def cos_sin(turn_deg: float) -> tuple[float, float]:
    """Cosine and sine of a turn, exact at quarter turns."""
    quarter, rest = divmod(turn_deg % 360.0, 90.0)
    if rest == 0.0:
        # A tiny negative turn is 360 here, four quarters.
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarter) % 4]
    return math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))


def affine_to_sheet(width_mm: float, height_mm: float, pose: Pose) -> tuple[float, ...]:
    """(a, b, d, e, xoff, yoff) that carries the piece frame of a width x height piece onto the sheet."""
    cos, sin = cos_sin(pose.turn_deg)
    half_w, half_h = width_mm / 2.0, height_mm / 2.0
    return (
        cos,
        -sin,
        sin,
        cos,
        pose.x_mm - cos * half_w + sin * half_h,
        pose.y_mm - sin * half_w - cos * half_h,
    )


def to_sheet(shape: G, width_mm: float, height_mm: float, pose: Pose) -> G:
    """The shape, given in the frame of a width x height piece, as it lies on the sheet."""
    return affinity.affine_transform(shape, affine_to_sheet(width_mm, height_mm, pose))


def point_to_sheet(
    point_mm: tuple[float, float], width_mm: float, height_mm: float, pose: Pose
) -> tuple[float, float]:
    """One point of the piece frame in the sheet frame."""
    a, b, d, e, x_off, y_off = affine_to_sheet(width_mm, height_mm, pose)
    x, y = point_mm
    return a * x + b * y + x_off, d * x + e * y + y_off


def at_width(outline: G, width_mm: float) -> G:
    """The outline in its piece frame: scaled to the width, top-left corner of its bounds at the origin."""
    min_x, min_y, max_x, _ = outline.bounds
    scale = width_mm / (max_x - min_x)
    return affinity.affine_transform(outline, (scale, 0.0, 0.0, scale, -min_x * scale, -min_y * scale))


def size_mm(outline: BaseGeometry) -> tuple[float, float]:
    """Width and height of the outline's bounds."""
    min_x, min_y, max_x, max_y = shapely.bounds(outline)
    return float(max_x - min_x), float(max_y - min_y)
