"""Words become art: set in a font, aligned, bent, contoured, at a stated cap height."""

import math
import unicodedata
from dataclasses import dataclass, replace
from typing import Literal, get_args

import shapely
from shapely import MultiPolygon, affinity
from shapely.geometry.base import BaseGeometry

from layout_core.art import caps
from layout_core.art.artwork import Artwork
from layout_core.art.bend import bent
from layout_core.art.bidi import without_codes
from layout_core.art.contours import Contouring, contoured
from layout_core.art.ease import eased
from layout_core.art.fonts import DEFAULT_FACE, OpenFont, face_named, open_font
from layout_core.art.glyphs import glyphs_area
from layout_core.art.made import made_artwork
from layout_core.art.shaping import ShapedLine, shaped_line
from layout_core.errors import LetteringError
from layout_core.geometry.outline import simplified, valid_union
from layout_core.units import mm

Alignment = Literal["left", "centre", "right"]

MOST_LETTERS, MOST_LINES, MOST_FONT_NAME = 400, 20, 120
RANGES: dict[str, tuple[float, float, str]] = {
    "cap_height_mm": (1.0, 1_000.0, "the cap height in mm"),
    "line_spacing": (0.8, 6.0, "the line spacing in cap heights"),
    "tracking": (-200.0, 2_000.0, "the tracking in thousandths of an em"),
    "bend_deg": (-350.0, 350.0, "the bend in degrees"),
    "line_mm": (0.1, 50.0, "the contour's line in mm"),
    "gap_mm": (0.1, 50.0, "the contour's gap in mm"),
    "ease_mm": (0.0, 5.0, "the width of filled notches in mm"),
}  # fmt: skip
"""Least and most of every figure, with its words. Invented."""

LEAST_BEND_DEG = 0.05
_INNER_CAPS = 0.25
"""The innermost edge of bent words keeps this share of the cap height from the circle's centre. Invented."""
_NOTCH_CAPS = 0.25
"""No notch is filled further than this share of the cap height. Invented: the letter must stay what it is."""
_MOST_NAME, _MOST_NAMED = 60, 8


@dataclass(frozen=True, slots=True)
class Lettering:
    """Words and how they are set; everything needed to set them again.

    `cap_height_mm` is the height of the font's flat capitals. `line_spacing` is from one baseline to the
    next, in cap heights; `tracking` is extra space between letters in thousandths of an em. `bend_deg` is
    the arc that the widest line spans: above 0 the middle rises (a rainbow), below 0 it sinks (a bowl).
    `contour` draws a line round the words ("outside") or knocks one out along their edge ("inside");
    `line_mm` of it is ink and `gap_mm` bare. Tips of notches narrower than `ease_mm`, as in an M, are filled:
    ink would fill them anyway.
    """

    text: str
    font: str = DEFAULT_FACE
    cap_height_mm: float = mm(1.0)
    alignment: Alignment = "centre"
    line_spacing: float = 1.5
    tracking: float = 0.0
    bend_deg: float = 0.0
    contour: Contouring = "none"
    line_mm: float = mm(0.04)
    gap_mm: float = mm(0.05)
    ease_mm: float = mm(0.03)


def checked_lettering(lettering: Lettering) -> Lettering:
    """The lettering with tidy words: composed characters, no control or direction codes, no blank ends.

    Raises LetteringError for no words, too many, or a figure out of its range.
    """
    raw = (
        str(lettering.text)
        .replace("\r\n", "\n")
        .replace("\r", "\n")
        .encode("utf-8", "replace")
        .decode("utf-8")
    )
    lines = [_tidy_line(line) for line in without_codes(unicodedata.normalize("NFC", raw)).split("\n")]
    while lines and not lines[-1]:
        lines.pop()
    while lines and not lines[0]:
        lines.pop(0)
    text = "\n".join(lines)
    if not text:
        raise LetteringError("the lettering has no words; type at least one letter", "words")
    if len(text) > MOST_LETTERS or len(lines) > MOST_LINES:
        raise LetteringError(
            f"the lettering has {len(text):,} letters on {len(lines):,} lines; "
            f"the most is {MOST_LETTERS} on {MOST_LINES}",
            "words",
        )
    for name, (least, most, words) in RANGES.items():
        value = getattr(lettering, name)
        if not math.isfinite(value) or not least <= value <= most:
            raise LetteringError(f"{words} is {value:g}; it must be from {least:g} to {most:g}")
    if lettering.alignment not in get_args(Alignment) or lettering.contour not in get_args(Contouring):
        raise LetteringError(
            f"“{lettering.alignment}” and “{lettering.contour}” are no alignment and contour"
        )
    font = " ".join(lettering.font.split())
    if not font or len(font) > MOST_FONT_NAME or not font.isprintable():
        raise LetteringError("the lettering names no font; choose one", "font")
    return replace(lettering, text=text, font=font)


def lettering_artwork(lettering: Lettering) -> Artwork:
    """The words as artwork at true size. Raises LetteringError.

    Without the font, or a letter in it, nothing is guessed: the error names what is missing.
    """
    tidy = checked_lettering(lettering)
    return made_artwork(lettering_name(tidy), lettering_outline(tidy))


def lettering_name(lettering: Lettering) -> str:
    """What the art is called: its words on one line, cut short."""
    words = " ".join(lettering.text.split())
    return words if len(words) <= _MOST_NAME else f"{words[: _MOST_NAME - 1].rstrip()}…"


def lettering_outline(lettering: Lettering) -> MultiPolygon:
    """The words as shapes in mm, y down, the first baseline at y = 0 before they are bent. As above."""
    tidy = checked_lettering(lettering)
    plain, tolerance_mm = _set_words(tidy)
    words = _bent_words(plain, tidy, tolerance_mm)
    words = eased(words, tidy.ease_mm, _NOTCH_CAPS * tidy.cap_height_mm)
    return simplified(contoured(words, tidy.contour, tidy.line_mm, tidy.gap_mm), tolerance_mm / 2.0)


def _set_words(lettering: Lettering) -> tuple[MultiPolygon, float]:
    """The words set straight, and how far their curves may be off, in mm."""
    font = open_font(face_named(lettering.font))
    scale = lettering.cap_height_mm / font.cap_height
    tracking = lettering.tracking * font.units_per_em / 1000.0
    lines = [shaped_line(line, font, tracking) for line in lettering.text.split("\n")]
    _require_all(lettering.font, [sign for line in lines for sign in line.missing])
    widest_mm = max(max(line.advance for line in lines) * scale, lettering.cap_height_mm)
    tolerance_mm = max(widest_mm * caps.FLATTEN_IN / caps.REFERENCE_WIDTH_IN, 1e-3)
    shapes = _line_areas(lettering, lines, font, tolerance_mm / scale)
    placed = []
    for number, shape in enumerate(shapes):
        if shape.is_empty:
            continue
        left, _, right, _ = shape.bounds
        from_x = {"left": left, "centre": (left + right) / 2.0, "right": right}[lettering.alignment]
        base_mm = number * lettering.line_spacing * lettering.cap_height_mm
        placed.append(affinity.affine_transform(shape, (scale, 0.0, 0.0, -scale, -from_x * scale, base_mm)))
    return valid_union(shapely.union_all(placed)), tolerance_mm


def _line_areas(
    lettering: Lettering, lines: list[ShapedLine], font: OpenFont, tolerance: float
) -> list[BaseGeometry]:
    """The area of each line in font units. Raises LetteringError for letters drawn as nothing."""
    areas: dict[int, BaseGeometry] = {}
    shapes = [glyphs_area(font, line.glyphs, areas, tolerance) for line in lines]
    for text, line in zip(lettering.text.split("\n"), lines, strict=True):
        drawn = {glyph.at for glyph in line.glyphs if not areas[glyph.glyph_id].is_empty}
        blank = [
            text[g.at]
            for g in line.glyphs
            if g.at not in drawn and unicodedata.category(text[g.at])[0] in "LNPS"
        ]
        _require_all(lettering.font, blank)
    return shapes


def _require_all(font: str, missing: list[str]) -> None:
    if missing:
        names = ", ".join(
            "blank" if sign == " " else f"“{sign}”" for sign in list(dict.fromkeys(missing))[:_MOST_NAMED]
        )
        raise LetteringError(f"the font {font} has no {names}; choose another font or other words", "words")


def _bent_words(plain: MultiPolygon, lettering: Lettering, tolerance_mm: float) -> MultiPolygon:
    if abs(lettering.bend_deg) < LEAST_BEND_DEG:
        return plain
    left, top, right, bottom = plain.bounds
    radius_mm = (right - left) / math.radians(lettering.bend_deg)
    least_mm = (bottom - top) / 2.0 + _INNER_CAPS * lettering.cap_height_mm
    if abs(radius_mm) < least_mm:
        most_deg = math.floor(math.degrees((right - left) / least_mm))
        raise LetteringError(
            f"a bend of {lettering.bend_deg:g}° is too tight for these words; the most is {most_deg}°", "bend"
        )
    return bent(plain, radius_mm, (left + right) / 2.0, (top + bottom) / 2.0, tolerance_mm)


def _tidy_line(line: str) -> str:
    shown = (" " if unicodedata.category(sign) in ("Cc", "Zl", "Zp", "Zs") else sign for sign in line)
    return "".join(shown).strip()
