"""Samples an outline on a square lattice: which lattice points lie inside it."""

from typing import TypeAlias

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry

Cells: TypeAlias = npt.NDArray[np.bool_]


def sampled(
    outline: BaseGeometry, x0_mm: float, y0_mm: float, pitch_mm: float, columns: int, rows: int
) -> Cells:
    """(rows, columns): whether the point (x0 + column * pitch, y0 + row * pitch) lies inside the outline.

    Even-odd, so holes stay open. Exact but for points on the outline itself.
    """
    flips = np.zeros((rows, columns + 1), dtype=np.int32)
    row, x_mm = _crossings(outline, y0_mm, pitch_mm, rows)
    column = np.clip(np.ceil((x_mm - x0_mm) / pitch_mm), 0, columns).astype(np.intp)
    np.add.at(flips, (row, column), 1)
    return np.asarray(np.cumsum(flips[:, :columns], axis=1) & 1, dtype=np.bool_)


def _crossings(
    outline: BaseGeometry, y0_mm: float, pitch_mm: float, rows: int
) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.float64]]:
    """Row number and x of every crossing of the outline with a row of the lattice."""
    xy, ring = shapely.get_coordinates(shapely.get_rings(shapely.get_parts(outline)), return_index=True)
    follows = ring[1:] == ring[:-1]
    start, end = xy[:-1][follows], xy[1:][follows]
    first = np.ceil((np.minimum(start[:, 1], end[:, 1]) - y0_mm) / pitch_mm)
    last = np.ceil((np.maximum(start[:, 1], end[:, 1]) - y0_mm) / pitch_mm)
    first, last = np.clip(first, 0, rows).astype(np.intp), np.clip(last, 0, rows).astype(np.intp)
    counts = last - first
    edge = np.repeat(np.arange(len(start)), counts)
    row = np.arange(len(edge)) - np.repeat(np.cumsum(counts) - counts, counts) + first[edge]
    y_mm = y0_mm + row * pitch_mm
    rise = end[edge, 1] - start[edge, 1]
    x_mm = start[edge, 0] + (y_mm - start[edge, 1]) * (end[edge, 0] - start[edge, 0]) / rise
    return row.astype(np.intp), x_mm
