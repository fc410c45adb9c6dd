"""Where the markers of a path stand, which way each points, and how a marker's own frame lies there."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lxml import etree

from layout_core.art.affine import IDENTITY, Affine, Points, after, shift
from layout_core.art.css import Values
from layout_core.art.curves import Contour, Outline, Pair
from layout_core.art.safe_xml import local_name
from layout_core.art.svg_paint import reference
from layout_core.art.viewport import fitted, length_px, view_box

KINDS = ("marker-start", "marker-mid", "marker-end")
MARKED = frozenset({"path", "line", "polyline", "polygon"})
_SIDE = 3.0
"""Width and height of a marker that states none. Source: SVG 2, section 13.7 (marker element)."""
_DEG = {"deg": 1.0, "grad": 0.9, "rad": 180.0 / math.pi, "turn": 360.0}
_REFERENCE = {"left": 0.0, "top": 0.0, "center": 0.5, "right": 1.0, "bottom": 1.0}


@dataclass(frozen=True, slots=True)
class Vertex:
    """A vertex of a path in user units, and the direction of the path there (degrees, y down)."""

    x: float
    y: float
    direction_deg: float


@dataclass(frozen=True, slots=True)
class MarkerFrame:
    """The map from a marker's content to the user units of the marked path, and what its viewport keeps.

    `size` is what percentages inside refer to, `viewport` the corners of the viewport in user units.
    """

    to_user: Affine
    size: Pair
    viewport_to_user: Affine
    viewport: Pair


def marker_names(element: etree._Element, values: Values) -> dict[str, str]:
    """The id of the marker for each of `KINDS` the element has. Source: SVG 2, section 13.7."""
    if local_name(element) not in MARKED:
        return {}
    found = ((kind, reference(values.get(kind))) for kind in KINDS)
    return {kind: target[0] for kind, target in found if target is not None}


def vertices_of(outline: Outline) -> list[Vertex]:
    """The vertices of all subpaths in order. Source of directions: SVG 2, chapter 9 (path directionality)."""
    return [vertex for part in outline.contours for vertex in _vertices(part)]


def _vertices(part: Contour) -> Iterator[Vertex]:
    inner = part.inner
    ends = [n for n in range(len(part.cubics)) if n not in inner]
    into, out_of = _tangents(part.cubics)
    first_out = next((d for d in out_of if d is not None), None)
    last_into = next((d for d in reversed(into) if d is not None), None)
    at_start = _bisector(last_into, first_out) if part.is_closed else _angle(first_out)
    yield _vertex(part.cubics[0, 0], at_start)
    for number, end in enumerate(ends):
        arrives = next((d for d in reversed(into[: end + 1]) if d is not None), None)
        leaves = next((d for d in out_of[end + 1 :] if d is not None), None)
        if number == len(ends) - 1:
            leaves = first_out if part.is_closed else None
        yield _vertex(part.cubics[end, 3], _bisector(arrives, leaves))


def _vertex(point: Points, direction_deg: float) -> Vertex:
    return Vertex(float(point[0]), float(point[1]), direction_deg)


def _tangents(cubics: Points) -> tuple[list[Pair | None], list[Pair | None]]:
    """The direction in which each segment arrives, and in which it sets out; None for one without length."""
    into: list[Pair | None] = []
    out_of: list[Pair | None] = []
    for points in cubics.tolist():
        out_of.append(_first_way(points[0], points[1:]))
        into.append(_first_way(points[3], points[2::-1], -1.0))
    return into, out_of


def _first_way(at: Sequence[float], others: Sequence[Sequence[float]], sign: float = 1.0) -> Pair | None:
    for x, y in others:
        length = math.hypot(x - at[0], y - at[1])
        if length > 1e-12:
            return sign * (x - at[0]) / length, sign * (y - at[1]) / length
    return None


def _angle(way: Pair | None) -> float:
    return 0.0 if way is None else math.degrees(math.atan2(way[1], way[0]))


def _bisector(one: Pair | None, other: Pair | None) -> float:
    if one is None or other is None:
        return _angle(one or other)
    x, y = one[0] + other[0], one[1] + other[1]
    if math.hypot(x, y) < 1e-9:
        return _angle(one) + 90.0
    return math.degrees(math.atan2(y, x))


def marker_frame(
    marker: etree._Element, vertex: Vertex, stroke_width: float, size: Pair, *, is_start: bool
) -> MarkerFrame | None:
    """The marker's frame at a vertex; None when it has no size. Source: SVG 2, section 13.7."""
    width = length_px(marker.get("markerWidth"), size[0])
    height = length_px(marker.get("markerHeight"), size[1])
    width, height = _SIDE if width is None else width, _SIDE if height is None else height
    scale = 1.0 if marker.get("markerUnits") == "userSpaceOnUse" else stroke_width
    if width <= 0 or height <= 0 or scale <= 0:
        return None
    box = view_box(marker.get("viewBox"))
    fit = fitted(box, width, height, marker.get("preserveAspectRatio")) if box else IDENTITY
    inner = box[2:] if box else (width, height)
    corner = box[:2] if box else (0.0, 0.0)
    x = _reference(marker.get("refX"), corner[0], inner[0])
    y = _reference(marker.get("refY"), corner[1], inner[1])
    a, b, c, d, e, f = fit
    to_origin = shift(-(a * x + c * y + e), -(b * x + d * y + f))
    turn = math.radians(_turn_deg(marker.get("orient"), vertex.direction_deg, is_start=is_start))
    cos, sin = math.cos(turn) * scale, math.sin(turn) * scale
    placed = after((cos, sin, -sin, cos, vertex.x, vertex.y), to_origin)
    return MarkerFrame(after(placed, fit), inner, placed, (width, height))


def settle_references(root: etree._Element) -> None:
    """Turn the words for a marker's reference point into numbers, which every renderer knows."""
    for marker in root.iter():
        if local_name(marker) != "marker":
            continue
        box = view_box(marker.get("viewBox"))
        for axis, key, side in ((0, "refX", "markerWidth"), (1, "refY", "markerHeight")):
            if str(marker.get(key)).strip().lower() in _REFERENCE:
                length = length_px(marker.get(side), 100.0)
                start, span = (
                    (box[axis], box[axis + 2]) if box else (0.0, _SIDE if length is None else length)
                )
                marker.set(key, repr(_reference(marker.get(key), start, span)))


def _reference(text: str | None, start: float, length: float) -> float:
    word = (text or "").strip().lower()
    if word in _REFERENCE:
        return start + _REFERENCE[word] * length
    return length_px(word, length) or 0.0


def _turn_deg(text: str | None, direction_deg: float, *, is_start: bool) -> float:
    word = (text or "0").strip().lower()
    if word == "auto":
        return direction_deg
    if word == "auto-start-reverse":
        return direction_deg + (180.0 if is_start else 0.0)
    for unit, degrees in sorted(_DEG.items(), key=lambda item: -len(item[0])):
        if word.endswith(unit):
            return _number(word.removesuffix(unit)) * degrees
    return _number(word)


def _number(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        return 0.0
    return value if math.isfinite(value) else 0.0
