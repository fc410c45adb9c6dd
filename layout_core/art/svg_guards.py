"""Refuses drawings whose numbers or dashes would stop or stall a renderer, before anything is drawn."""

import math
import re
from collections.abc import Mapping

from lxml import etree

from layout_core.art import caps
from layout_core.art.css import Cascade, Values
from layout_core.art.curves import Outline
from layout_core.art.refusal import OverLimit
from layout_core.art.safe_xml import href, local_name
from layout_core.art.strokes import path_length
from layout_core.art.svg_shapes import SHAPES, shape_outline
from layout_core.art.viewport import diagonal, length_px

_NUMERIC = frozenset(
    {"d", "points", "transform", "gradientTransform", "patternTransform", "viewBox", "x", "y", "x1", "y1",
     "x2", "y2", "width", "height", "r", "rx", "ry", "cx", "cy", "fx", "fy", "fr", "dx", "dy", "rotate",
     "offset", "stroke-width", "stroke-dasharray", "stroke-dashoffset", "stroke-miterlimit", "font-size",
     "refX", "refY", "markerWidth", "markerHeight", "stdDeviation", "scale", "radius", "order", "values",
     "tableValues", "pathLength", "startOffset", "textLength", "letter-spacing", "word-spacing",
     "transform-origin", "baseFrequency", "surfaceScale", "k1", "k2", "k3", "k4", "baseline-shift"}
)  # fmt: skip
_NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_STYLE_NUMBER = re.compile(r"(?<![\w#.-])[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_LANGUAGE = "en"
_SUSPECT = re.compile(r"\d{7}|\d[eE]\+?\d|\.[eE]\+?\d|nan|inf", re.IGNORECASE)


def check_numbers(root: etree._Element) -> None:
    """Raise OverLimit for a number beyond `caps.NUMBER` in any attribute or style that draws."""
    for element in root.iter():
        for key, value in element.attrib.items():
            if str(key) in _NUMERIC:
                _check_text(str(value), _NUMBER)
            elif str(key) == "style":
                _check_text(str(value), _STYLE_NUMBER)
        if local_name(element) == "style" and element.text:
            _check_text(element.text, _STYLE_NUMBER)


def _check_text(text: str, pattern: re.Pattern[str]) -> None:
    if not _SUSPECT.search(text):
        return
    for match in pattern.finditer(text):
        if abs(float(match[0])) > caps.NUMBER:
            shown = match[0][:12]
            raise OverLimit(f"holds the number {shown}, beyond the limit of {caps.NUMBER:,.0f}")


_NOT_DRAWN = frozenset({"defs", "symbol", "clipPath", "mask", "marker", "pattern"})


def check_references(root: etree._Element, ids: Mapping[str, etree._Element]) -> None:
    """Raise OverLimit when drawing would follow too many `use` references, or too long a chain of them.

    Counted without drawing: a few lines that refer to each other can stand for a billion shapes.
    """
    counted: dict[etree._Element, int] = {}

    def followed(element: etree._Element, opened: tuple[etree._Element, ...]) -> int:
        if element in counted or element in opened:
            return counted.get(element, 0)
        if len(opened) > caps.REFERENCE_DEPTH:
            raise OverLimit(f"refers onward through more than {caps.REFERENCE_DEPTH} levels")
        total = 0
        stack = [element]
        while stack:
            part = stack.pop()
            name = local_name(part)
            if name in _NOT_DRAWN and part is not element:
                continue
            target = ids.get(href(part).removeprefix("#")) if name == "use" else None
            if target is not None:
                total += 1 + followed(target, (*opened, element))
            stack.extend(part)
        counted[element] = total
        return total

    if followed(root, ()) > caps.REFERENCES:
        raise OverLimit(f"follows more than {caps.REFERENCES:,} references")


def check_dashes(root: etree._Element, cascade: Cascade, width: float, height: float) -> None:
    """Raise OverLimit when any shape, drawn or only referred to, would fall into too many dashes."""
    stack: list[tuple[etree._Element, Values]] = [(root, {})]
    while stack:
        element, parent = stack.pop()
        values = cascade.computed(element, parent)
        if local_name(element) in SHAPES and values.get("stroke-dasharray", "none") != "none":
            outline = shape_outline(element, width, height)
            dash_count(outline, dash_lengths(values.get("stroke-dasharray"), width, height))
        stack.extend((child, values) for child in element)


def dash_lengths(text: str | None, width: float, height: float) -> tuple[float, ...]:
    """The dash array in user units; empty for a solid line. Source: SVG 1.1 section 11.4."""
    if not text or text == "none":
        return ()
    lengths = [length_px(part, diagonal(width, height)) for part in re.split(r"[\s,]+", text.strip()) if part]
    known = tuple(length for length in lengths if length is not None and math.isfinite(length))
    if len(known) != len(lengths) or min(known, default=0.0) < 0 or sum(known) <= 0:
        return ()
    return known


def dash_count(outline: Outline, dashes: tuple[float, ...]) -> float:
    """How often the dash array runs along the outline. Raises OverLimit beyond `caps.DASHES`."""
    if not dashes:
        return 0.0
    count = path_length(outline, max(sum(dashes), 0.01)) / sum(dashes)
    if count > caps.DASHES:
        raise OverLimit(f"has a dashed line of {count:,.0f} dashes; the limit is {caps.DASHES:,}")
    return count


def passes_conditions(element: etree._Element) -> bool:
    """Whether the element is for us. Source: SVG 2, section 5.10 (conditional processing)."""
    if element.get("requiredExtensions") is not None:
        return False
    languages = element.get("systemLanguage")
    if languages is None:
        return True
    return any(part.strip().lower().split("-")[0] == _LANGUAGE for part in re.split(",", str(languages)))
