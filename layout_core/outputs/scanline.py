"""Turns outlines into rows of single bits, band by band: a pixel is ink when its centre is.

Half-open rule: a centre on a left or upper edge is inside, one on a right or lower edge is not, so shapes
that share an edge leave neither a gap nor a double row. Memory is one band, whatever the length of the sheet.
"""

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon

from layout_core.progress import Progress, no_progress

BAND_ROWS = 256
_EDGES_AT_ONCE = 20_000

Toggles = tuple[NDArray[np.int32], NDArray[np.int32]]


def bands(
    outline: MultiPolygon, columns: int, rows: int, progress: Progress = no_progress
) -> Iterator[NDArray[np.uint8]]:
    """The rows of a picture that size, packed eight pixels to the byte, 1 for ink, `BAND_ROWS` at a time.

    `outline` is valid and in pixels, y down, with the corner of the picture at (0, 0).
    """
    row_of, column_of = _toggles(outline, columns, rows)
    for top in range(0, rows, BAND_ROWS):
        progress(top / rows, "Drawing the separation")
        bottom = min(top + BAND_ROWS, rows)
        first, last = np.searchsorted(row_of, (top, bottom))
        flips = np.zeros((bottom - top, columns + 1), dtype=np.uint8)
        np.bitwise_xor.at(flips, (row_of[first:last] - top, column_of[first:last]), 1)
        inside = np.bitwise_xor.accumulate(flips, axis=1)
        yield np.packbits(inside[:, :columns], axis=1)


def _toggles(outline: MultiPolygon, columns: int, rows: int) -> Toggles:
    """Where each row changes between ground and ink, sorted by row."""
    rings = shapely.get_rings(shapely.get_parts(outline))
    points, ring = shapely.get_coordinates(rings, return_index=True)
    crossings = []
    for start in range(0, len(points) - 1, _EDGES_AT_ONCE):
        end = min(start + _EDGES_AT_ONCE, len(points) - 1) + 1
        stretch = points[start:end]
        is_edge = ring[start + 1 : end] == ring[start : end - 1]
        crossings.append(_crossings(stretch[:-1][is_edge], stretch[1:][is_edge], columns, rows))
    row_of = np.concatenate([np.zeros(0, np.int32), *(row for row, _ in crossings)])
    column_of = np.concatenate([np.zeros(0, np.int32), *(column for _, column in crossings)])
    order = np.argsort(row_of, kind="stable")
    return row_of[order], column_of[order]


def _crossings(first: NDArray[np.float64], second: NDArray[np.float64], columns: int, rows: int) -> Toggles:
    """Row and first column to the right of each place where an edge crosses the middle of a row."""
    is_up = (first[:, 1] > second[:, 1])[:, None]
    upper, lower = np.where(is_up, second, first), np.where(is_up, first, second)
    starts = np.clip(np.ceil(upper[:, 1] - 0.5), 0, rows).astype(np.int64)
    ends = np.clip(np.ceil(lower[:, 1] - 0.5), 0, rows).astype(np.int64)
    counts = ends - starts
    edge = np.repeat(np.arange(len(counts)), counts)
    row = starts[edge] + np.arange(len(edge)) - np.repeat(np.cumsum(counts) - counts, counts)
    share = (row + 0.5 - upper[edge, 1]) / (lower[edge, 1] - upper[edge, 1])
    x = upper[edge, 0] + share * (lower[edge, 0] - upper[edge, 0])
    column = np.clip(np.ceil(x - 0.5), 0, columns)
    return row.astype(np.int32), column.astype(np.int32)
