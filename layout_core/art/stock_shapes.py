"""Draws the stock shapes: each function answers an outline in mm, y down, about the origin."""

import math

import numpy as np
import shapely
from shapely import MultiPolygon, Point, Polygon, affinity
from shapely.geometry.base import BaseGeometry

from layout_core.art.bend import bent
from layout_core.geometry.outline import valid_union
from layout_core.units import mm

LEAST_INK_MM = mm(0.04)
LEAST_GAP_MM = mm(0.05)
"""What the shapes keep at tips and folds: twice what glow ink holds, so that half size still prints."""

_QUARTER = 48
_TOLERANCE_MM = 0.005


def star(size_mm: float, points: float, depth: float, corner_mm: float) -> BaseGeometry:
    """A star in a circle `size_mm` across; `depth` is the share of the radius cut in between its points."""
    count = round(points)
    outer, inner = size_mm / 2.0, size_mm / 2.0 * (1.0 - depth)
    angles = np.arange(2 * count) * math.pi / count - math.pi / 2.0
    radii = np.where(np.arange(2 * count) % 2 == 0, outer, inner)
    ring = Polygon(np.column_stack((radii * np.cos(angles), radii * np.sin(angles))))
    return rounded(ring, corner_mm)


def moon(size_mm: float, fullness: float, turn_deg: float) -> BaseGeometry:
    """A crescent with its horns to the right, `fullness` of its disc's width thick in the middle, turned."""
    radius = size_mm / 2.0
    shade_radius = radius * (0.8 + 0.15 * fullness)
    shade = _disc(radius * (2.0 * fullness - 1.0) + shade_radius, 0.0, shade_radius)
    crescent = rounded(shapely.difference(_disc(0.0, 0.0, radius), shade), LEAST_INK_MM)
    return affinity.rotate(crescent, turn_deg, origin=(0.0, 0.0))


def ring(size_mm: float, band_mm: float) -> BaseGeometry:
    """A circle drawn with a band of that width."""
    return shapely.difference(_disc(0.0, 0.0, size_mm / 2.0), _disc(0.0, 0.0, size_mm / 2.0 - band_mm))


def burst(size_mm: float, rays: float, hole: float, ink: float, core: float) -> BaseGeometry:
    """Rays round a hole (share of the size), each `ink` of its sector; a disc of share `core` in the hole."""
    count, radius = round(rays), size_mm / 2.0
    half = math.pi / count * ink
    near, far = radius * hole, radius
    wedge = Polygon(
        [
            (near * math.cos(half), -near * math.sin(half)),
            (far * math.cos(half), -far * math.sin(half)),
            (far * math.cos(half), far * math.sin(half)),
            (near * math.cos(half), near * math.sin(half)),
        ]
    )  # fmt: skip
    ray = rounded(wedge, min(0.45 * near * math.sin(half), 0.04 * size_mm))
    parts = [affinity.rotate(ray, 360.0 * at / count - 90.0, origin=(0.0, 0.0)) for at in range(count)]
    if core > 0.0:
        parts.append(_disc(0.0, 0.0, near * core))
    return shapely.union_all(parts)


def wave(
    width_mm: float, band_mm: float, swing_mm: float, crests: float, bands: float, gap_mm: float
) -> BaseGeometry:
    """Bands that swing up and down under each other, their ends round."""
    x = np.linspace(0.0, width_mm, max(64, round(crests) * 48))
    y = -swing_mm / 2.0 * np.cos(2.0 * math.pi * crests * x / width_mm)
    line = shapely.LineString(np.column_stack((x, y)))
    band = shapely.buffer(line, band_mm / 2.0, quad_segs=_QUARTER)
    # where the band climbs, bands shifted straight down come closer than their distance
    steepest = math.pi * swing_mm * crests / width_mm
    step = (band_mm + gap_mm) * math.hypot(1.0, steepest)
    return shapely.union_all([affinity.translate(band, 0.0, step * at) for at in range(round(bands))])


def banner(width_mm: float, height_mm: float, tail_mm: float, bend_deg: float) -> BaseGeometry:
    """A ribbon with two forked tails behind it, its middle rising with the bend.

    Raises ValueError when the tails leave no middle or the bend is too tight.
    """
    half, drop = width_mm / 2.0 - tail_mm, height_mm * 0.28
    if half < 0.25 * height_mm:
        raise ValueError("the tails leave no room for the middle")
    panel = rounded(shapely.box(-half, -height_mm / 2.0, half, height_mm / 2.0), 0.06 * height_mm)
    inner = half - height_mm * 0.22
    notch = min(0.45 * tail_mm, 0.5 * height_mm)
    right = Polygon(
        [
            (inner, -height_mm / 2.0 + drop),
            (width_mm / 2.0, -height_mm / 2.0 + drop),
            (width_mm / 2.0 - notch, drop),
            (width_mm / 2.0, height_mm / 2.0 + drop),
            (inner, height_mm / 2.0 + drop),
        ]
    )  # fmt: skip
    gap = max(LEAST_GAP_MM, 0.05 * height_mm)
    tail = rounded(shapely.difference(right, shapely.buffer(panel, gap)), LEAST_INK_MM)
    whole = valid_union(
        shapely.GeometryCollection([panel, tail, affinity.scale(tail, -1.0, 1.0, origin=(0.0, 0.0))])
    )
    if abs(bend_deg) < 1.0:
        return whole
    return bent(whole, width_mm / math.radians(bend_deg), 0.0, 0.0, _TOLERANCE_MM)


def box(width_mm: float, height_mm: float, corner_mm: float, band_mm: float) -> BaseGeometry:
    """A box with round corners, solid or, with a band above 0, a frame of that width."""
    round_mm = min(corner_mm, width_mm / 2.0, height_mm / 2.0)
    right, bottom = width_mm / 2.0 - round_mm, height_mm / 2.0 - round_mm
    core = shapely.box(-right, -bottom, right, bottom)
    solid = shapely.buffer(core, round_mm, quad_segs=_QUARTER) if round_mm > 0 else core
    if band_mm <= 0 or 2.0 * band_mm >= min(width_mm, height_mm):
        return solid
    return shapely.difference(solid, shapely.buffer(solid, -band_mm, quad_segs=_QUARTER))


def drop(height_mm: float, slimness: float) -> BaseGeometry:
    """A drop with its point up; the slimmer, the longer the point beside the round end."""
    radius = height_mm / (2.0 + 2.2 * slimness)
    tip = -(height_mm - radius)
    along = math.acos(radius / -tip)
    angles = np.linspace(-math.pi / 2.0 + along, 3.0 * math.pi / 2.0 - along, 8 * _QUARTER)
    round_end = np.column_stack((radius * np.cos(angles), radius * np.sin(angles)))
    return rounded(Polygon(np.vstack((round_end, [(0.0, tip)]))), min(LEAST_INK_MM, 0.2 * radius))


def rounded(shape: BaseGeometry, radius_mm: float) -> BaseGeometry:
    """The shape with its outward corners rounded by the radius; what is narrower than twice it goes."""
    if radius_mm <= 0.0:
        return shape
    return shapely.buffer(
        shapely.buffer(shape, -radius_mm, quad_segs=_QUARTER), radius_mm, quad_segs=_QUARTER
    )


def merged(shapes: list[BaseGeometry]) -> MultiPolygon:
    """Everything the shapes cover."""
    return valid_union(shapely.union_all(shapes))


def _disc(x: float, y: float, radius: float) -> BaseGeometry:
    return shapely.buffer(Point(x, y), radius, quad_segs=2 * _QUARTER)
