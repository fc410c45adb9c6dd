"""Rings that may cross become valid polygons under SVG's two fill rules."""

from collections.abc import Iterator, Sequence
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from layout_core.art.affine import Points
from layout_core.art.refusal import NeedsRaster

Rule = Literal["nonzero", "evenodd"]
EMPTY = MultiPolygon()
_SAMPLE = 1500
_MOST_CROSSINGS = 400_000
_CROSSINGS_PER_EDGE = 24


def filled(rings: Sequence[Points], rule: Rule, tolerance: float) -> BaseGeometry:
    """The area the rings fill, a valid Polygon or MultiPolygon; open rings are closed.

    Crossings are rounded to tolerance / 1000, in the unit and frame of the rings. Raises NeedsRaster when the
    rings cross so often that working out every crossing would take minutes.
    """
    closed = [ring for ring in map(_closed, rings) if len(ring) >= 4]
    parts = [_filled_together(group, rule, tolerance) for group in _groups(closed)]
    if len(parts) == 1:
        return parts[0]
    return MultiPolygon(list(shapely.get_parts(np.array(parts, dtype=object)))) if parts else EMPTY


def joined(shapes: Sequence[BaseGeometry]) -> BaseGeometry:
    """The union of valid shapes; polygons that meet no other shape are passed through untouched."""
    if len(shapes) < 2:
        return shapes[0] if shapes else EMPTY
    parts, owner = shapely.get_parts(np.array(shapes, dtype=object), return_index=True)
    first, second = shapely.STRtree(parts).query(parts, predicate="intersects")
    meets = np.zeros(len(parts), dtype=bool)
    meets[first[owner[first] != owner[second]]] = True
    union = shapely.get_parts(shapely.union_all(parts[meets]))
    return MultiPolygon([part for part in (*parts[~meets], *union) if isinstance(part, Polygon)])


def _filled_together(rings: Sequence[Points], rule: Rule, tolerance: float) -> BaseGeometry:
    """The area of rings that lie close together."""
    if len(rings) == 1:
        single = Polygon(rings[0])
        if single.is_valid:
            return single
    _check_crossings(rings)
    lines = shapely.linestrings(np.concatenate(rings), indices=_owners(rings))
    noded = shapely.unary_union(lines, grid_size=tolerance / 1000)
    faces = shapely.get_parts(shapely.polygonize([noded]))
    if len(faces) == 0:
        return EMPTY
    winding = winding_numbers(shapely.get_coordinates(shapely.point_on_surface(faces)), rings)
    inside = winding != 0 if rule == "nonzero" else winding % 2 == 1
    kept = faces[inside]
    return _merged(kept) if len(kept) else EMPTY


def _merged(faces: NDArray[np.object_]) -> BaseGeometry:
    """The union of faces that touch along edges but do not overlap."""
    union = shapely.coverage_union_all(faces)
    if union.is_valid and union.geom_type in ("Polygon", "MultiPolygon"):
        return union
    return shapely.union_all(shapely.make_valid(faces))


def _closed(ring: Points) -> Points:
    moves = np.any(ring[1:] != ring[:-1], axis=1)
    if not moves.all():
        ring = np.concatenate((ring[:1], ring[1:][moves]))
    if len(ring) > 1 and np.any(ring[0] != ring[-1]):
        ring = np.concatenate((ring, ring[:1]))
    return ring


def _groups(rings: Sequence[Points]) -> Iterator[list[Points]]:
    """The rings in groups whose bounding boxes are linked; no two groups touch each other."""
    if len(rings) < 2:
        yield from ([ring] for ring in rings)
        return
    low = np.array([ring.min(axis=0) for ring in rings])
    high = np.array([ring.max(axis=0) for ring in rings])
    boxes = np.asarray(shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]), dtype=object)
    first, second = shapely.STRtree(boxes).query(boxes)
    leader = list(range(len(rings)))

    def find(index: int) -> int:
        while leader[index] != index:
            leader[index] = leader[leader[index]]
            index = leader[index]
        return index

    ahead = first < second
    for one, other in zip(first[ahead].tolist(), second[ahead].tolist(), strict=True):
        leader[find(one)] = find(other)
    groups: dict[int, list[Points]] = {}
    for index, ring in enumerate(rings):
        groups.setdefault(find(index), []).append(ring)
    yield from groups.values()


def _owners(rings: Sequence[Points]) -> NDArray[np.int64]:
    return np.repeat(np.arange(len(rings)), [len(ring) for ring in rings])


def _edges(rings: Sequence[Points]) -> tuple[Points, Points]:
    return np.concatenate([ring[:-1] for ring in rings]), np.concatenate([ring[1:] for ring in rings])


def _check_crossings(rings: Sequence[Points]) -> None:
    """Estimate from a sample how many pairs of edges could cross."""
    start, end = _edges(rings)
    count = len(start)
    if count < _SAMPLE:
        return
    low, high = np.minimum(start, end), np.maximum(start, end)
    boxes = np.asarray(shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]), dtype=object)
    sample = boxes[:: max(1, count // _SAMPLE)]
    pairs = shapely.STRtree(boxes).query(sample).shape[1] * count / len(sample) / 2
    if pairs > _MOST_CROSSINGS + _CROSSINGS_PER_EDGE * count:
        raise NeedsRaster("lines that cross very often")


def winding_numbers(points: Points, rings: Sequence[Points]) -> NDArray[np.int64]:
    """How often the closed rings turn round each point, counted along a ray to the right."""
    start, end = _edges(rings)
    edges = shapely.STRtree(np.asarray(shapely.linestrings(np.stack((start, end), axis=1)), dtype=object))
    far = float(max(start[:, 0].max(), end[:, 0].max())) + 1.0
    ends = np.column_stack((np.full(len(points), far), points[:, 1]))
    ray, edge = edges.query(shapely.linestrings(np.stack((points, ends), axis=1)))
    x0, y0 = start[edge].T
    x1, y1 = end[edge].T
    px, py = points[ray].T
    side = (x1 - x0) * (py - y0) - (px - x0) * (y1 - y0)
    up = (y0 <= py) & (y1 > py) & (side > 0)
    down = (y1 <= py) & (y0 > py) & (side < 0)
    turns = up.astype(np.int64) - down.astype(np.int64)
    return np.bincount(ray, weights=turns, minlength=len(points)).round().astype(np.int64)
