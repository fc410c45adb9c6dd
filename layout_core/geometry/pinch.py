"""Pinches: waists so short that the discs on their two sides overlap and leave no residue.

Each side of a pinch has a corner of the core that points at the other. Pairs of such corners closer than the
limit are looked at one by one: the cut across their middle must be a chord shorter than the limit.
"""

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString

from layout_core.geometry.residue import Bools, Floats, Ints, Shapes, Side

SHARP_TURN_DEG = 8.0
"""A core corner that turns less points at nothing; waists under 1/14 of the limit are found otherwise."""

LEAST_FACING = 0.1
"""Least cosine between the way a corner points and the way to the other corner."""

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
    start, end, owner = _facing_corners(core, width_mm, side)
    if side == "ink":
        near_start, near_end, near_owner = _facing_cores(core, width_mm)
        start, end = np.concatenate((start, near_start)), np.concatenate((end, near_end))
        owner = np.concatenate((owner, near_owner))
    middle = (start + end) / 2.0
    in_core = _inside(core, owner, middle) == (side == "ink")
    in_solid = _inside(solids, owner, middle) == (side == "ink")
    at = np.flatnonzero(~in_core & in_solid & (start != end).any(axis=1))
    middle, owner, across = middle[at], owner[at], _square_to(end[at] - start[at]) * width_mm
    walled = _meet_edge(solids, owner, middle, across) & _meet_edge(solids, owner, middle, -across)
    middle, owner, across = middle[walled], owner[walled], across[walled]
    lines, of = _cuts(solids[owner], middle, across, width_mm, side)
    short = shapely.length(lines) < width_mm * (1.0 - CLEAR_SHARE)
    chords = [Chord(int(owner[n]), line) for n, line in zip(of[short], lines[short], strict=True)]
    return _one_a_place(chords, width_mm)


def _facing_corners(core: Shapes, width_mm: float, side: Side) -> tuple[Floats, Floats, Ints]:
    """Pairs of corners of one solid's core that point at each other across less than the width."""
    corners, outward, owner = _sharp_corners(core, side)
    points: Shapes = np.asarray(shapely.points(corners), dtype=object)
    first, second = shapely.STRtree(points).query(points, predicate="dwithin", distance=width_mm)
    pairs = (first < second) & (owner[first] == owner[second])
    first, second = first[pairs], second[pairs]
    link = corners[second] - corners[first]
    length = np.hypot(*link.T) * LEAST_FACING
    facing = ((outward[first] * link).sum(axis=1) > length) & ((outward[second] * -link).sum(axis=1) > length)
    first, second = first[facing], second[facing]
    return corners[first], corners[second], owner[first]


def _sharp_corners(core: Shapes, side: Side) -> tuple[Floats, Floats, Ints]:
    """Corners that point out of where the disc's centre may go, which way each points, and whose it is."""
    parts, owner = shapely.get_parts(shapely.orient_polygons(core), return_index=True)
    rings, part = shapely.get_rings(parts, return_index=True)
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    if not len(xy):
        return np.empty((0, 2)), np.empty((0, 2)), np.empty(0, dtype=np.int64)
    begins = np.append(True, ring[1:] != ring[:-1])
    is_last = np.append(begins[1:], True)
    step = np.roll(xy, -1, axis=0) - xy
    step /= np.maximum(np.hypot(*step.T), 1e-300)[:, np.newaxis]
    before = np.roll(step, 1, axis=0)
    # a ring's first vertex is entered by the edge that ends at its last one
    before[begins] = step[np.flatnonzero(is_last) - 1]
    cross = before[:, 0] * step[:, 1] - before[:, 1] * step[:, 0]
    turn = np.arctan2(cross if side == "ink" else -cross, (before * step).sum(axis=1))
    at = np.flatnonzero((turn > math.radians(SHARP_TURN_DEG)) & ~is_last)
    outward = before[at] - step[at]
    return xy[at], outward / np.hypot(*outward.T)[:, np.newaxis], owner[part[ring[at]]]


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


def _inside(shapes: Shapes, owner: Ints, points: Floats) -> Bools:
    shapely.prepare(shapes[np.unique(owner)])
    inside: Bools = shapely.contains_xy(shapes[owner], points)
    return inside


def _square_to(along: Floats) -> Floats:
    """Unit vectors at a right angle to the given ones."""
    square: Floats = np.stack((-along[:, 1], along[:, 0]), axis=1) / np.hypot(*along.T)[:, np.newaxis]
    return square


def _meet_edge(solids: Shapes, owner: Ints, points: Floats, step: Floats) -> Bools:
    """Whether the step from each point crosses its solid's edge: quick, and along a rough edge rarely so."""
    used, back = np.unique(owner, return_inverse=True)
    edges = shapely.boundary(solids[used])
    shapely.prepare(edges)
    meets: Bools = shapely.intersects(edges[back], _segments(points, points + step))
    return meets


def _segments(start: Floats, end: Floats) -> Shapes:
    return np.asarray(shapely.linestrings(np.stack((start, end), axis=1)), dtype=object)


def _cuts(solids: Shapes, middle: Floats, across: Floats, width_mm: float, side: Side) -> tuple[Shapes, Ints]:
    """The cut through each solid across the middle, and the index of the middle it is for."""
    probes = _segments(middle - across, middle + across)
    crossing = shapely.intersection(probes, solids) if side == "ink" else shapely.difference(probes, solids)
    lines, of = shapely.get_parts(crossing, return_index=True)
    here = shapely.dwithin(lines, shapely.points(middle[of]), width_mm * 1e-9)
    return lines[here], of[here]


def _one_a_place(chords: list[Chord], width_mm: float) -> list[Chord]:
    kept: list[Chord] = []
    for chord in sorted(chords, key=lambda one: (one.length_mm, one.line.bounds)):
        if not any(chord.owner == other.owner and chord.line.dwithin(other.line, width_mm) for other in kept):
            kept.append(chord)
    return kept
