"""Sizes, lengths and spaces of a drawing's text, as CSS and SVG define them."""

from lxml import etree

from layout_core.art.css import Cascade, Values
from layout_core.art.viewport import length_px

USUAL_PX = 16.0
"""The size of text that states none ("medium"). Source: CSS Fonts Module Level 4, section 2.5."""
_XML_SPACE = "{http://www.w3.org/XML/1998/namespace}space"
_STEP = 1.2
_NAMED = {"xx-small": 9.6, "x-small": 12.0, "small": 14.2, "medium": 16.0, "large": 19.2,
          "x-large": 24.0, "xx-large": 32.0}  # fmt: skip


def size_px(element: etree._Element, cascade: Cascade, values: Values, outer: float | None = None) -> float:
    """The font size on the element in user units; `outer` is its parent's where that is known.

    A relative size counts from the parent's. Source: CSS Fonts Module Level 4, section 2.5.
    """
    stated = cascade.declared(element).get("font-size")
    if stated is None or stated == "inherit":
        if outer is not None:
            return outer
        given = _absolute(values.get("font-size"))
        return _outer(element, cascade) if given is None else given
    absolute = _absolute(stated)
    if absolute is not None:
        return absolute
    base = _outer(element, cascade) if outer is None else outer
    word = stated.strip().lower()
    if word in ("larger", "smaller"):
        return base * (_STEP if word == "larger" else 1 / _STEP)
    return _relative(word, base, base) or base


def attribute_length(text: str | None, percent_of: float, size: float) -> float | None:
    """A length of a text's attribute in user units, those in em by its own size; None if it is none."""
    word = (text or "").strip().lower()
    if word.endswith(("em", "ex")) and not word.endswith("rem"):
        return _relative(word, size, percent_of)
    return length_px(word, percent_of)


def length_in_em(text: str | None, size: float) -> float:
    """A spacing in user units; 0 for "normal" and what cannot be read."""
    return attribute_length(text, size, size) or 0.0


def white_space_kept(element: etree._Element) -> bool:
    """Whether spaces inside the element stand as they are. Source: SVG 1.1, section 10.15."""
    current: etree._Element | None = element
    while current is not None:
        word = current.get(_XML_SPACE)
        if word is not None:
            return word == "preserve"
        current = current.getparent()
    return False


def _outer(element: etree._Element, cascade: Cascade) -> float:
    parent = element.getparent()
    return USUAL_PX if parent is None else size_px(parent, cascade, {})


def _absolute(text: str | None) -> float | None:
    """A size that does not hang on the parent's; None for any other."""
    word = (text or "").strip().lower()
    if word in _NAMED:
        return _NAMED[word]
    if not word or word.endswith(("%", "em", "ex")) or word in ("larger", "smaller"):
        return None
    length = length_px(word, 0.0)
    return length if length is not None and length >= 0 else None


def _relative(word: str, em: float, percent_of: float) -> float | None:
    """A length in em, ex (taken for half an em) or percent."""
    for unit, one in (("em", em), ("ex", em / 2), ("%", percent_of / 100)):
        if word.endswith(unit):
            try:
                return float(word.removesuffix(unit)) * one
            except ValueError:
                return None
    return None
