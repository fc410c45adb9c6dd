"""The traced outline as bytes and back, checked before the geometry library sees them."""

import struct

import numpy as np
import shapely
from shapely import MultiPolygon

from layout_core.job.bounds import MOST_VERTICES

_MULTIPOLYGON, _POLYGON = 6, 3
_CORNER_MM = 1e-6
_LARGEST_MM = 1e6


def outline_bytes(outline: MultiPolygon) -> bytes:
    """Little-endian WKB, the bytes whose hash is the outline's digest."""
    data: bytes = shapely.to_wkb(outline, byte_order=1)
    return data


def outline_from_bytes(data: bytes) -> MultiPolygon:
    """The outline. Raises ValueError with the rest of a sentence for anything but a valid one.

    Valid: a multipolygon of finite points, no more than MOST_VERTICES, its corner at the origin.
    """
    _require_whole(data)
    outline = shapely.from_wkb(data)
    if not isinstance(outline, MultiPolygon) or outline.is_empty:
        raise ValueError("is no set of shapes")
    min_x, min_y, max_x, max_y = outline.bounds
    if not (abs(min_x) <= _CORNER_MM and abs(min_y) <= _CORNER_MM):
        raise ValueError("does not start at its corner")
    if not (0 < max_x <= _LARGEST_MM and 0 < max_y <= _LARGEST_MM):
        raise ValueError("has no usable size")
    if not shapely.is_valid(outline):
        raise ValueError("has shapes that cross themselves")
    return outline


def _require_whole(data: bytes) -> None:
    """Walk the counts, so that the library reserves no memory for absent points and meets no NaN."""
    try:
        parts = _head(data, 0, _MULTIPOLYGON)
        at, points = 9, 0
        for _ in range(parts):
            rings = _head(data, at, _POLYGON)
            at += 9
            if rings < 1:
                raise ValueError("has an empty shape")
            for _ in range(rings):
                (count,) = struct.unpack_from("<I", data, at)
                at += 4 + 16 * count
                points += count
                if at > len(data) or count < 4:
                    raise ValueError("is cut off")
                if not np.isfinite(np.frombuffer(data, "<f8", 2 * count, at - 16 * count)).all():
                    raise ValueError("has a point that is no number")
    except struct.error:
        raise ValueError("is cut off") from None
    if at != len(data):
        raise ValueError("has bytes too many")
    if points > MOST_VERTICES:
        raise ValueError(f"has over {MOST_VERTICES:,} points")


def _head(data: bytes, at: int, kind: int) -> int:
    order, found, count = struct.unpack_from("<BII", data, at)
    if order != 1 or found != kind:
        raise ValueError("is no set of shapes")
    return int(count)
