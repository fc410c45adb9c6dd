"""The bundled typeface: its widths are the font's own, and no fitted line is wider than asked."""

import io
from importlib.resources import as_file, files

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageFont

from layout_core.outputs.drawing import Drawing, Words
from layout_core.outputs.drawing_png import to_png
from layout_core.outputs.typeface import (
    CSS_WEIGHTS,
    PLACEHOLDER,
    Weight,
    elided,
    lacks,
    showable,
    text_width,
    wrapped,
)

WORDS = "Tide-pool lantern walk, 11 × 9.1 in · “AVATAR” – fi ffl Žluťoučký Ёлка"
texts = st.text(max_size=80)
mosts = st.floats(40.0, 900.0)


@pytest.mark.parametrize(
    ("weight", "file"), [("regular", "Manrope-Regular.ttf"), ("extrabold", "Manrope-ExtraBold.ttf")]
)
def test_widths_agree_with_another_font_reader(weight: Weight, file: str) -> None:
    """Oracle: FreeType, through Pillow, without kerning."""
    with as_file(files("font_manrope") / "files" / file) as path:
        other = ImageFont.truetype(str(path), 2000, layout_engine=ImageFont.Layout.BASIC)
    for char in showable(WORDS):
        assert text_width(char, 2000, weight) == pytest.approx(other.getlength(char), abs=1.0)


@pytest.mark.parametrize("weight", CSS_WEIGHTS)
def test_rendered_words_are_no_wider_than_measured(weight: Weight) -> None:
    shown = showable(WORDS)
    drawing = Drawing(1800, 120, (Words(10, 80, shown, 50, "#000000", 1800, weight),))
    pixels = np.asarray(Image.open(io.BytesIO(to_png(drawing))).convert("L"))
    last = np.nonzero(pixels.min(axis=0) < 128)[0][-1]
    measured = text_width(shown, 50, weight)
    assert 0.94 * measured < last - 10 <= measured


@given(texts, mosts)
def test_elided_line_fits(text: str, most: float) -> None:
    assert text_width(elided(text, 20, "bold", most), 20, "bold") <= most


@given(texts)
def test_line_that_fits_is_kept_whole(text: str) -> None:
    assert elided(text, 20, "bold", 1e6) == showable(text)


@given(texts, mosts)
def test_wrapping_keeps_every_letter_within_the_width(text: str, most: float) -> None:
    lines = wrapped(text, 20, "regular", most)
    assert all(text_width(line, 20, "regular") <= most for line in lines)
    assert "".join("".join(lines).split()) == "".join(showable(text).split())


@settings(max_examples=60)
@given(texts, mosts, st.integers(1, 4))
def test_wrapping_stops_at_the_line_limit(text: str, most: float, most_lines: int) -> None:
    lines = wrapped(text, 20, "regular", most, most_lines)
    assert len(lines) <= most_lines
    assert all(text_width(line, 20, "regular") <= most for line in lines)


def test_characters_the_face_lacks_become_visible() -> None:
    nowhere = "\U0010fffd"
    assert showable(f"{nowhere} moth\u0000\n{nowhere}") == f"{PLACEHOLDER} moth{PLACEHOLDER} {PLACEHOLDER}"
    assert lacks(nowhere)
    assert not lacks("Žluťoučký “moth” – 3 × 4")
