"""The outline of each basic SVG shape element, in its own user units."""

import re

from lxml import etree

from layout_core.art.css import Values
from layout_core.art.curves import (
    Outline,
    Pair,
    ellipse_outline,
    path_outline,
    polygon_outline,
    rect_outline,
)
from layout_core.art.safe_xml import local_name
from layout_core.art.viewport import diagonal, length_px

SHAPES = frozenset({"path", "rect", "circle", "ellipse", "line", "polyline", "polygon"})
_NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_NOTHING = Outline(())


def shape_outline(element: etree._Element, width: float, height: float) -> Outline:
    """The element's outline; percentages refer to a viewport of width x height user units."""
    name = local_name(element)
    if name == "path":
        return path_outline(str(element.get("d") or ""))
    if name in ("polyline", "polygon"):
        return _through_points(str(element.get("points") or ""), is_closed=name == "polygon")

    def length(key: str, percent_of: float) -> float | None:
        return length_px(element.get(key), percent_of)

    if name == "line":
        start = (length("x1", width) or 0.0, length("y1", height) or 0.0)
        end = (length("x2", width) or 0.0, length("y2", height) or 0.0)
        return polygon_outline([start, end], is_closed=False)
    if name == "rect":
        return _rect(element, width, height)
    centre = (length("cx", width) or 0.0, length("cy", height) or 0.0)
    if name == "circle":
        rx = ry = length("r", diagonal(width, height)) or 0.0
    else:
        given_x, given_y = length("rx", width), length("ry", height)
        rx = (given_x if given_x is not None else given_y) or 0.0
        ry = (given_y if given_y is not None else given_x) or 0.0
    return ellipse_outline(*centre, rx, ry) if rx > 0 and ry > 0 else _NOTHING


def is_stroked_wrongly(element: etree._Element, values: Values) -> bool:
    """Whether the reference renderer (resvg 0.48) strokes the element otherwise than SVG asks.

    It scales lines of fixed width, and takes dashes measured by `pathLength` for plain ones.
    """
    return values.get("vector-effect") == "non-scaling-stroke" or element.get("pathLength") is not None


def has_arc(element: etree._Element) -> bool:
    """Whether the path has arcs: the reference renderer (resvg 0.48) takes their halves for vertices."""
    return local_name(element) == "path" and "a" in str(element.get("d") or "").lower()


def _rect(element: etree._Element, width: float, height: float) -> Outline:
    own_width = length_px(element.get("width"), width) or 0.0
    own_height = length_px(element.get("height"), height) or 0.0
    if own_width <= 0 or own_height <= 0:
        return _NOTHING
    rx, ry = length_px(element.get("rx"), width), length_px(element.get("ry"), height)
    rx = None if rx is None or rx < 0 else rx
    ry = None if ry is None or ry < 0 else ry
    corner_x = (rx if rx is not None else ry) or 0.0
    corner_y = (ry if ry is not None else rx) or 0.0
    x, y = length_px(element.get("x"), width) or 0.0, length_px(element.get("y"), height) or 0.0
    return rect_outline(x, y, own_width, own_height, corner_x, corner_y)


def _through_points(text: str, *, is_closed: bool) -> Outline:
    numbers = [float(number) for number in _NUMBER.findall(text)]
    points: list[Pair] = list(zip(numbers[::2], numbers[1::2], strict=False))
    return polygon_outline(points, is_closed=is_closed) if len(points) > 1 else _NOTHING
