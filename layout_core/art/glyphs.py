"""The outlines of a font's glyphs as areas."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from shapely import affinity
from shapely.geometry.base import BaseGeometry

from layout_core.art.affine import IDENTITY
from layout_core.art.curves import Contour, Cubic, Pair, contour, flattened
from layout_core.art.fill import EMPTY, filled, joined
from layout_core.art.fonts import OpenFont
from layout_core.art.shaping import Glyph


@dataclass(slots=True)
class _GlyphPen:
    """Takes what HarfBuzz draws (its pen protocol has the names of fontTools' pens); keeps cubics."""

    contours: list[Contour] = field(default_factory=list)
    _cubics: list[Cubic] = field(default_factory=list)
    _lines: list[bool] = field(default_factory=list)
    _at: Pair = (0.0, 0.0)

    def moveTo(self, to: Pair) -> None:  # noqa: N802
        self.endPath()
        self._at = to

    def lineTo(self, to: Pair) -> None:  # noqa: N802
        self._add((self._at, self._at, to, to), is_line=True)

    def qCurveTo(self, control: Pair, to: Pair) -> None:  # noqa: N802
        first = (
            self._at[0] + 2 * (control[0] - self._at[0]) / 3,
            self._at[1] + 2 * (control[1] - self._at[1]) / 3,
        )
        second = (to[0] + 2 * (control[0] - to[0]) / 3, to[1] + 2 * (control[1] - to[1]) / 3)
        self._add((self._at, first, second, to))

    def curveTo(self, first: Pair, second: Pair, to: Pair) -> None:  # noqa: N802
        self._add((self._at, first, second, to))

    def closePath(self) -> None:  # noqa: N802
        self.endPath()

    def endPath(self) -> None:  # noqa: N802
        if self._cubics:
            self.contours.append(contour(self._cubics, self._lines, is_closed=True))
        self._cubics, self._lines = [], []

    def _add(self, cubic: Cubic, *, is_line: bool = False) -> None:
        self._cubics.append(cubic)
        self._lines.append(is_line)
        self._at = cubic[3]


def glyph_contours(font: OpenFont, glyph_id: int) -> list[Contour]:
    """The glyph's closed curves in font units with y up."""
    pen = _GlyphPen()
    font.font.draw_glyph_with_pen(glyph_id, pen)
    pen.endPath()
    return pen.contours


def glyph_area(font: OpenFont, glyph_id: int, tolerance: float) -> BaseGeometry:
    """What the glyph covers, in font units with y up, curves flattened within the tolerance; may be empty."""
    contours = glyph_contours(font, glyph_id)
    return filled([flattened(part, IDENTITY, tolerance) for part in contours], "nonzero", tolerance)


def glyphs_area(
    font: OpenFont, glyphs: Sequence[Glyph], areas: dict[int, BaseGeometry], tolerance: float
) -> BaseGeometry:
    """The union of the glyphs in their places, font units, y up; `areas` keeps what was drawn before."""
    placed = []
    for glyph in glyphs:
        if glyph.glyph_id not in areas:
            areas[glyph.glyph_id] = glyph_area(font, glyph.glyph_id, tolerance)
        area = areas[glyph.glyph_id]
        if not area.is_empty:
            placed.append(affinity.translate(area, glyph.x, glyph.y))
    return joined(placed) if placed else EMPTY
