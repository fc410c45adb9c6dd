"""Words as shapes: for files that may hold no font, and for words that the outputs' own face cannot set."""

import unicodedata
from functools import lru_cache
from pathlib import Path

import shapely
from shapely import MultiPolygon
from shapely.geometry.base import BaseGeometry

from layout_core.art.fonts import OpenFont, open_font, read_face
from layout_core.art.glyphs import glyphs_area
from layout_core.art.shaping import shaped_line
from layout_core.geometry.outline import valid_union
from layout_core.outputs.drawing import Area, Words
from layout_core.outputs.stand_ins import is_silent, stand_in
from layout_core.outputs.typeface import PLACEHOLDER, Weight, font_path

_TOLERANCE = 4.0
"""Font units that a flattened curve may be off: at small print far below any press."""


def words_outline(text: str, size_mm: float, weight: Weight = "regular") -> MultiPolygon:
    """One line of text as an area: mm, y down, baseline at y = 0, starting at x = 0.

    `size_mm` is the size of the em. A sign that the outputs' face lacks is set in another bundled one or in
    one installed here, and one that none of them has as “?”: never as an empty box.
    """
    parts: list[BaseGeometry] = []
    x_mm = 0.0
    for font, stretch in _stretches(" ".join(text.split()), weight):
        line = shaped_line(stretch, font)
        scale = size_mm / font.units_per_em
        area = glyphs_area(font, line.glyphs, {}, _TOLERANCE)
        parts.append(_placed(area, scale, x_mm))
        x_mm += line.advance * scale
    return valid_union(shapely.GeometryCollection(parts))


def words_width_mm(text: str, size_mm: float, weight: Weight = "regular") -> float:
    """How far the line of `words_outline` advances."""
    return sum(
        shaped_line(stretch, font).advance * size_mm / font.units_per_em
        for font, stretch in _stretches(" ".join(text.split()), weight)
    )


def outlined(words: Words) -> Area:
    """The line of text as an area in the drawing's frame, for words that the drawing's face cannot set."""
    shape = words_outline(words.text, words.size, words.weight)
    width = words_width_mm(words.text, words.size, words.weight)
    left = {"start": 0.0, "middle": width / 2.0, "end": width}[words.anchor]
    return Area(shape, words.fill, (1.0, 0.0, 0.0, 1.0, words.x - left, words.y))


def _placed(area: BaseGeometry, scale: float, x_mm: float) -> BaseGeometry:
    return shapely.transform(area, lambda xy: xy * (scale, -scale) + (x_mm, 0.0))


def _stretches(text: str, weight: Weight) -> list[tuple[OpenFont, str]]:
    """The text in stretches that one face can set; marks and blanks stay with what stands before them."""
    own = _own(weight)
    stretches: list[tuple[OpenFont, str]] = []
    for sign in text:
        last = stretches[-1][0] if stretches else None
        stays = last is not None and (sign == " " or unicodedata.category(sign)[0] == "M" or is_silent(sign))
        if stays and last is not None and last.font.get_nominal_glyph(ord(sign)):
            font: OpenFont | None = last
        else:
            font = own if own.font.get_nominal_glyph(ord(sign)) else stand_in(sign)
        if font is None and is_silent(sign):
            continue
        if font is None:
            font, sign = own, PLACEHOLDER
        if stretches and stretches[-1][0] is font:
            sign = stretches.pop()[1] + sign
        stretches.append((font, sign))
    return [(font, part) for font, stretch in stretches for part in _turned_alone(stretch)]


def _turned_alone(stretch: str) -> list[str]:
    """A stretch cut before and after its right-to-left words, which must not turn the blanks beside them.

    Source: Unicode Standard Annex 9, table 4 (bidirectional classes R and AL).
    """
    turned = [at for at, sign in enumerate(stretch) if unicodedata.bidirectional(sign) in ("R", "AL")]
    if not turned:
        return [stretch]
    first, last = turned[0], turned[-1] + 1
    while last < len(stretch) and unicodedata.category(stretch[last])[0] == "M":
        last += 1
    return [part for part in (stretch[:first], stretch[first:last], stretch[last:]) if part]


@lru_cache(maxsize=8)
def _own(weight: Weight) -> OpenFont:
    """The outputs' own face."""
    return open_font(read_face(Path(font_path(weight))))
