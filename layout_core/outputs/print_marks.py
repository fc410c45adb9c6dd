"""What stands outside the trim of a print file: corner and registration marks, and the slug as outlines."""

from collections.abc import Sequence

from shapely import LineString, MultiPolygon, Point, Polygon, affinity

from layout_core.outputs.word_outlines import words_outline, words_width_mm
from layout_core.units import mm

MEDIA_MM = mm(0.375)
BLEED_MM = mm(0.125)
LINE_MM = mm(0.25 / 72.0)
_CROSS_AT_MM = mm(0.25)
_CROSS_MM = mm(0.1)
_RING_MM = mm(0.06)
_SLUG_BASE_MM = mm(0.28)
_SLUG_SIZE_MM = mm(0.1)
_SLUG_LEAST_MM = mm(0.04)
"""Margins, marks and sizes of type outside the trim: invented; the slug stays outside the bleed too."""


def mark_lines(width_mm: float, length_mm: float) -> tuple[LineString, ...]:
    """Corner marks and a cross with a ring at the middle of each side, mm in the sheet frame.

    Nothing of them lies within the bleed.
    """
    near, far = BLEED_MM + mm(0.01), MEDIA_MM - mm(0.02)
    lines: list[LineString] = []
    for x, out_x in ((0.0, -1.0), (width_mm, 1.0)):
        for y, out_y in ((0.0, -1.0), (length_mm, 1.0)):
            lines.append(LineString([(x + out_x * near, y), (x + out_x * far, y)]))
            lines.append(LineString([(x, y + out_y * near), (x, y + out_y * far)]))
    half_w, half_l = width_mm / 2.0, length_mm / 2.0
    for x, y in (
        (half_w, -_CROSS_AT_MM), (half_w, length_mm + _CROSS_AT_MM),
        (-_CROSS_AT_MM, half_l), (width_mm + _CROSS_AT_MM, half_l),
    ):  # fmt: skip
        lines.append(LineString([(x - _CROSS_MM, y), (x + _CROSS_MM, y)]))
        lines.append(LineString([(x, y - _CROSS_MM), (x, y + _CROSS_MM)]))
        lines.append(LineString(Point(x, y).buffer(_RING_MM, quad_segs=8).exterior.coords))
    return tuple(lines)


def slug_outline(words: Sequence[str], width_mm: float, length_mm: float) -> MultiPolygon:
    """Two lines of words below the sheet, left and right of the middle mark, as shapes in the sheet frame.

    They shrink to the room there is; where even small type does not fit they are left out.
    """
    room_mm = width_mm / 2.0 - mm(0.3)
    parts: list[Polygon] = []
    for text, start_mm in zip(words[:2], (mm(0.12), width_mm / 2.0 + mm(0.18)), strict=False):
        at_full = words_width_mm(text, _SLUG_SIZE_MM)
        if not text or room_mm <= 0 or at_full * _SLUG_LEAST_MM / _SLUG_SIZE_MM > room_mm:
            continue
        size_mm = _SLUG_SIZE_MM * min(1.0, room_mm / at_full)
        outline = words_outline(text, size_mm)
        parts += affinity.translate(outline, start_mm, length_mm + _SLUG_BASE_MM).geoms
    return MultiPolygon(parts)
