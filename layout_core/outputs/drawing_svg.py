"""Writes a drawing as SVG: no script, no link, no clock; the same drawing gives the same text."""

from xml.sax.saxutils import escape, quoteattr

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from layout_core.outputs.drawing import Area, Box, Drawing, Group, Matrix, Outline, Part, Words
from layout_core.outputs.typeface import CSS_WEIGHTS, FAMILY, is_own
from layout_core.outputs.word_outlines import outlined


def to_svg(drawing: Drawing, pixels: tuple[int, int] | None = None) -> str:
    """The drawing as an SVG document, one user unit to a drawing unit.

    `pixels` states the page as that many px instead of its true size, for a renderer to fill exactly.
    """
    writer = _Writer()
    body = "".join(writer.part(part) for part in drawing.parts)
    unit = "" if drawing.unit == "px" or pixels else drawing.unit
    width, height = _number(drawing.width), _number(drawing.height)
    page_width, page_height = map(str, pixels) if pixels else (width, height)
    title = f"<title>{escape(drawing.title)}</title>" if drawing.title else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{page_width}{unit}" height="{page_height}{unit}" '
        f'viewBox="0 0 {width} {height}" preserveAspectRatio="none" font-family={quoteattr(FAMILY)}>{title}'
        f"<defs>{''.join(writer.definitions)}</defs>"
        f'<rect width="{width}" height="{height}" fill="{drawing.ground}"/>{body}</svg>\n'
    )


class _Writer:
    """Gathers the shapes, each written once, while the parts are written."""

    def __init__(self) -> None:
        self.definitions: list[str] = []
        self._shapes: dict[int, str] = {}
        self._held: list[Area] = []

    def part(self, part: Part) -> str:
        match part:
            case Group():
                return self._group(part)
            case Area():
                return self._area(part)
            case Outline():
                return f'<path d="{_path(part)}"{_paint(part)}{_dash(part)}/>'
            case Box():
                return f"<rect{_frame(part)}{_paint(part)}/>"
            case Words():
                return _words(part) if is_own(part.text) else self._outlined(part)

    def _outlined(self, words: Words) -> str:
        self._held.append(outlined(words))  # a shape is known by its id, which another one must not get
        return self._area(self._held[-1])

    def _group(self, group: Group) -> str:
        inner = "".join(self.part(part) for part in group.parts)
        return f"<g{_transform(group.matrix)}>{inner}</g>"

    def _area(self, area: Area) -> str:
        key = id(area.shape)
        if key not in self._shapes:
            name = f"shape{len(self._shapes) + 1}"
            self._shapes[key] = name
            self.definitions.append(f'<path id="{name}" fill-rule="evenodd" d="{_rings(area.shape)}"/>')
        return f'<use href="#{self._shapes[key]}" fill="{area.fill}"{_transform(area.matrix)}/>'


def _rings(shape: BaseGeometry) -> str:
    rings = []
    for part in shapely.get_parts(shape):
        if not isinstance(part, Polygon):
            continue
        for ring in (part.exterior, *part.interiors):
            points = [f"{x:g} {y:g}" for x, y in shapely.get_coordinates(ring)[:-1].round(3).tolist()]
            rings.append(f"M{'L'.join(points)}Z")
    return "".join(rings)


def _path(outline: Outline) -> str:
    return "".join(
        kind + " ".join(f"{_number(x)} {_number(y)}" for x, y in points) for kind, points in outline.runs
    )


def _paint(part: Outline | Box) -> str:
    fill = f' fill="{part.fill}"' if part.fill is not None else ' fill="none"'
    if part.stroke is None:
        return fill
    width = _number(part.stroke_width)
    return f'{fill} stroke="{part.stroke}" stroke-width="{width}" stroke-linejoin="round"'


def _dash(outline: Outline) -> str:
    return f' stroke-dasharray="{" ".join(map(_number, outline.dash))}"' if outline.dash else ""


def _frame(box: Box) -> str:
    corner = f' rx="{_number(box.radius)}"' if box.radius else ""
    place = f' x="{_number(box.x)}" y="{_number(box.y)}"'
    return f'{place} width="{_number(box.width)}" height="{_number(box.height)}"{corner}'


def _words(words: Words) -> str:
    anchor = "" if words.anchor == "start" else f' text-anchor="{words.anchor}"'
    return (
        f'<text x="{_number(words.x)}" y="{_number(words.y)}" font-size="{_number(words.size)}" '
        f'font-weight="{CSS_WEIGHTS[words.weight]}" fill="{words.fill}"{anchor}>{escape(words.text)}</text>'
    )


def _transform(matrix: Matrix) -> str:
    a, b, d, e, x, y = matrix
    if (a, b, d, e) == (1.0, 0.0, 0.0, 1.0):
        return "" if (x, y) == (0.0, 0.0) else f' transform="translate({_number(x)} {_number(y)})"'
    numbers = " ".join(f"{value:.6g}" for value in (a, d, b, e, x, y))
    return f' transform="matrix({numbers})"'


def _number(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
