"""Measures a print's elements once: how large, how fine, how far apart, and in which order they merge.

An element is one separate part of the ink. Seen from further and further away neighbours merge: those whose
gap spans less than the eye resolves become one patch with the ink of both. The order in which that happens
depends on the gaps alone (single linkage), so it is worked out once and serves every minute and venue.
"""

from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon

from layout_core.geometry.residue import strip_mm
from layout_core.progress import Progress, no_progress

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Shapes = NDArray[np.object_]

WEIGHTY_NEIGHBOUR = 0.1
"""A neighbour with less than this share of an element's ink does not blur its form; invented."""
CLOSED_GAP = 0.05
"""A gap below this share of an element's stroke closes in print or eye without loss of form; invented."""
WEIGHTY_HOLE = 0.02
"""A counter with less than this share of an element's ink does not belong to its form; invented."""

_STEPS_ROUND = 12
_MOST_POINTS = 30_000


@dataclass(frozen=True, slots=True)
class Patches:
    """Elements and what they merge into, one entry a patch: elements first, each merger after its parts.

    `breadth_mm` is area over greatest extent. `born_gap_mm` is the gap at which a merger comes about, 0 for
    an element; `parent` is the merger it goes into, -1 for the last.
    """

    area_mm2: Floats
    breadth_mm: Floats
    born_gap_mm: Floats
    parent: Ints


@dataclass(frozen=True, slots=True)
class Elements:
    """The measures of a print, one entry an element of the outline in its order (mm, mm²).

    `stroke_mm` is the width of the strip that has an element's area and edge. `near_mm` is the
    gap to its nearest neighbour of weight, infinite where there is none. `detail_mm` is the least of both and
    of the width of its narrowest counter.
    """

    area_mm2: Floats
    stroke_mm: Floats
    detail_mm: Floats
    near_mm: Floats
    patches: Patches

    def __len__(self) -> int:
        return len(self.area_mm2)

    @property
    def is_limited_by_gap(self) -> NDArray[np.bool_]:
        """Whether a gap or counter is finer than the stroke."""
        return np.asarray(self.detail_mm < self.stroke_mm)

    def scaled(self, scale: float) -> "Elements":
        """The same print at another size."""
        p = self.patches
        patches = replace(
            p,
            area_mm2=p.area_mm2 * scale**2,
            breadth_mm=p.breadth_mm * scale,
            born_gap_mm=p.born_gap_mm * scale,
        )
        widths = (self.stroke_mm * scale, self.detail_mm * scale, self.near_mm * scale)
        return Elements(self.area_mm2 * scale**2, *widths, patches)


def measured_elements(outline: MultiPolygon, progress: Progress = no_progress) -> Elements:
    """The elements of a valid outline (mm) that is not empty."""
    parts: Shapes = np.array(outline.geoms, dtype=object)
    progress(0.0, "Measuring elements")
    area = shapely.area(parts)
    _, stroke = strip_mm(parts)
    first, second, gap = _gaps(parts, progress)
    near = _narrowest(stroke, *_neighbours_mm(area, first, second, gap))
    detail = np.minimum(np.minimum(stroke, near), _narrowest(stroke, *_counters_mm(parts, area)))
    progress(0.9, "Measuring elements")
    return Elements(area, stroke, detail, near, _merged(parts, area, first, second, gap))


def _narrowest(stroke: Floats, owner: Ints, width: Floats) -> Floats:
    """The least width (mm) of each element that stays open; infinite where there is none."""
    narrowest = np.full(len(stroke), np.inf)
    stays = width >= CLOSED_GAP * stroke[owner]
    np.minimum.at(narrowest, owner[stays], width[stays])
    return narrowest


def _counters_mm(parts: Shapes, area: Floats) -> tuple[Ints, Floats]:
    """The element and width (mm) of every counter of weight."""
    rings, owner = shapely.get_rings(parts, return_index=True)
    is_hole = np.append(False, owner[1:] == owner[:-1])
    holes, owner = shapely.polygons(rings[is_hole]), owner[is_hole]
    weighty = shapely.area(holes) >= WEIGHTY_HOLE * area[owner]
    return owner[weighty], strip_mm(holes[weighty])[1]


def _neighbours_mm(area: Floats, first: Ints, second: Ints, gap: Floats) -> tuple[Ints, Floats]:
    """The element and gap (mm) of every neighbour of weight."""
    one, other = np.append(first, second), np.append(second, first)
    weighty = area[other] >= WEIGHTY_NEIGHBOUR * area[one]
    return one[weighty], np.append(gap, gap)[weighty]


def _gaps(parts: Shapes, progress: Progress) -> tuple[Ints, Ints, Floats]:
    """Pairs of neighbours and the distance (mm) between them: enough pairs to tell how all of them merge.

    Neighbours are those with points next to each other in a Delaunay triangulation of their edges, which
    holds the shortest links between all parts to within the spacing of the points.
    """
    none = np.zeros(0, dtype=np.int64)
    if len(parts) < 2:
        return none, none, np.zeros(0)
    xy, owner = _edge_points(parts)
    lines = shapely.delaunay_triangles(shapely.multipoints(xy), only_edges=True)
    progress(0.5, "Measuring elements")
    ends = shapely.get_coordinates(shapely.get_parts(lines)).reshape(-1, 2, 2)
    pairs = np.sort(owner[_row_of(xy, ends.reshape(-1, 2))].reshape(-1, 2), axis=1)
    pairs = np.unique(pairs[pairs[:, 0] != pairs[:, 1]], axis=0)
    first, second = pairs[:, 0], pairs[:, 1]
    return first, second, shapely.distance(parts[first], parts[second])


def _edge_points(parts: Shapes) -> tuple[Floats, Ints]:
    """Points along the outer edges, no two the same, and the part each belongs to."""
    edges = shapely.get_exterior_ring(parts)
    spacing = np.maximum(shapely.length(edges) / _STEPS_ROUND, 1e-6)
    if shapely.get_num_coordinates(edges).sum() > _MOST_POINTS:
        edges = shapely.simplify(edges, float(np.median(spacing)) / 4.0)
    xy, owner = shapely.get_coordinates(shapely.segmentize(edges, spacing), return_index=True)
    _, at = np.unique(xy, axis=0, return_index=True)
    return xy[at], owner[at]


def _row_of(xy: Floats, wanted: Floats) -> Ints:
    """The row of each wanted point in `xy`, which is sorted by x, then y."""
    keys = np.ascontiguousarray(xy + 0.0).view("f8,f8").ravel()
    found: Ints = np.searchsorted(keys, np.ascontiguousarray(wanted + 0.0).view("f8,f8").ravel())
    return found


def _merged(parts: Shapes, area: Floats, first: Ints, second: Ints, gap: Floats) -> Patches:
    """Every merger from the narrowest gap on, by joining the ends of each pair that is not yet joined."""
    count = len(parts)
    total = 2 * count - 1
    areas, born = np.zeros(total), np.zeros(total)
    boxes = np.zeros((total, 4))
    areas[:count], boxes[:count] = area, shapely.bounds(parts)
    parent = np.full(total, -1, dtype=np.int64)
    top = list(range(total))

    def root(node: int) -> int:
        while top[node] != node:
            top[node] = top[top[node]]
            node = top[node]
        return node

    made = count
    for pair in np.argsort(gap, kind="stable").tolist():
        a, b = root(int(first[pair])), root(int(second[pair]))
        if a == b:
            continue
        top[a] = top[b] = made
        parent[a] = parent[b] = made
        areas[made], born[made] = areas[a] + areas[b], gap[pair]
        boxes[made, :2] = np.minimum(boxes[a, :2], boxes[b, :2])
        boxes[made, 2:] = np.maximum(boxes[a, 2:], boxes[b, 2:])
        made += 1
    extent = np.hypot(boxes[:made, 2] - boxes[:made, 0], boxes[:made, 3] - boxes[:made, 1])
    extent[:count] = _longest_side(parts)
    return Patches(areas[:made], areas[:made] / extent, born[:made], parent[:made])


def _longest_side(parts: Shapes) -> Floats:
    """The longer side of the narrowest turned rectangle round each part."""
    corners = shapely.get_coordinates(shapely.get_exterior_ring(shapely.oriented_envelope(parts)))
    sides = np.hypot(*(np.diff(corners.reshape(len(parts), 5, 2), axis=1)[:, :2].transpose(2, 0, 1)))
    longest: Floats = sides.max(axis=1)
    return longest
