"""Draws the swatch card: strokes, gaps, dots and letters of known sizes, to look at in the dark.

Every item stands 8 mm or more from the next, with its size in mm under it. Strokes are five times as long as
wide; a letter is an E on a grid of five strokes, turned, so that whoever names its side has read it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import shapely
from shapely import Polygon, affinity
from shapely.geometry.base import BaseGeometry

Kind = Literal["stroke", "gap", "dot", "letter"]

SIZES_MM = (0.5, 0.7, 1.0, 1.4, 2.0, 2.8, 4.0, 5.6, 8.0, 10.0)
_DOTS_MM = (0.8, *SIZES_MM[2:])
_LETTERS_MM = _DOTS_MM[:6]
"""Dots, gaps and counters below 0.8 mm do not print: see resources/print_limits.toml."""
_APART_MM = 8.0
_LABEL_MM = 1.0
"""Side of a label's squares: the smallest whole millimetre whose counters stay open in glow ink."""
_DOT_SIDES = 48

_DIGITS = {
    "0": "75557", "1": "26227", "2": "71747", "4": "55711", "5": "74717", "6": "74757", "7": "71111",
    "8": "75757", ".": "00002",
}  # fmt: skip
"""Rows of three squares, each an octal figure, from the top; our own."""


@dataclass(frozen=True, slots=True)
class SwatchItem:
    """One thing on the card and its size in mm: width of stroke, gap or letter stroke, diameter of a dot."""

    kind: Kind
    size_mm: float


def swatch_items() -> tuple[SwatchItem, ...]:
    """Everything on the card, row by row."""
    return tuple(SwatchItem(kind, size) for kind, sizes in _ROWS for size in sizes)


_ROWS: tuple[tuple[Kind, tuple[float, ...]], ...] = (
    ("stroke", SIZES_MM), ("gap", _DOTS_MM), ("dot", _DOTS_MM), ("letter", _LETTERS_MM),
)  # fmt: skip


def swatch_card() -> BaseGeometry:
    """The card's ink in mm, y down."""
    parts: list[BaseGeometry] = []
    y = 0.0
    for kind, sizes in _ROWS:
        drawn = [_drawn(kind, size, number) for number, size in enumerate(sizes)]
        height = max(shape.bounds[3] for shape in drawn)
        x = 0.0
        for shape, size in zip(drawn, sizes, strict=True):
            label = _label(f"{size:g}")
            width = max(shape.bounds[2], label.bounds[2])
            parts.append(affinity.translate(shape, x, y + height - shape.bounds[3]))
            parts.append(affinity.translate(label, x, y + height + _APART_MM / 2.0))
            x += width + _APART_MM
        y += height + 2.0 * _APART_MM + 5.0 * _LABEL_MM
    return shapely.union_all(parts)


def _drawn(kind: Kind, size_mm: float, number: int) -> BaseGeometry:
    if kind == "stroke":
        return shapely.box(0.0, 0.0, size_mm, 5.0 * size_mm)
    if kind == "dot":
        return shapely.Point(size_mm / 2.0, size_mm / 2.0).buffer(size_mm / 2.0, quad_segs=_DOT_SIDES // 4)
    if kind == "gap":
        side = max(2.0 * size_mm, 3.0)
        bars = [shapely.box(x, 0.0, x + side, 2.0 * side) for x in (0.0, side + size_mm)]
        return shapely.union_all(bars)
    return affinity.rotate(_letter(size_mm), 90.0 * (number % 4), origin=(2.5 * size_mm, 2.5 * size_mm))


def _letter(stroke_mm: float) -> Polygon:
    s = stroke_mm
    corners = [(0, 0), (5, 0), (5, 1), (1, 1), (1, 2), (5, 2), (5, 3), (1, 3), (1, 4), (5, 4), (5, 5), (0, 5)]
    return Polygon([(x * s, y * s) for x, y in corners])


def _label(text: str) -> BaseGeometry:
    return shapely.union_all(list(_squares(text)))


def _squares(text: str) -> Iterator[Polygon]:
    for place, sign in enumerate(text):
        for row, figure in enumerate(_DIGITS[sign]):
            for column in range(3):
                if int(figure) & (4 >> column):
                    x, y = (4.0 * place + column) * _LABEL_MM, row * _LABEL_MM
                    yield shapely.box(x, y, x + _LABEL_MM, y + _LABEL_MM)
