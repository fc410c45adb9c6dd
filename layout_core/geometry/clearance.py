"""Clearance: how far placed shapes lie from each other and from the edge, quick enough for a drag.

All on true outlines in the sheet frame, mm. Shapes that touch or overlap are 0 apart.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from layout_core.geometry.residue import Ints, Shapes

DUST_MM = 1e-6
"""Rounding, and no fault: a gap that falls short by less is kept, an overlap that is less is none."""

_HALVINGS = 7
_STRETCH_EDGES = 32
_FIRST_REACH_SHARE = 1.0 / 4096.0


@dataclass(frozen=True, slots=True)
class Gap:
    """The distance (mm) between two shapes, and the two points where they are nearest.

    `first` is None for a shape in the hand that has no key, `second` is None for the edge of the usable area.
    `from_mm` lies on the first, `to_mm` on the second; where they overlap both are one point of both.
    """

    distance_mm: float
    first: int | None
    second: int | None
    from_mm: tuple[float, float]
    to_mm: tuple[float, float]


class Clearance:
    """What stands still while one shape moves: build it when the drag begins, ask it at every move.

    `usable` is the area a piece must lie in (None: no edge). Nothing further than `reach_mm` is found.
    """

    def __init__(self, others: Mapping[int, BaseGeometry], usable: Polygon | None, reach_mm: float) -> None:
        if not 0.0 <= reach_mm < float("inf"):
            raise ValueError(f"reach_mm must be 0 or more, not {reach_mm}")
        self._keys = sorted(others)
        self._shapes = _array([others[key] for key in self._keys])
        self._reach_mm = reach_mm
        self._tree = shapely.STRtree(self._shapes)
        self._usable = None if usable is None else usable.buffer(DUST_MM, join_style="mitre")
        self._edge = _array([] if usable is None else [usable.boundary])
        shapely.prepare(self._shapes)
        shapely.prepare(self._edge)
        shapely.prepare(self._usable)

    def nearest(self, mover: BaseGeometry) -> Gap | None:
        """The gap to what lies nearest to the mover within reach; ties go to the lower key, then to the edge.

        A mover that sticks out of the usable area is 0 from its edge.
        """
        near = self._near(mover, self._reach_mm)
        keys: list[int | None] = [self._keys[at] for at in near.tolist()]
        gap = _nearest_of(mover, self._shapes[near], keys, self._reach_mm)
        if self._sticks_out(mover) and (gap is None or gap.distance_mm > 0.0):
            return replace(_gap(None, None, shapely.shortest_line(mover, self._edge[0])), distance_mm=0.0)
        to_edge = _nearest_of(mover, self._edge, [None], self._reach_mm if gap is None else gap.distance_mm)
        return gap if to_edge is None or (gap and gap.distance_mm <= to_edge.distance_mm) else to_edge

    def is_clear(self, mover: BaseGeometry, gap_mm: float) -> bool:
        """Whether the mover lies in the usable area, at least the gap (mm) from every other shape."""
        if self._sticks_out(mover):
            return False
        if gap_mm > DUST_MM:
            return not len(self._near(mover, gap_mm - DUST_MM))
        shapes = self._shapes[self._near(mover, 0.0)]
        return not any(shapely.area(shapely.intersection(shapes, mover)) > DUST_MM)

    def _sticks_out(self, mover: BaseGeometry) -> bool:
        return self._usable is not None and not self._usable.covers(mover)

    def _near(self, mover: BaseGeometry, reach_mm: float) -> Ints:
        """Indices of the shapes within reach (mm), lower keys first."""
        low_x, low_y, high_x, high_y = mover.bounds
        window = shapely.box(low_x - reach_mm, low_y - reach_mm, high_x + reach_mm, high_y + reach_mm)
        # bare tree, then prepared shapes: half the time of the tree's own dwithin, which prepares the mover
        near = np.sort(self._tree.query(window))
        found: Ints = near[shapely.dwithin(self._shapes[near], mover, reach_mm)]
        return found


def cramped_pairs(shapes: Mapping[int, BaseGeometry], gap_mm: float) -> tuple[Gap, ...]:
    """The gap of every two shapes that lie closer than `gap_mm`, overlaps as 0, in order of keys."""
    gaps = _gaps_within(sorted(shapes), _array([shapes[key] for key in sorted(shapes)]), gap_mm)
    return tuple(gap for gap in gaps if gap.distance_mm < gap_mm - DUST_MM)


def smallest_gap(shapes: Mapping[int, BaseGeometry]) -> Gap | None:
    """The tightest distance between any two shapes; None when there are fewer than two.

    Ties go to the lower pair of keys, so the answer never depends on order. No shape may be empty.
    """
    if len(shapes) < 2:
        return None
    array = _array([shapes[key] for key in sorted(shapes)])
    low_x, low_y, high_x, high_y = shapely.total_bounds(array)
    span_mm = max(high_x - low_x, high_y - low_y)
    reach_mm = span_mm * _FIRST_REACH_SHARE
    # one look across everything would measure every pair; the nearest mostly shows in the first few
    while not (gaps := _gaps_within(sorted(shapes), array, reach_mm)):
        reach_mm *= 2.0
    return min(gaps, key=lambda gap: gap.distance_mm)


def _gaps_within(keys: Sequence[int], shapes: Shapes, reach_mm: float) -> list[Gap]:
    """The gaps of all pairs within reach, in the order of their keys."""
    first, second = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=reach_mm)
    pairs = np.flatnonzero(first < second)
    pairs = pairs[np.lexsort((second[pairs], first[pairs]))]
    first, second = first[pairs], second[pairs]
    shapely.prepare(shapes)
    overlaps = shapely.intersects(shapes[first], shapes[second])
    low_mm, high_mm = np.zeros(len(pairs)), np.full(len(pairs), reach_mm)
    for _ in range(_HALVINGS):
        middle_mm = (low_mm + high_mm) / 2.0
        near = shapely.dwithin(shapes[first], shapes[second], middle_mm)
        low_mm, high_mm = np.where(near, low_mm, middle_mm), np.where(near, middle_mm, high_mm)
    stretches = {at: _stretches(shapes[at]) for at in np.unique(second).tolist()}
    gaps: list[Gap] = []
    rows = zip(first.tolist(), second.tolist(), overlaps.tolist(), high_mm.tolist(), strict=True)
    for a, b, overlap, within_mm in rows:
        to = shapes[a]
        if overlap:
            line = _common_point(stretches[b], shapes[b], to)
        else:
            line = _shortest_line(stretches[b], to, within_mm)
        gaps.append(_gap(keys[a], keys[b], shapely.reverse(line)))
    return gaps


def _nearest_of(
    mover: BaseGeometry, shapes: Shapes, keys: Sequence[int | None], reach_mm: float
) -> Gap | None:
    """The gap to the nearest shape within reach; prepared shapes tell near from far, halving how far."""
    near = np.flatnonzero(shapely.dwithin(shapes, mover, reach_mm))
    if not len(near):
        return None
    overlapped = near[shapely.intersects(shapes[near], mover)]
    if len(overlapped):
        at = int(overlapped[0])
        return _gap(None, keys[at], _common_point(_stretches(mover), mover, shapes[at]))
    low_mm, high_mm = 0.0, reach_mm
    for _ in range(_HALVINGS):
        middle_mm = (low_mm + high_mm) / 2.0
        still = near[shapely.dwithin(shapes[near], mover, middle_mm)]
        if len(still):
            near, high_mm = still, middle_mm
        else:
            low_mm = middle_mm
    stretches = _stretches(mover)
    gaps = [_gap(None, keys[at], _shortest_line(stretches, shapes[at], high_mm)) for at in near.tolist()]
    return min(gaps, key=lambda gap: gap.distance_mm)


def _shortest_line(stretches: Shapes, shape: BaseGeometry, within_mm: float) -> LineString:
    """The shortest line from any stretch to the shape, sought only where the two are near."""
    lines = shapely.shortest_line(stretches[shapely.dwithin(shape, stretches, within_mm)], shape)
    shortest: LineString = lines[np.argmin(shapely.length(lines))]
    return shortest


def _common_point(stretches: Shapes, stretched: BaseGeometry, shape: BaseGeometry) -> LineString:
    """A point of the overlap, as a line without length; the whole overlap would take far longer.

    Where no stretch of the one meets the other, a part of the other, if not all of it, lies inside the one.
    """
    touching = stretches[shapely.intersects(shape, stretches)]
    if len(touching):
        point = shapely.get_coordinates(shapely.shortest_line(touching[0], shape))[0]
    else:
        parts = shapely.get_parts(shape)
        inside = parts[shapely.intersects(stretched, parts)][0]
        point = shapely.get_coordinates(shapely.point_on_surface(inside))[0]
    return LineString([point, point])


def _stretches(shape: BaseGeometry) -> Shapes:
    """The shape's edge in pieces of a few vertices each."""
    rings = [shapely.get_coordinates(ring) for ring in shapely.get_rings(shapely.get_parts(shape))]
    pieces = [
        xy[at : at + _STRETCH_EDGES + 1] for xy in rings for at in range(0, len(xy) - 1, _STRETCH_EDGES)
    ]
    number = np.repeat(np.arange(len(pieces)), [len(piece) for piece in pieces])
    return np.asarray(shapely.linestrings(np.concatenate(pieces), indices=number), dtype=object)


def _gap(first: int | None, second: int | None, line: LineString) -> Gap:
    (x, y), (to_x, to_y) = shapely.get_coordinates(line).tolist()
    return Gap(float(shapely.length(line)), first, second, (x, y), (to_x, to_y))


def _array(shapes: Sequence[BaseGeometry]) -> Shapes:
    array: Shapes = np.empty(len(shapes), dtype=object)
    array[:] = shapes
    return array
