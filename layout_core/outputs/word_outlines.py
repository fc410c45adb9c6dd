"""Words as shapes, for files that may hold no font: the bundled faces only, one standing in for another."""

from functools import lru_cache
from pathlib import Path

import shapely
from shapely import MultiPolygon
from shapely.geometry.base import BaseGeometry

from layout_core.art.fonts import OpenFont, bundled_faces, open_font, read_face
from layout_core.art.glyphs import glyphs_area
from layout_core.art.shaping import shaped_line
from layout_core.geometry.outline import valid_union
from layout_core.outputs.typeface import PLACEHOLDER, font_paths

_TOLERANCE = 4.0
"""Font units that a flattened curve may be off: at small print far below any press."""


def words_outline(text: str, size_mm: float) -> MultiPolygon:
    """One line of text as an area: mm, y down, baseline at y = 0, starting at x = 0.

    `size_mm` is the size of the em. A sign that the first face lacks is set in another bundled one, and one
    that none of them has as “?”: never as an empty box.
    """
    parts: list[BaseGeometry] = []
    x_mm = 0.0
    for font, stretch in _stretches(" ".join(text.split())):
        line = shaped_line(stretch, font)
        scale = size_mm / font.units_per_em
        area = glyphs_area(font, line.glyphs, {}, _TOLERANCE)
        parts.append(_placed(area, scale, x_mm))
        x_mm += line.advance * scale
    return valid_union(shapely.GeometryCollection(parts))


def words_width_mm(text: str, size_mm: float) -> float:
    """How far the line of `words_outline` advances."""
    return sum(
        shaped_line(stretch, font).advance * size_mm / font.units_per_em
        for font, stretch in _stretches(" ".join(text.split()))
    )


def _placed(area: BaseGeometry, scale: float, x_mm: float) -> BaseGeometry:
    return shapely.transform(area, lambda xy: xy * (scale, -scale) + (x_mm, 0.0))


def _stretches(text: str) -> list[tuple[OpenFont, str]]:
    """The text in stretches that one face can set."""
    stretches: list[tuple[OpenFont, str]] = []
    for sign in text:
        font = next((font for font in _fonts() if font.font.get_nominal_glyph(ord(sign))), None)
        if font is None:
            font, sign = _fonts()[0], PLACEHOLDER
        if stretches and (stretches[-1][0] is font or sign == " "):
            font, sign = stretches[-1][0], stretches.pop()[1] + sign
        stretches.append((font, sign))
    return stretches


@lru_cache(maxsize=1)
def _fonts() -> tuple[OpenFont, ...]:
    """The outputs' own face first, then the others that come along."""
    own = read_face(Path(font_paths()[0]))
    return tuple(open_font(face) for face in (own, *bundled_faces()))
