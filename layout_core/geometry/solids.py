"""The shapes to measure one by one: parts made light, neighbours joined, and repeats measured once."""

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import MultiPolygon

from layout_core.geometry.outline import lighter, valid_union
from layout_core.geometry.residue import Floats, Shapes, is_dense

LIGHTEN_SHARE = 1.0 / 140.0
"""How far lightening may move an edge, as a share of the limit."""

SAME_SHARE = math.sqrt(2.0) * 1e-6
"""Two shapes are the same when every vertex agrees to about this share of the limit after a shift.

The root keeps round figures off the borders between grid cells, where dust in the last digit would tell
two copies apart.
"""


@dataclass(frozen=True, slots=True)
class Repeats:
    """Shapes that differ by more than a shift, and for each the shifts (mm, one row a copy) it occurs at."""

    solids: Shapes
    shifts: tuple[Floats, ...]


def lightened(parts: Shapes, limit_mm: float) -> Shapes:
    """The parts with fewer vertices where these stand closer than the limit (mm) can tell."""
    dense = is_dense(parts, limit_mm)
    light = parts.copy()
    light[dense] = lighter(parts[dense], limit_mm * LIGHTEN_SHARE)
    return light


def clusters(parts: Shapes, reach_mm: float) -> Shapes:
    """The parts joined into one shape wherever they lie within reach (mm) of each other, in order."""
    tree = shapely.STRtree(parts)
    first, second = tree.query(parts, predicate="dwithin", distance=reach_mm)
    group = list(range(len(parts)))

    def root(at: int) -> int:
        while group[at] != at:
            group[at] = group[group[at]]
            at = group[at]
        return at

    for a, b in zip(first.tolist(), second.tolist(), strict=True):
        if a < b:
            low, high = sorted((root(a), root(b)))
            group[high] = low
    members: dict[int, list[int]] = {}
    for at in range(len(parts)):
        members.setdefault(root(at), []).append(at)
    joined = np.empty(len(members), dtype=object)
    joined[:] = [MultiPolygon(parts[at].tolist()) if len(at) > 1 else parts[at[0]] for at in members.values()]
    # lightening may have made close neighbours overlap
    broken = np.flatnonzero(~shapely.is_valid(joined))
    joined[broken] = [valid_union(joined[at]) for at in broken]
    return joined


def repeats(solids: Shapes, limit_mm: float) -> Repeats:
    """The solids with every repeat taken out; lettering and patterns repeat most of their shapes."""
    if not len(solids):
        return Repeats(solids, ())
    corner = shapely.bounds(solids)[:, :2]
    alike: dict[tuple[bytes, ...], list[int]] = {}
    for at, key in enumerate(_shift_free_keys(solids, corner, limit_mm * SAME_SHARE)):
        alike.setdefault(key, []).append(at)
    groups = list(alike.values())
    return Repeats(solids[[group[0] for group in groups]], tuple(corner[g] - corner[g[0]] for g in groups))


def _shift_free_keys(solids: Shapes, corner: Floats, grid_mm: float) -> list[tuple[bytes, ...]]:
    """What each solid's rings look like from the corner of its bounds, wherever a ring may begin."""
    parts, solid = shapely.get_parts(solids, return_index=True)
    rings, part = shapely.get_rings(parts, return_index=True)
    owner = solid[part]
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    first = np.flatnonzero(np.append(True, ring[1:] != ring[:-1]))
    steps = np.rint((xy - corner[owner[ring]]) / grid_mm).astype(np.int64)
    rank = steps[:, 0] * 2**32 + steps[:, 1]
    lowest = np.flatnonzero(rank == np.minimum.reduceat(rank, first)[ring])
    start = lowest[np.append(True, ring[lowest[1:]] != ring[lowest[:-1]])]
    around = np.diff(np.append(first, len(xy)))[ring] - 1
    rolled = steps[first[ring] + (np.arange(len(xy)) - first[ring] + (start - first)[ring]) % around]
    keys: list[list[bytes]] = [[] for _ in solids]
    ends = np.append(first[1:], len(xy)).tolist()
    for at, begin, end in zip(owner.tolist(), first.tolist(), ends, strict=True):
        keys[at].append(rolled[begin:end].tobytes())
    return [tuple(sorted(key)) for key in keys]
