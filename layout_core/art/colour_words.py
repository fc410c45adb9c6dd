"""Plain names of colours, so that a swatch can be told from another without seeing its colour."""

import math

from layout_core.art.lab import Rgb, lab_of

_GREY_CHROMA = 8.0
_HUES = (
    (12.0, "pink"), (50.0, "red"), (75.0, "orange"), (105.0, "yellow"), (170.0, "green"), (225.0, "teal"),
    (312.0, "blue"), (345.0, "purple"), (360.0, "pink"),
)  # fmt: skip
"""The upper end of each hue's range on the circle of a* and b*, in degrees. Our own choice."""


def colour_words(rgb: Rgb) -> str:
    """Such as "white", "light grey", "dark blue"; by lightness, chroma and hue in CIELAB, bounds our own."""
    lightness, a, b = lab_of(rgb).tolist()
    chroma = math.hypot(a, b)
    if lightness >= 96.0 and chroma < _GREY_CHROMA:
        return "white"
    if lightness <= 12.0 and chroma < 2 * _GREY_CHROMA:
        return "black"
    if chroma < _GREY_CHROMA:
        return _toned("grey", lightness)
    hue = math.degrees(math.atan2(b, a)) % 360.0
    name = next(name for end, name in _HUES if hue <= end)
    if name == "orange" and lightness < 50.0:
        return "brown" if lightness >= 25.0 else "dark brown"
    return _toned("red" if name == "pink" and lightness < 55.0 else name, lightness)


def _toned(name: str, lightness: float) -> str:
    if name == "yellow":
        return "olive" if lightness < 60.0 else name
    if lightness < 30.0:
        return f"dark {name}"
    return f"light {name}" if lightness >= 78.0 else name
