"""Pinches: waists so short that the discs on their two sides overlap and leave no residue.

Each side of a pinch has a corner of the core that points at the other. Pairs of such corners closer than the
limit are looked at one by one: the cut across their middle must be a chord shorter than the limit.
"""

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from layout_core.geometry.residue import Floats, Ints, Shapes, Side

SHARP_TURN_DEG = 8.0
"""A core corner that turns less points at nothing; waists under 1/14 of the limit are found otherwise."""

CLEAR_SHARE = 1.0 / 28.0
"""A chord must fall short of the limit by this share, the tolerance of tracing and flattening."""


@dataclass(frozen=True, slots=True)
class Chord:
    """The shortest cut across a pinch: the solid's index, its ends and its length (mm)."""

    owner: int
    line: LineString

    @property
    def length_mm(self) -> float:
        return float(self.line.length)


def pinch_chords(solids: Shapes, core: Shapes, width_mm: float, side: Side) -> list[Chord]:
    """The chord of every pinch narrower than the width (mm), one for each place."""
    corners, owner = _sharp_corners(core, side)
    tree = shapely.STRtree(shapely.points(corners))
    first, second = tree.query(tree.geometries, predicate="dwithin", distance=width_mm)
    pairs = (first < second) & (owner[first] == owner[second])
    first, second = first[pairs], second[pairs]
    start, end, of = corners[first], corners[second], owner[first]
    if side == "ink":
        near_start, near_end, near_of = _facing_cores(core, width_mm)
        start, end = np.concatenate((start, near_start)), np.concatenate((end, near_end))
        of = np.concatenate((of, near_of))
    middle = (start + end) / 2.0
    open_core = _strictly_inside(core, of, middle) != (side == "ground")
    in_solid = _strictly_inside(solids, of, middle) == (side == "ink")
    chords: list[Chord] = []
    for at in np.flatnonzero(~open_core & in_solid):
        line = _chord(solids[of[at]], start[at], end[at], width_mm, side)
        if line is not None and line.length < width_mm * (1.0 - CLEAR_SHARE):
            chords.append(Chord(int(of[at]), line))
    return _one_a_place(chords, width_mm)


def _sharp_corners(core: Shapes, side: Side) -> tuple[Floats, Ints]:
    """Corners of the core that point outwards, as seen from where the disc's centre may go."""
    rings, owner = shapely.get_rings(shapely.orient_polygons(core), return_index=True)
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    if not len(xy):
        return np.empty((0, 2)), np.empty(0, dtype=np.int64)
    begins = np.append(True, ring[1:] != ring[:-1])
    first = np.flatnonzero(begins)
    step = np.empty_like(xy)
    step[1:] = xy[1:] - xy[:-1]
    # a ring ends where it begins: its first vertex is entered by the edge that enters its last one
    step[first] = step[np.append(first[1:], len(xy)) - 1]
    after = np.roll(step, -1, axis=0)
    cross = step[:, 0] * after[:, 1] - step[:, 1] * after[:, 0]
    turn = np.arctan2(cross, (step * after).sum(axis=1))
    is_last = np.append(begins[1:], True)
    sharp = (turn if side == "ink" else -turn) > math.radians(SHARP_TURN_DEG)
    at = np.flatnonzero(sharp & ~is_last)
    return xy[at], owner[ring[at]]


def _facing_cores(core: Shapes, width_mm: float) -> tuple[Floats, Floats, Ints]:
    """The nearest points of two pieces of one solid's core that lie closer than the width."""
    pieces, owner = shapely.get_parts(core, return_index=True)
    split = np.bincount(owner, minlength=len(core))[owner] > 1
    pieces, owner = pieces[split], owner[split]
    tree = shapely.STRtree(pieces)
    first, second = tree.query(pieces, predicate="dwithin", distance=width_mm)
    pairs = (first < second) & (owner[first] == owner[second])
    ends = shapely.get_coordinates(shapely.shortest_line(pieces[first[pairs]], pieces[second[pairs]]))
    return ends[0::2], ends[1::2], owner[first[pairs]]


def _strictly_inside(
    shapes: Shapes, owner: Ints, points: Floats
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    shapely.prepare(shapes[np.unique(owner)])
    inside: np.ndarray[tuple[int], np.dtype[np.bool_]] = shapely.contains_xy(shapes[owner], points)
    return inside


def _chord(solid: BaseGeometry, start: Floats, end: Floats, width_mm: float, side: Side) -> LineString | None:
    """The cut through the solid square to start-end at its middle; None if it runs on past the width."""
    middle, along = (start + end) / 2.0, end - start
    length = float(np.hypot(*along))
    if length == 0.0:
        return None
    across = np.array((-along[1], along[0])) / length * width_mm
    probe = LineString((middle - across, middle + across))
    cut = probe.intersection(solid) if side == "ink" else probe.difference(solid)
    here = Point(middle)
    for line in shapely.get_parts(cut):
        if isinstance(line, LineString) and line.distance(here) < width_mm * 1e-9:
            return line
    return None


def _one_a_place(chords: list[Chord], width_mm: float) -> list[Chord]:
    kept: list[Chord] = []
    for chord in sorted(chords, key=lambda one: (one.length_mm, one.line.bounds)):
        if not any(chord.owner == other.owner and chord.line.dwithin(other.line, width_mm) for other in kept):
            kept.append(chord)
    return kept
