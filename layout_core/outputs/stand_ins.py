"""Faces that stand in for the outputs' own one, sign by sign: the bundled ones first, then the installed.

Only a sign that no bundled face has makes an output depend on what this computer has installed.
"""

import unicodedata
from functools import lru_cache

from layout_core.art.fonts import Face, OpenFont, bundled_faces, font_shelf, open_font
from layout_core.errors import LetteringError

_NO_SIGNS = frozenset({"Cc", "Cn", "Co", "Cs"})


@lru_cache(maxsize=4096)
def stand_in(sign: str) -> OpenFont | None:
    """The first face that has the sign, upright and of ordinary weight where there is one; else None.

    Control signs and signs of private use have none: fonts put into them what they like.
    """
    if unicodedata.category(sign) in _NO_SIGNS:
        return None
    for face in bundled_faces():
        font = open_font(face)
        if font.font.get_nominal_glyph(ord(sign)):
            return font
    installed = _installed().get(ord(sign))
    try:
        return None if installed is None else open_font(installed)
    except LetteringError:  # its file has gone since
        return None


def forget_stand_ins() -> None:
    """Look again, as after a font was installed."""
    stand_in.cache_clear()
    _installed.cache_clear()


def is_silent(sign: str) -> bool:
    """Whether a sign only steers its neighbours and is left out where a face lacks it: joiners, selectors.

    Source: Unicode Standard Annex 44, general category Cf; variation selectors U+FE00 to U+FE0F.
    """
    return unicodedata.category(sign) == "Cf" or "\ufe00" <= sign <= "\ufe0f"


def advance(sign: str, font: OpenFont) -> float:
    """How far the sign moves the pen, as a share of the em."""
    glyph = font.font.get_nominal_glyph(ord(sign)) or 0
    return float(font.font.get_glyph_h_advance(glyph)) / font.units_per_em


@lru_cache(maxsize=1)
def _installed() -> dict[int, Face]:
    """The face of each character that an installed one has; looked for once, when it is first needed."""
    others = [face for face in font_shelf().faces if not face.is_bundled]
    found: dict[int, Face] = {}
    for face in sorted(others, key=lambda face: face.name != face.family):
        try:
            signs = open_font(face).font.face.unicodes
        except LetteringError:
            continue
        for sign in signs:
            found.setdefault(sign, face)
    return found
