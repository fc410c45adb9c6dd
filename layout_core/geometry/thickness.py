"""Thickness of ink and ground: lines, necks and specks too fine to hold, gaps too fine to stay open.

The measure is the diameter of the largest disc that fits; a place is too thin where no disc as wide as the
limit reaches. Source: Hildebrand, T. & Ruegsegger, P. (1997), "A new method for the model-independent
assessment of thickness in three-dimensional images", Journal of Microscopy 185, 67-75 (cited from memory).
A thin place is a line only if it goes on for twice the limit; corners and star points are none.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from layout_core.geometry.outline import valid_union
from layout_core.geometry.pinch import pinch_chords
from layout_core.geometry.residue import (
    TRIM_SHARE,
    Bools,
    Floats,
    Ints,
    Residue,
    Shapes,
    Side,
    core_of,
    inner_diameter_mm,
    neck_widths_mm,
    residue,
    strip_mm,
)
from layout_core.geometry.solids import Repeats, clusters, lightened, repeats
from layout_core.progress import Progress, no_progress
from layout_core.units import mm

Kind = Literal["line", "neck", "speck", "sliver", "bridge", "pinhole"]

SUSTAIN = 2.0
"""A thin place is a line from this multiple of the limit on: tapers up to 28.1° are, 36° star points not."""

TOLERANCE_MM = mm(0.0005)
"""Tracing and flattening move an edge by so much: a width less than this below a limit is no fault."""

_KINDS: dict[Side, tuple[Kind, Kind, Kind]] = {
    "ink": ("line", "neck", "speck"),
    "ground": ("sliver", "bridge", "pinhole"),
}
EXACT_SHARE = 1.0 / 140.0
"""How exactly a sustained width is found, as a share of the limit."""

NEAR_SHARE = 1.5
"""A disc that decides about a place reaches no further from it than the limit; the rest is for rounding."""

_BATCH_VERTICES = 20_000
_LARGE_VERTICES = 2_000
_FEW_LINES = 30


@dataclass(frozen=True, slots=True)
class Spot:
    """One place that is too thin (ink: line, neck, speck; ground: sliver, bridge, pinhole).

    `width_mm` is the mean width of a line or sliver, the least of a neck or bridge, and the diameter of the
    largest disc in a speck or pinhole. `length_mm` is how far it goes on below the limit. `where_mm` lies in
    `shape`, which is the thin place itself, or the chord across a neck without length. Frame of the outline.
    """

    kind: Kind
    where_mm: tuple[float, float]
    width_mm: float
    length_mm: float
    shape: BaseGeometry


def firm_limit_mm(limit_mm: float) -> float:
    """What is below this is below the limit by more than tracing and flattening may shift an edge, in mm."""
    return max(limit_mm - TOLERANCE_MM, limit_mm / 2.0)


def thin_spots(outline: MultiPolygon, limit_mm: float, progress: Progress = no_progress) -> tuple[Spot, ...]:
    """Every place where the ink is thinner than the limit (mm), thinnest first; corners are not reported.

    The outline must be valid. Raises ValueError for a limit that is not above 0.
    """
    return _spots(_ink_solids(outline, limit_mm), limit_mm, "ink", progress)


def narrow_gaps(outline: MultiPolygon, limit_mm: float, progress: Progress = no_progress) -> tuple[Spot, ...]:
    """Every place where the ground between or in the ink is narrower than the limit (mm), narrowest first.

    The outline must be valid. Raises ValueError for a limit that is not above 0.
    """
    return _spots(_ground_solids(outline, limit_mm), limit_mm, "ground", progress)


def sustained_width_mm(outline: MultiPolygon, limit_mm: float, least_mm: float = 0.0) -> float | None:
    """The least width (mm) that ink keeps for twice the limit's length; None if nowhere below the limit.

    Exact to 1/140 of the limit. `least_mm` is a width known to be held everywhere; it saves looking.
    """
    return _sustained(_ink_solids(outline, limit_mm).solids, limit_mm, "ink", least_mm)


def sustained_gap_mm(outline: MultiPolygon, limit_mm: float, least_mm: float = 0.0) -> float | None:
    """The least width (mm) that a gap keeps for twice the limit's length; else as `sustained_width_mm`."""
    return _sustained(_ground_solids(outline, limit_mm).solids, limit_mm, "ground", least_mm)


def specks(outline: MultiPolygon, dot_mm: float) -> tuple[Spot, ...]:
    """Every part of the ink in which no dot of the diameter (mm) fits, smallest first; hairlines are none."""
    return _small("speck", np.array(outline.geoms, dtype=object), dot_mm)


def pinholes(outline: MultiPolygon, hole_mm: float) -> tuple[Spot, ...]:
    """Every counter in which no disc of the diameter (mm) fits, smallest first; long slits are none."""
    holes = [Polygon(hole) for part in outline.geoms for hole in part.interiors]
    return _small("pinhole", np.array(holes, dtype=object), hole_mm)


def _ink_solids(outline: MultiPolygon, limit_mm: float) -> Repeats:
    _check_limit(limit_mm)
    return repeats(lightened(np.array(outline.geoms, dtype=object), limit_mm), limit_mm)


def _ground_solids(outline: MultiPolygon, limit_mm: float) -> Repeats:
    _check_limit(limit_mm)
    parts = lightened(np.array(outline.geoms, dtype=object), limit_mm)
    return repeats(clusters(parts, limit_mm * 1.05), limit_mm)


def _check_limit(limit_mm: float) -> None:
    if not 0.0 < limit_mm < float("inf"):
        raise ValueError(f"limit_mm must be above 0, not {limit_mm}")


def _spots(found: Repeats, limit_mm: float, side: Side, progress: Progress) -> tuple[Spot, ...]:
    label = "Measuring lines" if side == "ink" else "Measuring gaps"
    spots: list[Spot] = []
    for start, end in _batches(found.solids):
        progress(start / len(found.solids), label)
        for owner, spot in _spots_of(found.solids[start:end], limit_mm, side):
            spots += _copies(spot, found.shifts[start + owner])
    progress(1.0, label)
    return tuple(sorted(spots, key=lambda spot: (spot.width_mm, spot.where_mm)))


def _batches(solids: Shapes) -> Iterator[tuple[int, int]]:
    """Index ranges that hold about the same number of vertices."""
    if not len(solids):
        return
    filled = np.cumsum(shapely.get_num_coordinates(solids)) // _BATCH_VERTICES
    cuts = [0, *(np.flatnonzero(np.diff(filled)) + 1).tolist(), len(solids)]
    yield from pairwise(cuts)


def _spots_of(solids: Shapes, limit_mm: float, side: Side) -> list[tuple[int, Spot]]:
    """The spots of each solid, with the solid's index."""
    core = core_of(solids, limit_mm, side)
    rest = residue(solids, core, limit_mm, limit_mm * TRIM_SHARE, side)
    is_long = is_line(rest, limit_mm)
    is_lone, is_joint = ~is_long & (rest.runs == 0), ~is_long & (rest.runs >= 2)
    width = rest.width_mm.copy()
    width[is_lone] = inner_diameter_mm(rest.pieces[is_lone])
    width[is_joint] = neck_widths_mm(rest, np.flatnonzero(is_joint))
    long_kind, joint_kind, lone_kind = _KINDS[side]
    found: list[tuple[int, Spot]] = []
    for kind, chosen in ((long_kind, is_long), (joint_kind, is_joint), (lone_kind, is_lone)):
        shapes = rest.pieces[chosen]
        where = shapely.get_coordinates(shapely.point_on_surface(shapes)).tolist()
        rows = zip(where, width[chosen].tolist(), rest.length_mm[chosen].tolist(), shapes, strict=True)
        spots = (Spot(kind, (x, y), wide, long, shape) for (x, y), wide, long, shape in rows)
        found += zip(rest.owner[chosen].tolist(), spots, strict=True)
    return found + _pinches(solids, core, found, limit_mm, side)


def is_line(rest: Residue, limit_mm: float) -> Bools:
    """Which pieces go on for so long that they are lines and no corners."""
    slim = (rest.runs > 0) | (rest.length_mm >= 2.0 * rest.width_mm)
    lines: Bools = (rest.length_mm >= SUSTAIN * limit_mm) & slim
    return lines


def _pinches(
    solids: Shapes, core: Shapes, found: Sequence[tuple[int, Spot]], limit_mm: float, side: Side
) -> list[tuple[int, Spot]]:
    """The pinches at which nothing else was found."""
    pinches: list[tuple[int, Spot]] = []
    for chord in pinch_chords(solids, core, limit_mm, side):
        if any(owner == chord.owner and spot.shape.intersects(chord.line) for owner, spot in found):
            continue
        middle = chord.line.interpolate(0.5, normalized=True)
        where, kind = (middle.x, middle.y), _KINDS[side][1]
        pinches.append((chord.owner, Spot(kind, where, chord.length_mm, 0.0, chord.line)))
    return pinches


def _copies(spot: Spot, shifts: Floats) -> list[Spot]:
    """The spot at every shift of its solid."""
    x, y = spot.where_mm
    shapes = [spot.shape if not shift.any() else _shifted(spot.shape, shift) for shift in shifts]
    return [
        replace(spot, where_mm=(x + dx, y + dy), shape=shape)
        for (dx, dy), shape in zip(shifts.tolist(), shapes, strict=True)
    ]


def _shifted(shape: BaseGeometry, shift: Floats) -> BaseGeometry:
    return shapely.transform(shape, lambda xy: xy + shift)


def _sustained(solids: Shapes, limit_mm: float, side: Side, least_mm: float) -> float | None:
    """Bisects the width below which a line remains, each time only where one still was.

    What is too thin for a narrow disc is too thin for a wider one, so no other place needs another look.
    """
    owner, lines = _lines(solids, limit_mm, limit_mm, side)
    solids, within = _surroundings(solids, owner, lines, limit_mm)
    low_mm, high_mm = least_mm, limit_mm
    while len(solids) and high_mm - low_mm > limit_mm * EXACT_SHARE:
        width_mm = (low_mm + high_mm) / 2.0
        owner, lines = _lines(solids, width_mm, limit_mm, side)
        points = shapely.point_on_surface(lines)
        still = np.unique(owner[shapely.dwithin(within[owner], points, 2.0 * limit_mm * TRIM_SHARE)])
        if len(still):
            solids, within, high_mm = solids[still], within[still], width_mm
        else:
            low_mm = width_mm
    return (low_mm + high_mm) / 2.0 if len(solids) else None


def _lines(solids: Shapes, width_mm: float, limit_mm: float, side: Side) -> tuple[Ints, Shapes]:
    """Every stretch thinner than the width that goes on like a line, and the index of its solid."""
    trim_mm = min(limit_mm * TRIM_SHARE, width_mm / 40.0)
    rest = residue(solids, core_of(solids, width_mm, side), width_mm, trim_mm, side)
    chosen = is_line(rest, limit_mm)
    return rest.owner[chosen], rest.pieces[chosen]


def _surroundings(solids: Shapes, owner: Ints, lines: Shapes, limit_mm: float) -> tuple[Shapes, Shapes]:
    """What has to be looked at again, and for each of these the area in which a line counts.

    The window round a line is wide enough that its own edge changes nothing at the line. Small solids and
    those full of lines are looked at whole.
    """
    vertices, lines_in = shapely.get_num_coordinates(solids), np.bincount(owner, minlength=len(solids))
    apart = ((vertices > _LARGE_VERTICES) & (lines_in <= _FEW_LINES))[owner]
    low, high = np.hsplit(shapely.bounds(lines[apart]) + np.array([-1, -1, 1, 1]) * NEAR_SHARE * limit_mm, 2)
    windows = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
    whole = solids[np.unique(owner[~apart])]
    parts = shapely.intersection(solids[owner[apart]], windows)
    # a window that only touches the solid somewhere gives a stray line besides
    stray = np.flatnonzero(shapely.get_type_id(parts) == shapely.GeometryType.GEOMETRYCOLLECTION)
    parts[stray] = [valid_union(parts[at]) for at in stray]
    return np.append(whole, parts), np.append(shapely.envelope(whole), lines[apart])


def _small(kind: Kind, parts: Shapes, disc_mm: float) -> tuple[Spot, ...]:
    _check_limit(disc_mm)
    parts = parts[shapely.area(parts) < 4.0 * disc_mm**2]
    wide = inner_diameter_mm(parts)
    length, width = strip_mm(parts)
    chosen = (wide < disc_mm) & ~((length >= SUSTAIN * disc_mm) & (length >= 2.0 * width))
    where = shapely.get_coordinates(shapely.point_on_surface(parts[chosen])).tolist()
    rows = zip(where, wide[chosen].tolist(), length[chosen].tolist(), parts[chosen], strict=True)
    spots = [Spot(kind, (x, y), diameter, long, part) for (x, y), diameter, long, part in rows]
    return tuple(sorted(spots, key=lambda spot: (spot.width_mm, spot.where_mm)))
