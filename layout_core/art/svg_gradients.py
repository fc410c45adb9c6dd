"""Where a gradient that fades is opaque enough to count as ink: strips of a linear, rings of a radial one."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from lxml import etree
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from layout_core.art.affine import (
    IDENTITY,
    Affine,
    after,
    determinant,
    greatest_stretch,
    inverse,
    mapped,
    parsed_transform,
)
from layout_core.art.curves import Pair
from layout_core.art.fill import EMPTY
from layout_core.art.safe_xml import href, local_name
from layout_core.art.viewport import Box, diagonal, length_px

Lookup = Callable[[str], "etree._Element | None"]
Stop = tuple[float, float]
"""Offset (0 to 1) and alpha."""
_MOST_SEGMENTS = 512


@dataclass(frozen=True, slots=True)
class Sight:
    """Where a gradient is looked at, all in user units: the box of the shape, the part of the plane that
    counts, the viewport's size, and how far the edge of the area may lie from the true one."""

    box: Box | None
    reach: Box
    viewport: Pair
    tolerance: float


@dataclass(frozen=True, slots=True)
class _Frame:
    """The gradient's own frame: its map to user units, what percentages refer to, its reach and tolerance."""

    to_user: Affine
    size: Pair
    corners: tuple[Pair, ...]
    tolerance: float


def opaque_area(
    gradient: etree._Element, stops: Sequence[Stop], least: float, find: Lookup, sight: Sight
) -> BaseGeometry | None:
    """The part of `sight.reach` (user units) where the gradient's alpha is `least` or more.

    None where that is not worked out: mirrored and repeated gradients, and ones with a focus on the rim.
    Source: SVG 2, section 14.2 (gradients).
    """
    chain = _chain(gradient, find)
    if _attribute(chain, "spreadMethod") not in (None, "pad"):
        return None
    frame = _frame(chain, sight)
    if frame is None:
        return None
    spans = _spans(stops, least)
    whole = shapely.box(*sight.reach)
    if local_name(gradient) == "linearGradient":
        areas = _strips(chain, spans, frame)
    else:
        areas = _rings(chain, spans, frame)
    if areas is None:
        return None
    to_user = frame.to_user
    placed = [shapely.transform(area, lambda xy: mapped(xy, to_user)) for area in areas]
    return shapely.union_all(placed).intersection(whole) if placed else EMPTY


def _chain(gradient: etree._Element, find: Lookup) -> list[etree._Element]:
    """The gradient and those it takes its missing attributes from."""
    chain: list[etree._Element] = []
    current: etree._Element | None = gradient
    while current is not None and current not in chain:
        chain.append(current)
        current = find(href(current).removeprefix("#"))
    return chain


def _attribute(chain: Sequence[etree._Element], name: str) -> str | None:
    return next((str(one.get(name)) for one in chain if one.get(name) is not None), None)


def _frame(chain: Sequence[etree._Element], sight: Sight) -> _Frame | None:
    own = parsed_transform(_attribute(chain, "gradientTransform") or "")
    if own is None:
        return None
    outer, size = IDENTITY, sight.viewport
    if _attribute(chain, "gradientUnits") != "userSpaceOnUse":
        if sight.box is None:
            return None
        x0, y0, x1, y1 = sight.box
        outer, size = (x1 - x0, 0.0, 0.0, y1 - y0, x0, y0), (1.0, 1.0)
    to_user = after(outer, own)
    if abs(determinant(to_user)) < 1e-18:
        return None
    x0, y0, x1, y1 = sight.reach
    corners = mapped(np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]), inverse(to_user))
    pairs = tuple((float(x), float(y)) for x, y in corners)
    return _Frame(to_user, size, pairs, sight.tolerance / greatest_stretch(to_user))


def _spans(stops: Sequence[Stop], least: float) -> list[tuple[float, float]]:
    """The stretches of the offset over which alpha is `least` or more; the ends go on without end."""
    offset = 0.0
    known: list[Stop] = []
    for at, alpha in stops:
        offset = max(offset, at)
        known.append((offset, alpha))
    known = [(-math.inf, known[0][1]), *known, (math.inf, known[-1][1])]
    spans: list[tuple[float, float]] = []
    for (t0, a0), (t1, a1) in pairwise(known):
        if max(a0, a1) < least:
            continue
        start = t0 if a0 >= least else t0 + (t1 - t0) * (least - a0) / (a1 - a0)
        end = t1 if a1 >= least else t0 + (t1 - t0) * (least - a0) / (a1 - a0)
        if spans and start <= spans[-1][1]:
            spans[-1] = (spans[-1][0], end)
        elif end > start:
            spans.append((start, end))
    return spans


def _length(chain: Sequence[etree._Element], name: str, default: str, percent_of: float) -> float:
    return length_px(_attribute(chain, name) or default, percent_of) or 0.0


def _strips(
    chain: Sequence[etree._Element], spans: Sequence[tuple[float, float]], frame: _Frame
) -> list[BaseGeometry] | None:
    width, height = frame.size
    x1, y1 = _length(chain, "x1", "0%", width), _length(chain, "y1", "0%", height)
    dx, dy = _length(chain, "x2", "100%", width) - x1, _length(chain, "y2", "0%", height) - y1
    square = dx * dx + dy * dy
    if square <= 0:
        return _everywhere(spans, frame)
    along = [((x - x1) * dx + (y - y1) * dy) / square for x, y in frame.corners]
    across = [((y - y1) * dx - (x - x1) * dy) / square for x, y in frame.corners]
    strips: list[BaseGeometry] = []
    for start, end in spans:
        t0, t1 = max(start, min(along) - 1.0), min(end, max(along) + 1.0)
        if t1 > t0:
            sides = [(t0, min(across)), (t1, min(across)), (t1, max(across)), (t0, max(across))]
            strips.append(Polygon([(x1 + t * dx - s * dy, y1 + t * dy + s * dx) for t, s in sides]))
    return strips


def _everywhere(spans: Sequence[tuple[float, float]], frame: _Frame) -> list[BaseGeometry]:
    """A gradient without extent has the last stop's paint all over."""
    return [Polygon(frame.corners)] if spans and spans[-1][1] == math.inf else []


def _rings(
    chain: Sequence[etree._Element], spans: Sequence[tuple[float, float]], frame: _Frame
) -> list[BaseGeometry] | None:
    width, height = frame.size
    cx, cy = _length(chain, "cx", "50%", width), _length(chain, "cy", "50%", height)
    r = _length(chain, "r", "50%", diagonal(width, height))
    if r <= 0:
        return _everywhere(spans, frame)
    fx = cx if _attribute(chain, "fx") is None else _length(chain, "fx", "50%", width)
    fy = cy if _attribute(chain, "fy") is None else _length(chain, "fy", "50%", height)
    if math.hypot(fx - cx, fy - cy) > 0.99 * r or (_attribute(chain, "fr") or "0").strip("0%. ") != "":
        return None

    def disc(t: float) -> BaseGeometry:
        radius = t * r
        if radius <= 0:
            return EMPTY
        sagitta = min(0.5, max(frame.tolerance / radius, 1e-9))
        segments = min(_MOST_SEGMENTS, math.ceil(math.pi / 4 / math.acos(1 - sagitta)))
        return shapely.Point(fx + t * (cx - fx), fy + t * (cy - fy)).buffer(radius, quad_segs=segments)

    far = max(math.hypot(x - fx, y - fy) for x, y in frame.corners) / (r - math.hypot(fx - cx, fy - cy)) + 1
    return [disc(min(end, far)).difference(disc(start)) for start, end in spans if end > 0 and start < far]
