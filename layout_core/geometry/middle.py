"""The middle of thin places: where a pen has to go so that a stroke becomes as wide as the limit.

At each sample of a solid's rim the largest disc is found that touches the rim there and lies inside; the
centres of the discs narrower than the limit, joined in the order of the rim, run along the middle of what is
too thin. Discs in a corner touch two walls at a wide angle and are left out. Source: the disc that touches a
point and shrinks until it is empty is that of Ma, J., Bae, S. W. & Choi, S. (2012), "3D medial axis point
approximation using nearest neighbors and the normal field", The Visual Computer 28, 7-19 (cited from memory);
here it is found in one step from every edge in reach.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from layout_core.geometry.pinch import pinch_chords
from layout_core.geometry.residue import TRIM_SHARE, Bools, Floats, Ints, Shapes, core_of, residue
from layout_core.geometry.rims import TIP_REACH, Rims, Samples, rims_of, samples_of, tips_of
from layout_core.geometry.thickness import is_line

STROKE_DEG = 40.0
"""Walls that meet at a wider angle are a corner, and no stroke (a line ends at 28°)."""

WAIST_DEG = 80.0
"""A waist is fattened between walls that open up to this angle on either side of it."""

COVERED_SHARE = 0.7
"""An end narrower than this share of the limit vanishes inside the pen's; a wider one stays square."""

_SMOOTH_SHARE = 1.0 / 100.0
"""How far a line may be straightened, as a share of the limit."""

_NEAR = 1e-7
"""Share of the limit below which a distance is none."""


@dataclass(slots=True)
class _Discs:
    """The largest disc at each sample: centre, radius, the angle its two walls meet at, whether it counts."""

    centre: Floats
    radius: Floats
    meeting_deg: Floats
    is_middle: Bools


@dataclass(frozen=True, slots=True)
class _Places:
    """Thin places, and between walls of which angle each is fattened."""

    shapes: Shapes
    angle_deg: Floats


def middle_lines(
    solids: Shapes, limit_mm: float, below_mm: float, *, pen_mm: float | None = None, lone: bool = False
) -> Shapes:
    """For each solid the lines and points along the middle of what is thinner than `below_mm` there (mm).

    A pen as wide as the limit that is led along them makes every line and neck as wide as that, and no
    stroke longer; for a pen of another width the lines stop elsewhere. Corners get none; `lone` takes in
    parts that are small all round. Of a solid that has nothing thin an empty collection.
    """
    empty = shapely.GeometryCollection()
    lines: Shapes = np.full(len(solids), empty, dtype=object)
    places, owner = _thin_places(solids, below_mm, lone)
    chosen = np.unique(owner)
    if not len(chosen):
        return lines
    rims = rims_of(solids[chosen])
    samples = samples_of(rims, limit_mm)
    angle_deg = _angles_deg(samples, places, np.searchsorted(chosen, owner), limit_mm)
    discs = _discs(samples, np.flatnonzero(angle_deg > 0.0), rims, limit_mm)
    discs.is_middle &= discs.meeting_deg <= angle_deg
    _stop_at_ends(samples, discs, rims, limit_mm, limit_mm if pen_mm is None else pen_mm)
    for at, line in _joined(samples, discs, rims, limit_mm):
        lines[chosen[at]] = line
    return lines


def _thin_places(solids: Shapes, below_mm: float, lone: bool) -> tuple[_Places, Ints]:
    """The places to be led along, and the index of each one's solid."""
    core = core_of(solids, below_mm, "ink")
    rest = residue(solids, core, below_mm, below_mm * TRIM_SHARE, "ink")
    is_stroke = is_line(rest, below_mm)
    is_waist = ~is_stroke & (rest.runs >= 2)
    if lone:
        is_stroke |= rest.runs == 0
    chords = pinch_chords(solids, core, below_mm, "ink")
    pinches = shapely.buffer([chord.line for chord in chords], below_mm / 2.0)
    # the corners a waist lies between are often just outside what the disc cannot reach
    waists = shapely.buffer(rest.pieces[is_waist], below_mm / 8.0)
    shapes = np.concatenate((rest.pieces[is_stroke], waists, pinches))
    angle_deg = np.full(len(shapes), WAIST_DEG)
    angle_deg[: np.count_nonzero(is_stroke)] = STROKE_DEG
    pinched = [chord.owner for chord in chords]
    owner = np.concatenate((rest.owner[is_stroke], rest.owner[is_waist], pinched)).astype(np.int64)
    return _Places(shapes, angle_deg), owner


def _angles_deg(samples: Samples, places: _Places, owner: Ints, limit_mm: float) -> Floats:
    """Between walls of which angle each sample leads the pen; 0 where its solid is not thin."""
    points, reach_mm = np.asarray(shapely.points(samples.at), dtype=object), limit_mm * TRIM_SHARE
    low, high = samples.at - reach_mm, samples.at + reach_mm
    boxes = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
    at, place = shapely.STRtree(places.shapes).query(boxes)
    shapely.prepare(places.shapes)
    own = samples.solid[at] == owner[place]
    own[own] = shapely.dwithin(places.shapes[place[own]], points[at[own]], reach_mm)
    angle_deg = np.zeros(len(points))
    np.maximum.at(angle_deg, at[own], places.angle_deg[place[own]])
    return angle_deg


def _discs(samples: Samples, chosen: Ints, rims: Rims, limit_mm: float) -> _Discs:
    """The largest disc inside the solid that touches its rim at each chosen sample, none above the limit."""
    radius = np.full(len(samples.at), np.inf)
    other = np.full((len(samples.at), 2), np.nan)
    edges = np.asarray(shapely.linestrings(np.stack((rims.start, rims.end), axis=1)), dtype=object)
    widest = shapely.points(samples.at[chosen] + samples.inward[chosen] * (limit_mm / 2.0))
    nth, edge = shapely.STRtree(edges).query(
        np.asarray(widest, dtype=object), predicate="dwithin", distance=limit_mm / 2.0
    )
    sample = chosen[nth]
    own = samples.solid[sample] == rims.solid[edge]
    sample, edge = sample[own], edge[own]
    for reach, touched in _touches(samples, rims, sample, edge, limit_mm):
        order = np.lexsort((reach, sample))
        first = order[np.append(True, sample[order][1:] != sample[order][:-1])[: len(order)]]
        nearer = first[reach[first] < radius[sample[first]]]
        radius[sample[nearer]] = reach[nearer]
        other[sample[nearer]] = touched[nearer]
    is_middle = (radius < limit_mm / 2.0) & (radius > limit_mm * _NEAR)
    reach = np.where(is_middle, radius, 0.0)
    centre = samples.at + samples.inward * reach[:, np.newaxis]
    cos = np.ones(len(reach))
    away, across = samples.at[is_middle] - centre[is_middle], other[is_middle] - centre[is_middle]
    cos[is_middle] = (away * across).sum(axis=1) / reach[is_middle] ** 2
    meeting = 180.0 - np.degrees(np.arccos(np.clip(cos, -1.0, 1.0)))
    return _Discs(centre, reach, meeting, is_middle)


def _touches(
    samples: Samples, rims: Rims, sample: Ints, edge: Ints, limit_mm: float
) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
    """Radius and touching point of the disc at each sample that reaches an edge: along it, at its start."""
    at, inward = samples.at[sample], samples.inward[sample]
    start, normal = rims.start[edge], rims.inward[edge]
    away = at - start
    height = (away * normal).sum(axis=1)
    lean = 1.0 - (inward * normal).sum(axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        radius = np.where((height > limit_mm * _NEAR) & (lean > 0.0), height / lean, np.inf)
        foot = at + (inward - normal) * np.where(np.isfinite(radius), radius, 0.0)[:, np.newaxis]
        along = (foot - start)[:, 0] * normal[:, 1] - (foot - start)[:, 1] * normal[:, 0]
        radius[(along < 0.0) | (along > rims.length[edge])] = np.inf
        ahead = -2.0 * (inward * away).sum(axis=1)
        apart = (away**2).sum(axis=1)
        corner = np.where((ahead > limit_mm * _NEAR) & (apart > 0.0), apart / ahead, np.inf)
    return (radius, foot), (corner, start)


def _stop_at_ends(samples: Samples, discs: _Discs, rims: Rims, limit_mm: float, pen_mm: float) -> None:
    """Stop the pen where its round end meets the stroke's own end."""
    length, starts = rims.length, rims.along
    begin_of = np.searchsorted(rims.ring, np.arange(rims.ring[-1] + 2))
    for ring in samples.by_ring():
        if not discs.is_middle[ring].any():
            continue
        edges = slice(*begin_of[[samples.ring[ring.start], samples.ring[ring.start] + 1]].tolist())
        vertices = np.vstack((rims.start[edges], rims.start[edges.start]))
        around_mm = float(length[edges].sum())
        along = np.append(starts[edges], around_mm)
        tips = tips_of(samples.of(np.arange(ring.start, ring.stop)), vertices, along, limit_mm)
        if len(tips[0]):
            near = _near(samples.along[ring], tips[0], around_mm, TIP_REACH * limit_mm)
            _stop_at(tips[1], near, discs, ring, pen_mm / 2.0)


def _near(along: Floats, tips: Floats, around_mm: float, reach_mm: float) -> list[tuple[Ints, Floats]]:
    """The samples of the ring near each tip, in order, and how far before (-) or past it each one is."""
    thrice = np.concatenate((along - around_mm, along, along + around_mm))
    begin, end = np.searchsorted(thrice, tips - reach_mm), np.searchsorted(thrice, tips + reach_mm)
    return [
        (np.arange(first, last) % len(along), thrice[first:last] - tip)
        for first, last, tip in zip(begin.tolist(), end.tolist(), tips.tolist(), strict=True)
    ]


def _stop_at(
    tips: Floats, near: list[tuple[Ints, Floats]], discs: _Discs, ring: slice, radius_mm: float
) -> None:
    """Leave out what lies closer to a tip than the pen may come, and lead on to just there."""
    centre, radius, is_middle = discs.centre[ring], discs.radius[ring], discs.is_middle[ring]
    # seen from a narrow end's middle the disc through its corners lies further out
    covers = radius < radius_mm * COVERED_SHARE
    due = np.sqrt(radius_mm**2 - np.where(covers, radius, 0.0) ** 2)
    spare = np.full(len(centre), np.inf)
    for tip, (at, _) in zip(tips, near, strict=True):
        spare[at] = np.minimum(spare[at], np.hypot(*(centre[at] - tip).T) - due[at])
    stays = is_middle & (spare >= 0.0)
    if not stays.any():
        is_middle[:] = np.arange(len(stays)) == np.argmax(np.where(is_middle, spare, -np.inf))
        return
    for tip, (at, past) in zip(tips, near, strict=True):
        kept = np.flatnonzero(stays[at])
        last_before, first_past = kept[past[kept] < 0.0][-1:], kept[past[kept] > 0.0][:1]
        for inner, outer in ((at[last_before], at[last_before + 1]), (at[first_past], at[first_past - 1])):
            way = tip - centre[inner]
            ahead = spare[inner] / np.maximum(np.hypot(*way.T), 1e-300)
            centre[outer] = np.where(stays[outer, None], centre[outer], centre[inner] + way * ahead[:, None])
            stays[outer] = True
    is_middle[:] = stays


def _joined(samples: Samples, discs: _Discs, rims: Rims, limit_mm: float) -> list[tuple[int, BaseGeometry]]:
    """The centres of each solid joined in the order of its rims, wherever two follow closely."""
    at = np.flatnonzero(discs.is_middle)
    around = np.bincount(rims.ring, weights=rims.length)
    if not len(at):
        return []
    ring, along, where = samples.ring[at], samples.along[at], discs.centre[at]
    opens = np.append(True, ring[1:] != ring[:-1])
    last = np.flatnonzero(np.append(opens[1:], True))
    following = np.arange(1, len(at) + 1)
    following[last] = np.flatnonzero(opens)
    ahead = along[following] - along
    ahead[last] += around[ring[last]]
    apart = np.hypot(*(where[following] - where).T)
    follows = (ahead <= 2.0 * limit_mm) & (apart <= limit_mm)
    closes = last[follows[last] & (following[last] != last)]
    follows[last] = False
    chain = np.append(0, np.cumsum(~follows)[:-1])
    # a point by itself is a line without length, which a pen draws as a dot
    alone = np.flatnonzero(np.bincount(chain)[chain] == 1)
    points = np.insert(where, alone, where[alone], axis=0)
    lines = np.asarray(
        shapely.linestrings(points, indices=np.insert(chain, alone, chain[alone])), dtype=object
    )
    ends = np.stack((where[closes], where[following[closes]]), axis=1)
    rounds = np.asarray(shapely.linestrings(ends), dtype=object)
    lines = np.append(shapely.simplify(lines, limit_mm * _SMOOTH_SHARE), rounds)
    solid = np.append(samples.solid[at][np.unique(chain, return_index=True)[1]], samples.solid[at][closes])
    return [(int(one), shapely.MultiLineString(list(lines[solid == one]))) for one in np.unique(solid)]
