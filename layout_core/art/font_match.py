"""Which font of this computer a drawing's text means, by the rules of CSS; a missing one is never guessed."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import font_manrope
import uharfbuzz as hb

from layout_core.art.fonts import Face, FontShelf, font_shelf, open_font, read_face
from layout_core.errors import LetteringError

GENERIC = frozenset(
    {"serif", "sans-serif", "monospace", "cursive", "fantasy", "system-ui", "ui-serif", "ui-sans-serif",
     "ui-monospace", "ui-rounded"}
)  # fmt: skip
_USUAL = "Manrope"
"""Stands for every generic family, and for text that names none; the reference renderer is told so too."""
_NEAR_WEIGHT = 150.0
"""A face lighter or bolder by more is not the one that was asked for; our own choice."""
_WEIGHTS = {"normal": 400.0, "regular": 400.0, "bold": 700.0, "lighter": 300.0, "bolder": 700.0}
_MOST_NAME = 60


@dataclass(frozen=True, slots=True)
class FontMatch:
    """What a text asks for: `asked` as people say it, the face that is here for it, and its family's files.

    `face` is None when the computer lacks it and the drawing allows no other. `is_generic` tells that the
    face stands for "any font", since no font was asked for by name, or none of those was here.
    """

    asked: str
    face: Face | None
    files: tuple[str, ...]
    is_generic: bool = False


def font_match(values: Mapping[str, str]) -> FontMatch:
    """The font for computed CSS values. Source: CSS Fonts Module Level 4, section 5.2 (font style matching).

    Stricter than that section in one point: a family that lacks the weight or slant asked for counts as
    missing, because a person who buys the print would see the difference.
    """
    return _match(
        font_shelf(),
        values.get("font-family", ""),
        weight_of(values.get("font-weight", "normal")),
        values.get("font-style", "normal").split(" ")[0].lower() in ("italic", "oblique"),
    )


@lru_cache(maxsize=256)
def _match(shelf: FontShelf, families: str, weight: float, is_slanted: bool) -> FontMatch:
    names = families_of(families)
    by_name = [name for name in names if name.lower() not in GENERIC]
    asked = _words(by_name[0], weight, is_slanted) if by_name else ""
    for name in names:
        if name.lower() in GENERIC:
            return _usual(asked, weight)
        family = [face for face in shelf.faces if face.family.casefold() == name.casefold()]
        face = _nearest(family, weight, is_slanted)
        if face is not None:
            return FontMatch(_words(name, weight, is_slanted), face, tuple(str(one.path) for one in family))
    return FontMatch(asked, None, ()) if by_name else _usual("", weight)


def families_of(text: str) -> list[str]:
    """The families of a CSS list in order, without their quotes."""
    parts = re.findall(r"\"[^\"]*\"|'[^']*'|[^,]+", text)
    names = (" ".join(part.strip().strip("'\"").split())[:_MOST_NAME] for part in parts)
    return [name for name in names if name and name.lower() not in ("inherit", "initial", "unset")]


def weight_of(text: str) -> float:
    """The weight a CSS value states (100 to 900); 400 when it cannot be read."""
    word = text.strip().lower()
    if word in _WEIGHTS:
        return _WEIGHTS[word]
    try:
        return min(1000.0, max(1.0, float(word)))
    except ValueError:
        return 400.0


def _usual(asked: str, weight: float) -> FontMatch:
    faces = usual_faces()
    nearest = min(faces, key=lambda face: abs(_weight(face) - weight))
    return FontMatch(asked, nearest, tuple(str(face.path) for face in faces), is_generic=True)


@lru_cache(maxsize=1)
def usual_faces() -> tuple[Face, ...]:
    """The faces of the family that comes along and stands for "any font", light to bold."""
    paths = sorted(Path(path) for path in font_manrope.font_files.values() if "Variable" not in str(path))
    faces = (read_face(path) for path in paths)
    return tuple(sorted((face for face in faces if face.family == _USUAL), key=_weight))


def _nearest(family: list[Face], weight: float, is_slanted: bool) -> Face | None:
    """The family's face of that weight and slant; None when it has none that comes near."""
    fitting = [
        (abs(_weight(face) - weight), face.name, face)
        for face in family
        if _is_slanted(face) == is_slanted
        and abs(_weight(face) - weight) <= _NEAR_WEIGHT
        and _is_known_to_renderer(face)
    ]
    return min(fitting, key=lambda row: row[:2])[2] if fitting else None


def _weight(face: Face) -> float:
    return _style(face, hb.StyleTag.WEIGHT)


def _is_slanted(face: Face) -> bool:
    return _style(face, hb.StyleTag.ITALIC) > 0 or _style(face, hb.StyleTag.SLANT_ANGLE) != 0


def _is_known_to_renderer(face: Face) -> bool:
    """Whether the font has a PostScript name: the reference renderer passes over any that has none.

    It would draw another in its place where text has to be traced.
    """
    try:
        return bool(open_font(face).font.face.get_name(hb.OTNameIdPredefined.POSTSCRIPT_NAME))
    except LetteringError:
        return False


def _style(face: Face, tag: hb.StyleTag) -> float:
    try:
        return float(open_font(face).font.get_style_value(tag))
    except LetteringError:
        return 400.0 if tag == hb.StyleTag.WEIGHT else 0.0


def _words(name: str, weight: float, is_slanted: bool) -> str:
    """The font as people say it, e.g. "Lantern Sans Bold Italic"."""
    bold = "Bold" if 600 <= weight < 800 else "Black" if weight >= 800 else "Light" if weight < 350 else ""
    return " ".join(word for word in (name, bold, "Italic" if is_slanted else "") if word)
