"""How opaque an SVG paint is, and whether only a rendering can tell."""

import re
from collections.abc import Callable
from dataclasses import dataclass

import tinycss2.color4
from lxml import etree

from layout_core.art.css import Cascade, Values
from layout_core.art.lab import Rgb
from layout_core.art.refusal import NeedsRaster
from layout_core.art.safe_xml import href, local_name

_URL = re.compile(r"url\(\s*['\"]?\s*#([^)'\"]*?)\s*['\"]?\s*\)\s*(.*)", re.DOTALL)
GRADIENTS = ("linearGradient", "radialGradient")
_OPAQUE = 0.999


@dataclass(frozen=True, slots=True)
class Paint:
    """A paint that is seen: its own alpha (0 to 1) and its colour, for a gradient the mean of its stops.

    `gradient` is one whose alpha changes along `stops` (offset and alpha); None for an even paint.
    """

    alpha: float
    rgb: Rgb = (0, 0, 0)
    gradient: etree._Element | None = None
    stops: tuple[tuple[float, float], ...] = ()


Lookup = Callable[[str], "etree._Element | None"]


def reference(text: str | None) -> tuple[str, str] | None:
    """The id and the fallback of a url(#id) value; None when the value is no reference."""
    match = _URL.match(text or "")
    return (match[1], match[2].strip()) if match else None


def paint_of(text: str, values: Values, find: Lookup, cascade: Cascade) -> Paint | None:
    """The paint a fill or stroke value stands for; None for no paint.

    A gradient that fades has the mean alpha of its stops and brings these along.
    Raises NeedsRaster for patterns and context paint.
    """
    target = reference(text)
    if target is None:
        return _flat(text, values)
    element = find(target[0])
    if element is None:
        return _flat(target[1], values) if target[1] else None
    if local_name(element) in GRADIENTS:
        return _gradient(element, find, cascade)
    if local_name(element) == "pattern":
        raise NeedsRaster("a pattern")
    return _flat(target[1], values) if target[1] else None


def _flat(text: str, values: Values) -> Paint | None:
    word = text.strip()
    if word.lower() == "none" or not word:
        return None
    if word.startswith("context-"):
        raise NeedsRaster("paint taken from its context")
    if word.lower() == "currentcolor":
        word = values.get("color", "black")
    if "icc-color" in word:
        word = word.split("icc-color")[0].strip()
    return _colour(word)


def _colour(word: str) -> Paint | None:
    colour = tinycss2.color4.parse_color(word)
    if colour is None or colour == "currentcolor":
        return Paint(1.0)
    alpha = float(colour.alpha)
    if alpha <= 0:
        return None
    try:
        channels = colour.to("srgb").coordinates
    except (NotImplementedError, ValueError):
        return Paint(alpha)
    red, green, blue = (round(255 * min(1.0, max(0.0, channel or 0.0))) for channel in channels[:3])
    return Paint(alpha, (red, green, blue))


def _gradient(element: etree._Element, find: Lookup, cascade: Cascade) -> Paint | None:
    stops = stops_of(element, find)
    if not stops:
        return None
    alphas: list[float] = []
    colours: list[Rgb] = []
    for stop in stops:
        values = cascade.declared(stop)
        parent = cascade.declared(element)
        paint = _flat(values.get("stop-color", "black"), {**parent, **values})
        alphas.append(0.0 if paint is None else paint.alpha * number(values.get("stop-opacity"), 1.0))
        if paint is not None:
            colours.append(paint.rgb)
    if max(alphas) <= 0:
        return None
    red, green, blue = (round(sum(channel) / len(colours)) for channel in zip(*colours, strict=True))
    rgb = (red, green, blue)
    if max(alphas) - min(alphas) < 1 - _OPAQUE:
        return Paint(1.0 if min(alphas) >= _OPAQUE else min(alphas), rgb)
    offsets = (number(stop.get("offset"), 0.0) for stop in stops)
    return Paint(sum(alphas) / len(alphas), rgb, element, tuple(zip(offsets, alphas, strict=True)))


def stops_of(element: etree._Element, find: Lookup) -> list[etree._Element]:
    """The stops of a gradient, its own or those of the one it refers to."""
    seen: set[etree._Element] = set()
    current: etree._Element | None = element
    while current is not None and current not in seen and local_name(current) in GRADIENTS:
        stops = [child for child in current if local_name(child) == "stop"]
        if stops:
            return stops
        seen.add(current)
        current = find(href(current).removeprefix("#"))
    return []


def number(text: str | None, default: float) -> float:
    """An opacity as a share from 0 to 1; percentages count, what cannot be read is the default."""
    if not text:
        return default
    try:
        value = float(text.rstrip("%")) / (100.0 if text.endswith("%") else 1.0)
    except ValueError:
        return default
    return min(1.0, max(0.0, value)) if value == value else default
