"""Fills, empties and drops whole areas of an outline: specks, pinholes, counters, rims and knock-out lines.

Parts that a change does not concern are handed on as they are, and of an outline that has no such area the
same object comes back. All lengths are mm, valid in, valid out.
"""

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon

from layout_core.geometry.outline import valid_union
from layout_core.geometry.residue import Shapes, inner_diameter_mm
from layout_core.geometry.thickness import pinholes, specks

ROOM_SHARE = 1.02
"""How much wider than wanted a line or a gap is made, so that its facets do not read as too narrow."""

_SEGMENTS = 16


def without_specks(outline: MultiPolygon, dot_mm: float) -> MultiPolygon:
    """The outline without the parts in which no dot of the diameter fits; hairlines stay."""
    gone = {spot.shape.wkb for spot in specks(outline, dot_mm)}
    return MultiPolygon([part for part in outline.geoms if part.wkb not in gone]) if gone else outline


def without_pinholes(outline: MultiPolygon, hole_mm: float) -> MultiPolygon:
    """The outline with the counters filled in which no disc of the diameter fits; long slits stay."""
    gone = {spot.shape.wkb for spot in pinholes(outline, hole_mm)}
    if not gone:
        return outline
    return _without_islands([_filled(part, gone) for part in outline.geoms])


def made_solid(outline: MultiPolygon) -> MultiPolygon:
    """The outline with every counter filled, and whatever lay in one gone."""
    if not any(part.interiors for part in outline.geoms):
        return outline
    return _without_islands([Polygon(part.exterior) if part.interiors else part for part in outline.geoms])


def knocked_out(outline: MultiPolygon, gap_mm: float, line_mm: float) -> MultiPolygon:
    """The outline with its figures solid behind a knock-out line of the gap's width.

    What is drawn round a counter stays as an outline, and the counter is filled but for the gap; a part
    without counters gets the line cut into it, an outline of `line_mm` from its edge. Nothing is filled or
    cut where the filling would be thinner than `line_mm`.
    """
    gap, line = gap_mm * ROOM_SHARE, line_mm * ROOM_SHARE
    parts = np.array(outline.geoms, dtype=object)
    has_holes = shapely.get_num_interior_rings(parts) > 0
    holes = np.array([Polygon(r) for part in parts[has_holes] for r in part.interiors], dtype=object)
    tree, inside = shapely.STRtree(parts), []
    for hole in holes:
        islands = parts[tree.query(hole, predicate="contains")]
        inside.append(shapely.difference(hole, shapely.union_all(islands)) if len(islands) else hole)
    fills = shapely.get_parts(_core(np.array(inside, dtype=object), gap, line))
    outer = np.ones(len(parts), dtype=np.bool_)
    if len(holes):
        outer[np.unique(shapely.STRtree(holes).query(parts, predicate="within")[0])] = False
    plain = np.flatnonzero(outer & ~has_holes)
    bodies = _core(parts[plain], line + gap, line)
    cut = ~shapely.is_empty(bodies)
    moats = shapely.difference(_grown(bodies[cut], gap), bodies[cut])
    parts[plain[cut]] = shapely.difference(parts[plain[cut]], moats)
    if not len(fills) and not cut.any():
        return outline
    return valid_union(MultiPolygon([*shapely.get_parts(parts), *fills]))


def rimmed(outline: MultiPolygon, rim_mm: float, gap_mm: float) -> MultiPolygon:
    """The outline with ink further than the rim from its edge taken out, where a gap so wide is left."""
    parts = np.array(outline.geoms, dtype=object)
    hollows = _core(parts, rim_mm, gap_mm)
    is_hollow = ~shapely.is_empty(hollows)
    if not is_hollow.any():
        return outline
    parts[is_hollow] = shapely.difference(parts[is_hollow], hollows[is_hollow])
    return valid_union(MultiPolygon(list(shapely.get_parts(parts))))


def _core(shapes: Shapes, inset_mm: float, least_mm: float) -> Shapes:
    """What lies further in than the inset, without anything thinner than `least_mm`."""
    core: Shapes = _grown(_grown(shapes, -inset_mm - least_mm / 2.0), least_mm / 2.0)
    return core


def _grown(shapes: Shapes, by_mm: float) -> Shapes:
    return np.asarray(shapely.buffer(shapes, by_mm, quad_segs=_SEGMENTS), dtype=object)


def _filled(part: Polygon, gone: set[bytes]) -> Polygon:
    kept = [ring for ring in part.interiors if Polygon(ring).wkb not in gone]
    return part if len(kept) == len(part.interiors) else Polygon(part.exterior, kept)


def _without_islands(parts: list[Polygon]) -> MultiPolygon:
    """The parts without those that lie inside another one, whose counter was filled."""
    shapes = np.array(parts, dtype=object)
    inner, outer = shapely.STRtree(shapes).query(shapes, predicate="within")
    return MultiPolygon(list(np.delete(shapes, np.unique(inner[inner != outer]))))


def widest_mm(outline: MultiPolygon) -> float:
    """The diameter of the largest disc that fits in the ink; 0 without any."""
    return float(inner_diameter_mm(np.array(outline.geoms, dtype=object)).max(initial=0.0))
