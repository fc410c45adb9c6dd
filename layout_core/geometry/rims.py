"""Samples along the rims of solids: where each lies, which way is inwards, and where a rim turns back."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from layout_core.geometry.residue import Bools, Floats, Ints, Shapes

STEP_SHARE = 1.0 / 3.0
"""Distance of the samples at most, as a share of the limit: between two of them a stroke hardly bends."""

FAN_DEG = 20.0
"""Steps in which the inward direction swings round a corner that points into the solid."""

TIP_TURN_DEG = 130.0
"""A rim that turns so far within `TIP_REACH` limits goes round the end of a stroke, and no bend."""

TIP_REACH = 1.7
"""Just more than the half circle round the end of a stroke as wide as the limit."""

POINT_TURN_DEG = 100.0
"""A corner that turns by more is a point, and the tip is just there."""


@dataclass(frozen=True, slots=True)
class Rims:
    """The edges of all rings of some solids, the solid on the left of each, in the order of the rings."""

    start: Floats
    end: Floats
    ring: Ints
    solid: Ints

    @property
    def length(self) -> Floats:
        reach: Floats = np.hypot(*(self.end - self.start).T)
        return reach

    @property
    def along(self) -> Floats:
        """How far along its ring each edge begins."""
        length = self.length
        begins = np.cumsum(length) - length
        opens = np.append(True, self.ring[1:] != self.ring[:-1])[: len(length)]
        offset: Floats = begins - begins[np.maximum.accumulate(np.where(opens, np.arange(len(length)), 0))]
        return offset

    @property
    def inward(self) -> Floats:
        """The unit normal of each edge that points into the solid."""
        along = (self.end - self.start) / np.maximum(self.length, 1e-300)[:, np.newaxis]
        return np.stack((-along[:, 1], along[:, 0]), axis=1)


@dataclass(frozen=True, slots=True)
class Samples:
    """Points on the rims in their order, the way inwards at each, its ring, and how far along the ring."""

    at: Floats
    inward: Floats
    ring: Ints
    solid: Ints
    along: Floats

    def of(self, chosen: Bools | Ints) -> "Samples":
        return Samples(
            self.at[chosen], self.inward[chosen], self.ring[chosen], self.solid[chosen], self.along[chosen]
        )

    def by_ring(self) -> Iterator[slice]:
        """The stretch of samples of each ring."""
        cuts = np.flatnonzero(np.diff(self.ring)) + 1
        for begin, end in zip((0, *cuts.tolist()), (*cuts.tolist(), len(self.ring)), strict=True):
            if end > begin:
                yield slice(begin, end)


def rims_of(solids: Shapes) -> Rims:
    """Every edge of the solids' rings, each ring from its first vertex on."""
    parts, solid = shapely.get_parts(shapely.orient_polygons(solids), return_index=True)
    rings, part = shapely.get_rings(parts, return_index=True)
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    first = np.flatnonzero((ring[:-1] == ring[1:]) & (xy[:-1] != xy[1:]).any(axis=1))
    return Rims(xy[first], xy[first + 1], ring[first], solid[part[ring[first]]])


def samples_of(rims: Rims, limit_mm: float) -> Samples:
    """Samples in the middle of stretches of each edge, and a fan at each corner that points inwards."""
    length, inward = rims.length, rims.inward
    count = np.maximum(np.ceil(length / (limit_mm * STEP_SHARE)).astype(np.int64), 1)
    edge = np.repeat(np.arange(len(length)), count)
    nth = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count)
    share = (nth + 0.5) / count[edge]
    begins = rims.along
    at = rims.start[edge] + (rims.end - rims.start)[edge] * share[:, np.newaxis]
    fan_edge, fan_inward, fan_rank = _fans(rims, inward)
    along = np.append(begins[edge] + length[edge] * share, begins[fan_edge])
    ring = np.append(rims.ring[edge], rims.ring[fan_edge])
    order = np.lexsort((np.append(np.zeros(len(edge)), fan_rank), along, ring))
    whole = Samples(
        np.concatenate((at, rims.start[fan_edge])),
        np.concatenate((inward[edge], fan_inward)),
        ring,
        np.append(rims.solid[edge], rims.solid[fan_edge]),
        along,
    )
    return whole.of(order)


def _fans(rims: Rims, inward: Floats) -> tuple[Ints, Floats, Floats]:
    """At each corner that points into the solid: the edge it starts, directions inwards, and their order."""
    if not len(inward):
        return np.zeros(0, dtype=np.int64), np.zeros((0, 2)), np.zeros(0)
    opens = np.append(True, rims.ring[1:] != rims.ring[:-1])
    last = np.append(opens[1:], True)
    before = np.roll(inward, 1, axis=0)
    before[opens] = inward[last]
    turn = np.degrees(_turn(before, inward))
    corner = np.flatnonzero(turn < -FAN_DEG / 2.0)
    steps = np.ceil(-turn[corner] / FAN_DEG).astype(np.int64)
    edge = np.repeat(corner, steps + 1)
    rank = np.arange(len(edge)) - np.repeat(np.cumsum(steps + 1) - (steps + 1), steps + 1)
    swing = np.radians(turn[edge]) * rank / np.repeat(steps, steps + 1)
    cos, sin = np.cos(swing), np.sin(swing)
    x, y = before[edge].T
    return edge, np.stack((x * cos - y * sin, x * sin + y * cos), axis=1), rank.astype(np.float64)


def _turn(first: Floats, second: Floats) -> Floats:
    """The signed angle (rad) from each direction to the other, positive where a rim bends round the solid."""
    cross = first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
    angle: Floats = np.arctan2(cross, (first * second).sum(axis=1))
    return angle


def tips_of(ring: Samples, vertices: Floats, vertex_along: Floats, limit_mm: float) -> tuple[Floats, Floats]:
    """Where the rim goes round the end of a stroke: distance along the ring, and the point, of each tip.

    `ring` holds the samples of one ring in order; its vertices, with the first one again at the end, stand
    at the distances `vertex_along`.
    """
    count, around_mm = len(ring.at), float(vertex_along[-1])
    if around_mm < 2.0 * TIP_REACH * limit_mm or count < 4:
        return np.zeros(0), np.zeros((0, 2))
    along = np.append(ring.along, ring.along + around_mm)
    step = _turn(ring.inward, np.roll(ring.inward, -1, axis=0))
    turned = np.concatenate(([0.0], np.cumsum(np.tile(step, 2))[:-1]))
    ahead = np.searchsorted(along, ring.along + TIP_REACH * limit_mm) - 1
    is_tip = turned[ahead] - turned[:count] > np.radians(TIP_TURN_DEG)
    if not is_tip.any() or is_tip.all():
        return np.zeros(0), np.zeros((0, 2))
    first = np.flatnonzero(is_tip & ~np.roll(is_tip, 1))
    last = np.flatnonzero(is_tip & ~np.roll(is_tip, -1))
    if last[0] < first[0]:
        last = np.roll(last, -1)
    begin = along[last] + np.where(last < first, around_mm, 0.0)
    where = _sharpest((begin + along[ahead[first]]) / 2.0 % around_mm, vertices, vertex_along, limit_mm)
    points = np.stack([np.interp(where, vertex_along, vertices[:, axis]) for axis in (0, 1)], axis=1)
    return where, points


def _sharpest(where: Floats, vertices: Floats, along: Floats, limit_mm: float) -> Floats:
    """Each place moved to a point of the ring close by, where there is one."""
    edge = np.diff(vertices, axis=0)
    turn = np.degrees(_turn(np.roll(edge, 1, axis=0), edge))
    points = np.flatnonzero(turn > POINT_TURN_DEG)
    if not len(points):
        return where
    around_mm = float(along[-1])
    apart = np.abs(where[:, np.newaxis] - along[points])
    apart = np.minimum(apart, around_mm - apart)
    nearest = np.argmin(apart, axis=1)
    is_near = apart[np.arange(len(where)), nearest] < limit_mm * STEP_SHARE
    return np.where(is_near, along[points[nearest]], where)
