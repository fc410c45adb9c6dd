"""Lengths, view boxes and the size of an SVG page, in CSS pixels of 1/96 in."""

import math
import re
from dataclasses import dataclass

from layout_core.art.affine import Affine
from layout_core.art.refusal import Refused
from layout_core.units import MM_PER_IN

PX_PER_IN = 96.0
"""Source: CSS Values and Units Level 3, section 5.2."""
MM_PER_PX = MM_PER_IN / PX_PER_IN
_PX = {"": 1.0, "px": 1.0, "in": 96.0, "mm": 96 / 25.4, "cm": 96 / 2.54, "pt": 96 / 72, "pc": 16.0,
       "q": 96 / 101.6}  # fmt: skip
_PHYSICAL = frozenset({"in", "mm", "cm", "pt", "pc", "q"})
_LENGTH = re.compile(r"\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*([a-zA-Z%]*)\s*")
_EM_PX = 16.0
Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Page:
    """The drawing's page: its size in px, the map from user units to px, and whether a real size is stated.

    `has_extent` is False when neither size nor view box is stated: then the ink itself decides the size.
    """

    width_px: float
    height_px: float
    to_px: Affine
    user_width: float
    user_height: float
    size_known: bool
    has_extent: bool = True


def length_px(text: str | None, percent_of: float) -> float | None:
    """The length in user units (px); None when there is none or it cannot be read."""
    if not text:
        return None
    match = _LENGTH.fullmatch(text)
    if match is None:
        return None
    value, unit = float(match[1]), match[2].lower()
    if unit == "%":
        return value / 100 * percent_of
    if unit in ("em", "rem"):
        return value * _EM_PX
    if unit == "ex":
        return value * _EM_PX / 2
    factor = _PX.get(unit)
    return None if factor is None else value * factor


def diagonal(width: float, height: float) -> float:
    """What percentages of lengths that are neither across nor down refer to. Source: SVG 1.1 section 7.10."""
    return math.hypot(width, height) / math.sqrt(2)


def view_box(text: str | None) -> Box | None:
    """The four numbers of a viewBox with a positive size; None when there is none."""
    numbers = _numbers(text)
    if len(numbers) != 4 or numbers[2] <= 0 or numbers[3] <= 0:
        return None
    return numbers[0], numbers[1], numbers[2], numbers[3]


def _numbers(text: str | None) -> list[float]:
    try:
        numbers = [float(part) for part in re.split(r"[\s,]+", (text or "").strip()) if part]
    except ValueError:
        return []
    return numbers if all(math.isfinite(number) for number in numbers) else []


def fitted(box: Box, width: float, height: float, aspect: str | None) -> Affine:
    """The map that lays a view box into a viewport of that size at (0, 0). Source: SVG 1.1 section 7.8."""
    words = (aspect or "xMidYMid").replace("defer", "").split() or ["xMidYMid"]
    sx, sy = width / box[2], height / box[3]
    if words[0] != "none":
        sx = sy = max(sx, sy) if "slice" in words else min(sx, sy)
    x_share = 0.0 if "xMin" in words[0] else 1.0 if "xMax" in words[0] else 0.5
    y_share = 0.0 if "YMin" in words[0] else 1.0 if "YMax" in words[0] else 0.5
    x = (width - box[2] * sx) * x_share - box[0] * sx
    y = (height - box[3] * sy) * y_share - box[1] * sy
    if words[0] == "none":
        x, y = -box[0] * sx, -box[1] * sy
    return (sx, 0.0, 0.0, sy, x, y)


def page_of(width: str | None, height: str | None, box_text: str | None, aspect: str | None) -> Page:
    """The page that the root element's attributes state. Raises Refused when it has no size."""
    box = view_box(box_text)
    if box_text and box is None and len(_numbers(box_text)) == 4:
        raise Refused("has a view box without a size; there is nothing to print")
    stated_width, stated_height = _stated(width), _stated(height)
    for stated in (stated_width, stated_height):
        if stated is not None and stated <= 0:
            raise Refused("has a page without a size; there is nothing to print")
    if box is None:
        if stated_width is None or stated_height is None:
            side = stated_width or stated_height or 100.0
            return Page(side, side, (1, 0, 0, 1, 0, 0), side, side, False, has_extent=False)
        identity: Affine = (1, 0, 0, 1, 0, 0)
        known = _is_physical(width) or _is_physical(height)
        return Page(stated_width, stated_height, identity, stated_width, stated_height, known)
    width_px = stated_width or (stated_height * box[2] / box[3] if stated_height else box[2])
    height_px = stated_height or (stated_width * box[3] / box[2] if stated_width else box[3])
    known = _is_physical(width) or _is_physical(height)
    return Page(width_px, height_px, fitted(box, width_px, height_px, aspect), box[2], box[3], known)


def _stated(text: str | None) -> float | None:
    if not text or text.strip().endswith("%"):
        return None
    return length_px(text, 0.0)


def _is_physical(text: str | None) -> bool:
    match = _LENGTH.fullmatch(text or "")
    return match is not None and match[2].lower() in _PHYSICAL
