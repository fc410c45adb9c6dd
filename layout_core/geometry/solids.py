"""The shapes to measure one by one: parts made light, neighbours joined, and repeats measured once."""

from dataclasses import dataclass

import numpy as np
import shapely
from shapely import MultiPolygon

from layout_core.geometry.outline import valid_union
from layout_core.geometry.residue import Floats, Shapes

DENSE_SHARE = 1.0 / 8.0
"""Edges shorter on average than this share of the limit carry no thickness of their own."""

LIGHTEN_SHARE = 1.0 / 140.0
"""How far lightening may move an edge, as a share of the limit."""

SAME_SHARE = 1e-6
"""Two shapes are the same when every vertex agrees to this share of the limit after a shift."""


@dataclass(frozen=True, slots=True)
class Repeats:
    """Shapes that differ by more than a shift, and for each the shifts (mm, one row a copy) it occurs at."""

    solids: Shapes
    shifts: tuple[Floats, ...]


def lightened(parts: Shapes, limit_mm: float) -> Shapes:
    """The parts with fewer vertices where these stand closer than the limit (mm) can tell."""
    vertices = shapely.get_num_coordinates(parts)
    dense = shapely.length(parts) < vertices * limit_mm * DENSE_SHARE
    light = parts.copy()
    light[dense] = shapely.simplify(parts[dense], limit_mm * LIGHTEN_SHARE)
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
    xy, owner = shapely.get_coordinates(solids, return_index=True)
    starts = np.searchsorted(owner, np.arange(len(solids)))
    first = xy[starts]
    steps = np.rint((xy - first[owner]) / (limit_mm * SAME_SHARE)).astype(np.int64)
    ends = np.append(starts[1:], len(xy))
    alike: dict[bytes, list[int]] = {}
    for at, (start, end) in enumerate(zip(starts.tolist(), ends.tolist(), strict=True)):
        alike.setdefault(steps[start:end].tobytes(), []).append(at)
    groups = list(alike.values())
    return Repeats(solids[[group[0] for group in groups]], tuple(first[g] - first[g[0]] for g in groups))
