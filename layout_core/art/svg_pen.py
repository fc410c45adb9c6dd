"""The pen a shape is stroked with, and whether it goes first, as its CSS values say."""

from dataclasses import replace

from layout_core.art.css import Values
from layout_core.art.curves import Outline
from layout_core.art.strokes import Pen, path_length
from layout_core.art.svg_guards import dash_lengths
from layout_core.art.viewport import diagonal, length_px


def line_first(values: Values) -> bool:
    """Whether the stroke lies under the fill. Source: SVG 2, section 13.8 (paint-order)."""
    words = values.get("paint-order", "normal").split()
    return "stroke" in words and ("fill" not in words or words.index("stroke") < words.index("fill"))


def pen_of(values: Values, width: float, height: float) -> Pen:
    """The pen that computed values state; percentages refer to a viewport of width x height user units."""
    across = diagonal(width, height)
    wide = length_px(values.get("stroke-width"), across)
    offset = length_px(values.get("stroke-dashoffset"), across)
    limit = length_px(values.get("stroke-miterlimit"), across)
    return Pen(
        1.0 if wide is None else wide,
        values.get("stroke-linecap", "butt"),
        values.get("stroke-linejoin", "miter"),
        4.0 if limit is None else max(1.0, limit),
        dash_lengths(values.get("stroke-dasharray"), width, height),
        offset or 0.0,
    )


def measured(pen: Pen, stated: float | None, outline: Outline, tolerance: float) -> Pen:
    """The pen with its dashes stretched so that the path has the stated length. Source: SVG 1.1, 8.4."""
    if not stated or stated < 0 or not pen.dashes:
        return pen
    factor = path_length(outline, tolerance) / stated
    dashes = tuple(length * factor for length in pen.dashes)
    return replace(pen, dashes=dashes, dash_offset=pen.dash_offset * factor)
