"""The last word on a layout: gap and margin of every copy, measured on true outlines."""

from collections.abc import Sequence

import numpy as np
import shapely
from shapely import STRtree

from layout_core.packing.fill import FillSheet, Laid, MenuItem, laid_outline

SLACK_MM = 1e-6
"""What floating point may take off a gap or margin; a thousandth of what any cutter can see."""


def breaches(sheet: FillSheet, laid: Sequence[Laid], menu: Sequence[MenuItem]) -> tuple[int, ...]:
    """Positions in `laid` of the copies that must go so that the rest keep gap and margin.

    Empty for a sound layout. Of two copies too close to each other the later one is named; obstacles
    are taken as they lie, however close they are to one another.
    """
    items = {item.key: item for item in menu}
    shapes = np.array([laid_outline(items[one.key], one.pose) for one in laid], dtype=object)
    if not len(shapes):
        return ()
    bad = set(np.flatnonzero(_leaves(sheet, shapes)).tolist())
    reach = max(sheet.gap_mm - SLACK_MM, 0.0)
    bad.update(_close_pairs(shapes, np.array(sheet.obstacles, dtype=object), reach)[0].tolist())
    for first, second in sorted(zip(*(a.tolist() for a in _close_pairs(shapes, shapes, reach)), strict=True)):
        if first < second and first not in bad:
            bad.add(second)
    return tuple(sorted(bad))


def _leaves(sheet: FillSheet, shapes: np.ndarray) -> np.ndarray:
    least = sheet.margin_mm - SLACK_MM
    bounds = shapely.bounds(shapes)
    return np.asarray(
        (bounds[:, :2] < least).any(axis=1)
        | (bounds[:, 2] > sheet.width_mm - least)
        | (bounds[:, 3] > sheet.length_mm - least)
    )


def _close_pairs(shapes: np.ndarray, others: np.ndarray, reach_mm: float) -> tuple[np.ndarray, np.ndarray]:
    """Index pairs (shape, other) nearer than the reach; touching alone is near only where reach is 0."""
    if not len(others):
        return np.empty(0, int), np.empty(0, int)
    first, second = STRtree(others).query(shapes, predicate="dwithin", distance=reach_mm)
    if reach_mm == 0.0:
        overlap = shapely.area(shapely.intersection(shapes[first], others[second])) > SLACK_MM
        return first[overlap], second[overlap]
    nearer = shapely.distance(shapes[first], others[second]) < reach_mm
    return first[nearer], second[nearer]
