"""What a disc cannot reach: the residue of an opening, and how each piece of it hangs together.

A solid is a Polygon (ink) or the ground around and inside a shape. Its core is where the centre of a disc as
wide as the limit can go; what that disc does not cover is narrower than the limit. On the ground the same is
done in reverse: the shape is grown and shrunk again, and what has filled up is the residue.
"""

import math
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray

Side = Literal["ink", "ground"]
Shapes = NDArray[np.object_]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

ARC_SEGMENTS = 4
"""Segments to a quarter circle: an arc reads short by 1.9 % of its radius, less than the trim hides."""

_FACET_SHARE = 2.0 * math.sin(math.pi / (4.0 * ARC_SEGMENTS)) * 1.01
"""The longest facet of an arc, as a share of its radius: longer edges may be anybody's."""

TRIM_SHARE = 1.0 / 70.0
"""How much further than the core's distance the disc reaches, as a share of the width: hides arc facets."""

DENSE_SHARE = 1.0 / 8.0
"""Edges shorter on average than this share of the width carry no thickness of their own."""

DUST_SHARE = 1.0 / 8.0
"""A contact shorter than this share of the width joins nothing: a disc that reaches it touches both sides."""


# odd, and without a pattern: the fractions of the golden ratio and of the square root of two in 64 bits
_MIX_X, _MIX_Y = np.uint64(0x9E3779B97F4A7C15), np.uint64(0x6A09E667F3BCC909)


@dataclass(frozen=True, slots=True)
class Residue:
    """The pieces a disc cannot reach; every array has one entry a piece (mm, mm²).

    `owner` is the index of the solid. `length_mm` is the exposed length: half of the edge that is the
    solid's own; for a piece without contact the length of the strip with its area and edge. `runs` counts
    the stretches along which a piece touches what the disc reaches.
    """

    pieces: Shapes
    owner: Ints
    length_mm: Floats
    width_mm: Floats
    runs: Ints
    edges: "Edges"


@dataclass(frozen=True, slots=True)
class Edges:
    """The edges of all rings of some pieces: ends, length, ring, piece, and whether art does not own it."""

    ends: Floats
    length: Floats
    ring: Ints
    piece: Ints
    is_contact: Bools


def core_of(solids: Shapes, width_mm: float, side: Side) -> Shapes:
    """Where the centre of a disc of the width can go; for the ground, its complement (the grown shape)."""
    radius = width_mm / 2.0 if side == "ground" else -width_mm / 2.0
    rough = is_dense(solids, width_mm)
    core = solids.copy()
    # two half steps reach as far, and a rough edge has smoothed out before the second: a third of the time
    core[rough] = shapely.buffer(solids[rough], radius / 2.0, quad_segs=ARC_SEGMENTS)
    core[rough] = shapely.buffer(core[rough], radius / 2.0, quad_segs=ARC_SEGMENTS)
    core[~rough] = shapely.buffer(solids[~rough], radius, quad_segs=ARC_SEGMENTS)
    return core


def is_dense(solids: Shapes, width_mm: float) -> Bools:
    """Whether a solid's vertices stand closer on average than a width (mm) can tell."""
    dense: Bools = shapely.length(solids) < shapely.get_num_coordinates(solids) * width_mm * DENSE_SHARE
    return dense


def residue(solids: Shapes, core: Shapes, width_mm: float, trim_mm: float, side: Side) -> Residue:
    """What of each solid is narrower than the width (mm); `trim_mm` is dust that does not count."""
    reach = width_mm / 2.0 + trim_mm
    if side == "ink":
        opened = shapely.buffer(core, reach, quad_segs=ARC_SEGMENTS)
        rest = _difference(solids, opened)
    else:
        opened = shapely.buffer(core, -reach, quad_segs=ARC_SEGMENTS)
        rest = _difference(opened, solids)
    pieces, owner = shapely.get_parts(rest, return_index=True)
    counts = (shapely.get_type_id(pieces) == shapely.GeometryType.POLYGON) & (
        shapely.length(pieces) >= width_mm / 2.0
    )
    pieces, owner = pieces[counts], owner[counts]
    edges = edges_of(pieces, owner, solids, opened, reach)
    return measured(pieces, owner, without_short_contacts(edges, width_mm * DUST_SHARE))


def edges_of(pieces: Shapes, owner: Ints, solids: Shapes, opened: Shapes, reach_mm: float) -> Edges:
    """The pieces' edges, told apart by whose vertices they end at: an overlay moves no vertex it keeps.

    `reach_mm` is the radius that `opened` was grown or shrunk by last.
    """
    rings, piece_of_ring = shapely.get_rings(pieces, return_index=True)
    xy, ring_of_point = shapely.get_coordinates(rings, return_index=True)
    starts = np.flatnonzero(ring_of_point[:-1] == ring_of_point[1:])
    ends = np.stack((xy[starts], xy[starts + 1]), axis=1)
    ring = ring_of_point[starts]
    piece = piece_of_ring[ring]
    length = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    used = np.unique(owner)
    is_art = _is_vertex_of(xy, solids[used])
    is_cut = _is_vertex_of(xy, opened[used])
    at_art = is_art[starts] | is_art[starts + 1]
    is_contact = is_cut[starts] | is_cut[starts + 1]
    # an arc drawn about a corner of the art may end exactly on the art's edge, far from its next vertex
    is_facet = length <= reach_mm * _FACET_SHARE
    unsure = np.flatnonzero((at_art == is_contact) | (is_contact & ~is_facet))
    if len(unsure):
        is_contact[unsure] = ~_lies_on_edge(ends[unsure].mean(axis=1), owner[piece[unsure]], solids)
    return Edges(ends, length, ring, piece, is_contact)


def _is_vertex_of(xy: Floats, shapes: Shapes) -> Bools:
    wanted, known = _keys(xy), np.sort(_keys(shapely.get_coordinates(shapes)))
    if not len(known):
        return np.zeros(len(wanted), dtype=np.bool_)
    found: Bools = known[np.minimum(np.searchsorted(known, wanted), len(known) - 1)] == wanted
    return found


def _keys(xy: Floats) -> NDArray[np.uint64]:
    """One whole number a point, the same for the same point: whole numbers sort many times faster."""
    # adding 0.0 makes -0.0 and 0.0 the same point
    bits = np.ascontiguousarray(xy + 0.0).view(np.uint64)
    keys: NDArray[np.uint64] = bits[:, 0] * _MIX_X + bits[:, 1] * _MIX_Y
    return keys


def _lies_on_edge(points: Floats, owner: Ints, solids: Shapes) -> Bools:
    used, back = np.unique(owner, return_inverse=True)
    edges = shapely.boundary(solids[used])
    shapely.prepare(edges)
    span = float(np.ptp(points, axis=0).max()) + float(np.abs(points).max())
    on_edge: Bools = shapely.dwithin(edges[back], shapely.points(points), 1e-11 * span)
    return on_edge


def runs_of(edges: Edges) -> Ints:
    """A number for the run each edge belongs to: a longest stretch of edges of one kind around a ring."""
    count = len(edges.ring)
    if not count:
        return np.zeros(0, dtype=np.int64)
    opens_ring = np.append(True, edges.ring[1:] != edges.ring[:-1])
    opens_run = opens_ring | np.append(True, edges.is_contact[1:] != edges.is_contact[:-1])
    run = np.cumsum(opens_run) - 1
    first = np.flatnonzero(opens_ring)
    last = np.append(first[1:], count) - 1
    wraps = edges.is_contact[first] == edges.is_contact[last]
    merged = np.arange(run[-1] + 1)
    merged[run[last[wraps]]] = run[first[wraps]]
    numbers: Ints = merged[run]
    return numbers


def without_short_contacts(edges: Edges, least_mm: float) -> Edges:
    """The edges with every run of contact shorter than `least_mm` counted as the solid's own."""
    run = runs_of(edges)
    is_long = np.bincount(run, weights=edges.length) >= least_mm
    return replace(edges, is_contact=edges.is_contact & is_long[run])


def measured(pieces: Shapes, owner: Ints, edges: Edges) -> Residue:
    """The residue with its lengths, mean widths and runs of contact."""
    count = len(pieces)
    _, at = np.unique(runs_of(edges)[edges.is_contact], return_index=True)
    runs = np.bincount(edges.piece[edges.is_contact][at], minlength=count)
    own = np.where(edges.is_contact, 0.0, edges.length)
    exposed = np.bincount(edges.piece, weights=own, minlength=count) / 2.0
    length = np.where(runs > 0, exposed, strip_mm(pieces)[0])
    width = np.divide(shapely.area(pieces), length, out=np.zeros(count), where=length > 0.0)
    return Residue(pieces, owner, length, width, runs, edges)


def strip_mm(shapes: Shapes) -> tuple[Floats, Floats]:
    """Length and width (mm) of the strip that has each polygon's area and edge; a ring is a closed strip."""
    area, half_edge = shapely.area(shapes), shapely.length(shapes) / 2.0
    root = np.sqrt(np.maximum(half_edge**2 - 4.0 * area, 0.0))
    length = np.where(root > 0.0, (half_edge + root) / 2.0, np.sqrt(area))
    length = np.where(shapely.get_num_interior_rings(shapes) > 0, half_edge, length)
    return length, np.divide(area, length, out=np.zeros(len(shapes)), where=length > 0.0)


def inner_diameter_mm(polygons: Shapes) -> Floats:
    """The diameter (mm) of the largest disc that fits in each polygon."""
    diameters: Floats = 2.0 * shapely.length(shapely.maximum_inscribed_circle(polygons))
    return diameters


def neck_widths_mm(rest: Residue, chosen: Ints) -> list[float]:
    """The least distance (mm) between two sides of each chosen piece; its mean width if it has one side."""
    run = runs_of(rest.edges)
    begins = np.searchsorted(rest.edges.piece, chosen)
    ends = np.searchsorted(rest.edges.piece, chosen, side="right")
    widths: list[float] = []
    for piece, begin, end in zip(chosen.tolist(), begins.tolist(), ends.tolist(), strict=True):
        own = np.flatnonzero(~rest.edges.is_contact[begin:end]) + begin
        lines = shapely.linestrings(rest.edges.ends[own])
        sides = [shapely.union_all(lines[run[own] == one]) for one in np.unique(run[own])]
        gaps = [a.distance(b) for n, a in enumerate(sides) for b in sides[n + 1 :]]
        widths.append(float(min(gaps, default=rest.width_mm[piece])))
    return widths


def _difference(whole: Shapes, taken: Shapes) -> Shapes:
    """What is left of the whole; mended first where resizing made a ring touch itself."""
    try:
        rest: Shapes = shapely.difference(whole, taken)
    except shapely.errors.GEOSException:
        rest = shapely.difference(shapely.make_valid(whole), shapely.make_valid(taken))
    return rest
