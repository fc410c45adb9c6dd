"""Rewrites a drawing so that what prints is black and what is knocked out white, for a renderer to judge."""

import copy
from collections.abc import Callable

import tinycss2.color4
from lxml import etree

from layout_core.art.css import Cascade, Values
from layout_core.art.ink_map import InkMap, prints_of
from layout_core.art.lab import Rgb
from layout_core.art.safe_xml import local_name
from layout_core.art.svg_paint import GRADIENTS, paint_of, reference, stops_of

_PAINTS = ("fill", "stroke", "color", "stop-color")
Lookup = Callable[[str], "etree._Element | None"]


def recoloured(root: etree._Element, cascade: Cascade, find: Lookup, ink_map: InkMap) -> etree._Element:
    """A copy of the drawing with every paint black or white at its own opacity, whatever its place.

    Painting order is left to whoever draws it: that makes the copy a check of how this program worked it out.
    """
    twin = copy.deepcopy(root)
    stops = _stop_colours(root, cascade, find)
    for element, other in zip(root.iter(), twin.iter(), strict=True):
        declared = cascade.declared(element)
        new: dict[str, str] = {}
        for name in _PAINTS:
            text = declared.get(name)
            if text is None and element is root and name in ("fill", "color"):
                text = "black"
            if text is not None:
                shade = _shade(text, declared, ink_map, None)
                if shade is not None:
                    new[name] = shade
        if element in stops:
            new["stop-color"] = (
                _shade(declared.get("stop-color", "black"), declared, ink_map, stops[element]) or ""
            )
        if new:
            style = str(other.get("style") or "").rstrip("; ")
            added = ";".join(f"{name}:{shade} !important" for name, shade in new.items() if shade)
            other.set("style", f"{style}{';' if style else ''}{added}")
    return twin


def _stop_colours(root: etree._Element, cascade: Cascade, find: Lookup) -> dict[etree._Element, Rgb]:
    """The mean colour of the gradient that each stop belongs to."""
    found: dict[etree._Element, Rgb] = {}
    for element in root.iter():
        if local_name(element) in GRADIENTS and element.get("id"):
            paint = paint_of(f"url(#{element.get('id')})", {}, find, cascade)
            if paint is not None:
                found.update(dict.fromkeys(stops_of(element, find), paint.rgb))
    return found


def _shade(text: str, values: Values, ink_map: InkMap, rgb: Rgb | None) -> str | None:
    """Black or white in CSS with the alpha of the colour; None for what is no colour of its own."""
    if reference(text) is not None or text.strip().lower() in ("none", "currentcolor", "inherit"):
        return None
    colour = tinycss2.color4.parse_color(text)
    alpha = 1.0 if colour is None or isinstance(colour, str) else float(colour.alpha)
    if rgb is None:
        paint = paint_of(text, values, lambda _: None, _NO_CASCADE)
        if paint is None:
            return None
        rgb = paint.rgb
    level = 0 if prints_of(ink_map, [rgb])[0] else 255
    return f"rgba({level},{level},{level},{alpha:.4f})"


_NO_CASCADE = Cascade(etree.Element("svg"))
