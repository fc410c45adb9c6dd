"""Makes thin ink wide enough and narrow gaps open enough, as with a pen along the middle of each place.

Whatever is not thin stays as it is to the last bit: parts that no pen touches are handed on unchanged.
"""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from layout_core.geometry.middle import middle_lines
from layout_core.geometry.outline import valid_union
from layout_core.geometry.residue import Floats, Ints, Shapes, inner_diameter_mm
from layout_core.geometry.solids import Repeats, clusters, lightened, repeats
from layout_core.geometry.thickness import firm_limit_mm, narrow_gaps
from layout_core.progress import Progress, no_progress, within

PEN_SHARE = 1.02
"""How much wider than the limit the pen is: what it draws must not read as thin again.

Half of it makes up for the line's being straightened, the rest for the facets of the pen.
"""

PEN_SEGMENTS = 6
"""Segments to a quarter of the pen's circle; each cuts 0.9 % off the radius."""

DUST_SHARE = 0.25
"""Crumbs narrower than this share of the limit, left where a pen went, go with the rest."""

PASSES = 3
"""Where two strokes have just met there may be a new waist: so often is looked again, at what was changed."""

_BATCH_VERTICES = 10_000


def thickened(
    outline: MultiPolygon,
    limit_mm: float,
    progress: Progress = no_progress,
    *,
    below_mm: float | None = None,
) -> MultiPolygon:
    """The outline with every line and neck thinner than the limit (mm) drawn as wide as the limit.

    Strokes get no longer, corners stay. Only what is thinner than `below_mm` is touched, by default than the
    firm limit. The outline must be valid, and so is what comes back; the same object comes back when nothing
    is thin. Raises ValueError for a limit that is not above 0.
    """
    below_mm = _below_mm(limit_mm, below_mm)
    thin, done = np.array(outline.geoms, dtype=object), []
    for number in range(PASSES):
        tick = within(progress, number / PASSES, (number + 1) / PASSES)
        strokes = _pen_strokes(_ink(thin, limit_mm), limit_mm, below_mm, tick, "Thickening lines")
        if not len(strokes):
            break
        untouched, thin = _joined(thin, strokes, limit_mm)
        done += [*untouched]
    return valid_union(MultiPolygon([*done, *thin])) if number else outline


def opened(
    outline: MultiPolygon,
    limit_mm: float,
    keep_mm: float = 0.0,
    progress: Progress = no_progress,
    *,
    below_mm: float | None = None,
) -> MultiPolygon:
    """The outline with every gap narrower than the limit (mm) opened as wide as the limit.

    With `keep_mm` ink is taken only where so much of its width is left: strokes too close for both keep
    their width, and the gap what there is. Valid in, valid out, the same object when no gap is narrow.
    """
    below_mm = _below_mm(limit_mm, below_mm)
    parts = np.array(outline.geoms, dtype=object)
    gaps = _pen_strokes(_ground(parts, limit_mm), limit_mm, below_mm, progress, "Opening gaps")
    if not len(gaps):
        return outline
    near, stroke = shapely.STRtree(gaps).query(parts, predicate="intersects")
    near, cut = _unions(near, gaps[stroke])
    if keep_mm > 0.0:
        reach_mm = keep_mm + limit_mm
        light = lightened(parts[near], limit_mm)
        spines = middle_lines(light, reach_mm, reach_mm, pen_mm=keep_mm, lone=True)
        drawn, owner = _drawn(spines, keep_mm)
        spined, kept = _unions(owner, drawn)
        cut[spined] = shapely.difference(cut[spined], kept)
    progress(0.95, "Opening gaps")
    parts[near] = shapely.difference(parts[near], cut)
    pieces, owner = shapely.get_parts(parts, return_index=True)
    is_cut = np.isin(owner, near)
    crumbs = is_cut & (shapely.area(pieces) < (limit_mm * DUST_SHARE) ** 2)
    return valid_union(MultiPolygon(list(pieces[~crumbs])))


def closed(
    outline: MultiPolygon,
    limit_mm: float,
    progress: Progress = no_progress,
    *,
    below_mm: float | None = None,
) -> MultiPolygon:
    """The outline with the ground filled in wherever it is narrower than the limit (mm)."""
    spots = narrow_gaps(outline, _below_mm(limit_mm, below_mm), progress)
    seam_mm = limit_mm * (PEN_SHARE - 1.0)
    fills = [spot.shape.buffer(seam_mm, quad_segs=PEN_SEGMENTS) for spot in spots]
    if not fills:
        return outline
    parts = np.array(outline.geoms, dtype=object)
    untouched, merged = _joined(parts, np.array(fills, dtype=object), limit_mm)
    return valid_union(MultiPolygon([*untouched, *merged]))


def _ink(parts: Shapes, limit_mm: float) -> Repeats:
    return repeats(lightened(parts, limit_mm), limit_mm)


def _ground(parts: Shapes, limit_mm: float) -> Repeats:
    """The ground in and around each cluster of parts, in a frame that is nowhere near any ink."""
    found = repeats(clusters(lightened(parts, limit_mm), limit_mm * 1.05), limit_mm)
    if not len(found.solids):
        return found
    low, high = np.hsplit(shapely.bounds(found.solids), 2)
    room = 2.0 * limit_mm
    frames = shapely.box(low[:, 0] - room, low[:, 1] - room, high[:, 0] + room, high[:, 1] + room)
    return Repeats(shapely.difference(frames, found.solids), found.shifts)


def _pen_strokes(found: Repeats, limit_mm: float, below_mm: float, progress: Progress, label: str) -> Shapes:
    """What the pen draws in each solid that has anything thin, at every place the solid occurs at."""
    strokes: list[BaseGeometry] = []
    for start, end in _batches(found.solids):
        progress(0.9 * start / len(found.solids), label)
        lines = middle_lines(found.solids[start:end], limit_mm, below_mm)
        drawn, owner = _drawn(lines, limit_mm)
        for at, stroke in zip(owner.tolist(), drawn, strict=True):
            strokes += [_shifted(stroke, shift) for shift in found.shifts[start + at]]
    progress(0.9, label)
    result: Shapes = np.empty(len(strokes), dtype=object)
    result[:] = strokes
    return result


def _drawn(lines: Shapes, pen_mm: float) -> tuple[Shapes, Ints]:
    """What a pen leaves along each single line, and the index of what the line belongs to."""
    single, owner = shapely.get_parts(lines, return_index=True)
    # one by one and then joined is three times faster than a net of lines at once
    return shapely.buffer(single, pen_mm * PEN_SHARE / 2.0, quad_segs=PEN_SEGMENTS), owner


def _unions(owner: Ints, shapes: Shapes) -> tuple[Ints, Shapes]:
    """Each owner once, and the union of what belongs to it."""
    order = np.argsort(owner, kind="stable")
    owners, first = np.unique(owner[order], return_index=True)
    unions: Shapes = np.empty(len(owners), dtype=object)
    unions[:] = (
        [shapely.union_all(group) for group in np.split(shapes[order], first[1:])] if len(owners) else []
    )
    return owners, unions


def _below_mm(limit_mm: float, below_mm: float | None) -> float:
    if not 0.0 < limit_mm < float("inf"):
        raise ValueError(f"limit_mm must be above 0, not {limit_mm}")
    return firm_limit_mm(limit_mm) if below_mm is None else below_mm


def _batches(solids: Shapes) -> Iterator[tuple[int, int]]:
    """Index ranges that hold about the same number of vertices."""
    if not len(solids):
        return
    filled = np.cumsum(shapely.get_num_coordinates(solids)) // _BATCH_VERTICES
    yield from pairwise([0, *(np.flatnonzero(np.diff(filled)) + 1).tolist(), len(solids)])


def _shifted(shape: BaseGeometry, shift: Floats) -> BaseGeometry:
    return shape if not shift.any() else shapely.transform(shape, lambda xy: xy + shift)


def _joined(parts: Shapes, strokes: Shapes, limit_mm: float) -> tuple[Shapes, Shapes]:
    """The parts that no stroke touches, as they are, and the others with the strokes added."""
    is_touched = np.zeros(len(parts), dtype=np.bool_)
    is_touched[shapely.STRtree(strokes).query(parts, predicate="intersects")[0]] = True
    merged = shapely.get_parts(shapely.union_all(np.append(parts[is_touched], strokes)))
    filled: Shapes = np.empty(len(merged), dtype=object)
    filled[:] = [_without_crumbs(part, limit_mm) for part in merged]
    return parts[~is_touched], filled


def _without_crumbs(part: Polygon, limit_mm: float) -> Polygon:
    """The part without holes that are hardly there: strokes that meet leave such between them."""
    holes = np.array([Polygon(ring) for ring in part.interiors], dtype=object)
    if not len(holes):
        return part
    small = shapely.area(holes) < 4.0 * (limit_mm * DUST_SHARE) ** 2
    small[small] = inner_diameter_mm(holes[small]) < limit_mm * DUST_SHARE
    if not small.any():
        return part
    kept = [ring for ring, gone in zip(part.interiors, small, strict=True) if not gone]
    return Polygon(part.exterior, kept)
