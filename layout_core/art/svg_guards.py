"""Refuses drawings whose numbers, dashes or patterns would stop or stall a renderer, before it draws."""

import math
import re
from collections.abc import Mapping

from lxml import etree

from layout_core.art import caps
from layout_core.art.affine import IDENTITY, determinant, parsed_transform
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


def check_patterns(root: etree._Element, ids: Mapping[str, etree._Element]) -> None:
    """Raise OverLimit where a pattern that is used has a tile of too many times what it fills.

    Only for tiles stated as multiples of that. Source: SVG 2, section 14.3 (patternUnits, templates by href).
    """
    patterns = [element for element in root.iter() if local_name(element) == "pattern"]
    if not patterns:
        return
    used = " ".join(str(value) for element in root.iter() for value in element.attrib.values())
    used += " ".join(element.text or "" for element in root.iter() if local_name(element) == "style")
    for pattern in patterns:
        if f"#{pattern.get('id')}" not in used:
            continue
        if _templated(pattern, "patternUnits", ids) not in (None, "objectBoundingBox"):
            continue
        sides = [length_px(_templated(pattern, name, ids), 1.0) or 0.0 for name in ("width", "height")]
        turned = parsed_transform(_templated(pattern, "patternTransform", ids) or "") or IDENTITY
        times = abs(sides[0] * sides[1] * determinant(turned))
        if times > caps.PATTERN_TIMES:
            raise OverLimit(
                f"has a pattern whose tile is {times:,.0f} times what it fills; the limit is "
                f"{caps.PATTERN_TIMES}. Sizes of a pattern count in parts of the shape unless it says "
                "patternUnits=“userSpaceOnUse”"
            )


def _templated(pattern: etree._Element, name: str, ids: Mapping[str, etree._Element]) -> str | None:
    """The attribute of a pattern, or of the one that it refers to for what it does not say itself."""
    asked: set[etree._Element] = set()
    element: etree._Element | None = pattern
    while element is not None and element not in asked:
        asked.add(element)
        if element.get(name) is not None:
            return str(element.get(name))
        element = ids.get(href(element).removeprefix("#"))
    return None


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
