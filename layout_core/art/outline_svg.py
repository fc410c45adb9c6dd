"""Writes an outline as an SVG at true size: one path, millimetres, no style, no transform."""

import shapely
from shapely import MultiPolygon

_DECIMALS = 4
"""A tenth of a micrometre, far finer than any print."""


def outline_svg(outline: MultiPolygon) -> bytes:
    """The outline, in mm with its corner at the origin, as UTF-8 SVG; same outline, same bytes."""
    _, _, width_mm, height_mm = outline.bounds
    width, height = _number(width_mm), _number(height_mm)
    rings = (ring for part in outline.geoms for ring in (part.exterior, *part.interiors))
    path = "".join(map(_ring, rings))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}"><path fill-rule="evenodd" d="{path}"/></svg>\n'
    ).encode()


def _ring(ring: shapely.LinearRing) -> str:
    points = shapely.get_coordinates(ring)[:-1].tolist()
    return "M" + "L".join(f"{_number(x)} {_number(y)}" for x, y in points) + "Z"


def _number(value: float) -> str:
    text = f"{value:.{_DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
