"""Tells which fonts a drawing's text asks for, and whether this computer has them."""

from xml.sax.saxutils import quoteattr

import numpy as np
from lxml import etree

from layout_core.art.css import Cascade
from layout_core.art.render import Reference, coverage
from layout_core.art.safe_xml import local_name

_GENERIC = frozenset({"serif", "sans-serif", "monospace", "cursive", "fantasy", "system-ui", "inherit", ""})
_NO_SUCH_FONT = "no such font 7f3a"
_MOST = 8
_ROW_PX = 40.0
_WIDTH_PX = 400.0
_SAMPLE = "Hamburg 123"


def has_text(root: etree._Element) -> bool:
    """Whether any text in the drawing holds a visible sign."""
    return any(
        local_name(element) == "text" and "".join(str(part) for part in element.itertext()).strip()
        for element in root.iter()
    )


def text_notes(root: etree._Element, cascade: Cascade) -> list[str]:
    """Sentences for people on the fonts the text was drawn with; empty for a drawing without text."""
    if not has_text(root):
        return []
    wanted = _families(root, cascade)
    missing = _missing(wanted)
    notes = ["Its text was drawn with this computer's fonts; ask for the text turned into outlines."]
    notes += [f"The font “{family}” is not on this computer; another was drawn in its place."
              for family in missing]  # fmt: skip
    return notes


def _families(root: etree._Element, cascade: Cascade) -> list[str]:
    """The first family of every list in the drawing, generic names aside."""
    found: dict[str, None] = {}
    for element in root.iter():
        first = cascade.declared(element).get("font-family", "").split(",")[0].strip().strip("'\"").strip()
        if first.lower() not in _GENERIC:
            found[first[:60]] = None
    return list(found)[:_MOST]


def _missing(families: list[str]) -> list[str]:
    """The families that draw exactly like one that cannot exist."""
    if not families:
        return []
    rows = "".join(
        f'<text x="4" y="{(index + 0.75) * _ROW_PX}" font-size="28" font-family={quoteattr(family)}>'
        f"{_SAMPLE}</text>"
        for index, family in enumerate([_NO_SUCH_FONT, *families])
    )
    height = _ROW_PX * (len(families) + 1)
    text = f'<svg width="{_WIDTH_PX}" height="{height}">{rows}</svg>'
    alpha = coverage(Reference(text, _WIDTH_PX, height, True), (0.0, 0.0, _WIDTH_PX, height), 1.0)
    slices = np.split(alpha, len(families) + 1)
    return [
        family for family, row in zip(families, slices[1:], strict=True) if np.array_equal(row, slices[0])
    ]
