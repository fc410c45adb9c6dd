"""A round badge: words on a circle above and below, a ring round them, an emblem in the middle."""

import math

import shapely
from shapely import MultiPolygon, affinity
from shapely.geometry.base import BaseGeometry

from layout_core.art import stock_shapes as draw
from layout_core.art.bend import bent
from layout_core.art.lettering import Lettering, lettering_outline

EMBLEMS = ("star", "moon", "drop", "none")
_BAND, _AIR, _CAP, _EMBLEM = 0.04, 0.05, 0.15, 0.86
"""Shares of the size: ring, air on either side of the words, cap height; of the inner circle: the emblem.
Invented, by eye."""
_ALONE_DEG, _BOTH_DEG = 290.0, 288.0
"""How much of the circle one line of words, or two together, may take; two leave room for a star between."""
_TRACKING = 50.0
_TOLERANCE_MM = 0.005


def badge(size_mm: float, top: str, bottom: str, emblem: str, font: str) -> BaseGeometry:
    """The badge in mm, y down, centred on the origin; long words are set smaller, both lines alike.

    Raises LetteringError for a font or letters that are not there.
    """
    parts: list[BaseGeometry] = [draw.ring(size_mm, _BAND * size_mm)]
    room = size_mm * (0.5 - _BAND - _AIR)
    cap_mm = _cap_height_mm(top, bottom, font, room, _CAP * size_mm)
    inner = room - (cap_mm + _AIR * size_mm if top or bottom else 0.0)
    ends = []
    for text, is_top in ((top, True), (bottom, False)):
        if text:
            line = _line(text, font, cap_mm)
            ends.append(_width(line) / 2.0 / (room - cap_mm if is_top else room))
            parts.append(_on_circle(line, room, cap_mm, is_top=is_top))
    if len(ends) == 2:
        parts += _separators((ends[0] + math.pi - ends[1]) / 2.0, room - cap_mm / 2.0, cap_mm)
    return draw.merged(parts + _emblem(emblem, inner))


def _cap_height_mm(top: str, bottom: str, font: str, room: float, most_mm: float) -> float:
    """The cap height at which all words fit on their circles, no taller than `most_mm`.

    Half of a quadratic: the words above stand on a circle that grows as they shrink.
    """
    above, below = (_width(_line(text, font, most_mm)) / most_mm if text else 0.0 for text in (top, bottom))
    fits = math.radians(_BOTH_DEG if top and bottom else _ALONE_DEG)
    # fits = cap * above / (room - cap) + cap * below / room, solved for cap / room
    half = (above + below + fits) / 2.0
    share = fits / (half + math.sqrt(half * half - below * fits))
    return min(most_mm, share * room)


def _line(text: str, font: str, cap_mm: float) -> MultiPolygon:
    return lettering_outline(Lettering(text, font=font, cap_height_mm=cap_mm, tracking=_TRACKING))


def _width(line: MultiPolygon) -> float:
    return float(line.bounds[2] - line.bounds[0])


def _on_circle(line: MultiPolygon, room: float, cap_mm: float, *, is_top: bool) -> BaseGeometry:
    """The line between the circles of radius room and a cap height less, its middle straight up or down."""
    middle = (line.bounds[0] + line.bounds[2]) / 2.0
    radius = room - cap_mm if is_top else -room
    return affinity.translate(bent(line, radius, middle, 0.0, _TOLERANCE_MM), -middle, -radius)


def _separators(from_top: float, radius: float, cap_mm: float) -> list[BaseGeometry]:
    """A small star on either side, at the angle from straight up (radians)."""
    mark = draw.star(cap_mm * 0.8, 5.0, 0.45, 0.0)
    y = -radius * math.cos(from_top)
    return [affinity.translate(mark, side * radius * math.sin(from_top), y) for side in (-1.0, 1.0)]


def _emblem(emblem: str, radius: float) -> list[BaseGeometry]:
    """The emblem in a circle of that radius about the origin."""
    size = 2.0 * radius * _EMBLEM
    if emblem == "star":
        return [draw.star(size, 5.0, 0.5, 0.02 * size)]
    if emblem == "moon":
        crescent = draw.moon(size, 0.34, -25.0)
        mate = draw.star(size * 0.4, 5.0, 0.5, 0.0)
        return [_centred(shapely.union_all([crescent, affinity.translate(mate, size * 0.2, -size * 0.1)]))]
    return [_centred(draw.drop(size, 0.5))] if emblem == "drop" else []


def _centred(shape: BaseGeometry) -> BaseGeometry:
    left, top, right, bottom = shape.bounds
    return affinity.translate(shape, -(left + right) / 2.0, -(top + bottom) / 2.0)
