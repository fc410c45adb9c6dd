"""Tells a dot screen: shades printed as many small dots of varying size at a regular pitch."""

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import KDTree
from shapely import MultiPolygon

_LEAST_DOTS = 100
_LARGEST = 0.05
"""Dots are no wider or higher than this part of the art's longer side."""
_ROUND = 0.7
"""How round a dot is, 4 pi area / perimeter squared: 1 for a disc, 0.79 for a square, less for letters."""
_ALIKE = 0.15
"""A pitch is regular where the next dot of most lies as far away as usual, give or take this part."""
_MOST = 0.6
_VARYING = 1.25
"""How many times as wide the large dots are as the small ones; dots of one size are a pattern."""
_BETWEEN = 0.2
"""Which part of the dots lies in the middle third of that spread: none where there are two sizes."""


def dot_screen_count(outline: MultiPolygon) -> int:
    """How many dots of a screen the shapes hold; 0 where they are none."""
    parts = np.array(outline.geoms, dtype=object)
    if len(parts) < _LEAST_DOTS:
        return 0
    x0, y0, x1, y1 = outline.bounds
    boxes = shapely.bounds(parts)
    across, down = boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1]
    area = shapely.area(parts)
    is_round = 4 * np.pi * area >= _ROUND * shapely.length(parts) ** 2
    is_dot = is_round & (np.maximum(across, down) <= _LARGEST * max(x1 - x0, y1 - y0))
    if is_dot.sum() < max(_LEAST_DOTS, _MOST * len(parts)):
        return 0
    middles = (boxes[is_dot, :2] + boxes[is_dot, 2:]) / 2
    return int(is_dot.sum()) if _is_regular(middles) and _varies(np.sqrt(area[is_dot])) else 0


def _is_regular(middles: NDArray[np.float64]) -> bool:
    apart = np.asarray(KDTree(middles).query(middles, k=2)[0])[:, 1]
    usual = float(np.median(apart))
    return float((np.abs(apart - usual) <= _ALIKE * usual).mean()) >= _MOST


def _varies(sizes: NDArray[np.float64]) -> bool:
    small, large = np.percentile(sizes, (5, 95))
    if large < _VARYING * small:
        return False
    third = (large - small) / 3
    return float(((sizes > small + third) & (sizes < large - third)).mean()) >= _BETWEEN
