"""The sample of a face: its own outline, and other letters where it has no Latin ones."""

import pytest

from layout_core.art.face_sample import WORDS, face_sample
from layout_core.art.fonts import bundled_faces, font_shelf, forget_fonts
from layout_core.art.lettering import Lettering, lettering_outline
from layout_core.errors import LetteringError
from layout_core.user_folders import config_folder
from tests.core.art.small_fonts import LETTERS, install, small_font

HEBREW = {sign: LETTERS[sign] for sign in "אב"}


def test_a_sample_is_the_words_set_in_the_face() -> None:
    face = bundled_faces()[0]
    expected = lettering_outline(Lettering(WORDS, font=face.name, cap_height_mm=10.0, ease_mm=0.0))
    assert face_sample(face).equals(expected)


def test_a_face_without_latin_letters_shows_its_own() -> None:
    install(config_folder().parent, small_font(family="Alef Bet", letters=HEBREW, features=""))
    forget_fonts()
    shown = face_sample(font_shelf().face("Alef Bet"))
    assert len(shown.geoms) == 2


def test_a_face_without_letters_says_so() -> None:
    digits = {sign: LETTERS[sign] for sign in "12"}
    install(config_folder().parent, small_font(family="Only Figures", letters=digits, features=""))
    forget_fonts()
    with pytest.raises(LetteringError, match="has no letters to show"):
        face_sample(font_shelf().face("Only Figures"))
