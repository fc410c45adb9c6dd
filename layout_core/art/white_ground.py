"""Whether white is the paper that art without a background is drawn on, or ink, by where it lies."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon

from layout_core.art.ink_map import is_white
from layout_core.art.lab import Rgb

_FREE = 0.5
_MAINLY = 0.6
_MOSTLY = 0.5
"""Shares that decide, see `knocked_out`. Our own choices."""
_REACH = 0.002
"""How near, as a share of the art's size, other paint must lie to white's edge to count as touching it."""
_SAMPLES = 2_000
"""At so many points of its edge white is asked what lies beyond."""


@dataclass(frozen=True, slots=True)
class WhiteFacts:
    """Where white lies, in the order of the colours: which are white, the area seen of each, and on white.

    `free_share` is the part of white's outer edge beyond which nothing is painted; what lies in a hole of
    white lies on it.
    """

    whites: tuple[int, ...]
    areas: tuple[float, ...]
    on_white: tuple[float, ...]
    free_share: float


NO_WHITE = WhiteFacts((), (), (), 0.0)


def knocked_out(facts: WhiteFacts) -> frozenset[int]:
    """The colours that white's place says not to print.

    White whose outer edge mostly lies against other paint is paper, and so is white that a drawing lies on
    which covers more than two fifths of it. All other white is ink; then colours that mostly lie on it are
    knocked out, such as the eyes of a white figure, or they would be lost in it.
    """
    whites = frozenset(facts.whites)
    if not whites or len(whites) == len(facts.areas):
        return frozenset()
    white = sum(facts.areas[index] for index in whites)
    if facts.free_share < _FREE or white < _MAINLY * (white + sum(facts.on_white)):
        return whites
    return frozenset(
        index
        for index, (area, on_white) in enumerate(zip(facts.areas, facts.on_white, strict=True))
        if index not in whites and on_white > _MOSTLY * area
    )


def white_facts(seeds: Sequence[Rgb], seen: Sequence[MultiPolygon]) -> WhiteFacts:
    """The facts for the visible area of each colour."""
    whites = tuple(index for index, rgb in enumerate(seeds) if is_white(rgb))
    if not whites or len(whites) == len(seeds):
        return NO_WHITE
    parts, colour = shapely.get_parts(np.array(seen, dtype=object), return_index=True)
    is_of_white = np.isin(colour, whites)
    filled = np.array([Polygon(part.exterior) for part in parts[is_of_white]], dtype=object)
    others = parts[~is_of_white]
    inside = np.zeros(len(others), dtype=bool)
    inside[shapely.STRtree(filled).query(shapely.point_on_surface(others), predicate="within")[0]] = True
    on_white = np.bincount(colour[~is_of_white][inside], shapely.area(others[inside]), minlength=len(seeds))
    x0, y0, x1, y1 = shapely.total_bounds(parts)
    free = _free_share(filled, others[~inside], _REACH * max(x1 - x0, y1 - y0))
    return WhiteFacts(whites, tuple(shape.area for shape in seen), tuple(on_white.tolist()), free)


def _free_share(filled: NDArray[np.object_], others: NDArray[np.object_], reach: float) -> float:
    """The part of the outer edge of white, holes filled, that no other paint is near."""
    edge = shapely.boundary(shapely.union_all(filled))
    lines = shapely.get_parts(edge)
    lengths = shapely.length(lines)
    counts = np.maximum(4, np.ceil(_SAMPLES * lengths / lengths.sum())).astype(np.int64)
    line = np.repeat(np.arange(len(lines)), counts)
    nth = np.arange(len(line)) - np.repeat(np.cumsum(counts) - counts, counts)
    points = shapely.line_interpolate_point(lines[line], (nth + 0.5) / counts[line], normalized=True)
    near = np.zeros(len(points), dtype=bool)
    near[shapely.STRtree(others).query(points, predicate="dwithin", distance=reach)[0]] = True
    weights = lengths[line] / counts[line]
    return float(weights[~near].sum() / weights.sum())
