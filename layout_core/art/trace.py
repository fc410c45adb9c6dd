"""Finds the outline of a coverage picture at half coverage, to a small part of a pixel."""

import contourpy
import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from layout_core.art import caps
from layout_core.art.refusal import OverLimit
from layout_core.progress import Progress, no_progress, within

LEVEL = 127.5
_BAND_SAMPLES = 2_000_000
_SIMPLIFY_PX = 0.1
"""Moves edges by 0.01 px on average and halves the corners (measured on known shapes)."""
_SPECK_PX2 = 1.0


def traced(
    alpha: NDArray[np.uint8], progress: Progress = no_progress, *, level: float = LEVEL
) -> tuple[BaseGeometry, int]:
    """The area where the picture exceeds the level (of 255; half by default), in pixels from its corner.

    The second value is how many specks below one square pixel were dropped. Raises OverLimit for too many
    corners.
    """
    rows = alpha.shape[0]
    padded = np.pad(alpha, 1)
    height = max(2, _BAND_SAMPLES // padded.shape[1])
    parts: list[NDArray[np.object_]] = []
    corners = 0
    for top in range(0, rows + 1, height):
        within(progress, 0.0, 0.7)(top / (rows + 1), "Tracing")
        band = padded[top : min(rows + 2, top + height + 1)]
        polygons = _band(band, top, level)
        corners += int(shapely.get_num_coordinates(polygons).sum())
        if corners > caps.VERTICES:
            raise OverLimit("holds too much fine detail for one ink (a photograph?); ask for flat art")
        parts.append(polygons)
    seams = [float(top) for top in range(height, rows + 1, height)]
    polygons = _joined(np.concatenate(parts), seams)
    progress(0.8, "Tracing")
    areas = shapely.area(polygons)
    large = polygons[areas >= _SPECK_PX2]
    simple = shapely.simplify(large, _SIMPLIFY_PX, preserve_topology=True)
    whole = shapely.multipolygons(simple[shapely.get_type_id(simple) == 3])
    if not whole.is_valid:
        whole = shapely.union_all(shapely.make_valid(large))
    centred = shapely.transform(whole, lambda xy: xy - 0.5)
    return centred, int(len(polygons) - len(large))


def _band(band: NDArray[np.uint8], top: int, level: float) -> NDArray[np.object_]:
    """The polygons of one band of rows, in sample coordinates of the padded picture."""
    generator = contourpy.contour_generator(
        z=band.astype(np.float64), name="serial", fill_type=contourpy.FillType.OuterOffset
    )
    outlines: list[NDArray[np.float64]]
    offsets: list[NDArray[np.uint32]]
    outlines, offsets = generator.filled(level, 1e9)  # type: ignore[misc,assignment]  # as the fill type says
    if not outlines:
        return np.empty(0, dtype=object)
    points = np.concatenate(outlines)
    points[:, 1] += top
    lengths = [np.diff(offset.astype(np.int64)) for offset in offsets]
    ring_lengths: NDArray[np.int64] = np.concatenate(lengths)
    owner = np.repeat(np.arange(len(ring_lengths)), ring_lengths)
    rings = np.asarray(shapely.linearrings(points, indices=owner), dtype=object)
    owners = np.repeat(np.arange(len(lengths)), [len(length) for length in lengths])
    return np.asarray(shapely.polygons(rings, indices=owners), dtype=object)


def _joined(polygons: NDArray[np.object_], seams: list[float]) -> NDArray[np.object_]:
    """The polygons with those that meet at a seam between two bands made one."""
    if not seams or len(polygons) == 0:
        return polygons
    bounds = shapely.bounds(polygons)
    touches = np.isin(bounds[:, 1], seams) | np.isin(bounds[:, 3], seams)
    if not touches.any():
        return polygons
    union = shapely.get_parts(shapely.union_all(polygons[touches]))
    return np.concatenate((polygons[~touches], union))
