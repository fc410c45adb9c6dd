"""A short sample of a face, so that a person can choose by its look."""

import unicodedata

from shapely import MultiPolygon

from layout_core.art.fonts import Face, open_font
from layout_core.art.lettering import Lettering, lettering_outline
from layout_core.errors import LetteringError

WORDS = "Moth 8"
_LETTERS = 6


def face_sample(face: Face) -> MultiPolygon:
    """The sample in mm, y down, at a cap height of 10 mm; other letters where the face has no Latin ones.

    Raises LetteringError when the face can draw neither.
    """
    try:
        return _drawn(face, WORDS)
    except LetteringError as error:
        own = _own_letters(face)
        if not own:
            raise LetteringError(f"the font {face.name} has no letters to show", "font") from error
        return _drawn(face, own)


def _drawn(face: Face, text: str) -> MultiPolygon:
    return lettering_outline(Lettering(text, font=face.name, cap_height_mm=10.0, ease_mm=0.0))


def _own_letters(face: Face) -> str:
    letters = sorted(code for code in open_font(face).font.face.unicodes if code < 0x110000)
    shown = (chr(code) for code in letters if unicodedata.category(chr(code))[0] == "L")
    return "".join(sign for sign, _ in zip(shown, range(_LETTERS), strict=False))
