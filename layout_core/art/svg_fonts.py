"""Which fonts a drawing's text asks for; text in a font that is not here is left out and named."""

import re

from lxml import etree

from layout_core.art.css import Cascade, Values
from layout_core.art.font_match import FontMatch, font_match
from layout_core.art.font_words import missing_note, usual_note
from layout_core.art.safe_xml import local_name
from layout_core.art.svg_type import size_px

_PIECES = frozenset({"text", "tspan", "a", "textPath", "tref"})
_MOST_FILES = 64
_LINE_HEIGHT = re.compile(r"(\bfont\s*:[^;{}/\"']*?)\s*/\s*[\w.%]+", re.IGNORECASE)


def settle_shorthands(root: etree._Element) -> None:
    """Take the line height out of font shorthands: it places nothing here, and resvg 0.48 trips over it."""
    for element in root.iter():
        style = element.get("style")
        if style and "/" in style:
            element.set("style", _LINE_HEIGHT.sub(r"\1", str(style)))
        if local_name(element) == "style" and element.text:
            element.text = _LINE_HEIGHT.sub(r"\1", element.text)


def has_text(root: etree._Element) -> bool:
    """Whether any text in the drawing holds a visible sign."""
    return any(local_name(element) == "text" and _words(element) for element in root.iter())


def text_files(root: etree._Element, cascade: Cascade) -> tuple[str, ...]:
    """The font files that the drawing's text is to be drawn with, and no others."""
    files = dict.fromkeys(file for match in _matches(root, cascade) for file in match.files)
    return tuple(files)[:_MOST_FILES]


def font_notes(root: etree._Element, cascade: Cascade) -> list[str]:
    """A sentence for every font that another stands for, as the drawing itself allows."""
    asked = dict.fromkeys(match.asked for match in _matches(root, cascade) if match.is_generic)
    return [usual_note(name) for name in asked]


def without_missing(root: etree._Element, cascade: Cascade) -> list[str]:
    """Take every text out whose font is not on this computer; returns a sentence for each such font.

    A text of which one piece asks for such a font goes as a whole, since the places of the others hang on it.
    """
    left_out: dict[str, list[str]] = {}
    for element in [one for one in root.iter() if local_name(one) == "text" and _words(one)]:
        missing = [match.asked for match in _of_text(element, cascade) if match.face is None]
        if missing:
            left_out.setdefault(missing[0], []).append(_words(element))
            parent = element.getparent()
            if parent is not None:
                parent.remove(element)
    return [missing_note(name, words) for name, words in left_out.items()]


def settle_families(root: etree._Element, cascade: Cascade) -> None:
    """Name on every piece of text the very family it is set in: the reference renderer minds capitals."""
    for element in [one for one in root.iter() if local_name(one) == "text" and _words(one)]:
        for piece, match in _pieces(element, cascade.in_tree(element), cascade):
            if match.face is not None:
                style = str(piece.get("style") or "").rstrip("; ")
                family = match.face.family.replace("'", "")
                piece.set("style", f"{style}{'; ' if style else ''}font-family:'{family}' !important")


def _matches(root: etree._Element, cascade: Cascade) -> list[FontMatch]:
    texts = [element for element in root.iter() if local_name(element) == "text" and _words(element)]
    return list(dict.fromkeys(match for element in texts for match in _of_text(element, cascade)))


def _of_text(element: etree._Element, cascade: Cascade) -> list[FontMatch]:
    """What each piece of the text that holds a visible sign asks for."""
    return [match for _, match in _pieces(element, cascade.in_tree(element), cascade)]


def _pieces(
    element: etree._Element, values: Values, cascade: Cascade
) -> list[tuple[etree._Element, FontMatch]]:
    own = element.text or ""
    found: list[tuple[etree._Element, FontMatch]] = []
    for child in element:
        own += child.tail or ""
        if local_name(child) in _PIECES:
            found += _pieces(child, cascade.computed(child, values), cascade)
    if own.strip() and size_px(element, cascade, values) > 0 and values.get("display") != "none":
        found.append((element, font_match(values)))
    return found


def _words(element: etree._Element) -> str:
    return " ".join(re.sub(r"\s+", " ", "".join(str(part) for part in element.itertext())).split())
