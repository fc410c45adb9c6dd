"""Fonts of a few boxes, drawn here: figures in thousandths of an em, y up."""

import io
from collections.abc import Mapping
from pathlib import Path

from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

Box = tuple[float, float, float, float]

LETTERS: dict[str, tuple[Box, int]] = {
    "H": ((50, 0, 450, 700), 500),
    "A": ((50, 0, 550, 700), 600),
    "V": ((50, 0, 550, 700), 600),
    "f": ((50, 0, 250, 700), 300),
    "i": ((50, 0, 150, 500), 200),
    "x": ((50, 0, 350, 500), 400),
    "א": ((50, 0, 350, 600), 400),
    "ב": ((50, 0, 250, 600), 300),
    "1": ((50, 0, 150, 700), 200),
    "2": ((50, 0, 350, 700), 400),
    "\u0301": ((-20, 550, 20, 650), 0),
    " ": ((0, 0, 0, 0), 250),
    "(": ((50, 0, 100, 700), 150),
    ")": ((200, 0, 250, 700), 300),
}
"""The box and the advance of each letter."""

FEATURES = """
languagesystem DFLT dflt; languagesystem latn dflt; languagesystem hebr dflt;
feature kern { pos A V -120; pos V A -80; } kern;
feature liga { sub f i by f_i; } liga;
markClass acutecomb <anchor 0 550> @TOP;
feature mark { pos base x <anchor 200 500> mark @TOP; } mark;
"""
NAMES = {
    "H": "H", "A": "A", "V": "V", "f": "f", "i": "i", "x": "x", "א": "alef", "ב": "bet", "1": "one",
    "2": "two", "\u0301": "acutecomb", " ": "space", "(": "parenleft", ")": "parenright",
}  # fmt: skip
LIGATURE: tuple[Box, int] = ((50, 0, 400, 700), 450)


def small_font(
    *,
    family: str = "Small Boxes",
    letters: Mapping[str, tuple[Box, int]] = LETTERS,
    cap_height: int | None = None,
    features: str = FEATURES,
) -> TTFont:
    """A font of boxes; without a cap height its OS/2 table is of version 1, which has no field for one."""
    glyphs = {".notdef": ((0, 0, 500, 700), 500), **{NAMES[sign]: box for sign, box in letters.items()}}
    if features:
        glyphs["f_i"] = LIGATURE
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder(list(glyphs))
    builder.setupCharacterMap({ord(sign): NAMES[sign] for sign in letters})
    builder.setupGlyf({name: _box(box) for name, (box, _) in glyphs.items()})
    builder.setupHorizontalMetrics(
        {name: (advance, round(box[0])) for name, (box, advance) in glyphs.items()}
    )
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    names = {"familyName": family, "styleName": "Regular", "psName": f"{family.replace(' ', '')}-Regular"}
    builder.setupNameTable(names)
    if cap_height is None:
        builder.setupOS2(version=1)
    else:
        builder.setupOS2(version=4, sCapHeight=cap_height, sxHeight=500)
    builder.setupPost()
    if features:
        addOpenTypeFeaturesFromString(builder.font, features)
    return builder.font


def font_bytes(font: TTFont) -> bytes:
    buffer = io.BytesIO()
    font.save(buffer)
    return buffer.getvalue()


def install(folder: Path, font: TTFont | bytes, name: str = "small.ttf") -> Path:
    """The font as a file in the shop's own font folder under this user folder."""
    fonts = folder / "config" / "fonts"
    fonts.mkdir(parents=True, exist_ok=True)
    path = fonts / name
    path.write_bytes(font if isinstance(font, bytes) else font_bytes(font))
    return path


def _box(box: Box) -> object:
    left, bottom, right, top = box
    pen = TTGlyphPen(None)
    if right > left:
        pen.moveTo((left, bottom))
        for corner in ((left, top), (right, top), (right, bottom)):
            pen.lineTo(corner)
        pen.closePath()
    return pen.glyph()
